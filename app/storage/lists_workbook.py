"""Lists in workbooks: the values that stand in the cells, as they are seen.

Macros are never run and formulas never worked out: what the program that saved the file has found
is taken, and a formula without a value is said. The archive is looked through before a library
sees it: sizes, number of parts, and definitions that would unfold into more.
"""

from __future__ import annotations

import datetime
import io
import re
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

import openpyxl
from openpyxl.utils import get_column_letter

from app.storage.bounds import (
    FREE_BYTES,
    LARGEST_LIST_UNPACKED_BYTES,
    MOST_LIST_COLUMNS,
    MOST_LIST_PARTS,
    MOST_TIMES_PACKED,
)
from app.storage.list_rows import NO_VALUE, ListFile, UnreadableList, bounded_rows, clean

OLD_WORKBOOK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
LEAST_ROWS = LEAST_CELLS = 2
"""A sheet with fewer holds no table."""
MOST_NAMED = 5
CHUNK_BYTES = 2**20
_DEFINITIONS = tuple(
    word.encode(encoding)
    for word in ("<!DOCTYPE", "<!ENTITY")
    for encoding in ("ascii", "utf-16-le", "utf-16-be")
)
_FIXED = re.compile(r"^(0*)(?:\.(0+))?$")
"""A number format of noughts only, such as that of a room number 0.10 or 007."""


def workbook_rows(content: bytes, name: str, sheet: str | None) -> ListFile:
    """The rows of one sheet. Raises UnreadableList."""
    _look_through(content, name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return _read(content, name, sheet)
    except UnreadableList:
        raise
    except Exception as error:
        # A hostile or damaged part can end the library's reader in any way.
        raise UnreadableList(
            f"“{name}” is damaged ({type(error).__name__} while reading it); open it in a "
            "spreadsheet program, save it anew, or save the list as CSV."
        ) from error


def _look_through(content: bytes, name: str) -> None:
    """Refuse an archive that unfolds into too much, before anything in it is believed."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = archive.infolist()
            if len(parts) > MOST_LIST_PARTS:
                raise UnreadableList(f"“{name}” has {len(parts):,} parts; no workbook has.")
            whole = sum(part.file_size for part in parts)
            packed_tight = any(
                part.file_size > max(FREE_BYTES, part.compress_size * MOST_TIMES_PACKED)
                for part in parts
            )
            if whole > LARGEST_LIST_UNPACKED_BYTES or packed_tight:
                raise UnreadableList(
                    f"“{name}” would unpack to {whole / 2**20:,.0f} MiB, which no list of rooms "
                    "does; save the sheet with the rooms alone, or as CSV, and read that."
                )
            for part in parts:
                if part.filename.lower().endswith((".xml", ".rels")):
                    _refuse_definitions(archive, part, name)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
        raise UnreadableList(
            f"“{name}” is damaged or has a password; save it anew as .xlsx or CSV."
        ) from error


def _refuse_definitions(archive: zipfile.ZipFile, part: zipfile.ZipInfo, name: str) -> None:
    tail = b""
    with archive.open(part) as stream:
        while chunk := stream.read(CHUNK_BYTES):
            if any(word in tail + chunk for word in _DEFINITIONS):
                raise UnreadableList(
                    f"“{name}” defines words of its own in {part.filename}, as no spreadsheet "
                    "program does; it was not read."
                )
            tail = chunk[-32:]


def _read(content: bytes, name: str, sheet: str | None) -> ListFile:
    values = openpyxl.load_workbook(
        io.BytesIO(content), read_only=True, data_only=True, keep_links=False
    )
    formulas = openpyxl.load_workbook(
        io.BytesIO(content), read_only=True, data_only=False, keep_links=False
    )
    try:
        names = [s.title for s in values.worksheets]
        if not names:
            raise UnreadableList(f"“{name}” has no sheet with cells.")
        if sheet is not None and sheet not in names:
            raise UnreadableList(f"“{name}” has no sheet “{sheet}”; it has: {', '.join(names)}.")
        chosen = sheet or _first_table(values)
        notes: list[str] = []
        rows, empty = bounded_rows(name, _rows(values[chosen], formulas[chosen], notes))
        return ListFile(
            source_name=name,
            rows=rows,
            empty=empty,
            sheet=chosen,
            sheets=tuple(names),
            notes=tuple(_told(notes)),
        )
    finally:
        values.close()
        formulas.close()


def _first_table(book: Any) -> str:
    """The first sheet with some rows of some cells, else the first."""
    for sheet in book.worksheets:
        sheet.reset_dimensions()
        full = 0
        for row in sheet.iter_rows(max_row=100, max_col=MOST_LIST_COLUMNS, values_only=True):
            full += sum(v is not None for v in row) >= LEAST_CELLS
            if full >= LEAST_ROWS:
                return str(sheet.title)
    return str(book.worksheets[0].title)


def _rows(values: Any, formulas: Any, notes: list[str]) -> Iterator[list[str]]:
    """Rows of texts. What a sheet says of its own size is not believed."""
    for sheet in (values, formulas):
        sheet.reset_dimensions()
    widest = MOST_LIST_COLUMNS + 1  # a cell in the last column would fill 16,384 of every row
    pairs = zip_longest(
        values.iter_rows(max_col=widest), formulas.iter_rows(max_col=widest), fillvalue=()
    )
    for line, (row, sources) in enumerate(pairs, start=1):
        yield [
            _text(cell, source, f"{get_column_letter(column)}{line}", notes)
            for column, (cell, source) in enumerate(
                zip_longest(row, sources, fillvalue=None), start=1
            )
        ]


def _text(cell: Any, source: Any, at: str, notes: list[str]) -> str:
    """A cell as it is seen: noughts that its format adds are kept, nothing is rounded."""
    value = None if cell is None else cell.value
    if value is None:
        if getattr(source, "data_type", "n") != "f":
            return ""
        notes.append(f"no value:{at}")
        return NO_VALUE
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(value, str(cell.number_format or ""))
    if isinstance(value, datetime.date | datetime.time):
        notes.append(f"date:{at}")
        return value.isoformat()
    return clean(str(value))


def _number(value: float, number_format: str) -> str:
    text = repr(value)
    if isinstance(value, float) and value.is_integer() and abs(value) < 10**15:
        text = str(int(value))
    fixed = _FIXED.match(number_format)
    if fixed is None or "e" in text or "n" in text or value < 0:
        return text
    whole, _, part = text.partition(".")
    part = part.ljust(len(fixed.group(2) or ""), "0")
    whole = whole.zfill(len(fixed.group(1)))
    return f"{whole}.{part}" if part else whole


def _told(notes: list[str]) -> Iterator[str]:
    told = {
        "no value": "holds a formula without a value: the file was never worked out by a "
        "spreadsheet program; open it in one, save it, and read it again",
        "date": "is a date; spreadsheet programs make dates of room numbers such as 2.04, so type "
        "those as text",
    }
    for sort, sentence in told.items():
        cells = [n.partition(":")[2] for n in notes if n.startswith(f"{sort}:")]
        if len(cells) > MOST_NAMED:
            more = len(cells) - MOST_NAMED
            yield f"Each of {', '.join(cells[:MOST_NAMED])} and {more:,} more {sentence}."
        elif cells:
            which = f"Cell {cells[0]}" if len(cells) == 1 else f"Each of {', '.join(cells)}"
            yield f"{which} {sentence}."
