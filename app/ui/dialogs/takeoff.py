"""The takeoff on the screen, part by part, and where it is to be written."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QMenu, QTabWidget, QToolButton, QWidget

from app.sheets.table import Table
from app.sheets.takeoff_tables import takeoff_tables
from app.standards import RuleSet
from app.takeoff.takeoff import take_off
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import words
from app.ui.session import Session
from app.ui.tables.view import TableView

WORKBOOK = "Workbook (*.xlsx)"
ORDER = "The order alone, as CSV (*.csv)"


def tables_of(design: Any, rules: RuleSet) -> Sequence[Table]:
    """The tables of the takeoff, in any thread."""
    return takeoff_tables(design, take_off(design, rules=rules))


def warning_words(tables: Sequence[Table]) -> str:
    """What must be known before the quantities are used; empty where nothing is wrong."""
    said = next((t.warning for t in tables if t.warning), "")
    return f"Before you order: {said}" if said else ""


class TakeoffDialog(Dialog):
    """Tables of the takeoff as it stands now; `path` is where it is to be written."""

    def __init__(
        self, tables: Sequence[Table], session: Session, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "Takeoff",
            "New things only. Cable is counted by whole boxes: a run cannot be joined from two "
            "leftovers.",
            parent,
            wide=96,
            high=44,
        )
        self._session = session
        self.path: Path | None = None
        self.warning = words(warning_words(tables), "warn", self)
        self.warning.setVisible(bool(self.warning.text()))
        self.column.addWidget(self.warning)
        self.tabs = QTabWidget(self)
        self.tabs.setUsesScrollButtons(True)
        self.tabs.setElideMode(Qt.TextElideMode.ElideNone)
        every = QToolButton(self)
        every.setText("All parts")
        every.setToolTip("Choose a part of the takeoff by its name")
        every.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(every)
        every.setMenu(menu)
        self.tabs.setCornerWidget(every)
        for table in tables:
            view = TableView(table.title, self, narrow=True)
            view.show_table(table)
            index = self.tabs.addTab(view, table.title)
            action = menu.addAction(table.title)
            action.triggered.connect(lambda _=False, i=index: self.tabs.setCurrentIndex(i))
        self.column.addWidget(self.tabs, 1)
        folder = self.buttons.addButton("Write CSV files …", self.buttons.ButtonRole.ActionRole)
        folder.clicked.connect(self._ask_folder)
        self.finish("Write …", cancel="Close")

    def accept(self) -> None:
        name = self._session.project.site.name or "takeoff"
        chosen, sort = QFileDialog.getSaveFileName(
            self, "Write the takeoff", f"{name}.xlsx", f"{WORKBOOK};;{ORDER}"
        )
        if not chosen:
            return
        path = Path(chosen)
        if path.suffix.lower() not in (".xlsx", ".csv"):
            path = path.with_name(path.name + (".csv" if sort == ORDER else ".xlsx"))
        self.path = path
        super().accept()

    def _ask_folder(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, "Write one CSV a part into a folder")
        if chosen:
            self.path = Path(chosen)
            super().accept()
