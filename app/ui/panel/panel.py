"""The one panel: what is selected, many things at once too, or the floor in view."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from app.editor.commands.ports import add_ports, remove_ports
from app.editor.document import Preview
from app.model.entities import (
    BackboneCable,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    OutletKind,
    Pathway,
    Penetration,
    Plan,
    Port,
    Riser,
    RoomLine,
    Space,
)
from app.ui import look
from app.ui.fields.editors import Editor
from app.ui.fields.form import Form
from app.ui.fields.of_outlets import PORTS_TOGETHER, port_fields
from app.ui.fields.of_things import shared_fields
from app.ui.fields.spec import Field, Sort, things_of
from app.ui.panel.backbone_view import BackboneView
from app.ui.panel.edits import edit_field
from app.ui.panel.findings_view import FindingsView
from app.ui.panel.floor_view import FloorView
from app.ui.panel.penetration_view import PenetrationView
from app.ui.panel.pieces import clear, column, heading, link, words
from app.ui.panel.plan_view import PlanView
from app.ui.panel.required_view import RequiredView
from app.ui.panel.room_views import LeftView, LineView
from app.ui.panel.run_view import RunView
from app.ui.panel.telling_view import TellingView
from app.ui.panel.thing_views import FillView, FrameView
from app.ui.panel.walked_view import WalkedView
from app.ui.panel.way_view import WayView
from app.ui.panel.where import where_of
from app.ui.session import Session
from app.ui.words import names_of

OUTLET_KIND = Field(key="kind", label="Kind", sort=Sort.CHOICE, options=things_of(OutletKind))


PREVIEW_AFTER_MS = 30


def _have_ports(things: Sequence[Entity]) -> bool:
    """Whether any of these is an outlet that has ports: what stands at a door may have none."""
    return any(isinstance(t, Outlet) and t.ports for t in things)


def _fill_room(view: QWidget, thing: Space | RoomLine) -> None:
    """What is asked for in a room, or by a line of a client's list."""
    if isinstance(view, RequiredView | LeftView) and isinstance(thing, Space):
        view.show_space(thing)
    elif isinstance(view, LineView) and isinstance(thing, RoomLine):
        view.show_line(thing)


