"""The floor in view: its plans, and what stands on it."""

import msgspec
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QSizePolicy, QWidget

from app.model.entities import Floor, Plan
from app.model.project import changing
from app.model.vocabulary import ScaledBy
from app.ui.panel.pieces import clear, column, heading, link, words
from app.ui.session import Session
from app.ui.words import counted

COUNTED = (
    ("outlets", "outlet", None),
    ("frames", "frame", None),
    ("pathways", "pathway", None),
    ("spaces", "space", None),
    ("demarcations", "demarcation point", None),
    ("candidates", "frame place", None),
)


class FloorView(QWidget):
    """Plans with a box to show each, and counts."""

    thing_asked = Signal(str)
    import_asked = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        box = column(self)
        self._plans = QWidget(self)
        self._plan_rows = column(self._plans, gap=0.1)
        self._import = link("Import a plan for this floor …", self)
        self._import.clicked.connect(self.import_asked)
        self._counts = words("", "", self)
        for widget in (
            heading("Plans", self),
            self._plans,
            self._import,
            heading("On this floor", self),
            self._counts,
        ):
            box.addWidget(widget)
        self._shown: tuple[Plan, ...] = ()

    def show_floor(self, floor: Floor) -> None:
        """Show what belongs to the floor."""
        project = self._session.project
        plans = tuple(p for p in project.plans.values() if p.floor == floor.id)
        if plans != self._shown or not plans:
            self._shown = plans
            clear(self._plan_rows)
            for plan in plans:
                self._plan_rows.addWidget(self._plan_row(plan))
            if not plans:
                self._plan_rows.addWidget(words("None yet.", "soft", self._plans))
        lines = []
        for table, one, many in COUNTED:
            count = sum(1 for e in getattr(project, table).values() if e.floor == floor.id)
            if count or table in ("outlets", "frames", "pathways", "spaces"):
                lines.append(counted(count, one, many))
        ports = sum(len(o.ports) for o in project.outlets.values() if o.floor == floor.id)
        lines[0] += f" with {counted(ports, 'port')}"
        self._counts.setText("\n".join(lines))

    def _plan_row(self, plan: Plan) -> QWidget:
        holder = QWidget(self._plans)
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        box = QCheckBox(holder)
        box.setChecked(plan.visible)
        box.setToolTip("Show or hide this plan")
        box.setAccessibleName(f"Show {plan.name}")
        box.toggled.connect(lambda on, p=plan: self._set_visible(p, visible=on))
        name = link(plan.name, holder)
        name.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        name.setToolTip(f"{plan.source_name}: scale, layers, dimming")
        name.clicked.connect(lambda _=False, p=plan.id: self.thing_asked.emit(p))
        row.addWidget(box)
        row.addWidget(name, 1)
        if plan.scaled_by is ScaledBy.NOT_SCALED:
            warning = words("not scaled", "warn", holder)
            warning.setWordWrap(False)
            warning.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            row.addWidget(warning, 0, Qt.AlignmentFlag.AlignRight)
        return holder

    def _set_visible(self, plan: Plan, *, visible: bool) -> None:
        current = self._session.project.plans.get(plan.id)
        if current is None or current.visible == visible:
            return
        label = f"{'Show' if visible else 'Hide'} {plan.name}"
        after = msgspec.structs.replace(current, visible=visible)
        self._session.commit(changing(label, [(current, after)]))
