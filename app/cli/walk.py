"""`drawcord walk`: walk sheets as a PDF."""

from __future__ import annotations

import argparse
import datetime

from app.cli.refusing import Refused, may_write, need_folder, say_notes
from app.cli.report import counted
from app.cli.terminal import TerminalProgress, say
from app.design.design import Design
from app.jobs.walking import floors_named, read_to_draw, write_walk_sheets
from app.sheets.walk_sheet import WalkWishes, floors_in_order

_DONE = 0
_SUFFIX = ".pdf"


def walk_command(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    """Write the walk sheets of a project file."""
    out = arguments.out
    if out.suffix.lower() != _SUFFIX:
        raise Refused(f"“{out.name}” is no name for walk sheets; let it end in {_SUFFIX}.")
    need_folder(out)
    may_write([out], arguments.replace, inputs=[arguments.project])
    read, drawings = read_to_draw(arguments.project, progress=progress)
    wishes = WalkWishes(
        paper=arguments.paper,
        denominator=arguments.scale,
        date=datetime.date.today().isoformat(),
    )
    floors = _floors(read.design, arguments.floor)
    pages = write_walk_sheets(read.design, drawings, out, wishes, floors=floors, progress=progress)
    progress.clear()
    say_notes(read.notes)
    say(f"Wrote {counted(len(pages), 'sheet')} {arguments.paper} to {out}")
    return _DONE


def _floors(design: Design, name: str | None) -> list[str] | None:
    """The ids of the floors of this name; None for all. Raises Refused for an unknown one."""
    every = floors_in_order(design)
    if not every:
        raise Refused("The project has no floor yet, so there is nothing to draw.")
    if name is None:
        return None
    found = floors_named(design, name)
    if not found:
        names = ", ".join(f.name for f in every)
        raise Refused(f"There is no floor “{name}”; the floors are {names}.")
    return [f.id for f in found]
