"""`drawcord rooms`: read a client's list in, and tell of every room what is missing."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from app import jobs
from app.cli.refusing import Refused, may_write, need_folder, say_notes
from app.cli.report import counted
from app.cli.terminal import TerminalProgress, columns, say
from app.design import Design
from app.editor.commands.client_list import News
from app.editor.room_lists.account import Wrong, sentences
from app.jobs.client_lists import NotARevision, TakenList, take_list_in_file, write_rooms
from app.sheets.spaces_table import spaces_table
from app.sheets.table import Cell

_DONE, _MISSING = 0, 1
_SHOWN = (
    ("number", "Room"),
    ("name", "Name"),
    ("floor", "Floor"),
    ("required", "Required"),
    ("placed_required", "Placed"),
    ("difference", "Difference"),
    ("left", "Left to place"),
    ("list", "Client's list"),
)
_FIGURES = frozenset({3, 4, 5})
_LONGEST = 44
_FILES = (".csv", ".xlsx")


def rooms_command(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    """Read a list in if one is given, save, and print the rooms; 1 where something is missing."""
    out: Path | None = arguments.out
    if out is not None:
        if out.suffix.lower() not in _FILES:
            raise Refused(
                f"“{out.name}” is no kind of file that rooms are written to; let it end in .xlsx "
                "or .csv."
            )
        need_folder(out)
        inputs = [p for p in (arguments.project, arguments.list) if p is not None]
        may_write([out], arguments.replace, inputs=inputs)
    if arguments.list is not None:
        taken, notes = _take(arguments, progress)
        progress.clear()
        say_notes(notes)
        say("\n".join(_list_lines(taken)))
        say("")
    read = jobs.read_project(arguments.project, progress=progress)
    progress.clear()
    say_notes(read.notes)
    say("\n".join(_room_lines(read.design)))
    if out is not None:
        write_rooms(read.design, out, bom=arguments.bom)
        say(f"Wrote {out}")
    summary = read.design.summary
    return _DONE if summary.required_placed >= summary.required else _MISSING


def _take(
    arguments: argparse.Namespace, progress: TerminalProgress
) -> tuple[TakenList, tuple[str, ...]]:
    try:
        return take_list_in_file(
            arguments.project,
            arguments.list,
            name=arguments.name,
            whatever=arguments.replace_list,
            today=date.today(),
            progress=progress,
        )
    except NotARevision as problem:
        raise Refused(
            f"{problem}; put it right, add --replace-list to take it all the same, or --name NAME "
            "to have it as a list beside that one."
        ) from problem


def _list_lines(taken: TakenList) -> Iterator[str]:
    read = taken.read
    where = f"“{read.source_name}”" + (f", sheet “{read.sheet}”" if read.sheet else "")
    revision = "" if taken.is_new else f" as a revision of the list “{taken.name}”"
    yield f"Read {where}{revision}."
    yield from (f"  {note}" for note in read.notes)
    line = taken.made.how.heading_line
    yield f"  Headings in line {line}:" if line else "  No headings were found:"
    for column, heading in enumerate(taken.made.headings):
        if heading:
            yield f"    {heading}: {taken.meaning(column) or _not_read(taken, column)}"
    yield from (f"  {sentence}" for sentence in sentences(taken.account))
    for wrong in Wrong:
        yield from (f"    {t.text}" for t in taken.account.troubled(wrong))
    yield from (f"    {sentence}" for sentence in taken.misspelt)
    if not taken.is_new:
        yield from _news_lines(taken.news)


def _not_read(taken: TakenList, column: int) -> str:
    likely = [taken.kinds.get(m, m) for m in taken.made.guesses[column].likely]
    return f"not read; it may be {' or '.join(likely)}" if likely else "not read"


def _news_lines(news: News) -> Iterator[str]:
    if not news:
        yield "  Nothing has changed since it was read last."
    for called, told in (("New", news.new), ("Gone", news.gone), ("Changed", news.changed)):
        if told:
            yield f"  {called}: {counted(len(told), 'room')}"
            yield from (f"    {line}" for line in told)


def _room_lines(design: Design) -> Iterator[str]:
    table = spaces_table(design)
    places = [table.column_of[key] for key, _ in _SHOWN]
    rows = [tuple(name for _, name in _SHOWN)]
    rows += [tuple(_text(row[p]) for p in places) for row in table.rows]
    yield from columns(rows, right=_FIGURES)
    summary = design.summary
    missing = summary.required - summary.required_placed
    yield ""
    if not summary.required:
        yield "Nothing is required of any room."
    elif missing:
        yield f"{counted(summary.required, 'outlet')} required, {missing:,} not placed."
    else:
        yield f"{counted(summary.required, 'outlet')} required, all placed."


def _text(value: Cell) -> str:
    text = "" if value is None else str(value)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"
