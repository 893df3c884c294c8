"""Cable types and outlet kinds of the project."""

from collections.abc import Callable, Sequence
from typing import Any

from msgspec.structs import replace
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QMenu,
    QVBoxLayout,
    QWidget,
)

from app.design.typical_way import typical_way
from app.editor.commands.kinds import (
    add_cable_type,
    add_outlet_kind,
    change_outlet_kind,
    copy_kind,
)
from app.model.entities import CableType, OutletKind, PortTemplate
from app.model.vocabulary import Fixture, Medium, ProvidedBy, Termination, WayDown
from app.standards.records import StandardsDataError
from app.ui import look
from app.ui.dialogs.list_and_form import ListAndForm
from app.ui.fields.of_outlets import POWER_CLASSES
from app.ui.fields.spec import Field, Sort, all_of
from app.ui.panel.pieces import clear, column, heading, link, words
from app.ui.panel.way_view import told
from app.ui.pictures.way_section import WaySection
from app.ui.session import Session
from app.ui.words import counted, word

NAME = Field(key="name", label="Name", sort=Sort.TEXT)
NOTE = Field(key="note", label="Note", sort=Sort.NOTE)
CABLE = (
    NAME,
    Field(key="medium", label="Medium", sort=Sort.CHOICE, options=all_of(Medium)),
    Field(key="category", label="Category", sort=Sort.TEXT),
    Field(key="shielded", label="Shielded", sort=Sort.FLAG),
    Field(
        key="od_mm",
        label="Diameter",
        sort=Sort.NUMBER,
        unit="mm",
        least=0.1,
        most=200,
        whole=False,
        tip="Outside; the datasheet wins",
    ),
    Field(
        key="weight_g_per_m",
        label="Weight",
        sort=Sort.NUMBER,
        unit="g/m",
        most=100_000,
        whole=False,
    ),
    Field(key="flame_class", label="Flame class", sort=Sort.TEXT),
    Field(
        key="limit_mm",
        label="Limit",
        sort=Sort.LENGTH,
        tip="Of a run (permanent link) or a backbone cable; slack counts",
    ),
    Field(key="frame_slack_mm", label="Slack at frame", sort=Sort.LENGTH),
    Field(key="box_mm", label="Box or reel", sort=Sort.LENGTH),
    Field(
        key="box_usable_mm",
        label="Usable of it",
        sort=Sort.LENGTH,
        tip="First and last metres are handling",
    ),
    NOTE,
)
KIND = (
    NAME,
    Field(
        key="height_mm",
        label="Height",
        sort=Sort.LENGTH,
        none_word=lambda _p, _t: "at the ceiling",
        tip="Of its centre above the finished floor; empty: at the ceiling",
    ),
    Field(key="way_down", label="Way down", sort=Sort.CHOICE, options=all_of(WayDown)),
    Field(
        key="way_provided_by",
        label="Its parts",
        sort=Sort.CHOICE,
        options=all_of(ProvidedBy, none="as the settings say of each"),
        none_word=lambda _p, _t: "as the settings say of each",
        tip="Who provides box, stub, raceway, pole, floor box, fitting or conduit of the way down",
    ),
    Field(key="slack_mm", label="Slack", sort=Sort.LENGTH),
    Field(
        key="limit_mm",
        label="Limit",
        sort=Sort.LENGTH,
        none_word=lambda _p, _t: "as its cable type",
    ),
    Field(key="fixture", label="Sits in", sort=Sort.CHOICE, options=all_of(Fixture)),
    NOTE,
)


class _Catalogue(ListAndForm):
    """Add from the list of the rules, copy, delete."""

    def _add_buttons(
        self, offered: Sequence[tuple[str, str]], add_named: Callable[[str], None]
    ) -> None:
        """`offered` are names and titles of the rules; `add_named` adds what they call so."""
        row = QHBoxLayout()
        add = link("Add …", self)
        menu = QMenu(self)
        for name, title in offered:
            action = menu.addAction(title)
            action.triggered.connect(lambda _=False, n=name: add_named(n))
        add.setMenu(menu)
        copy = link("Copy", self)
        copy.clicked.connect(self._copy)
        delete = link("Delete", self)
        delete.clicked.connect(self.delete_chosen)
        for button in (add, copy, delete):
            row.addWidget(button)
        row.addStretch(1)
        self.left.addLayout(row)

    def _copy(self) -> None:
        chosen = self.chosen_id
        if chosen is not None:
            self.add_by(lambda: copy_kind(self.session.project, chosen))

    def authority(self, key: str) -> str:
        """On whose word a limit stands."""
        try:
            return self.session.rules.value(key).authority if key else "set in this project"
        except StandardsDataError:
            return key


