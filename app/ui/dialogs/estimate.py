"""A first count: what goes where is typed, and what was understood stands beside it."""

from msgspec.structs import replace
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QPlainTextEdit, QScrollArea, QWidget

from app.editor.asking import InputProblem
from app.editor.commands.estimating import Estimate, estimate
from app.editor.commands.outlets import NEW, Standing
from app.editor.commands.spreading import DoorsIn, no_doors
from app.editor.room_lists.typed_counts import EXAMPLE, Understood, understand
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import clear, words
from app.ui.session import Session
from app.ui.words import counted

LOOK_AFTER_MS = 120
MOST_KINDS = 8
KIND_EM = 18


class EstimateDialog(Dialog):
    """Counts typed in words; the kinds that a word may mean can be chosen from."""

    def __init__(
        self,
        session: Session,
        floor_id: str | None,
        parent: QWidget | None = None,
        *,
        pattern: str | None = None,
        standing: Standing = NEW,
        doors_in: DoorsIn = no_doors,
    ) -> None:
        super().__init__(
            "Type a first count",
            "Outlets are spread along the walls of their room, floor boxes and ceilings in rows, "
            "to be moved later. A room that is not drawn yet only gets what is asked for.",
            parent,
            wide=58,
            high=40,
        )
        self._session = session
        self._floor_id = floor_id
        self._pattern = pattern
        self._standing = standing
        self._doors_in = doors_in
        self._chosen: dict[str, str] = {}
        self.made: Estimate | None = None
        self.text = QPlainTextEdit(self)
        self.text.setAccessibleName("What goes where")
        self.text.setPlaceholderText(EXAMPLE)
        self.text.setTabChangesFocus(True)
        self.text.setMaximumHeight(look.em(8))
        self.column.addWidget(self.text)
        holder = QWidget(self)
        self._rows = QGridLayout(holder)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setColumnStretch(2, 1)
        self._rows.setHorizontalSpacing(look.em(0.6))
        area = QScrollArea(self)
        area.setWidget(holder)
        area.setWidgetResizable(True)
        self.column.addWidget(area, 1)
        self._sum = words("", "heading", self)
        self.column.addWidget(self._sum)
        self._verb = self.finish("Spread")
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(LOOK_AFTER_MS)
        self._later.timeout.connect(self.look_again)
        self.text.textChanged.connect(self._later.start)
        self.look_again()
        self.text.setFocus()

    def understood(self) -> list[Understood]:
        """What is typed, with the kinds that were chosen for words that may mean several."""
        found = understand(self._session.project, self.text.toPlainText(), floor_id=self._floor_id)
        return [
            replace(u, kind=self._chosen[u.text]) if self._chosen.get(u.text) in u.likely else u
            for u in found
        ]

    def look_again(self) -> None:
        """Show what is understood now."""
        found = self.understood()
        clear(self._rows)
        for row, item in enumerate(found):
            self._add(row, item)
        self._rows.setRowStretch(len(found), 1)
        good = [u for u in found if not u.problem]
        here = sum(u.count for u in good if u.space is not None)
        waiting = sum(u.count for u in good if u.space is None)
        parts = [f"{counted(here, 'outlet')} to be spread"] if here else []
        if waiting:
            parts.append(f"{counted(waiting, 'outlet')} only asked for: no outline yet")
        self._sum.setText("; ".join(parts))
        if self._verb is not None:
            self._verb.setText("Spread" if here or not waiting else "Ask for them")
            self._verb.setEnabled(bool(found) and len(good) == len(found))

    def _add(self, row: int, item: Understood) -> None:
        if item.problem:
            self._rows.addWidget(words(item.problem, "fail", self), row, 0, 1, 3)
            return
        project = self._session.project
        count = QLabel(f"{item.count:,}", self)
        count.setFont(look.figures_font())
        count.setMinimumWidth(look.em(3))
        self._rows.addWidget(count, row, 0)
        kinds = project.outlet_kinds
        if item.is_sure or len(item.likely) == 1:
            name = QLabel(kinds[item.kind or ""].name, self)
            name.setMinimumWidth(look.em(KIND_EM))
            self._rows.addWidget(name, row, 1)
        else:
            self._rows.addWidget(self._kind_choice(item), row, 1)
        self._rows.addWidget(words(self._where(item), "", self), row, 2)

    def _kind_choice(self, item: Understood) -> QComboBox:
        choice = QComboBox(self)
        choice.setAccessibleName(f"Kind meant by “{item.text}”")
        choice.setFixedWidth(look.em(KIND_EM))
        for kind in item.likely[:MOST_KINDS]:
            choice.addItem(self._session.project.outlet_kinds[kind].name, kind)
        choice.setCurrentIndex(max(0, choice.findData(item.kind)))
        choice.activated.connect(lambda _=0, t=item.text, c=choice: self._choose(t, c))
        return choice

    def _choose(self, text: str, choice: QComboBox) -> None:
        self._chosen[text] = choice.currentData()

    def _where(self, item: Understood) -> str:
        project = self._session.project
        if item.space is not None:
            space = project.spaces[item.space]
            floor = project.floors[space.floor].name
            return f"in {space.number} {space.name}, floor {floor}".replace(" ,", ",")
        if item.line is not None:
            line = project.room_lines[item.line]
            return f"in {line.number} {line.name}: of the list, not drawn yet".replace("  ", " ")
        return f"in {item.room}: not drawn yet, and in no list"

    def accept(self) -> None:
        session = self._session
        try:
            made = estimate(
                session.project,
                self.understood(),
                pattern=self._pattern,
                standing=self._standing,
                doors_in=self._doors_in,
                retired=session.document.retired_numbers,
            )
        except InputProblem as problem:
            session.refuse(str(problem))
            return
        if session.commit(made.patch):
            self.made = made
            super().accept()