class Panel(QWidget):
    """Title, fields, and what there is to say and show about the selection."""

    thing_asked = Signal(str)
    import_asked = Signal()
    tool_asked = Signal(str)
    unit_asked = Signal(str)
    finding_asked = Signal(str)
    room_asked = Signal(str)
    """“place” or “spread”: what is left to place in the selected room."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._floor_id: str | None = None
        self._port_id: str | None = None
        self._preview: Preview | None = None
        self._shape: tuple[object, ...] = ()
        self._forms: list[tuple[Form, str]] = []
        self._views: list[QWidget] = []
        self._content = QWidget(self)
        self._column = QVBoxLayout(self._content)
        self._column.setContentsMargins(look.em(0.9), look.em(0.7), look.em(0.9), look.em(0.7))
        self._column.setSpacing(look.em(0.4))
        area = QScrollArea(self)
        area.setWidget(self._content)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        outer = column(self)
        outer.addWidget(area)
        self.area = area
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(0)
        self._later.timeout.connect(self.refresh)
        self._preview_later = QTimer(self)
        self._preview_later.setSingleShot(True)
        self._preview_later.setInterval(PREVIEW_AFTER_MS)
        self._preview_later.timeout.connect(self._refresh_run)
        session.changed.connect(self._soon)
        session.selected.connect(self._soon)

    def _soon(self, _what: object = None) -> None:
        self._later.start()

    def show_floor(self, floor_id: str | None) -> None:
        """Another floor is in view."""
        self._floor_id = floor_id
        self._later.start()

    def show_port(self, port_id: str) -> None:
        """Show the run of this port when its outlet is selected."""
        self._port_id = port_id
        self._later.start()

    def show_preview(self, preview: Preview | None) -> None:
        """Show what letting go would make of the selected outlet; None: what stands."""
        self._preview = preview
        self._preview_later.start()

    def _refresh_run(self) -> None:
        """The run alone, for it changes with every move of the pointer."""
        things = self._things()
        if len(things) != 1 or not isinstance(things[0], Outlet):
            return
        for view in self._views:
            if isinstance(view, RunView):
                self._fill_run(view, things[0])
            elif isinstance(view, WayView):
                view.show_as(things[0], self._session.design, self._preview)

    def _fill_run(self, view: RunView, outlet: Outlet) -> None:
        preview = self._preview
        moved = None if preview is None else preview.project.outlets.get(outlet.id)
        if preview is None or moved is None:
            view.show_moving(moving=False)
            view.show_outlet(outlet, self._session.project, self._session.design)
        else:
            view.show_moving(moving=preview.project is not self._session.project)
            view.show_outlet(moved, preview.project, preview.design)

    def focus_first(self) -> None:
        """Give the keys to the first field."""
        for editor in self._content.findChildren(Editor):
            proxy = editor.focusProxy()
            if editor.isVisible() and proxy is not None and proxy.isEnabled():
                proxy.setFocus(Qt.FocusReason.ShortcutFocusReason)
                return

    # --- what is shown ------------------------------------------------------------------

    def _things(self) -> tuple[Entity, ...]:
        project = self._session.project
        chosen = (project.get(i) for i in self._session.selection.ids)
        things = tuple(t for t in chosen if t is not None)
        if things:
            return things
        floor = project.floors.get(self._floor_id or "")
        return () if floor is None else (floor,)

    def refresh(self) -> None:
        """Show what is selected now; widgets are made anew only for other kinds of things."""
        things = self._things()
        shape = self._shape_of(things)
        if shape != self._shape:
            self._shape = shape
            self._build(things)
        if not things:
            return
        self._title.setText(names_of(self._session.project, tuple(t.id for t in things)))
        self._subtitle.setText(where_of(things, self._session.project, self._session.design))
        for form, _ in self._forms:
            form.show_things(self._session.project, things)
        for view in self._views:
            self._fill(view, things)

    def _shape_of(self, things: tuple[Entity, ...]) -> tuple[object, ...]:
        """What decides which widgets are needed."""
        project = self._session.project
        named = tuple(
            tuple((i, e.name) for i, e in table.items())
            for table in (project.cable_types, project.outlet_kinds, project.frames, project.floors)
        )
        types = tuple(sorted({type(t).__name__ for t in things}))
        return (types, len(things) > 1, _have_ports(things), project.settings.units, named)

    def _chosen_port(self, things: tuple[Entity, ...]) -> str | None:
        if len(things) != 1 or not isinstance(things[0], Outlet) or not things[0].ports:
            return None
        ids = [p.id for p in things[0].ports]
        return self._port_id if self._port_id in ids else ids[0]

    def _build(self, things: tuple[Entity, ...]) -> None:
        clear(self._column)
        self._forms, self._views = [], []
        if not things:
            self._column.addWidget(words("No floor yet. Import a plan to begin.", "soft"))
            self._column.addStretch(1)
            return
        self._title = words("", "title", self._content)
        self._subtitle = words("", "soft", self._content)
        self._column.addWidget(self._title)
        self._column.addWidget(self._subtitle)
        types = {type(t) for t in things}
        one = things[0] if len(things) == 1 else None
        if types == {Outlet}:
            self._build_outlets(one, has_ports=_have_ports(things))
        else:
            self._add_views_above(one)
            self._add_findings(one)
            self._add_form(shared_fields(types), things)
            self._add_views_below(one)
        self._column.addStretch(1)

    def _add_findings(self, one: Entity | None) -> None:
        if one is not None and not isinstance(one, Floor | Plan):
            view = FindingsView(self._content)
            view.finding_asked.connect(self.finding_asked)
            self._add_view(view)

    def _build_outlets(self, one: Any, *, has_ports: bool) -> None:
        if one is not None:
            self._add_view(self._run_view())
            self._add_view(WayView(self._content))
            self._add_findings(one)
        self._column.addWidget(heading("Outlet" if one is not None else "Outlets"))
        self._add_form((OUTLET_KIND, *shared_fields({Outlet})), ())
        if not has_ports:
            return
        if one is None:
            self._column.addWidget(heading("All their ports"))
            self._add_form(PORTS_TOGETHER, ())
            self._add_telling()
            return
        self._port_heading = heading("Port", self._content)
        self._column.addWidget(self._port_heading)
        frames = {f.id: f.name for f in self._session.project.frames.values()}
        self._add_form(port_fields(self._port_of, frames), ())
        self._add_port_links()
        self._add_telling()

    def _add_telling(self) -> None:
        view = TellingView(self._session, self._content)
        view.tool_asked.connect(self.tool_asked)
        self._add_view(view)

    def _port_of(self, outlet: Outlet) -> Port:
        """The port of an outlet that is being looked at."""
        chosen = self._chosen_port((outlet,))
        return next(p for p in outlet.ports if p.id == chosen)

    def _add_port_links(self) -> None:
        more = link("Add a port", self._content)
        more.clicked.connect(self._add_port)
        away = link("Remove this port", self._content)
        away.clicked.connect(self._remove_port)
        self._column.addWidget(more)
        self._column.addWidget(away)

    def _add_port(self) -> None:
        session, ids = self._session, self._session.selection.ids
        session.do(lambda: add_ports(session.project, ids))

    def _remove_port(self) -> None:
        session, port = self._session, self._chosen_port(self._things())
        if port is not None:
            session.do(lambda: remove_ports(session.project, [port]))

    def _run_view(self) -> RunView:
        view = RunView(self._session.rules, self._content)
        view.asked.connect(self.thing_asked)
        view.port_chosen.connect(self.show_port)
        return view

    def _add_views_above(self, one: Entity | None) -> None:
        if isinstance(one, Pathway | Riser | OutdoorDuct):
            self._add_view(FillView(self._content))
        elif isinstance(one, Penetration):
            self._add_view(PenetrationView(self._content))
        elif isinstance(one, Frame):
            self._add_view(FrameView(self._content))
        elif isinstance(one, BackboneCable):
            view = BackboneView(self._content)
            view.asked.connect(self.thing_asked)
            self._add_view(view)
        elif isinstance(one, Space):
            left = LeftView(self._session, self._content)
            left.place_asked.connect(lambda: self.room_asked.emit("place"))
            left.spread_asked.connect(lambda: self.room_asked.emit("spread"))
            self._add_view(left)
        elif isinstance(one, RoomLine):
            self._add_view(LineView(self._session, self._content))
        elif isinstance(one, Plan):
            plan = PlanView(self._session, self._content)
            plan.tool_asked.connect(self.tool_asked)
            plan.unit_asked.connect(self.unit_asked)
            self._add_view(plan)

    def _add_views_below(self, one: Entity | None) -> None:
        if isinstance(one, Floor):
            floor = FloorView(self._session, self._content)
            floor.thing_asked.connect(self.thing_asked)
            floor.import_asked.connect(self.import_asked)
            self._add_view(floor)
        elif isinstance(one, Space):
            self._add_view(RequiredView(self._session, self._content))
        elif isinstance(one, Pathway | Riser | OutdoorDuct):
            walked = WalkedView(self._content)
            walked.asked.connect(self.thing_asked)
            walked.tool_asked.connect(self.tool_asked)
            self._add_view(walked)

    def _add_view(self, view: QWidget) -> None:
        self._views.append(view)
        self._column.addWidget(view)

    def _add_form(self, fields: tuple[Field, ...], things: tuple[Entity, ...]) -> None:
        if not fields:
            if len(things) > 1:
                text = "These have no field in common; select things of one kind to edit them."
                self._column.addWidget(words(text, "soft"))
            return
        form = Form(fields, self._session.project, self._content)
        form.edited.connect(self._edited)
        self._forms.append((form, fields[0].key))
        self._column.addWidget(form)

    def form_with(self, key: str) -> Form:
        """The form that holds a field."""
        return next(form for form, _ in self._forms if form.holds(key))

    def _fill(self, view: QWidget, things: tuple[Entity, ...]) -> None:
        if isinstance(view, TellingView):
            outlets = [t for t in things if isinstance(t, Outlet)]
            view.show_outlets(outlets, self._session.project)
        elif isinstance(view, WayView) and isinstance(things[0], Outlet):
            view.show_as(things[0], self._session.design, self._preview)
        elif isinstance(view, WalkedView):
            view.show_thing(things[0].id, self._session.project)
        else:
            self._fill_view(view, things)

    def _fill_view(self, view: QWidget, things: tuple[Entity, ...]) -> None:
        project, design, thing = self._session.project, self._session.design, things[0]
        if isinstance(view, RunView) and isinstance(thing, Outlet):
            view.choose(self._chosen_port(things))
            if thing.ports:
                port = self._port_of(thing)
                self._port_heading.setText(f"Port {port.label or thing.ports.index(port) + 1}")
            self._fill_run(view, thing)
        elif isinstance(view, FindingsView):
            view.show_thing(thing.id, design)
        elif isinstance(view, FillView | PenetrationView):
            view.show_fill(thing, project, design)  # type: ignore[arg-type]
        elif isinstance(view, FrameView):
            view.show_frame(thing.id, project, design)
        elif isinstance(view, BackboneView):
            view.show_cable(thing.id, project, design)
        elif isinstance(view, PlanView) and isinstance(thing, Plan):
            view.show_plan(thing)
        elif isinstance(view, FloorView) and isinstance(thing, Floor):
            view.show_floor(thing)
        elif isinstance(thing, Space | RoomLine):
            _fill_room(view, thing)

    def _edited(self, field: Field, value: Any) -> None:
        """What is refused, or not answered, is shown as it stands."""
        if not edit_field(self._session, self, field, value, self._things()):
            self._later.start()