class CableTypesDialog(_Catalogue):
    """Cable as bought."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(
            "Cable types",
            "Cable as it is bought.",
            session,
            parent,
            entries=self.entries,
            show_thing=self.show_thing,
        )
        rules = session.rules.cable_types
        self._add_buttons([(name, rules[name].name) for name in rules], self.add_named)
        self._form = self.form(CABLE)
        self._said = words("", "soft", self)
        self.right.addWidget(self._said)
        self.right.addStretch(1)
        self.finish(cancel="Close")
        self.refresh()

    def entries(self) -> Sequence[tuple[str, str, int]]:
        return [(c.id, c.name, 0) for c in self.session.project.cable_types.values()]

    def show_thing(self, thing: CableType) -> None:
        self._form.show_things(self.session.project, [thing])
        project = self.session.project
        runs = sum(p.cable_type == thing.id for o in project.outlets.values() for p in o.ports)
        self._said.setText(
            f"Limit: {self.authority(thing.limit_source)}. Used by {counted(runs, 'run')}."
        )

    def add_named(self, name: str) -> None:
        session = self.session
        self.add_by(lambda: add_cable_type(session.project, session.rules, name))


class OutletKindsDialog(_Catalogue):
    """Sorts of outlet, with the ports that each gets."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(
            "Outlet kinds",
            "What an outlet is when it is placed. Where outlets of a kind stand, changed ports "
            "are asked about.",
            session,
            parent,
            entries=self.entries,
            show_thing=self.show_thing,
            wide=70,
            high=46,
        )
        rules = session.rules.outlet_kinds
        self._add_buttons([(name, rules[name].name) for name in rules], self.add_named)
        self.fields = self.form(KIND)
        self._add_section()
        self.right.addWidget(heading("Ports", self))
        self._ports = QWidget(self)
        self._port_rows = column(self._ports, gap=0.2)
        self.right.addWidget(self._ports)
        self._said = words("", "soft", self)
        self.right.addWidget(self._said)
        self.right.addStretch(1)
        self._shown_ports: object = None
        self.finish(cancel="Close")
        self.refresh()

    def _add_section(self) -> None:
        """Beside the fields, the way down that they make."""
        self.section = WaySection(self)
        self.section.setFixedWidth(self.section.sizeHint().width())
        self.way_told = words("", "", self)
        caption = words("In a room with the heights of the settings.", "soft", self)
        beside = QVBoxLayout()
        for widget in (self.section, self.way_told, caption):
            beside.addWidget(widget)
        beside.addStretch(1)
        row = QHBoxLayout()
        row.setSpacing(look.em(1.2))
        row.addWidget(self.fields, 1)
        row.addLayout(beside)
        self.right.addLayout(row)

    def entries(self) -> Sequence[tuple[str, str, int]]:
        return [(k.id, k.name, 0) for k in self.session.project.outlet_kinds.values()]

    def show_thing(self, thing: OutletKind) -> None:
        self.fields.show_things(self.session.project, [thing])
        way = typical_way(self.session.project, thing, self.session.rules)
        self.section.show_way(way, self.session.units)
        self.way_told.setText(told(way, self.session.units))
        placed = sum(o.kind == thing.id for o in self.session.project.outlets.values())
        self._said.setText(f"{counted(placed, 'outlet')} of this kind placed.")
        shown = (thing.id, thing.ports)
        if shown == self._shown_ports:
            return
        self._shown_ports = shown
        clear(self._port_rows)
        self._port_rows.addWidget(self._port_grid(thing))
        more = link("Add a port", self._ports)
        more.clicked.connect(lambda: self._set_ports(thing, (*thing.ports, thing.ports[-1])))
        self._port_rows.addWidget(more)

    def _port_grid(self, kind: OutletKind) -> QWidget:
        holder = QWidget(self._ports)
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(look.em(0.4))
        grid.setVerticalSpacing(look.em(0.2))
        for index, port in enumerate(kind.ports):
            for place, widget in enumerate(self._port_widgets(kind, index, port, holder)):
                grid.addWidget(widget, index, place)
        grid.setColumnStretch(1, 1)
        return holder

    def _port_widgets(
        self, kind: OutletKind, index: int, port: PortTemplate, parent: QWidget
    ) -> list[QWidget]:
        service = QLineEdit(port.service, parent)
        service.setFixedWidth(look.em(7))
        service.setAccessibleName(f"Service of port {index + 1}")
        service.editingFinished.connect(
            lambda: self._change(kind, index, service=service.text().strip())
        )
        cables = [(c.id, c.name) for c in self.session.project.cable_types.values()]
        cable = _combo(cables, port.cable_type, f"Cable of port {index + 1}", parent)
        power = _combo(POWER_CLASSES, port.power_class, f"Power of port {index + 1}", parent)
        ends = [(t, word(t)) for t in Termination]
        end = _combo(ends, port.termination, f"Termination of port {index + 1}", parent)
        cable.activated.connect(lambda _: self._change(kind, index, cable_type=cable.currentData()))
        power.activated.connect(
            lambda _: self._change(kind, index, power_class=power.currentData())
        )
        end.activated.connect(
            lambda _: self._change(kind, index, termination=Termination(end.currentData()))
        )
        away = link("Remove", parent)
        away.setEnabled(len(kind.ports) > 1)
        away.clicked.connect(
            lambda: self._set_ports(kind, kind.ports[:index] + kind.ports[index + 1 :])
        )
        return [service, cable, power, end, away]

    def _change(self, kind: OutletKind, index: int, **fields: Any) -> None:
        port = replace(kind.ports[index], **fields)
        if port != kind.ports[index]:
            self._set_ports(kind, (*kind.ports[:index], port, *kind.ports[index + 1 :]))

    def _set_ports(self, kind: OutletKind, ports: tuple[PortTemplate, ...]) -> None:
        session = self.session
        after = replace(session.project.outlet_kinds[kind.id], ports=ports)
        session.do(lambda: change_outlet_kind(session.project, after))
        self._shown_ports = None
        self.refresh()

    def add_named(self, name: str) -> None:
        session = self.session
        self.add_by(lambda: add_outlet_kind(session.project, session.rules, name))


def _combo(options: Sequence[tuple[Any, str]], value: Any, name: str, parent: QWidget) -> QComboBox:
    combo = QComboBox(parent)
    combo.setAccessibleName(name)
    for data, text in options:
        combo.addItem(text, data)
    combo.setCurrentIndex([data for data, _ in options].index(value))
    return combo
