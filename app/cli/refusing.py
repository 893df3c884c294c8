"""What a command refuses before it writes anything, and what it says of a damaged file."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

from app.cli.terminal import say


class Refused(Exception):
    """What was asked cannot be done; the message says why and what to do."""


def may_write(paths: Iterable[Path], replace: bool, *, inputs: Iterable[Path]) -> None:
    """Refuse what would overwrite an input, or anything that the user has not been asked for."""
    sources = {p.resolve() for p in inputs}
    for path in paths:
        if path.resolve() in sources:
            raise Refused(f"“{path}” is what is read; write to another file.")
        if path.is_dir():
            raise Refused(f"“{path}” is a folder; name a file in it.")
        if path.exists() and not replace:
            raise Refused(
                f"“{path}” is there already; name another, or add --replace to put the new one in "
                "its place."
            )


def need_folder(path: Path) -> None:
    if not path.parent.is_dir():
        raise Refused(f"There is no folder “{path.parent}” to put “{path.name}” in; make it first.")


def say_notes(notes: Iterable[str]) -> None:
    for note in notes:
        say(f"Note: {note}", to=sys.stderr)
