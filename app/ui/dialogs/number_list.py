"""Numbers of an existing building from a list: pasted, looked at line by line, then set."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QPlainTextEdit,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.editor.asking import InputProblem
from app.editor.commands.pasted_cables import pasted_cables
from app.editor.commands.pasted_numbers import Pasted, PastedLine, pasted_numbers
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import set_role, words
from app.ui.session import Session
from app.ui.words import counted

LOOK_AFTER_MS = 150
MOST_SHOWN = 500
WIDE_EM = 76
HEADINGS = ("Line", "Now", "Becomes", "What of it")
OUTLETS_TOLD = (
    "Paste one column, for the outlets in the order of their table, or two: the old number and the "
    "new one. Tabs, semicolons, commas or wide gaps part them."
)
CABLES_TOLD = (
    "Paste one column of cable numbers or of panel ports such as 1B-A07, for the runs in the order "
    "of their table, or two: cable number and panel port."
)


def clipboard_text() -> str:
    """What is on the clipboard, as text."""
    return QGuiApplication.clipboard().text()


class NumberListDialog(Dialog):
    """What does not fit stays in the list after the rest was set, so that nothing is lost."""

    def __init__(
        self,
        session: Session,
        in_order: Sequence[str],
        parent: QWidget | None = None,
        *,
        text: str = "",
        cables: bool = False,
    ) -> None:
        """`in_order` are the outlets that a single column goes to; of `cables` their ports."""
        super().__init__(
            "Cable numbers from a list" if cables else "Numbers from a list",
            CABLES_TOLD if cables else OUTLETS_TOLD,
            parent,
            wide=WIDE_EM,
            high=40,
        )
        self._session = session
        self._in_order = tuple(in_order)
        self._reads = pasted_cables if cables else pasted_numbers
        self.pasted: Pasted | None = None
        self.text = QPlainTextEdit(self)
        self.text.setAccessibleName("List of numbers")
        self.text.setPlaceholderText("0-101\tA-01\n0-102\tA-02")
        self.text.setTabChangesFocus(False)
        self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.text.setFont(look.figures_font())
        self.lines = QTableWidget(0, len(HEADINGS), self)
        self._dress_lines()
        split = QSplitter(Qt.Orientation.Horizontal, self)
        split.setChildrenCollapsible(False)
        split.addWidget(self.text)
        split.addWidget(self.lines)
        split.setSizes([look.em(18), look.em(WIDE_EM - 20)])
        self.column.addWidget(split, 1)
        self._said = words("", "soft", self)
        self.column.addWidget(self._said)
        self._verb = self.finish("Set the numbers", cancel="Close")
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(LOOK_AFTER_MS)
        self._later.timeout.connect(self.look)
        self.text.textChanged.connect(self._later.start)
        self.text.setPlainText(text)
        self.look()

    def _dress_lines(self) -> None:
        lines = self.lines
        lines.setAccessibleName("What becomes of each line")
        lines.setHorizontalHeaderLabels(list(HEADINGS))
        lines.verticalHeader().hide()
        lines.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        lines.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        lines.setShowGrid(False)
        lines.setWordWrap(True)
        head = lines.horizontalHeader()
        head.setHighlightSections(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        head.setStretchLastSection(True)
        for index, wide in enumerate((3.5, 13.5, 9)):
            lines.setColumnWidth(index, look.em(wide))

    def look(self) -> None:
        """See what of the text fits now."""
        self._later.stop()
        session = self._session
        try:
            self.pasted = self._reads(
                session.project,
                self.text.toPlainText(),
                in_order=self._in_order,
                retired=session.document.retired_numbers,
            )
        except InputProblem as problem:
            self.pasted = None
            self._said.setText(str(problem))
        self._show()

    def _show(self) -> None:
        pasted = self.pasted
        every = () if pasted is None else pasted.lines
        shown = sorted(every, key=lambda line: (not line.problem, line.line))[:MOST_SHOWN]
        self.lines.setRowCount(len(shown))
        for row, line in enumerate(shown):
            for index, text in enumerate(self._cells(line)):
                item = QTableWidgetItem(text)
                item.setToolTip(text)
                self.lines.setItem(row, index, item)
        self.lines.resizeRowsToContents()
        fit = sum(line.fits and not line.same for line in every)
        if self._verb is not None:
            self._verb.setText(f"Set {counted(fit, 'number')}" if fit else "Set the numbers")
            self._verb.setEnabled(fit > 0)
        if pasted is None:
            set_role(self._said, "soft")
            return
        same, misfits = sum(line.same and line.fits for line in every), len(pasted.misfits)
        parts = [f"{counted(fit, 'line')} {'fits' if fit == 1 else 'fit'}"]
        parts += [f"{counted(same, 'line')} change nothing"] if same else []
        if misfits:
            verbs = "does not fit and stays" if misfits == 1 else "do not fit and stay"
            parts.append(f"{counted(misfits, 'line')} {verbs} in the list")
        more = (
            f" Shown are {MOST_SHOWN} lines of {len(every):,}." if len(every) > MOST_SHOWN else ""
        )
        set_role(self._said, "" if misfits else "soft")
        self._said.setText(f"{'; '.join(parts)}.{more}")

    def _cells(self, line: PastedLine) -> tuple[str, str, str, str]:
        project = self._session.project
        outlet = None if line.outlet is None else project.outlets.get(line.outlet)
        now = line.now or ("" if outlet is None else outlet.number or "no number")
        told = line.problem or ("as it is" if line.same else "fits")
        return str(line.line), now, line.new, told

    def accept(self) -> None:
        """Set what fits; go on with what does not."""
        self.look()
        pasted = self.pasted
        if pasted is None or pasted.patch is None or not self._session.commit(pasted.patch):
            return
        left = pasted.left
        done = f"{pasted.patch.label}."
        self._session.message.emit(done)
        if not left:
            super().accept()
            return
        self.text.setPlainText(left)
        self.look()
