"""From workings to plain results: runs, fills, counts."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from app.checks.served import areas_served_m2, ports_at_frames
from app.design.design import Summary
from app.design.workings import Workings
from app.model.entities import CableType, OutdoorDuct, Outlet, Pathway, Penetration, Riser
from app.model.project import Project
from app.model.rooms import Asked, Required
from app.model.vocabulary import WayDown
from app.routing.ground import is_closed
from app.routing.options import FAR
from app.routing.plates import STAYS, Plates, way_down
from app.routing.results import (
    NO_LOAD,
    Fill,
    IndexArray,
    IntArray,
    Load,
    NoRoute,
    Runs,
    RunStatus,
)
from app.routing.run_table import RunStages, Signs, build_runs, reasons, rebuilt_runs
from app.sizing.fill import Filled, cable_area_mm2
from app.sizing.pathway_fill import FillRules, fill_of, fill_of_penetration


def runs_of(project: Project, workings: Workings) -> Runs:
    """The table of all runs."""
    every = np.arange(len(workings.plates.port_ids))
    return build_runs(_stages(project, workings), _reasons(project, workings, every))


def runs_again(
    project: Project, workings: Workings, ports: IntArray, old: Runs
) -> tuple[Runs, IntArray]:
    """The table of runs with these ports' rows made anew, and the rows that changed."""
    reason = _reasons(project, workings, ports)
    return rebuilt_runs(_stages(project, workings), ports, reason, old)


def _stages(project: Project, workings: Workings) -> RunStages:
    base = workings.base
    return RunStages(
        project.settings,
        workings.plates,
        base.stands,
        base.trees,
        base.sources.across,
        workings.ways,
        workings.lengths,
        workings.told,
        base.network.floor,
    )


def _reasons(project: Project, workings: Workings, ports: IntArray) -> IndexArray:
    """Why ports have no route, NONE where they have one."""
    reason = np.full(len(ports), NoRoute.NONE, dtype=np.int32)
    lost = np.flatnonzero(workings.lengths.base[ports] >= FAR)
    if len(lost):
        closed = {s.id for s in project.spaces.values() if is_closed(s)}
        signs = _signs(workings)
        reason[lost] = reasons(
            workings.plates, workings.lengths, ports[lost], signs, closed, workings.told
        )
    return reason


def _signs(workings: Workings) -> Signs:
    count = len(workings.plates.ids)
    has_legs, near, crossed = (np.zeros(count, dtype=bool) for _ in range(3))
    for floor in workings.floors:
        has_legs[floor.rows] = np.diff(floor.legs.first) > 0
        near[floor.rows] = floor.legs.near
        crossed[floor.rows] = floor.legs.crossed
    return Signs(has_legs, near, crossed)


def cable_areas(types: Iterable[CableType]) -> list[float]:
    """The section of one cable of each type, in mm²."""
    return [cable_area_mm2(od_mm=t.od_mm) for t in types]


def usual_cable(plates: Plates, types: tuple[CableType, ...]) -> CableType | None:
    """The cable type that most ports have; equal: the first by id."""
    if not types:
        return None
    counts = np.bincount(plates.cable, minlength=len(types))
    return types[int(counts.argmax())]


def fills_of(
    project: Project,
    loads: Mapping[str, Load],
    things: Iterable[str],
    fill_rules: FillRules,
    usual: CableType | None,
) -> dict[str, Fill]:
    """The fill of these pathways, risers and ducts."""
    return {
        thing: _fill(project, thing, loads.get(thing, NO_LOAD), fill_rules, usual)
        for thing in things
    }


def _fill(
    project: Project, thing: str, load: Load, fill_rules: FillRules, usual: CableType | None
) -> Fill:
    cable = usual if load.cable_type is None else project.cable_types[load.cable_type]
    od_mm = 1.0 if cable is None else cable.od_mm
    entity = project.get(thing)
    assert isinstance(entity, Pathway | Riser | OutdoorDuct)
    filled = fill_of(
        entity, cables=load.cables, area_mm2=load.area_mm2, od_mm=od_mm, fill_rules=fill_rules
    )
    return _as_fill(load, filled, cable)


def passing_fills(
    penetrations: Iterable[Penetration],
    types: Mapping[str, CableType],
    loads: Mapping[str, Load],
    fill_rules: FillRules,
    usual: CableType | None,
) -> dict[str, Fill]:
    """How full these penetrations are: as counted by hand, else as routed."""
    found = {}
    for penetration in penetrations:
        load = loads.get(penetration.id, NO_LOAD)
        cable = usual if load.cable_type is None else types[load.cable_type]
        od_mm = 1.0 if cable is None else cable.od_mm
        if penetration.cables_by_hand is not None:
            load = _counted_by_hand(penetration.cables_by_hand, od_mm)
        filled = fill_of_penetration(
            penetration,
            cables=load.cables,
            area_mm2=load.area_mm2,
            od_mm=od_mm,
            fill_rules=fill_rules,
        )
        found[penetration.id] = _as_fill(load, filled, cable)
    return found


