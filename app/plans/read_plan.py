"""Read a plan from a file or from bytes."""

from __future__ import annotations

from pathlib import Path

from app.plans.imported import ImportedPlan
from app.progress import Progress


def read_plan(
    path_or_bytes: Path | str | bytes, *, name: str | None = None, progress: Progress | None = None
) -> ImportedPlan:
    """Read a DXF of any version; `name` is shown in messages (default: the file's name).

    Runs in any thread. Raises PlanImportError for a file that is no plan or cannot be read, and
    Cancelled when `progress` says so.
    """
    raise NotImplementedError
