"""What belongs to outlets and their runs: plates, jacks, cords, labels, tests.

A port whose run has no route is placed, but not cabled: what sits at the outlet is ordered for
it, and nothing of the cable, of the frame, or that is done to a link.
"""

from collections.abc import Iterable

from app.model.entities import CableType, Outlet, OutletKind, Port
from app.model.project import Project
from app.model.vocabulary import (
    Fixture,
    Medium,
    PanelKind,
    ProvidedBy,
    State,
    Termination,
    WayDown,
    WayPart,
)
from app.model.ways_down import parts_by, way_of
from app.routing.results import Runs
from app.sizing.panels import share_of
from app.standards import RuleSet
from app.takeoff.lines import Section, Tally
from app.takeoff.naming import length_words
from app.takeoff.panel_needs import panel_sort
from app.takeoff.states import is_pulled

PLATES = {
    Fixture.FACEPLATE: "Faceplate",
    Fixture.SURFACE_BOX: "Surface box",
    Fixture.FLOOR_BOX: "Floor box",
}
ENDS = {Medium.BALANCED: "Jack", Medium.FIBRE: "Fibre connector", Medium.COAX: "Coax connector"}


DESK_CORD = "supply.cord_desk"
DEVICE_CORDS = {"access_point": "supply.cord_access_point", "camera": "supply.cord_camera"}
"""The cord of a device by the symbol of its outlet; at any other outlet it is that of a desk."""


def count_outlets(project: Project, tally: Tally) -> None:
    """Plates of new outlets; what is relocated keeps its plate.

    A poke-through fitting brings the cover that else were a floor box.
    """
    for outlet in project.outlets.values():
        kind = project.outlet_kinds[outlet.kind]
        fitted = way_of(outlet, kind) is WayDown.POKE_THROUGH
        if outlet.state is State.NEW and not (fitted and kind.fixture is Fixture.FLOOR_BOX):
            _count_plate(project, outlet, kind, tally)


def _count_plate(project: Project, outlet: Outlet, kind: OutletKind, tally: Tally) -> None:
    plate = PLATES.get(kind.fixture)
    if plate is None or not any(p.termination is Termination.JACK for p in outlet.ports):
        return
    by = outlet.provided_by
    if kind.fixture is Fixture.FLOOR_BOX:
        by = parts_by(outlet, kind, project.settings).get(WayPart.FLOOR_BOX, by)
    ports = len(outlet.ports)
    tally.add(
        Section.OUTLETS,
        f"{plate} for {ports} port{'' if ports == 1 else 's'}",
        1,
        things=[outlet.id],
        provided_by=by,
        floor=outlet.floor,
    )


PulledPort = tuple[Outlet, Port]


def pulled_ports(project: Project, runs: Runs) -> list[PulledPort]:
    """The ports that are to be cabled anew, whether their run has a route or not."""
    return [
        (outlet, port)
        for outlet in project.outlets.values()
        for port in outlet.ports
        if is_pulled(outlet, port, runs)
    ]


def cabled_ports(pulled: Iterable[PulledPort], runs: Runs) -> list[PulledPort]:
    """Those of the ports whose run has a route: their cable is ordered, ended and tested."""
    return [pair for pair in pulled if runs.frame_index[runs.row_of[pair[1].id]] >= 0]


def count_ends_at_outlets(project: Project, pulled: Iterable[PulledPort], tally: Tally) -> None:
    """Jacks, and plugs in the field."""
    for outlet, port in pulled:
        cable = project.cable_types[port.cable_type]
        end, by = end_name(cable), outlet.provided_by
        if port.termination is Termination.JACK:
            item = f"{end}, at the outlet"
        else:
            item = f"Field plug, {panel_sort(cable)}"
        tally.add(
            Section.TERMINATION, item, 1, things=[port.id], provided_by=by, floor=outlet.floor
        )


def count_ends_at_frames(project: Project, cabled: Iterable[PulledPort], tally: Tally) -> None:
    """Jacks of unloaded panels: one for every run, whatever its other end.

    Loaded panels bring their jacks, punch-down panels want none.
    """
    if project.settings.panel_kind is not PanelKind.UNLOADED:
        return
    for outlet, port in cabled:
        tally.add(
            Section.TERMINATION,
            f"{end_name(project.cable_types[port.cable_type])}, at the frame",
            1,
            things=[port.id],
            provided_by=outlet.provided_by,
            basis="unloaded panels: one a run",
        )


def end_name(cable: CableType) -> str:
    """`Jack, Cat 6A unshielded`."""
    return f"{ENDS[cable.medium]}, {panel_sort(cable)}"


def count_labels_at_outlets(pulled: Iterable[PulledPort], rules: RuleSet, tally: Tally) -> None:
    """The labels of the ports at their outlets. Source: supply.labels_per_port_end."""
    each = rules.count("supply.labels_per_port_end")
    for outlet, port in pulled:
        tally.add(
            Section.WORK,
            "Label at a port, at the outlet",
            each,
            things=[port.id],
            provided_by=outlet.provided_by,
            basis=f"{each} a port",
        )


def count_work(
    project: Project, cabled: Iterable[PulledPort], rules: RuleSet, tally: Tally
) -> None:
    """Cords for the patched share, labels and tests of the runs that have a route.

    Source: supply.patched, supply.cord_frame, supply.cord_desk, supply.cord_access_point,
    supply.cord_camera, supply.labels_per_cable, supply.labels_per_port_end.
    """
    by_sort: dict[tuple[str, ProvidedBy], list[PulledPort]] = {}
    for outlet, port in cabled:
        sort = panel_sort(project.cable_types[port.cable_type])
        by_sort.setdefault((sort, outlet.provided_by), []).append((outlet, port))
    for (sort, by), pairs in by_sort.items():
        ports = [p.id for _, p in pairs]
        _count_cords(project, rules, sort, by, pairs, tally)
        on_cable = rules.count("supply.labels_per_cable")
        at_port = rules.count("supply.labels_per_port_end")
        for item, count, basis in (
            ("Label on a cable", on_cable, f"{on_cable} a cable"),
            ("Label at a port, at the frame", at_port, f"{at_port} a port"),
            (f"Test of a link, {sort}", 1, "one a run"),
        ):
            tally.add(
                Section.WORK,
                item,
                count * len(ports),
                things=ports,
                provided_by=by,
                basis=basis,
            )


def _count_cords(
    project: Project,
    rules: RuleSet,
    sort: str,
    by: ProvidedBy,
    pairs: Iterable[PulledPort],
    tally: Tally,
) -> None:
    cords: dict[tuple[str, str], list[str]] = {}
    for outlet, port in pairs:
        cords.setdefault(("at the frame", "supply.cord_frame"), []).append(port.id)
        if port.termination is Termination.JACK:
            symbol = project.outlet_kinds[outlet.kind].symbol
            key = DEVICE_CORDS.get(symbol, DESK_CORD)
            cords.setdefault(("at the outlet", key), []).append(port.id)
    percent = project.settings.patched_percent
    for (where, key), ports in cords.items():
        tally.add(
            Section.TERMINATION,
            f"Cord {where}, {length_words(rules.mm(key), project.settings.units)}, {sort}",
            share_of(count=len(ports), percent=percent),
            things=ports,
            provided_by=by,
            basis=f"{percent:g} % of {len(ports)} ports patched",
        )