def _counted_by_hand(cables: int, od_mm: float) -> Load:
    """So many of the cable that is most common there."""
    area_mm2 = cables * cable_area_mm2(od_mm=od_mm)
    return Load(cables, area_mm2, cables, area_mm2, cables, area_mm2)


def _as_fill(load: Load, filled: Filled, cable: CableType | None) -> Fill:
    known = filled.known
    inside = filled.inside_mm2
    return Fill(
        cables=load.cables,
        area_mm2=load.area_mm2,
        inside_mm2=inside if known else None,
        ratio=filled.ratio if known else None,
        limit_ratio=filled.limit_ratio,
        planned_ratio=filled.planned_ratio,
        places_left=filled.places_left if known and cable is not None else None,
        cables_lying=load.cables_lying,
        ratio_lying=load.area_lying_mm2 / inside if known else None,
        cables_future=load.cables_future,
        ratio_future=load.area_future_mm2 / inside if known else None,
    )


def carriers(project: Project) -> tuple[str, ...]:
    """The ids of everything that has a fill."""
    return (*project.pathways, *project.risers, *project.outdoor_ducts)


def served_by(workings: Workings, runs: Runs) -> tuple[dict[str, int], dict[str, float]]:
    """By frame: the ports ended at it, and the area it serves in m²."""
    plates, frames = workings.plates, runs.frame_ids
    ports = ports_at_frames(runs.frame_index, plates.sort == STAYS, len(frames))
    areas = areas_served_m2(
        plates.room[plates.of], runs.frame_index, workings.base.space_areas_m2, len(frames)
    )
    return (
        dict(zip(frames, ports.tolist(), strict=True)),
        dict(zip(frames, areas.tolist(), strict=True)),
    )


def summary_of(
    project: Project,
    workings: Workings,
    runs: Runs,
    placed: Mapping[str, Mapping[str, int]],
    asked: Asked,
) -> Summary:
    """The counts that are always in sight."""
    outlets = zip(project.outlets.values(), workings.plates.space, strict=True)
    return replace(
        counts_of(workings, runs),
        unnumbered=sum(not o.number for o in project.outlets.values()),
        outside_spaces=sum(is_outside(workings, o, s) for o, s in outlets if s is None),
        required=asked.elsewhere + sum(sum(a.values()) for a in asked.by_space.values()),
        required_placed=required_placed(asked.by_space, placed, asked.by_space),
    )


def counts_of(workings: Workings, runs: Runs) -> Summary:
    """The counts that come from the runs alone."""
    status, of = runs.status[runs.counted], workings.plates.of[runs.counted]
    counts = np.bincount(status, minlength=len(RunStatus)).tolist()
    near, over, lost = (
        _outlets(of[status == s]) for s in (RunStatus.NEAR, RunStatus.OVER, RunStatus.NO_ROUTE)
    )
    return Summary(
        runs=len(runs),
        within=counts[RunStatus.WITHIN],
        near=counts[RunStatus.NEAR],
        over=counts[RunStatus.OVER],
        no_route=counts[RunStatus.NO_ROUTE],
        over_outlets=over,
        near_outlets=near,
        no_route_outlets=lost,
        installed_mm=int(runs.installed_mm.sum()),
        longest_mm=int(runs.installed_mm.max()) if len(runs) else 0,
    )


def _outlets(of: IntArray) -> int:
    """How many outlets these ports are of; the ports of an outlet stand together."""
    return int((of[1:] != of[:-1]).sum()) + 1 if len(of) else 0


def is_outside(workings: Workings, outlet: Outlet, space: str | None) -> bool:
    """Whether an outlet lies outside every space without being meant for outdoors."""
    outdoors = way_down(workings.base.world, outlet) is WayDown.OUTDOOR_CONDUIT
    return space is None and not outdoors


def required_placed(
    required: Required, placed: Mapping[str, Mapping[str, int]], spaces: Iterable[str]
) -> int:
    """How many of the outlets that are asked for in these spaces are placed."""
    met = 0
    for space in spaces:
        there = placed.get(space, {})
        met += sum(min(n, there.get(kind, 0)) for kind, n in required.get(space, {}).items())
    return met
