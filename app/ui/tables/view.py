"""One table on the screen: filter, sorting by heading, selection, copying."""

from collections.abc import Callable, Iterable

from PySide6.QtCore import QItemSelection, QItemSelectionModel, QModelIndex, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QTableView,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.sheets.table import Row, Table
from app.ui import look
from app.ui.tables.model import TableModel
from app.ui.words import counted

FILTER_AFTER_MS = 120
WIDEST_EM = 34
NARROW_EM = 11
"""Of a column beside one that takes the room."""
LEAST_WORDS_EM = 44
HEAD_ROOM_EM, CELL_ROOM_EM = 1.5, 1.8
ROWS_MEASURED = 300
"""So many rows tell how wide a narrow column is."""


class _Grid(QTableView):
    """A table view that copies whole rows and says what was opened."""

    copied = Signal()
    pasted = Signal()
    opened = Signal()
    resized = Signal()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copied.emit()
        elif event.matches(QKeySequence.StandardKey.Paste):
            self.pasted.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.opened.emit()
        else:
            super().keyPressEvent(event)


class TableView(QWidget):
    """A table with its filter line. Speaks in ids of things."""

    things_selected = Signal(tuple)
    things_opened = Signal(tuple)
    row_opened = Signal(str)
    """The id of the row that was double-clicked."""
    rows_pasted = Signal(tuple)
    """Something is to be pasted into these rows, by their ids: the selected ones, else all from
    the current one on, as they are sorted."""
    row_chosen = Signal(tuple)
    """All that the current row speaks of."""
    message = Signal(str)

    def __init__(
        self,
        name: str,
        parent: QWidget | None = None,
        *,
        first: tuple[str, ...] = (),
        widest: str = "",
        sorted_by: str = "",
        narrow: bool = False,
    ) -> None:
        """`first`: keys of the columns that stand first on the screen; `widest`: of the one
        that takes the room; `sorted_by`: of the one it is sorted by until somebody sorts it;
        `narrow`: columns are as wide as what they show, long headings on two lines.
        """
        super().__init__(parent)
        self.model = TableModel()
        self.model.tall_headings = narrow
        self._narrow = narrow
        self._first = first
        self._widest = widest
        self._sorted_by = sorted_by
        self._quiet = False
        self._only_name = ""
        self._only: Callable[[str, Row], bool] | None = None
        self._selected: tuple[str, ...] = ()
        self._sized: tuple[object, ...] = ()
        self.grid = _Grid(self)
        self._dress_grid(name)
        self.filter_line = QLineEdit(self)
        self.filter_line.setPlaceholderText("Filter: words that must stand in the row")
        self.filter_line.setClearButtonEnabled(True)
        self.filter_line.setAccessibleName(f"Filter {name}")
        self._delay = QTimer(self)
        self._delay.setSingleShot(True)
        self._delay.setInterval(FILTER_AFTER_MS)
        self._delay.timeout.connect(self._filter)
        self.filter_line.textChanged.connect(self._delay.start)
        self._only_button = QToolButton(self)
        self._only_button.setToolTip("Show all rows again")
        self._only_button.clicked.connect(lambda: self.show_only("", None))
        self._only_button.hide()
        self._count = QLabel(self)
        self._count.setProperty("role", "soft")
        self._copy = QToolButton(self)
        self._copy.setText("Copy")
        self._copy.setToolTip("Copy the selected rows, or all, for a spreadsheet (Ctrl+C)")
        self._copy.clicked.connect(self.copy)
        self._lay_out()

    def _dress_grid(self, name: str) -> None:
        grid = self.grid
        grid.setModel(self.model)
        grid.setAccessibleName(name)
        grid.setFont(look.figures_font())
        grid.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        grid.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        grid.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        grid.setAlternatingRowColors(True)
        grid.setShowGrid(False)
        grid.setWordWrap(False)
        grid.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        grid.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        grid.setTabKeyNavigation(False)
        grid.setCornerButtonEnabled(False)
        rows = grid.verticalHeader()
        rows.hide()
        rows.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        rows.setDefaultSectionSize(look.em(1.75))
        head = grid.horizontalHeader()
        head.setSectionsClickable(True)
        head.setSectionsMovable(True)
        head.setHighlightSections(False)
        head.setStretchLastSection(not self._widest)
        head.setSortIndicatorShown(True)
        head.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        head.setSortIndicatorClearable(True)
        head.sortIndicatorChanged.connect(self._sort)
        grid.selectionModel().selectionChanged.connect(self._selection_changed)
        grid.doubleClicked.connect(self._opened)
        grid.opened.connect(lambda: self._opened(grid.currentIndex()))
        grid.copied.connect(self.copy)
        grid.pasted.connect(lambda: self.rows_pasted.emit(self.rows_to_fill()))
        grid.resized.connect(self._widen)

    def _lay_out(self) -> None:
        bar = QHBoxLayout()
        bar.setContentsMargins(look.em(0.5), look.em(0.25), look.em(0.5), look.em(0.25))
        bar.setSpacing(look.em(0.5))
        bar.addWidget(self.filter_line, 2)
        bar.addWidget(self._only_button)
        bar.addStretch(1)
        bar.addWidget(self._count)
        bar.addWidget(self._copy)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(bar)
        column.addWidget(self.grid, 1)

    # --- what it shows ------------------------------------------------------------------

    def show_table(self, table: Table) -> None:
        """Show a table from nothing, keeping sorting, filter and selection."""
        self._quiet = True
        self.model.set_table(table)
        self._quiet = False
        if self._sized != table.columns:
            self._sized = table.columns
            self._size_columns()
            self._arrange_columns()
            self.grid.horizontalHeader().setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
            if self._sorted_by:
                self.sort_by(self._sorted_by)
        self._tell_count()
        self.select_things(self._selected, again=True)

    def rows_changed(self) -> None:
        """Rows were changed one by one: selection and count follow."""
        self._tell_count()
        self._show_selection(scroll=False)

    def _arrange_columns(self) -> None:
        """What one looks for first stands first; the order for export stays as it is."""
        head = self.grid.horizontalHeader()
        for place in range(head.count()):
            head.moveSection(head.visualIndex(place), place)
        for place, key in enumerate(self._first):
            index = self.model.column_index(key)
            if index is not None:
                head.moveSection(head.visualIndex(index), place)

    def _size_columns(self) -> None:
        metrics = self.grid.fontMetrics()
        most = look.em(NARROW_EM if self._widest else WIDEST_EM)
        for index, column in enumerate(self.model.columns):
            heading = str(self.model.headerData(index, Qt.Orientation.Horizontal))
            head = max(metrics.horizontalAdvance(line) for line in heading.split("\n"))
            cells = column.width * metrics.averageCharWidth() + look.em(1)
            if self._narrow:
                cells = min(cells, self._widest_cell(index) + look.em(CELL_ROOM_EM))
            wide = max(head + look.em(HEAD_ROOM_EM), cells)
            self.grid.setColumnWidth(index, min(wide, most))
        self._widen()

    def _widest_cell(self, index: int) -> int:
        metrics = self.grid.fontMetrics()
        shown = range(min(self.model.rowCount(), ROWS_MEASURED))
        texts = (self.model.text(slot, index) for slot in shown)
        return max((metrics.horizontalAdvance(text) for text in texts), default=0)

    def _widen(self) -> None:
        """Give the column with the words the room that the others leave."""
        index = self.model.column_index(self._widest) if self._widest else None
        if index is None:
            return
        others = sum(
            self.grid.columnWidth(i) for i in range(self.model.columnCount()) if i != index
        )
        room = self.grid.viewport().width() - others
        self.grid.setColumnWidth(index, max(room, look.em(LEAST_WORDS_EM)))

    def _tell_count(self) -> None:
        shown, every = self.model.rowCount(), self.model.count_of_all
        text = counted(every, "row") if shown == every else f"{shown:,} of {counted(every, 'row')}"
        self._count.setText(text)

    def _sort(self, column: int, order: Qt.SortOrder) -> None:
        self._quiet = True
        self.model.sort(column, order)
        self._quiet = False
        self._show_selection(scroll=True)

    def sort_by(self, key: str, *, descending: bool = False) -> None:
        """Sort by a column, as its heading would."""
        index = self.model.column_index(key)
        if index is not None:
            order = Qt.SortOrder.DescendingOrder if descending else Qt.SortOrder.AscendingOrder
            self.grid.horizontalHeader().setSortIndicator(index, order)

    # --- filter -------------------------------------------------------------------------

    def show_only(self, name: str, only: Callable[[str, Row], bool] | None) -> None:
        """Let through only some rows; the name stands on a button that ends it."""
        self._only_name, self._only = name, only
        self._only_button.setVisible(only is not None)
        self._only_button.setText(f"only {name}  ×")
        self._filter()

    def show_seen(self, sees: Callable[[tuple[str, ...]], bool] | None) -> None:
        """Let through only rows whose things are in sight; None: all."""
        self._quiet = True
        self.model.set_seen(sees)
        self._quiet = False
        self._tell_count()
        self._show_selection(scroll=False)

    def _filter(self) -> None:
        self._quiet = True
        self.model.set_filter(self.filter_line.text(), self._only)
        self._quiet = False
        self._tell_count()
        self._show_selection(scroll=False)

    # --- selection ----------------------------------------------------------------------

    def select_things(self, ids: Iterable[str], *, again: bool = False) -> None:
        """Show which rows speak of the selected things."""
        wanted = tuple(ids)
        if wanted == self._selected and not again:
            return
        self._selected = wanted
        self._show_selection(scroll=True)

    def _show_selection(self, *, scroll: bool) -> None:
        slots = self.model.slots_of_things(self._selected)
        last = self.model.columnCount() - 1
        selection = QItemSelection()
        for first, final in _stretches(slots):
            selection.select(self.model.index(first, 0), self.model.index(final, last))
        self._quiet = True
        chosen = self.grid.selectionModel()
        chosen.select(selection, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        if slots:
            current = self.grid.currentIndex().row()
            if current not in slots:
                flag = QItemSelectionModel.SelectionFlag.NoUpdate
                chosen.setCurrentIndex(self.model.index(slots[0], 0), flag)
            if scroll and self.isVisible():
                self.grid.scrollTo(self.model.index(slots[0], 0))
        self._quiet = False

    def selected_slots(self) -> list[int]:
        """The slots that are selected, from the top."""
        return sorted(i.row() for i in self.grid.selectionModel().selectedRows())

    def _selection_changed(self, *_: object) -> None:
        if self._quiet:
            return
        ids = dict.fromkeys(
            t for slot in self.selected_slots() for t in self.model.things_of(slot)[:1]
        )
        self._selected = tuple(ids)
        self.things_selected.emit(self._selected)
        current = self.grid.currentIndex()
        if current.isValid():
            self.row_chosen.emit(self.model.things_of(current.row()))

    def rows_to_fill(self) -> tuple[str, ...]:
        """The ids of the rows that a pasted column goes to, from the top."""
        slots = self.selected_slots()
        if len(slots) < 2:
            slots = list(range(slots[0] if slots else 0, self.model.rowCount()))
        return tuple(self.model.row_id(slot) for slot in slots)

    def _opened(self, index: QModelIndex) -> None:
        if index.isValid():
            self.things_opened.emit(self.model.things_of(index.row()))
            self.row_opened.emit(self.model.row_id(index.row()))

    def copy(self) -> None:
        """Put the selected rows, or all of them, on the clipboard."""
        slots = self.selected_slots() or list(range(self.model.rowCount()))
        head = self.grid.horizontalHeader()
        columns = [head.logicalIndex(place) for place in range(self.model.columnCount())]
        QGuiApplication.clipboard().setText(self.model.as_text(slots, columns))
        self.message.emit(f"{counted(len(slots), 'row')} copied.")


def _stretches(numbers: list[int]) -> list[tuple[int, int]]:
    """[1, 2, 3, 7] -> [(1, 3), (7, 7)]."""
    found: list[tuple[int, int]] = []
    for number in numbers:
        if found and found[-1][1] == number - 1:
            found[-1] = (found[-1][0], number)
        else:
            found.append((number, number))
    return found
