"""The panels of a frame: which stand, which are new, for which cable, and how full they are."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QListWidgetItem, QSpinBox, QVBoxLayout

from app.editor.commands.panels import (
    MOST_AT_ONCE,
    add_panels,
    change_panel,
    remove_panel,
    runs_on_panels,
)
from app.model.entities import CableType, Frame, Panel
from app.model.project import Patch
from app.model.vocabulary import State
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.fields.form import Form
from app.ui.fields.spec import Field, Sort, choices, things_of
from app.ui.panel.pieces import link, words
from app.ui.session import Session
from app.ui.words import counted, word

PANEL = (
    Field(key="name", label="Name", sort=Sort.TEXT, tip="As its ports are called by: A, B, …"),
    Field(key="port_count", label="Ports", sort=Sort.COUNT, least=1, most=1_000, unit="ports"),
    Field(key="cable_type", label="Cable", sort=Sort.CHOICE, options=things_of(CableType)),
    Field(
        key="state",
        label="State",
        sort=Sort.CHOICE,
        options=choices(State.EXISTING, State.NEW, State.TO_REMOVE),
        tip="What stands is not ordered; what is new is",
    ),
)
NAME = Qt.ItemDataRole.UserRole


class PanelsDialog(Dialog):
    """Every change is one edit of the project and can be undone."""

    def __init__(self, session: Session, frame_id: str, parent: Any = None) -> None:
        frame = session.project.frames[frame_id]
        super().__init__(
            f"Panels of frame {frame.name}",
            "Enter the panels that stand; giving ports fills them first and names new ones after "
            "them. Ports are counted from 1.",
            parent,
            wide=58,
            high=34,
        )
        self._session, self._frame_id = session, frame_id
        self._filling = False
        self.items = QListWidget(self)
        self.items.setAccessibleName("Panels")
        self.items.currentItemChanged.connect(lambda *_: self._chosen())
        self.count = QSpinBox(self)
        self.count.setRange(1, MOST_AT_ONCE)
        self.count.setAccessibleName("How many panels to add")
        self.more = link("Add panels that stand", self)
        self.more.clicked.connect(self._add)
        self.away = link("Remove this panel", self)
        self.away.clicked.connect(self._remove)
        self.form = Form(PANEL, session.project, self)
        self.form.edited.connect(self._edited)
        self._used = words("", "soft", self)
        self._lay_out()
        self.finish(cancel="Close")
        session.changed.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        adding = QHBoxLayout()
        adding.addWidget(self.count)
        adding.addWidget(self.more)
        adding.addStretch(1)
        left = QVBoxLayout()
        left.addWidget(self.items, 1)
        left.addLayout(adding)
        right = QVBoxLayout()
        right.addWidget(self.form)
        right.addWidget(self._used)
        right.addWidget(self.away)
        right.addStretch(1)
        row = QHBoxLayout()
        row.setSpacing(look.em(1.2))
        row.addLayout(left, 3)
        row.addLayout(right, 2)
        self.column.addLayout(row, 1)

    @property
    def frame(self) -> Frame | None:
        return self._session.project.frames.get(self._frame_id)

    @property
    def panel(self) -> Panel | None:
        """The panel that is chosen."""
        item, frame = self.items.currentItem(), self.frame
        if item is None or frame is None:
            return None
        return next((p for p in frame.panels if p.name == item.data(NAME)), None)

    def refresh(self, *_: object) -> None:
        """Follow the project."""
        frame = self.frame
        if frame is None:
            self.reject()
            return
        row = self.items.currentRow()
        used = runs_on_panels(self._session.project, frame)
        self._filling = True
        self.items.clear()
        for panel in frame.panels:
            cable = self._session.project.cable_types[panel.cable_type].name
            free = panel.port_count - len(used.get(panel.name, ()))
            text = f"{panel.name}:  {panel.port_count} × {cable}, {word(panel.state)}, {free} free"
            item = QListWidgetItem(text)
            item.setData(NAME, panel.name)
            self.items.addItem(item)
        self._filling = False
        if self.items.count():
            self.items.setCurrentRow(min(max(row, 0), self.items.count() - 1))
        self._chosen()

    def _chosen(self) -> None:
        if self._filling:
            return
        panel, frame = self.panel, self.frame
        for widget in (self.form, self._used, self.away):
            widget.setVisible(panel is not None)
        if panel is None or frame is None:
            return
        self.form.show_things(self._session.project, [panel])
        ports = sorted(
            n for _, n in runs_on_panels(self._session.project, frame).get(panel.name, ())
        )
        taken = f"{counted(len(ports), 'run')} on it, up to port {ports[-1]}." if ports else ""
        self._used.setText(taken or "No run ends on it.")

    def _add(self) -> None:
        """Panels like the last one, or for the first cable type."""
        session, frame = self._session, self.frame
        if frame is None:
            return
        last = frame.panels[-1] if frame.panels else None
        cable = last.cable_type if last else next(iter(session.project.cable_types), "")
        session.do(
            lambda: add_panels(
                session.project,
                self._frame_id,
                cable_type=cable,
                count=self.count.value(),
                port_count=None if last is None else last.port_count,
            )
        )
        self.items.setCurrentRow(self.items.count() - 1)

    def _remove(self) -> None:
        panel = self.panel
        if panel is not None:
            self._do(lambda: remove_panel(self._session.project, self._frame_id, panel.name))

    def _edited(self, field: Field, value: Any) -> None:
        panel = self.panel
        if panel is not None:
            project, name = self._session.project, panel.name
            self._do(lambda: change_panel(project, self._frame_id, name, field.key, value))
            self._chosen()

    def _do(self, command: Callable[[], Patch]) -> None:
        self._session.do(command)
