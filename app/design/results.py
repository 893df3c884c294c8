"""From workings to plain results: runs, fills, counts."""

from collections.abc import Iterable, Mapping

import numpy as np

from app.checks.outlet_closed_space import is_closed
from app.design.design import Summary
from app.design.workings import Workings
from app.model.entities import CableType, OutdoorDuct, Outlet, Pathway, Riser
from app.model.project import Project
from app.model.vocabulary import WayDown
from app.routing.plates import Plates, way_down
from app.routing.results import NO_LOAD, Fill, Load, Runs, RunStatus
from app.routing.run_table import build_runs, closed_flags, reasons
from app.sizing.fill import Filled, cable_area_mm2
from app.sizing.pathway_fill import (
    FillRules,
    fill_of_duct,
    fill_of_pathway,
    fill_of_riser,
)


def runs_of(project: Project, workings: Workings, names: Runs | None = None) -> Runs:
    """The table of runs; `names` as in `build_runs`."""
    plates, base = workings.plates, workings.base
    count = len(plates.ids)
    has_legs, near, crossed = (np.zeros(count, dtype=bool) for _ in range(3))
    for floor in workings.floors:
        has_legs[floor.rows] = np.diff(floor.legs.first) > 0
        near[floor.rows] = floor.legs.near
        crossed[floor.rows] = floor.legs.crossed
    closed = {s.id for s in project.spaces.values() if is_closed(s)}
    reason = reasons(
        plates,
        workings.lengths,
        has_legs=has_legs,
        near_closed=near,
        crossed=crossed,
        in_closed=closed_flags(plates, closed),
    )
    return build_runs(
        project.settings,
        plates,
        base.stands,
        base.trees,
        base.sources.across,
        workings.ways,
        workings.lengths,
        reason,
        names,
    )


def cable_areas(types: Iterable[CableType]) -> list[float]:
    """The section of one cable of each type, in mm²."""
    return [cable_area_mm2(od_mm=t.od_mm) for t in types]


def usual_cable(project: Project, plates: Plates, types: tuple[CableType, ...]) -> CableType | None:
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
    filled = _filled(project, thing, load, od_mm, fill_rules)
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


def _filled(
    project: Project, thing: str, load: Load, od_mm: float, fill_rules: FillRules
) -> Filled:
    entity = project.get(thing)
    if isinstance(entity, Pathway):
        return fill_of_pathway(
            entity,
            cables=load.cables,
            area_mm2=load.area_mm2,
            od_mm=od_mm,
            fill_rules=fill_rules,
        )
    if isinstance(entity, Riser):
        return fill_of_riser(
            entity,
            cables=load.cables,
            area_mm2=load.area_mm2,
            od_mm=od_mm,
            fill_rules=fill_rules,
        )
    assert isinstance(entity, OutdoorDuct)
    return fill_of_duct(
        entity, cables=load.cables, area_mm2=load.area_mm2, od_mm=od_mm, fill_rules=fill_rules
    )


def carriers(project: Project) -> tuple[str, ...]:
    """The ids of everything that has a fill."""
    return (*project.pathways, *project.risers, *project.outdoor_ducts)


def summary_of(
    project: Project,
    workings: Workings,
    runs: Runs,
    placed: Mapping[str, Mapping[str, int]],
) -> Summary:
    """The counts that are always in sight."""
    counted = runs.counted
    by_status = [np.flatnonzero(counted & (runs.status == status)) for status in RunStatus]
    of = workings.plates.of
    routed = runs.status != RunStatus.NO_ROUTE
    within, near, over, lost = (len(rows) for rows in by_status)
    over_outlets, near_outlets, lost_outlets = (
        len(np.unique(of[by_status[s]]))
        for s in (RunStatus.OVER, RunStatus.NEAR, RunStatus.NO_ROUTE)
    )
    lengths = runs.installed_mm[routed]
    outside = outside_count(project, workings)
    required, met = required_counts(project, placed)
    return Summary(
        runs=len(runs),
        within=within,
        near=near,
        over=over,
        no_route=lost,
        over_outlets=over_outlets,
        near_outlets=near_outlets,
        no_route_outlets=lost_outlets,
        installed_mm=int(lengths.sum()),
        longest_mm=int(lengths.max()) if len(lengths) else 0,
        unnumbered=sum(not number for number in workings.numbers),
        outside_spaces=outside,
        required=required,
        required_placed=met,
    )


def outside_count(project: Project, workings: Workings) -> int:
    """Outlets outside every space that are not meant to be outdoors."""
    plates = workings.plates
    return sum(
        space is None and not _outdoors(workings, project.outlets[plates.ids[row]])
        for row, space in enumerate(plates.space)
        if space is None
    )


def _outdoors(workings: Workings, outlet: Outlet) -> bool:
    return way_down(workings.base.world, outlet) is WayDown.OUTDOOR_CONDUIT


def required_counts(project: Project, placed: Mapping[str, Mapping[str, int]]) -> tuple[int, int]:
    """Outlets asked for in all spaces, and how many of those are placed."""
    required = met = 0
    for space in project.spaces.values():
        for item in space.required:
            required += item.count
            met += min(item.count, placed.get(space.id, {}).get(item.kind, 0))
    return required, met
