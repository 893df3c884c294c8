"""Penetrations proposed where pathways leave rooms and risers pass slabs, to be accepted."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QWidget,
)

from app.checks.cautions import CAUTIONS
from app.editor.commands.penetrations import accept_proposed, proposed
from app.model.entities import Penetration
from app.model.project import Project
from app.sheets.penetrations_table import rooms_joined, spaces_by_floor
from app.takeoff.opening_lines import opening_word
from app.ui.dialogs.dialog import Dialog
from app.ui.dialogs.which_floors import floors_but
from app.ui.panel.pieces import words
from app.ui.session import Session
from app.ui.words import counted, floor_phrase, floor_word, name_of

PLACE = Qt.ItemDataRole.UserRole
MINDED = ("fire_barriers", "coring", "asbestos")


def crossing_words(project: Project, opening: Penetration) -> str:
    """“Basket B-01 through the wall from 0.01 to 0.02 · floor 0 · Opening 350 × 110”."""
    one, other = rooms_joined(project, opening, spaces_by_floor(project))
    outside = "outside every room"
    rooms = f"from {one or outside} to {other or outside}"
    floor = floor_word(project.floors[opening.floor].name)
    through = name_of(project, opening.through or "")
    return f"{through} through the {opening.crossed} {rooms} · {floor} · {opening_word(opening)}"


class ProposedDialog(Dialog):
    """Every crossing without a penetration; those that are ticked are placed in one step."""

    def __init__(self, session: Session, floor_id: str | None, parent: QWidget | None) -> None:
        super().__init__(
            "Propose penetrations",
            "Where a pathway leaves a room, and where a riser passes a slab. None is proposed "
            "where one stands already.",
            parent,
            wide=54,
            high=36,
        )
        self._session = session
        project = session.project
        self.floor = QComboBox(self)
        self.floor.addItem("all floors", None)
        for known, name in floors_but(project, None):
            self.floor.addItem(name, known)
        self.floor.setCurrentIndex(max(0, self.floor.findData(floor_id)))
        self.rating = QLineEdit(self)
        self.rating.setPlaceholderText("as the fire plan gives it; empty where it has none")
        form = QFormLayout()
        form.addRow("&Floor", self.floor)
        form.addRow("&Rating of these", self.rating)
        self.column.addLayout(form)
        self.crossings = QListWidget(self)
        self.crossings.setAccessibleName("Crossings")
        self._ticks: list[QPushButton] = []
        self.column.addWidget(self.crossings, 1)
        self._nothing = words("", "", self)
        self.column.addWidget(self._nothing)
        self.column.addStretch()
        row = QHBoxLayout()
        for text, state in (
            ("Tick &all", Qt.CheckState.Checked),
            ("Tick &none", Qt.CheckState.Unchecked),
        ):
            button = QPushButton(text, self)
            button.clicked.connect(lambda _=False, s=state: self._tick(s))
            row.addWidget(button)
            self._ticks.append(button)
        self._count = words("", "soft", self)
        row.addWidget(self._count, 1)
        self.column.addLayout(row)
        minded = " ".join(c.text for c in CAUTIONS if c.key in MINDED)
        self.column.addWidget(words(minded, "soft", self))
        self._verb = self.finish("Place them")
        self._found: list[Penetration] = []
        self.floor.currentIndexChanged.connect(lambda _: self._look())
        self.crossings.itemChanged.connect(lambda _: self._tell())
        self.crossings.currentRowChanged.connect(self._point_out)
        self._look()

    def chosen(self) -> list[Penetration]:
        """The crossings that are ticked."""
        return [
            found
            for row, found in enumerate(self._found)
            if self.crossings.item(row).checkState() is Qt.CheckState.Checked
        ]

    def _look(self) -> None:
        project = self._session.project
        self._found = proposed(project, self.floor.currentData())
        self.crossings.blockSignals(True)
        self.crossings.clear()
        for opening in self._found:
            item = QListWidgetItem(crossing_words(project, opening))
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked)
            self.crossings.addItem(item)
        self.crossings.blockSignals(False)
        self._tell()

    def _tick(self, state: Qt.CheckState) -> None:
        for row in range(self.crossings.count()):
            self.crossings.item(row).setCheckState(state)

    def _tell(self) -> None:
        chosen, some = len(self.chosen()), bool(self._found)
        self._count.setText(f"{chosen} of {counted(len(self._found), 'crossing')}" if some else "")
        self._nothing.setText("" if some else self._why_none())
        self._nothing.setVisible(not some)
        self.crossings.setVisible(some)
        for widget in (*self._ticks, self.rating):
            widget.setEnabled(some)
        if self._verb is not None:
            self._verb.setEnabled(chosen > 0)

    def _why_none(self) -> str:
        """What an empty list would leave to be guessed."""
        project, floor = self._session.project, self.floor.currentData()
        where = "" if floor is None else f" on {floor_phrase(project.floors[floor].name)}"
        standing = sum(floor in (None, p.floor) for p in project.penetrations.values())
        if not standing:
            return f"No pathway leaves a room{where}, and no riser passes a slab."
        return (
            f"Every crossing of a wall or a slab{where} has its penetration already, "
            f"{standing:,} in all."
        )

    def _point_out(self, row: int) -> None:
        """What is passed there is selected on the plan behind."""
        if 0 <= row < len(self._found):
            self._session.select([self._found[row].through or ""])

    def accept(self) -> None:
        session = self._session
        if session.do(
            lambda: accept_proposed(
                session.project,
                self.chosen(),
                rating=self.rating.text().strip(),
                retired=session.document.retired_numbers,
            )
        ):
            super().accept()
