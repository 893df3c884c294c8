"""What comes out: cables with their metres, outlets, pathways, fittings, racks.

Abandoned cable is fire load and takes room; an opening that it leaves is closed again.
"""

from app.design.design import Design
from app.model.entities import Entity, Outlet, Port
from app.model.project import Project
from app.model.vocabulary import OPEN_KINDS, AccessKind, ProvidedBy, RiserKind, State
from app.routing.results import Runs
from app.takeoff.lines import Section, Tally, Unit
from app.takeoff.naming import carrier_name
from app.takeoff.pathway_lines import straights_mm
from app.takeoff.states import is_removed, state_of

BASIS = "as measured, else as routed"


def count_removals(design: Design, tally: Tally) -> None:
    """Everything that is to be removed, cables first."""
    project = design.project
    _count_cables(project, design.runs, tally)
    _count_backbone(design, tally)
    for outlet in project.outlets.values():
        if outlet.state is State.TO_REMOVE:
            _add(tally, outlet, "Outlet to remove", 1)
    _count_carriers(project, tally)
    for point in project.access_points.values():
        name = "Insert" if point.kind is AccessKind.INSERT else "Pull box"
        _add_going(tally, point, f"{name} to remove", 1)
    for drop in project.drop_outs.values():
        _add_going(tally, drop, "Drop-out to remove", 1)
    for frame in project.frames.values():
        _add_going(tally, frame, "Rack to remove", frame.racks)
    for opening in project.penetrations.values():
        _add_going(tally, opening, "Opening to close and seal", opening.count)


def removed_mm(outlet: Outlet, port: Port, runs: Runs) -> int | None:
    """How long the cable is that comes out; None where nobody knows."""
    if state_of(outlet, port) is State.TO_RELOCATE:
        return port.lying_mm
    row = runs.row_of[port.id]
    if runs.frame_of(row) is not None:
        return int(runs.installed_mm[row])
    measured = None if port.test is None else port.test.length_mm
    return port.replaced_mm if port.replaced_mm is not None else measured


def _count_cables(project: Project, runs: Runs, tally: Tally) -> None:
    going = [
        (outlet, port)
        for outlet in project.outlets.values()
        for port in outlet.ports
        if is_removed(outlet, port, runs)
    ]
    for outlet, port in going:
        _add(tally, outlet, "Cable to remove", 1, things=port.id)
    for outlet, port in going:
        length_mm = removed_mm(outlet, port, runs)
        if length_mm is None:
            continue
        name = project.cable_types[port.cable_type].name
        tally.add(
            Section.REMOVAL,
            f"Length of {name} to remove",
            length_mm,
            unit=Unit.LENGTH,
            things=[port.id],
            provided_by=outlet.provided_by,
            floor=outlet.floor,
            basis=BASIS,
            billed=False,
        )


def _count_backbone(design: Design, tally: Tally) -> None:
    for cable in design.project.backbone_cables.values():
        if cable.state is not State.TO_REMOVE:
            continue
        by, things = cable.provided_by, [cable.id]
        tally.add(
            Section.REMOVAL,
            "Backbone cable to remove",
            cable.count,
            things=things,
            provided_by=by,
        )
        route = design.backbone.get(cable.id)
        tally.add(
            Section.REMOVAL,
            f"Length of {design.project.cable_types[cable.cable_type].name} to remove",
            0 if route is None else route.installed_mm * cable.count,
            unit=Unit.LENGTH,
            things=things,
            provided_by=by,
            basis=BASIS,
            billed=False,
        )


def _count_carriers(project: Project, tally: Tally) -> None:
    settings = project.settings
    for pathway in project.pathways.values():
        count = 1 if pathway.kind in OPEN_KINDS else pathway.count
        name = f"{carrier_name(pathway, settings)}, to remove"
        length_mm = count * sum(straights_mm(pathway.vertices))
        _add_going(tally, pathway, name, length_mm, unit=Unit.LENGTH)
    for riser in project.risers.values():
        if riser.kind not in (RiserKind.SHAFT, RiserKind.SLOT):
            _add_going(tally, riser, f"{carrier_name(riser, settings)}, to remove", riser.count)
    for duct in project.outdoor_ducts.values():
        length_mm = duct.count * sum(straights_mm(duct.vertices))
        name = f"{carrier_name(duct, settings)}, to remove"
        _add_going(tally, duct, name, length_mm, unit=Unit.LENGTH)


def _add_going(
    tally: Tally, thing: Entity, item: str, quantity: int, *, unit: Unit = Unit.PIECE
) -> None:
    """Count a thing if it is to be removed."""
    if getattr(thing, "state", None) is State.TO_REMOVE:
        _add(tally, thing, item, quantity, unit=unit)


def _add(
    tally: Tally,
    thing: Entity,
    item: str,
    quantity: int,
    *,
    unit: Unit = Unit.PIECE,
    things: str | None = None,
) -> None:
    by: ProvidedBy = getattr(thing, "provided_by", ProvidedBy.US)
    tally.add(
        Section.REMOVAL,
        item,
        quantity,
        unit=unit,
        things=[thing.id if things is None else things],
        provided_by=by,
        floor=getattr(thing, "floor", None),
    )
