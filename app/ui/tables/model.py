"""A table of app/sheets as Qt sees it: sorted, filtered, and changed row by row.

Rows stay slots on the screen: a row that moves in the order changes what a range of slots
shows, which costs a repaint of those in sight and nothing else.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from app.model.vocabulary import Units
from app.sheets.table import Cell, Column, Row, Table, text_of
from app.ui import icons, look
from app.ui.palette import current
from app.ui.tables.order import RowOrder, SortKey, sort_key

Index = QModelIndex | QPersistentModelIndex
STATUS_KEYS = ("status",)
STATE_OF_WORD = {
    "within": "within",
    "near": "near",
    "over": "over",
    "no route": "no_route",
}
SEVERITY_ROLE = {"fails": "fail", "warning": "warn", "note": "note"}
KeyRole = Qt.ItemDataRole.UserRole


class TableModel(QAbstractTableModel):
    """Rows by id. Sorting and filtering are its own; no proxy stands between."""

    def __init__(self) -> None:
        super().__init__()
        self._columns: tuple[Column, ...] = ()
        self._rows: dict[str, Row] = {}
        self._things: dict[str, tuple[str, ...]] = {}
        self._place: dict[str, int] = {}
        self._order = RowOrder()
        self._rows_of_thing: dict[str, list[str]] = {}
        self._units = Units.METRIC
        self._sort_column: int | None = None
        self._descending = False
        self._words: tuple[str, ...] = ()
        self._only: Callable[[str, Row], bool] | None = None
        self._sees: Callable[[tuple[str, ...]], bool] | None = None
        self._icons: dict[tuple[str, str], Any] = {}
        self.tall_headings = False
        """Whether a heading of several words stands on two lines, so that its column is narrow."""

    # --- what it shows ------------------------------------------------------------------

    @property
    def columns(self) -> tuple[Column, ...]:
        return self._columns

    @property
    def sorted_by(self) -> tuple[int | None, bool]:
        """Column and whether descending."""
        return self._sort_column, self._descending

    @property
    def count_of_all(self) -> int:
        """Rows before filtering."""
        return len(self._rows)

    def column_index(self, key: str) -> int | None:
        """Where a column stands, by its key."""
        return next((i for i, c in enumerate(self._columns) if c.key == key), None)

    def set_table(self, table: Table) -> None:
        """Show a table from nothing; sorting and filter stay where the columns do."""
        self.beginResetModel()
        if table.columns != self._columns:
            self._columns, self._sort_column = table.columns, None
        self._units = table.units
        self._rows = dict(zip(table.ids, table.rows, strict=True))
        self._things = {row_id: table.things_of(i) for i, row_id in enumerate(table.ids)}
        self._place = {row_id: i for i, row_id in enumerate(table.ids)}
        self._index_things()
        self._fill_order()
        self.endResetModel()

    def _index_things(self) -> None:
        self._rows_of_thing = {}
        for row_id, things in self._things.items():
            for thing in things:
                self._rows_of_thing.setdefault(thing, []).append(row_id)

    def _fill_order(self) -> None:
        self._order.fill(
            (self._key_of(row), self._place[row_id], row_id)
            for row_id, row in self._rows.items()
            if self._passes(row_id, row)
        )

    def _key_of(self, row: Row) -> SortKey:
        if self._sort_column is None:
            return ()
        return sort_key(row[self._sort_column], descending=self._descending)

    # --- touched rows -------------------------------------------------------------------

    def change_rows(
        self, rows: Mapping[str, tuple[Row, tuple[str, ...]]], removed: Iterable[str] = ()
    ) -> None:
        """Take over rows that are new or changed, and drop those removed."""
        for row_id in removed:
            if row_id in self._rows:
                self._take_out(row_id)
                self._forget(row_id)
        for row_id, (row, things) in rows.items():
            self._change_row(row_id, row, things)

    def _change_row(self, row_id: str, row: Row, things: tuple[str, ...]) -> None:
        standing = self._rows.get(row_id)
        if standing == row and self._things.get(row_id) == things:
            return
        if row_id not in self._place:
            self._place[row_id] = 1 + max(self._place.values(), default=-1)
        if self._things.get(row_id) != things:
            self._forget_things(row_id)
            self._things[row_id] = things
            for thing in things:
                self._rows_of_thing.setdefault(thing, []).append(row_id)
        self._rows[row_id] = row
        shown_before, shown_after = row_id in self._order, self._passes(row_id, row)
        if shown_before and shown_after:
            self._move_within(row_id, self._key_of(row))
        elif shown_before:
            self._take_out(row_id)
        elif shown_after:
            self._put_in(row_id, self._key_of(row))

    def _move_within(self, row_id: str, key: SortKey) -> None:
        before = self._order.position(row_id)
        if self._order.value(row_id) != key:
            self._order.remove(row_id)
            after = self._order.insert(row_id, key, self._place[row_id])
        else:
            after = before or 0
        low, high = sorted((self._slot(before or 0), self._slot(after)))
        last = len(self._columns) - 1
        self.dataChanged.emit(self.index(low, 0), self.index(high, last))

    def _take_out(self, row_id: str) -> None:
        position = self._order.position(row_id)
        if position is None:
            return
        slot = self._slot(position)
        self.beginRemoveRows(QModelIndex(), slot, slot)
        self._order.remove(row_id)
        self.endRemoveRows()

    def _put_in(self, row_id: str, key: SortKey) -> None:
        position = self._order.insert(row_id, key, self._place[row_id])
        slot = len(self._order) - 1 - position if self._descending else position
        self._order.remove(row_id)
        self.beginInsertRows(QModelIndex(), slot, slot)
        self._order.insert(row_id, key, self._place[row_id])
        self.endInsertRows()

    def _forget(self, row_id: str) -> None:
        self._forget_things(row_id)
        for held in (self._rows, self._things, self._place):
            held.pop(row_id, None)

    def _forget_things(self, row_id: str) -> None:
        for thing in self._things.get(row_id, ()):
            of_thing = self._rows_of_thing.get(thing, [])
            if row_id in of_thing:
                of_thing.remove(row_id)

    # --- order and filter ---------------------------------------------------------------

    def _slot(self, position: int) -> int:
        return len(self._order) - 1 - position if self._descending else position

    def row_id(self, slot: int) -> str:
        """The id of the row shown in a slot."""
        return self._order.at(self._slot(slot))

    def slot_of(self, row_id: str) -> int | None:
        """Where a row is shown; None where the filter hides it."""
        position = self._order.position(row_id)
        return None if position is None else self._slot(position)

    def things_of(self, slot: int) -> tuple[str, ...]:
        """What the row in a slot speaks of."""
        return self._things[self.row_id(slot)]

    def slots_of_things(self, ids: Iterable[str]) -> list[int]:
        """Where the rows that speak of these things are shown; a row's first thing counts."""
        found = set()
        for thing in ids:
            for row_id in self._rows_of_thing.get(thing, ()):
                slot = self.slot_of(row_id) if self._things[row_id][0] == thing else None
                if slot is not None:
                    found.add(slot)
        return sorted(found)

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Sort by a column; -1 gives back the table's own order."""
        self._sort_column = column if 0 <= column < len(self._columns) else None
        self._descending = order is Qt.SortOrder.DescendingOrder
        self._reorder()

    def set_filter(self, text: str, only: Callable[[str, Row], bool] | None = None) -> None:
        """Show rows that hold every word of the text, and that `only` lets through."""
        self._words, self._only = tuple(text.casefold().split()), only
        self._reorder()

    def set_seen(self, sees: Callable[[tuple[str, ...]], bool] | None) -> None:
        """Show only rows that speak of things in sight (None: all)."""
        self._sees = sees
        self._reorder()

    def _reorder(self) -> None:
        self.beginResetModel()
        self._fill_order()
        self.endResetModel()

    def _passes(self, row_id: str, row: Row) -> bool:
        if self._only is not None and not self._only(row_id, row):
            return False
        if self._sees is not None and not self._sees(self._things[row_id]):
            return False
        if not self._words:
            return True
        text = "\n".join(
            text_of(cell, column.kind, self._units)
            for cell, column in zip(row, self._columns, strict=True)
        ).casefold()
        return all(w in text for w in self._words)

    # --- Qt -----------------------------------------------------------------------------

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._order)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._columns)

    def text(self, slot: int, column: int) -> str:
        """A cell as it is read."""
        row = self._rows[self.row_id(slot)]
        return text_of(row[column], self._columns[column].kind, self._units)

    def cell(self, slot: int, column: int) -> Cell:
        """A raw value."""
        return self._rows[self.row_id(slot)][column]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        slot, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text(slot, column)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            number = self._columns[column].is_number
            side = Qt.AlignmentFlag.AlignRight if number else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.text(slot, column) or None
        if role == Qt.ItemDataRole.DecorationRole:
            return self._sign(slot, column)
        if role == Qt.ItemDataRole.ForegroundRole:
            return self._ink(slot, column)
        if role == KeyRole:
            return self.row_id(slot)
        return None

    def _state(self, slot: int, column: int) -> str | None:
        if self._columns[column].key not in STATUS_KEYS:
            return None
        return STATE_OF_WORD.get(str(self.cell(slot, column)))

    def _sign(self, slot: int, column: int) -> Any:
        state = self._state(slot, column)
        if state is None or state == "within":
            return None
        key = (state, current().name)
        if key not in self._icons:
            self._icons[key] = icons.state_icon(state, look.em(1))
        return self._icons[key]

    def _ink(self, slot: int, column: int) -> Any:
        state = self._state(slot, column)
        if state is not None:
            return current().color("ink" if state == "within" else f"{state}_text")
        if self._columns[column].key == "severity":
            role = SEVERITY_ROLE.get(str(self.cell(slot, column)).lower())
            return current().color(role) if role else None
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal or section >= len(self._columns):
            return None
        column = self._columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            heading = column.heading(self._units)
            return _on_two_lines(heading) if self.tall_headings else heading
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.is_number else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.ToolTipRole:
            return f"{column.heading(self._units)}. Click to sort."
        return None

    def as_text(self, slots: Sequence[int], columns: Sequence[int]) -> str:
        """Rows with headings, separated by tabs, for the clipboard."""
        lines = ["\t".join(_plain(self._columns[c].heading(self._units)) for c in columns)]
        lines += ["\t".join(_plain(self.text(s, c)) for c in columns) for s in slots]
        return "\n".join(lines) + "\n"


def _on_two_lines(heading: str) -> str:
    """Broken at the space that leaves the least width; a unit stays with the word before it."""
    breaks = [i for i, sign in enumerate(heading) if sign == " " and heading[i - 1] != ","]
    at = min(breaks, key=lambda i: max(i, len(heading) - i - 1), default=None)
    return heading if at is None else f"{heading[:at]}\n{heading[at + 1 :]}"


def _plain(text: str) -> str:
    return " ".join(text.split())
