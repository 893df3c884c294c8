"""What a design can say of one run or cable when asked: its parts and its line."""

from dataclasses import dataclass, replace

from app.design.design import Design
from app.design.ways_down import upright_parts
from app.design.workings import Workings
from app.model.entities import BackboneCable, Outlet, Port
from app.model.ways_down import ceiling_of, way_of
from app.routing.options import DIRECT, NO_LEG, FloorWork, one_leg
from app.routing.results import Part, PartSort, RouteLine, RunStatus
from app.routing.run_table import leg_of
from app.routing.tracing import (
    Step,
    bent_leg,
    common_parts,
    frame_parts,
    lines_of_steps,
    on_piece,
    parts_of_steps,
    step_on,
    steps_to_source,
)

MM_PER_M = 1_000


@dataclass(frozen=True, slots=True)
class Run:
    """One run as plain values; lengths in mm, `margin_mm` what is left to the limit."""

    port_id: str
    outlet_id: str
    frame_id: str | None
    status: RunStatus
    installed_mm: int
    cut_mm: int
    limit_mm: int
    margin_mm: int


def run_of(design: Design, port_id: str) -> Run:
    """One run by its port's id; KeyError where there is no such port."""
    runs = design.runs
    row = runs.row_of[port_id]
    length, limit = int(runs.installed_mm[row]), int(runs.limit_mm[row])
    return Run(
        port_id,
        runs.outlet_ids[row],
        runs.frame_of(row),
        RunStatus(int(runs.status[row])),
        length,
        int(runs.cut_mm[row]),
        limit,
        limit - length,
    )


@dataclass(frozen=True, slots=True)
class _Taken:
    """One run's row, outlet row, floor's work, frame and leg."""

    row: int
    outlet: int
    floor: FloorWork
    frame: int
    leg: int
    steps: list[Step]
    last: int


def _taken(design: Design, port_id: str) -> _Taken | None:
    workings = design.workings
    row = design.runs.row_of[port_id]
    ways, plates = workings.ways, workings.plates
    outlet = int(plates.of[row])
    floor = workings.floors[int(plates.floor[outlet])]
    leg = leg_of(floor.options, workings.columns, outlet, row)
    if row in workings.told:
        return _told(workings, row, outlet, floor)
    if leg == NO_LEG:
        return None
    frame = int(ways.frame[row])
    if leg == DIRECT:
        return _Taken(row, outlet, floor, frame, leg, [], -1)
    base = workings.base
    node = int(ways.node[row])
    ground = int(plates.ends.ground[outlet])
    first = on_piece(
        base.network, floor.legs, floor.holds, leg, to_high=bool(ways.to_high[row]), floor=ground
    )
    steps = [] if first is None else [first]
    more, last = steps_to_source(base.network, base.trees, frame, node)
    return _Taken(row, outlet, floor, frame, leg, [*steps, *more], last)


def _told(workings: Workings, row: int, outlet: int, floor: FloorWork) -> _Taken | None:
    """The same of a run that was told its way; None where that leaves none."""
    way, network = workings.told[row], workings.base.network
    if way is None:
        return None
    if way.leg == DIRECT:
        return _Taken(row, outlet, floor, way.frame, DIRECT, [], -1)
    leg = int(floor.legs.first[floor.place(outlet)]) + way.leg
    ground = int(workings.plates.ends.ground[outlet])
    first = on_piece(network, floor.legs, floor.holds, leg, to_high=way.to_high, floor=ground)
    steps = [] if first is None else [first]
    steps += [step_on(network, piece, begin) for piece, begin in way.steps]
    return _Taken(row, outlet, floor, way.frame, leg, steps, way.last_leg)


def _port(design: Design, row: int) -> tuple[Outlet, Port]:
    runs = design.runs
    outlet = design.project.outlets[runs.outlet_ids[row]]
    return outlet, next(p for p in outlet.ports if p.id == runs.port_ids[row])


