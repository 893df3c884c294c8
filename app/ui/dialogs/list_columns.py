"""The first rows of a client's list, with a choice over each column of what it says."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.editor.room_lists.headings import FIELDS, LEFT_OUT
from app.editor.room_lists.made_out import MadeOut
from app.model.project import Project
from app.storage.list_rows import ListFile
from app.ui import look
from app.ui.panel.pieces import link

ROWS_SHOWN = 9
MEANS_ROW, LIKELY_ROW, FIRST_ROW = 0, 1, 2
COLUMN_EM = 12.5


def means_word(project: Project, means: str) -> str:
    """What a column says, in words."""
    kind = project.outlet_kinds.get(means)
    return kind.name if kind is not None else FIELDS.get(means, means)


class ListColumns(QTableWidget):
    """A choice a column, what it may be where nothing is sure, and the rows as they are read."""

    matched = Signal()
    """A person has matched a column otherwise."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._project = project
        self._choices: list[QComboBox] = []
        self.setAccessibleName("Columns of the list")
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setMinimumSectionSize(look.em(6))
        self.verticalHeader().setSectionsClickable(False)

    def show_list(self, read: ListFile, made: MadeOut) -> None:
        """Show a list as it is made out."""
        self.clear()
        self._choices = []
        body = [r for r in read.rows if r.line > made.how.heading_line][:ROWS_SHOWN]
        columns = read.columns
        self.setColumnCount(columns)
        self.setRowCount(FIRST_ROW + len(body))
        self.setVerticalHeaderLabels(["is", "", *(str(r.line) for r in body)])
        self.setHorizontalHeaderLabels(
            [made.headings[c] or f"column {c + 1}" for c in range(columns)]
        )
        any_likely = False
        for c in range(columns):
            likely = made.guesses[c].likely if not made.how.columns[c] else ()
            self._add_choice(c, made.how.columns[c], made.headings[c])
            any_likely |= self._add_likely(c, likely)
            for r, row in enumerate(body, start=FIRST_ROW):
                self.setItem(r, c, QTableWidgetItem(row.cell(c)))
            self.setColumnWidth(c, look.em(COLUMN_EM))
        self.setRowHidden(LIKELY_ROW, not any_likely)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setDefaultSectionSize(look.em(1.7))
        self.setRowHeight(MEANS_ROW, look.em(2.3))
        self.setRowHeight(LIKELY_ROW, look.em(2.0))

    def _add_choice(self, column: int, means: str, heading: str) -> None:
        choice = QComboBox(self)
        choice.setAccessibleName(f"What “{heading or column + 1}” says")
        choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        choice.setMinimumContentsLength(6)
        choice.addItem("not read", LEFT_OUT)
        for field, name in FIELDS.items():
            choice.addItem(name, field)
        choice.insertSeparator(choice.count())
        for kind in self._project.outlet_kinds.values():
            choice.addItem(f"Number of: {kind.name}", kind.id)
        choice.setCurrentIndex(max(0, choice.findData(means)))
        choice.activated.connect(lambda _=0, c=column: self._chosen(c))
        self._choices.append(choice)
        self.setCellWidget(MEANS_ROW, column, choice)

    def _add_likely(self, column: int, likely: Sequence[str]) -> bool:
        """Offer what a column may say, and never take it by itself."""
        if not likely:
            return False
        name = means_word(self._project, likely[0])
        offer = link(f"{name}?", self)
        more = ", ".join(means_word(self._project, means) for means in likely[1:4])
        also = f" It may also be: {more}." if more else ""
        offer.setToolTip(f"Read this column as {name}.{also}")
        offer.clicked.connect(lambda _=False, c=column, m=likely[0]: self.match(c, m))
        self.setCellWidget(LIKELY_ROW, column, offer)
        return True

    def choice(self, column: int) -> QComboBox:
        """The choice over a column."""
        return self._choices[column]

    def match(self, column: int, means: str) -> None:
        """Let a column say this."""
        choice = self._choices[column]
        choice.setCurrentIndex(max(0, choice.findData(means)))
        self._chosen(column)

    def _chosen(self, column: int) -> None:
        """A meaning belongs to one column: another that had it is not read any more."""
        means = self._choices[column].currentData()
        for other, choice in enumerate(self._choices):
            if means and other != column and choice.currentData() == means:
                choice.setCurrentIndex(0)
        self.removeCellWidget(LIKELY_ROW, column)
        self.matched.emit()

    def columns_matched(self) -> tuple[str, ...]:
        """What each column says now."""
        return tuple(str(choice.currentData() or LEFT_OUT) for choice in self._choices)
