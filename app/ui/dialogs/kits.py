"""Kits: one made of the selection, and the list of all with a small picture each."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QPushButton,
    QWidget,
)

from app.editor.asking import InputProblem
from app.editor.commands.kits import (
    kit_things,
    make_kit,
    rename_kit,
    things_for_kit,
    usual_origin,
)
from app.editor.commands.moving import middle_of
from app.editor.commands.shapes import outline_points
from app.editor.wording import counted, name_of
from app.geometry.similarity import to_mm
from app.model.entities import Entity, Frame, Kit, Outlet, Point
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.dialogs.list_and_form import ListAndForm
from app.ui.fields.of_all import NAME, NOTE
from app.ui.fields.spec import Field
from app.ui.panel.pieces import words
from app.ui.pictures.things_picture import things_pixmap
from app.ui.session import Session
from app.ui.words import counted as counted_words

Origin = tuple[Point, int]
MOST_ORIGINS = 40
PICTURE_EM = (9.0, 6.0)


def origins_of(things: Sequence[Entity]) -> list[tuple[str, Origin]]:
    """The points by which a kit may be held, in words; the usual one first."""
    found: list[tuple[str, Origin]] = []
    for thing in things:
        if isinstance(thing, Outlet | Frame) and len(found) < MOST_ORIGINS:
            at = (thing.x_mm, thing.y_mm)
            found.append((f"{name_of(thing)}, along its wall", (at, thing.rotation_mdeg)))
    points = [p for t in things for p in outline_points(t)]
    corner = (min(x for x, _ in points), min(y for _, y in points))
    x, y = middle_of(things)
    found.append(("its lower left corner", (corner, 0)))
    found.append(("its middle", ((to_mm(x), to_mm(y)), 0)))
    return found


class MakeKitDialog(Dialog):
    """A name, the point by which the kit is held, and how it will look."""

    def __init__(self, session: Session, parent: QWidget | None) -> None:
        self._session = session
        self.things = things_for_kit(session.project, session.selection.ids)
        super().__init__(
            "Make a kit",
            f"Of {counted(self.things)}. Numbers, tests and lengths stay behind; who provides "
            "each is kept.",
            parent,
            wide=34,
        )
        self.name = QLineEdit(self)
        self.name.setPlaceholderText("door: controller, reader, strike")
        self.note = QLineEdit(self)
        self.origin = QComboBox(self)
        for label, origin in origins_of(self.things):
            self.origin.addItem(label, origin)
        form = QFormLayout()
        form.addRow("&Name", self.name)
        form.addRow("N&ote", self.note)
        form.addRow("&Held by", self.origin)
        self.column.addLayout(form)
        self._picture = words("", "", self)
        self._picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._picture.setFixedHeight(look.em(14))
        self.column.addWidget(self._picture)
        self._problem = words("", "over", self)
        self._problem.hide()
        self.column.addWidget(self._problem)
        self.origin.currentIndexChanged.connect(lambda _: self._show())
        self._show()
        self.finish("Make the kit")
        self.name.setFocus()

    @property
    def chosen_origin(self) -> Origin:
        """The point by which the kit is held, and the direction of its wall."""
        at, along = self.origin.currentData() or usual_origin(self.things)
        return (int(at[0]), int(at[1])), int(along)

    def _show(self) -> None:
        at, along = self.chosen_origin
        things = kit_things(self.things, at, along)
        size = QSize(look.em(28), look.em(14))
        ratio = self.devicePixelRatioF()
        self._picture.setPixmap(things_pixmap(self._session.project, things, size, ratio))

    def accept(self) -> None:
        session = self._session
        try:
            patch = make_kit(
                session.project,
                [t.id for t in self.things],
                name=self.name.text(),
                note=self.note.text(),
                origin=self.chosen_origin,
            )
        except InputProblem as problem:
            self._problem.setText(str(problem))
            self._problem.show()
            self.name.setFocus()
            return
        if session.commit(patch):
            super().accept()


class KitsDialog(ListAndForm):
    """All kits with their pictures; one is renamed, deleted, or taken in hand."""

    def __init__(self, session: Session, parent: QWidget | None) -> None:
        super().__init__(
            "Kits",
            "Things that belong together, stamped again and again with the tool Kit (G).",
            session,
            parent,
            entries=lambda: [(k.id, k.name, 0) for k in session.project.kits.values()],
            show_thing=self._show_kit,
            wide=52,
            high=32,
        )
        self.items.setIconSize(QSize(*(look.em(e) for e in PICTURE_EM)))
        self.items.setWordWrap(True)
        self.items.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.items.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self._form = self.form((NAME, NOTE))
        self._holds = words("", "soft", self)
        self.right.addWidget(self._holds)
        self.right.addStretch(1)
        self._none = words(
            "There is none yet: select some things, then Edit, Kits and copies, Make a kit.",
            "soft",
            self,
        )
        self.right.addWidget(self._none)
        row = QHBoxLayout()
        self._delete = QPushButton("Delete the kit", self)
        self._delete.clicked.connect(lambda _=False: self.delete_chosen())
        row.addWidget(self._delete)
        row.addStretch(1)
        self.right.addLayout(row)
        self._verb = self.finish("Stamp it", cancel="Close")
        self.refresh()

    def refresh(self) -> None:
        """The list with a picture of each, drawn with the symbols of the plan."""
        super().refresh()
        project = self.session.project
        size, ratio = self.items.iconSize(), self.devicePixelRatioF()
        for row in range(self.items.count()):
            item = self.items.item(row)
            kit = project.kits.get(str(item.data(Qt.ItemDataRole.UserRole)))
            if kit is not None:
                picture = things_pixmap(project, kit.things, size, ratio)
                icon = QIcon(picture)
                icon.addPixmap(picture, QIcon.Mode.Selected)
                item.setIcon(icon)
        some = bool(project.kits)
        self._form.setVisible(some)
        self._holds.setVisible(some)
        self._none.setVisible(not some)
        self._delete.setEnabled(some)
        if self._verb is not None:
            self._verb.setEnabled(some)

    def _show_kit(self, kit: Kit) -> None:
        self._form.show_things(self.session.project, [kit])
        holds = counted_words(len(kit.things), "thing")
        self._holds.setText(f"Holds {holds}: {counted(kit.things)}.")

    def set_field(self, field: Field, value: Any) -> None:
        """Another name or note of the chosen kit."""
        project, chosen = self.session.project, self.chosen_id
        kit = project.kits.get(chosen or "")
        if kit is None:
            return
        told = {"name": kit.name, "note": kit.note, field.key: str(value or "")}
        self.session.do(lambda: rename_kit(project, kit.id, name=told["name"], note=told["note"]))
        self.refresh()
