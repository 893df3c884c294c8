"""What the checks have to say of the one thing that is selected."""

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.checks.finding import Finding, Severity
from app.ui.panel.pieces import clear, column, heading, link, set_role, words

MOST_SHOWN = 6
ROLE = {Severity.FAIL: "fail", Severity.WARN: "warn", Severity.NOTE: "soft"}


class FindingsView(QWidget):
    """Each finding in its own words; opened, it says what would cure it."""

    finding_asked = Signal(str)
    """The key of a finding."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        box = column(self)
        box.addWidget(heading("Findings", self))
        self._holder = QWidget(self)
        self._rows = column(self._holder, gap=0.2)
        box.addWidget(self._holder)
        self._shown: tuple[Finding, ...] | None = None

    def show_thing(self, thing_id: str, design: Any) -> None:
        """Show the findings that speak of a thing, its own first; hidden where there are none."""
        every: tuple[Finding, ...] = () if design is None else design.findings
        naming = (f for f in every if thing_id in f.things and not f.waived)
        found = tuple(sorted(naming, key=lambda f: f.things[0] != thing_id))
        self.setVisible(bool(found))
        if found == self._shown:
            return
        self._shown = found
        clear(self._rows)
        for finding in found[:MOST_SHOWN]:
            self._rows.addWidget(self._row(finding))
        if len(found) > MOST_SHOWN:
            more = words(f"and {len(found) - MOST_SHOWN} more in the table", "soft", self._holder)
            self._rows.addWidget(more)

    def _row(self, finding: Finding) -> QWidget:
        holder = QWidget(self._holder)
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        said = words(finding.text, "", holder)
        set_role(said, ROLE[finding.severity])
        opened = link("Cure …", holder)
        opened.setToolTip("What would cure it, on whose authority, and answering for it")
        opened.clicked.connect(lambda _=False, k=finding.key: self.finding_asked.emit(k))
        row.addWidget(said, 1)
        row.addWidget(opened)
        return holder
