"""`drawcord restore-points`: list, make, compare with and return to named states."""

from __future__ import annotations

import argparse
import datetime

from app.cli.refusing import say_notes
from app.cli.report import counted
from app.cli.terminal import TerminalProgress, columns, say
from app.jobs.restore_points import compare_file, list_points, make_in_file, return_in_file
from app.model.entities import RestorePoint
from app.sheets.differences import Differences, counted_words, sum_cells
from app.sheets.table import Table, text_of

_DONE = 0


def restore_points_command(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    """Do what was asked of the restore points of a project file."""
    if arguments.make is not None:
        today = datetime.date.today().isoformat()
        notes = make_in_file(arguments.project, arguments.make, made_on=today)
        said = f"Made the restore point “{arguments.make.strip()}” in {arguments.project}"
    elif arguments.return_to is not None:
        notes = return_in_file(arguments.project, arguments.return_to)
        said = f"{arguments.project} is as it was at “{arguments.return_to.strip()}”"
    elif arguments.compare is not None:
        return _compare(arguments, progress)
    else:
        return _list(arguments)
    progress.clear()
    say_notes(notes)
    say(said)
    return _DONE


def _list(arguments: argparse.Namespace) -> int:
    project, notes = list_points(arguments.project)
    say_notes(notes)
    points = project.restore_points.values()
    if not points:
        say("There is no restore point; --make NAME makes one.")
        return _DONE
    rows = [("Name", "Made on", "By", "Revision", "Outlets", "Runs", "Over")]
    rows += [_row(p) for p in points]
    say("\n".join(columns(rows, right=frozenset({4, 5, 6}))))
    return _DONE


def _row(point: RestorePoint) -> tuple[str, str, str, str, str, str, str]:
    counts = (str(n) for n in (point.outlets, point.runs, point.over))
    outlets, runs, over = counts
    return point.name, point.made_on, point.by, point.revision, outlets, runs, over


def _compare(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    now, point, found, notes = compare_file(arguments.project, arguments.compare, progress=progress)
    progress.clear()
    say_notes(notes)
    made = f" of {point.made_on}" if point.made_on else ""
    say(f"Since “{point.name}”{made}: {counted_words(found)}")
    if found.any:
        say("\n".join(_lines(found)))
    units = now.project.settings.units
    rows = [("", "then", "now", "difference")]
    rows += [(s.what, *sum_cells(s, units)) for s in found.sums]
    say("\n" + "\n".join(columns(rows, right=frozenset({1, 2, 3}))))
    return _DONE


def _lines(found: Differences) -> list[str]:
    lines = ["", *_table_lines(found.things)]
    if found.rooms.rows:
        lines += ["", f"{counted(len(found.rooms.rows), 'room')} with other outlets or cable:"]
        lines += _table_lines(found.rooms)
    return lines


def _table_lines(table: Table) -> list[str]:
    rows = [table.headings()]
    for row in table.rows:
        cells = zip(row, table.columns, strict=True)
        rows.append(tuple(text_of(value, column.kind, table.units) for value, column in cells))
    right = frozenset(i for i, column in enumerate(table.columns) if column.is_number)
    return columns(rows, right=right)
