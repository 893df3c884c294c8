"""A table: columns with unit and kind, rows of plain values, and the things each row speaks of.

The window, the workbook and the CSV only show it. Values in rows are raw: lengths are integer
millimetres, shares are ratios; `number_of` and `text_of` turn them into what is read.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from app.model.vocabulary import Units

MM_PER_M = 1_000
MM_PER_FOOT = 304.8
MM2_PER_IN2 = 645.16
M2_PER_FT2 = 0.09290304

Cell = str | int | float | None
Row = tuple[Cell, ...]


class ColumnKind(StrEnum):
    """How the values of a column are stored and read."""

    TEXT = "text"
    COUNT = "count"
    LENGTH = "length"
    """Integer mm, read in m or ft to one decimal."""
    SIZE = "size"
    """mm, read in mm."""
    AREA = "area"
    """m², read in m² or ft²."""
    SECTION = "section"
    """mm², read in mm² or in²."""
    RATIO = "ratio"
    """A share, read in percent."""
    DECIMAL = "decimal"
    MONEY = "money"
    """Integer hundredths."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `key` never changes, whatever the units; `name` is its heading.

    `width` is a hint in characters; `total` says that a sum under it means something.
    """

    key: str
    name: str
    kind: ColumnKind = ColumnKind.TEXT
    width: int = 12
    total: bool = False

    def unit(self, units: Units) -> str:
        """The unit its numbers are read in; empty for text and counts."""
        return _UNITS[units].get(self.kind, "")

    def heading(self, units: Units) -> str:
        """`Installed, m`."""
        unit = self.unit(units)
        return f"{self.name}, {unit}" if unit else self.name

    @property
    def is_number(self) -> bool:
        return self.kind is not ColumnKind.TEXT


@dataclass(frozen=True)
class Table:
    """Columns and rows. `ids` names each row, `things` what it speaks of in the project.

    `warning` is what must be known before any of its numbers is used; `note` how to read it.
    """

    key: str
    title: str
    columns: tuple[Column, ...]
    ids: tuple[str, ...]
    rows: tuple[Row, ...]
    things: tuple[tuple[str, ...], ...] | None = None
    units: Units = Units.METRIC
    note: str = ""
    warning: str = ""

    @cached_property
    def column_of(self) -> Mapping[str, int]:
        """Column index by key."""
        return {c.key: i for i, c in enumerate(self.columns)}

    def things_of(self, row: int) -> tuple[str, ...]:
        """The ids of what a row speaks of; the row's own id where nothing else is said."""
        return (self.ids[row],) if self.things is None else self.things[row]

    def column_values(self, key: str) -> tuple[Cell, ...]:
        """All values of one column, raw."""
        index = self.column_of[key]
        return tuple(row[index] for row in self.rows)

    def headings(self) -> tuple[str, ...]:
        return tuple(c.heading(self.units) for c in self.columns)


def number_of(value: Cell, kind: ColumnKind, units: Units) -> float | int | None:
    """A raw value as a number in the unit it is read in; None for text and for nothing."""
    if value is None or isinstance(value, str):
        return None
    us = units is Units.US
    if kind is ColumnKind.LENGTH:
        return value / (MM_PER_FOOT if us else MM_PER_M)
    if kind is ColumnKind.AREA and us:
        return value / M2_PER_FT2
    if kind is ColumnKind.SECTION and us:
        return value / MM2_PER_IN2
    if kind is ColumnKind.MONEY:
        return value / 100
    return value


def text_of(value: Cell, kind: ColumnKind, units: Units) -> str:
    """A raw value as it is read in a cell, without its unit; empty for nothing."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    number = number_of(value, kind, units)
    assert number is not None
    if kind is ColumnKind.RATIO:
        return _rounded(number * 100, 1)
    return _rounded(number, decimals(kind, units))


def decimals(kind: ColumnKind, units: Units) -> int:
    """How many decimals a number of this kind is read with."""
    if kind is ColumnKind.SECTION and units is Units.US:
        return 2
    return _DECIMALS[kind]


def total_of(rows: Sequence[Row], column: int) -> float:
    """The sum of a column's raw numbers."""
    return sum(v for row in rows if isinstance(v := row[column], int | float))


_DECIMALS = {
    ColumnKind.TEXT: 0,
    ColumnKind.COUNT: 0,
    ColumnKind.LENGTH: 1,
    ColumnKind.SIZE: 1,
    ColumnKind.AREA: 1,
    ColumnKind.SECTION: 0,
    ColumnKind.RATIO: 1,
    ColumnKind.DECIMAL: 2,
    ColumnKind.MONEY: 2,
}
_UNITS: Mapping[Units, Mapping[ColumnKind, str]] = {
    Units.METRIC: {
        ColumnKind.LENGTH: "m",
        ColumnKind.SIZE: "mm",
        ColumnKind.AREA: "m²",
        ColumnKind.SECTION: "mm²",
        ColumnKind.RATIO: "%",
    },
    Units.US: {
        ColumnKind.LENGTH: "ft",
        ColumnKind.SIZE: "mm",
        ColumnKind.AREA: "ft²",
        ColumnKind.SECTION: "in²",
        ColumnKind.RATIO: "%",
    },
}


def _rounded(value: float, places: int) -> str:
    # Half up, as lengths are rounded everywhere; the tiny part undoes binary dust.
    scale = 10**places
    whole = int(abs(value) * scale + 0.5 + 1e-9)
    text = f"{whole / scale:.{places}f}"
    return f"-{text}" if value < 0 and whole else text