def parts_of(design: Design, port_id: str) -> tuple[Part, ...]:
    """The named parts of a run from outlet to frame; they add up to its cut length, and
    without the last ones (`ONLY_CUT`) to the installed length. None where it has no route."""
    taken = _taken(design, port_id)
    if taken is None:
        return ()
    base, runs = design.workings.base, design.runs
    outlet, port = _port(design, taken.row)
    frame_id = base.stands.ids[taken.frame]
    if taken.leg == DIRECT:
        parts = _direct_parts(design, taken, outlet, frame_id)
    else:
        legs, leg = taken.floor.legs, taken.leg
        parts = [
            *_uprights(design, outlet, taken.outlet, int(legs.z[leg])),
            Part("leg at the outlet", int(legs.across[leg]), PartSort.HORIZONTAL, outlet.id),
        ]
        parts += parts_of_steps(design.project, taken.steps)
        parts += frame_parts(base.stands, base.sources, taken.frame, taken.last)
    frame_slack = design.project.cable_types[port.cable_type].frame_slack_mm
    parts += common_parts(
        design.project.settings,
        allowance=int(runs.allowance_mm[taken.row]),
        outlet_slack=int(runs.slack_mm[taken.row]) - frame_slack,
        frame_slack=frame_slack,
        added=int(runs.added_mm[taken.row]) - _walked_mm(parts),
        reason=_added_reason(design, taken.row, port),
        replaced=int(design.workings.plates.replaced[taken.row]) >= 0,
        thing=outlet.id,
        frame=frame_id,
    )
    return tuple(p for p in parts if p.length_mm)


def _walked_mm(parts: list[Part]) -> int:
    return sum(p.length_mm for p in parts if p.sort is PartSort.ADDED)


def _added_reason(design: Design, row: int, port: Port) -> str:
    if port.length_reason:
        return port.length_reason
    measured = int(design.workings.plates.replaced[row]) >= 0 and port.replaced_mm is None
    return "as measured by the tester" if measured else ""


def _uprights(design: Design, outlet: Outlet, row: int, pathway_z: int) -> list[Part]:
    """The upright part at an outlet up or down to this absolute height, as its way names it."""
    project = design.project
    kind, level = project.outlet_kinds[outlet.kind], project.floors[outlet.floor].level_mm
    space = design.space_of.get(outlet.id)
    named = upright_parts(
        way_of(outlet, kind),
        pathway_mm=pathway_z - level,
        outlet_mm=int(design.workings.plates.ends.z[row]) - level,
        ceiling_mm=ceiling_of(None if space is None else project.spaces[space], project.settings),
    )
    parts = [Part(name, length, PartSort.VERTICAL, outlet.id) for name, length in named]
    return parts[::-1]


def _direct_parts(design: Design, taken: _Taken, outlet: Outlet, frame: str) -> list[Part]:
    base, plates = design.workings.base, design.workings.plates
    stands = base.stands
    ground = base.grounds[int(stands.floor[taken.frame])]
    leg = one_leg(ground, stands, plates.ends, taken.frame, taken.outlet)
    top = int(stands.top[taken.frame])
    rise = abs(top - int(plates.ends.z[taken.outlet]))
    return [
        *_uprights(design, outlet, taken.outlet, top),
        Part("leg to the frame", leg.across, PartSort.HORIZONTAL, outlet.id),
        Part("down to the panels", leg.upright - rise, PartSort.VERTICAL, frame),
        Part("dressing in the rack", int(stands.dressing[taken.frame]), PartSort.VERTICAL, frame),
    ]


def route_of(design: Design, port_id: str) -> tuple[RouteLine, ...]:
    """The line of a run from outlet to frame, leg by leg; empty where it has no route."""
    taken = _taken(design, port_id)
    if taken is None:
        return ()
    base, plates = design.workings.base, design.workings.plates
    floor_ids = base.joints.stretches.floor_ids
    stands = base.stands
    frame_floor = floor_ids[int(stands.floor[taken.frame])]
    if taken.leg == DIRECT:
        ground = base.grounds[int(stands.floor[taken.frame])]
        top = int(stands.top[taken.frame])
        goal = int(stands.ends.x[taken.frame]), int(stands.ends.y[taken.frame])
        points = bent_leg(ground, plates.ends, taken.outlet, goal, top)
        return (RouteLine(frame_floor, (*points, *_into_frame(design, taken.frame, goal))),)
    legs, leg = taken.floor.legs, taken.leg
    ground_index = int(plates.ends.ground[taken.outlet])
    meet = int(legs.x[leg]), int(legs.y[leg])
    drop = bent_leg(base.grounds[ground_index], plates.ends, taken.outlet, meet, int(legs.z[leg]))
    lines = [RouteLine(floor_ids[ground_index], tuple(drop))]
    lines += lines_of_steps(base.network, taken.steps)
    lines.append(RouteLine(frame_floor, _stand_points(design, taken.frame, taken.last)))
    return tuple(line for line in lines if len(line.points) > 1)


