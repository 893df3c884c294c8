"""A finding opened: what, where, on whose authority, what would cure it, and waiving it."""

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFormLayout, QLineEdit, QWidget

from app.checks.finding import Finding, Severity
from app.editor.commands.records import unwaive_finding, waive_finding
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import heading, link, set_role, words
from app.ui.session import Session
from app.ui.words import name_of

MOST_THINGS = 12
WEIGHT = {
    Severity.FAIL: ("This fails the check.", "fail"),
    Severity.WARN: ("A warning.", "warn"),
    Severity.NOTE: ("A note.", "soft"),
}
EVIDENCE = {
    "published": "seen in the published source",
    "memory": "from memory, to be verified",
    "practice": "common practice of the trade",
    "house": "a rule of the house",
    "project": "a setting of this project",
}


class FindingDialog(Dialog):
    """One finding in full."""

    thing_asked = Signal(str)

    def __init__(
        self,
        finding: Finding,
        session: Session,
        parent: QWidget | None = None,
        *,
        cure: str = "",
    ) -> None:
        super().__init__("Finding", "", parent, wide=44)
        self._finding, self._session = finding, session
        said, role = WEIGHT[finding.severity]
        text = words(finding.text, "", self)
        text.setFont(look.title_font(1.15, bold=False))
        self.column.addWidget(text)
        weight = words(said, "", self)
        set_role(weight, role)
        self.column.addWidget(weight)
        if finding.clause:
            evidence = EVIDENCE.get(finding.evidence, finding.evidence)
            self.column.addWidget(words(f"{finding.clause}; {evidence}.", "soft", self))
        if cure:
            self.column.addWidget(heading("What would cure it", self))
            self.column.addWidget(words(cure, "", self))
        self._add_things()
        self._add_waiver()
        self.column.addStretch(1)
        self.finish(cancel="Close")

    def _add_things(self) -> None:
        project = self._session.project
        things = [i for i in self._finding.things if project.get(i) is not None]
        if not things:
            return
        self.column.addWidget(heading("Go to", self))
        for thing in things[:MOST_THINGS]:
            button = link(name_of(project, thing), self)
            button.clicked.connect(lambda _=False, t=thing: self._go(t))
            self.column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        if len(things) > MOST_THINGS:
            more = len(things) - MOST_THINGS
            self.column.addWidget(words(f"and {more} more", "soft", self))

    def _go(self, thing: str) -> None:
        self.thing_asked.emit(thing)
        self.accept()

    def _add_waiver(self) -> None:
        project = self._session.project
        standing = next(
            (w for w in project.waivers.values() if w.finding == self._finding.key), None
        )
        self.column.addWidget(heading("Answering for it", self))
        if standing is not None:
            when = f" on {standing.date}" if standing.date else ""
            self.column.addWidget(
                words(f"Waived by {standing.by}{when}: {standing.reason}", "", self)
            )
            back = link("Let it speak again", self)
            back.clicked.connect(self._unwaive)
            self.column.addWidget(back, 0, Qt.AlignmentFlag.AlignLeft)
            return
        form = QFormLayout()
        self._reason = QLineEdit(self)
        self._reason.setPlaceholderText("Why it may stay as it is")
        self._by = QLineEdit(project.settings.author, self)
        self._by.setPlaceholderText("Who answers for it")
        form.addRow("&Reason", self._reason)
        form.addRow("&Name", self._by)
        self.column.addLayout(form)
        button = link("Waive this finding", self)
        button.clicked.connect(self._waive)
        self.column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def _waive(self) -> None:
        session, key = self._session, self._finding.key
        reason, by = self._reason.text(), self._by.text()
        today = date.today().isoformat()
        if session.do(
            lambda: waive_finding(session.project, key, reason=reason, by=by, date=today)
        ):
            self.accept()

    def _unwaive(self) -> None:
        session, key = self._session, self._finding.key
        if session.do(lambda: unwaive_finding(session.project, key)):
            self.accept()
