"""A plan in the panel: how it was scaled, its unit, and its layers."""

import msgspec
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QListWidget, QListWidgetItem, QWidget

from app.editor.commands.plans import remove_plan
from app.model.entities import Plan
from app.model.project import changing
from app.model.vocabulary import ScaledBy
from app.ui import look
from app.ui.panel.pieces import column, heading, link, set_role, words
from app.ui.session import Session
from app.ui.words import word


class PlanView(QWidget):
    """Scale and layers of one plan."""

    tool_asked = Signal(str)
    unit_asked = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._plan: Plan | None = None
        box = column(self)
        self._scale = words("", "", self)
        self._note = words("", "soft", self)
        buttons = QWidget(self)
        links = QGridLayout(buttons)
        links.setContentsMargins(0, 0, 0, 0)
        links.setVerticalSpacing(0)
        for place, (text, tool) in enumerate(
            (
                ("Calibrate on two points", "calibrate"),
                ("Correct the unit …", "unit"),
                ("Move it under the floor", "move_plan"),
                ("Turn it under the floor", "turn_plan"),
                ("Remove this plan", "remove"),
            )
        ):
            button = link(text, buttons)
            button.clicked.connect(lambda _=False, t=tool: self._asked(t))
            links.addWidget(button, place // 2, place % 2)
        self._layers = QListWidget(self)
        self._layers.setMinimumHeight(look.em(12))
        self._layers.itemChanged.connect(self._layer_changed)
        every = QWidget(self)
        every_row = QHBoxLayout(every)
        every_row.setContentsMargins(0, 0, 0, 0)
        for text, shown in (("Show all", True), ("Hide all", False)):
            button = link(text, every)
            button.clicked.connect(lambda _=False, s=shown: self._set_all(shown=s))
            every_row.addWidget(button)
        every_row.addStretch(1)
        for widget in (
            heading("Scale", self),
            self._scale,
            self._note,
            buttons,
            heading("Layers", self),
            every,
            self._layers,
        ):
            box.addWidget(widget)

    def _asked(self, tool: str) -> None:
        plan, session = self._plan, self._session
        if plan is None:
            return
        if tool == "unit":
            self.unit_asked.emit(plan.id)
        elif tool == "remove":
            session.do(lambda: remove_plan(session.project, plan.id))
        else:
            self.tool_asked.emit(tool)

    def show_plan(self, plan: Plan) -> None:
        """Show a plan; its layers come from its drawing."""
        same = self._plan is not None and self._plan.drawing_sha256 == plan.drawing_sha256
        self._plan = plan
        unscaled = plan.scaled_by is ScaledBy.NOT_SCALED
        self._scale.setText(
            "Not scaled: lengths on it mean nothing yet."
            if unscaled
            else f"One drawing unit is {plan.mm_per_unit:g} mm: {word(plan.scaled_by)}."
        )
        set_role(self._scale, "warn" if unscaled else "")
        self._note.setText(plan.scale_note)
        self._note.setVisible(bool(plan.scale_note))
        if not same:
            self._fill_layers(plan)
        self._layers.blockSignals(True)
        hidden = set(plan.hidden_layers)
        for index in range(self._layers.count()):
            item = self._layers.item(index)
            name = item.data(Qt.ItemDataRole.UserRole)
            item.setCheckState(Qt.CheckState.Unchecked if name in hidden else Qt.CheckState.Checked)
        self._layers.blockSignals(False)

    def _fill_layers(self, plan: Plan) -> None:
        self._layers.blockSignals(True)
        self._layers.clear()
        drawing = self._session.drawings(plan.drawing_sha256)
        for layer in drawing.layers if drawing is not None else ():
            item = QListWidgetItem(layer.name or "(no name)")
            item.setData(Qt.ItemDataRole.UserRole, layer.name)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            self._layers.addItem(item)
        self._layers.blockSignals(False)

    def _layer_changed(self, item: QListWidgetItem) -> None:
        if self._plan is None:
            return
        name = item.data(Qt.ItemDataRole.UserRole)
        hidden = [n for n in self._plan.hidden_layers if n != name]
        if item.checkState() is Qt.CheckState.Unchecked:
            hidden.append(name)
        self._hide(tuple(hidden))

    def _set_all(self, *, shown: bool) -> None:
        names = [
            self._layers.item(i).data(Qt.ItemDataRole.UserRole) for i in range(self._layers.count())
        ]
        self._hide(() if shown else tuple(names))

    def _hide(self, names: tuple[str, ...]) -> None:
        plan = self._plan
        if plan is None or plan.hidden_layers == names:
            return
        after = msgspec.structs.replace(plan, hidden_layers=names)
        label = f"Show or hide layers of {plan.name}"
        self._session.commit(changing(label, [(plan, after)]), merge=f"layers:{plan.id}")