def _stand_points(design: Design, stand: int, leg: int) -> tuple[tuple[int, int, int], ...]:
    """From the pathway to the panels of a frame, or the board of a demarcation point."""
    base = design.workings.base
    stands, legs = base.stands, base.sources.legs
    ground = base.grounds[int(stands.floor[stand])]
    meet, z = (int(legs.x[leg]), int(legs.y[leg])), int(legs.z[leg])
    points = bent_leg(ground, stands.ends, stand, meet, z)[::-1]
    if not stands.has_ladder[stand]:
        points = points[:-1] if len(points) > 1 else points
    here = int(stands.ends.x[stand]), int(stands.ends.y[stand])
    return (*points, *_into_frame(design, stand, here))


def _into_frame(
    design: Design, stand: int, entry: tuple[int, int]
) -> tuple[tuple[int, int, int], ...]:
    stands = design.workings.base.stands
    panel = int(stands.panel[stand])
    frame = design.project.frames.get(stands.ids[stand])
    if frame is None or (frame.x_mm, frame.y_mm) == entry:
        return ((*entry, panel),)
    level = int(stands.ladder[stand]) if stands.has_ladder[stand] else int(stands.top[stand])
    return ((frame.x_mm, frame.y_mm, level), (frame.x_mm, frame.y_mm, panel))


def backbone_parts(design: Design, cable_id: str) -> tuple[Part, ...]:
    """The named parts of a backbone cable, from its first end; none where it has no route."""
    way = design.workings.backbone[cable_id]
    if way is None:
        return ()
    base, project = design.workings.base, design.project
    stands, sources = base.stands, base.sources
    cable = project.backbone_cables[cable_id]
    if way.leg is None:
        first, goal = stands.ids[way.start], stands.ids[way.goal]
        dressing = int(stands.dressing[way.start]) + int(stands.dressing[way.goal])
        parts = [
            Part("up and down at both ends", way.upright, PartSort.VERTICAL, first),
            Part("leg between them", way.across, PartSort.HORIZONTAL, first),
            Part("dressing at both ends", dressing, PartSort.VERTICAL, goal),
        ]
    else:
        node = int(sources.node[way.leg])
        steps, last = steps_to_source(base.network, base.backbone_trees, way.start, node)
        parts = frame_parts(stands, sources, way.start, last)[::-1]
        parts += parts_of_steps(project, _turned(steps))
        parts += frame_parts(stands, sources, way.goal, way.leg)
    parts += _backbone_rest(design, cable, _walked_mm(parts))
    return tuple(p for p in parts if p.length_mm)


def _backbone_rest(design: Design, cable: BackboneCable, walked_mm: int) -> list[Part]:
    route = design.backbone[cable.id]
    return common_parts(
        design.project.settings,
        allowance=route.allowance_mm,
        outlet_slack=cable.slack_from_mm,
        frame_slack=cable.slack_to_mm,
        added=route.added_mm - walked_mm,
        reason=cable.length_reason,
        replaced=cable.replaced_mm is not None,
        thing=cable.from_id,
        frame=cable.to_id,
        slack_names=("slack at one end", "slack at the other end"),
    )


def _turned(steps: list[Step]) -> list[Step]:
    return [replace(s, start=s.end, end=s.start, added=s.added[::-1]) for s in reversed(steps)]


def backbone_route(design: Design, cable_id: str) -> tuple[RouteLine, ...]:
    """The line of a backbone cable from its first end to its second."""
    way = design.workings.backbone[cable_id]
    if way is None:
        return ()
    base = design.workings.base
    stands, sources = base.stands, base.sources
    floor_ids = base.joints.stretches.floor_ids
    first, goal = (floor_ids[int(stands.floor[k])] for k in (way.start, way.goal))
    if way.leg is None:
        ground = base.grounds[int(stands.floor[way.start])]
        top = max(int(stands.top[way.start]), int(stands.top[way.goal]))
        there = int(stands.ends.x[way.goal]), int(stands.ends.y[way.goal])
        points = bent_leg(ground, stands.ends, way.start, there, top)
        return (RouteLine(first, (*points, *_into_frame(design, way.goal, there))),)
    node = int(sources.node[way.leg])
    steps, last = steps_to_source(base.network, base.backbone_trees, way.start, node)
    lines = [RouteLine(first, _stand_points(design, way.start, last)[::-1])]
    lines += lines_of_steps(base.network, _turned(steps))
    lines.append(RouteLine(goal, _stand_points(design, way.goal, way.leg)))
    return tuple(line for line in lines if len(line.points) > 1)
