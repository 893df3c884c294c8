"""The takeoff on the screen, part by part, and where it is to be written."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QFileDialog, QTabWidget, QWidget

from app.model.vocabulary import ScaledBy
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
            wide=76,
            high=44,
        )
        self._session = session
        self.path: Path | None = None
        self.tabs = QTabWidget(self)
        design = session.design
        for table in tables:
            view = TableView(table.title, self)
            view.show_table(table)
            self.tabs.addTab(view, table.title)
        self.column.addWidget(self.tabs, 1)
        failing = [f for f in design.findings if f.severity.name == "FAIL" and not f.waived]
        if failing:
            text = f"{len(failing)} findings fail the check; the quantities hold all the same."
            self.column.addWidget(words(text, "warn", self))
        unscaled = [
            p.name for p in session.project.plans.values() if p.scaled_by is ScaledBy.NOT_SCALED
        ]
        if unscaled:
            text = f"Not scaled: {', '.join(unscaled)}. Lengths on these plans mean nothing yet."
            self.column.addWidget(words(text, "warn", self))
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
