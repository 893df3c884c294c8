"""What a list is when it has been read: numbered rows of texts, held to the bounds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.storage.bounds import (
    LONGEST_CELL,
    MOST_LIST_CELLS,
    MOST_LIST_COLUMNS,
    MOST_LIST_LINES,
    MOST_LIST_ROWS,
)

NO_VALUE = "(formula without a value)"
"""Stands for a formula whose result was never worked out by the program that wrote the file."""


class UnreadableList(Exception):
    """A list that cannot be read. The message says what is wrong, where, and what to do."""


@dataclass(frozen=True, slots=True)
class ListRow:
    """One row with something in it; `line` counts the file's rows from 1."""

    line: int
    cells: tuple[str, ...]

    def cell(self, column: int) -> str:
        """The text in a column; empty beyond the last."""
        return self.cells[column] if column < len(self.cells) else ""


@dataclass(frozen=True, kw_only=True)
class ListFile:
    """Rows with something in them, and how many were empty. `notes` tell how it was read."""

    source_name: str
    rows: tuple[ListRow, ...]
    empty: int = 0
    sheet: str = ""
    sheets: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def columns(self) -> int:
        """How many columns the widest row has."""
        return max((len(row.cells) for row in self.rows), default=0)


def bounded_rows(name: str, rows: Iterable[list[str]]) -> tuple[tuple[ListRow, ...], int]:
    """Rows with something in them, numbered, and the count of empty ones among them.

    Empty rows behind the last one are not counted. Raises UnreadableList beyond the bounds.
    """
    kept: list[ListRow] = []
    cells_in_all = 0
    for line, cells in enumerate(rows, start=1):
        if line > MOST_LIST_LINES:
            raise _too_many(name, f"more than {MOST_LIST_LINES:,} rows")
        while cells and not cells[-1]:
            cells.pop()
        if not cells:
            continue
        if len(cells) > MOST_LIST_COLUMNS:
            raise _too_many(name, f"more than {MOST_LIST_COLUMNS} columns in row {line}")
        cells_in_all += len(cells)
        kept.append(ListRow(line, tuple(cells)))
        if len(kept) > MOST_LIST_ROWS:
            raise _too_many(name, f"more than {MOST_LIST_ROWS:,} rows with something in them")
        if cells_in_all > MOST_LIST_CELLS:
            raise _too_many(name, f"more than {MOST_LIST_CELLS:,} cells")
    if not kept:
        raise UnreadableList(f"“{name}” has no row with anything in it.")
    return tuple(kept), kept[-1].line - len(kept)


def clean(text: str) -> str:
    """A cell as one line of print, without the white space around it."""
    plain = "".join(c if c.isprintable() else " " for c in text[: LONGEST_CELL + 1])
    return " ".join(plain.split())[:LONGEST_CELL]


def _too_many(name: str, what: str) -> UnreadableList:
    return UnreadableList(
        f"“{name}” has {what}, which no list of rooms has; delete what is not the list, save it, "
        "and read it again."
    )
