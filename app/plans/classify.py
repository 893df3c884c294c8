"""Say in words why a file is no plan that this version opens."""

from __future__ import annotations

from pathlib import Path


def classify_file(path: Path) -> str | None:
    """None if the file looks like a DXF, else one sentence: what it is and what to do."""
    raise NotImplementedError
