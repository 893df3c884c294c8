"""The checks in groups, each a function of the facts and of the ids it is to look at.

What a group says of an id depends on nothing but the facts of that id, so it can be said again
for the few ids that an edit touched; `checked` keeps the findings and does so.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

import numpy as np

from app.checks.backbone_length import check_backbone
from app.checks.ceiling_height import check_heights
from app.checks.conduit_crowded import check_count_table
from app.checks.conduit_section import check_conduit
from app.checks.fill_level import check_fill
from app.checks.finding import Finding, in_order
from app.checks.frame_size import check_frame_area, check_frame_ports
from app.checks.going_carrier import check_going
from app.checks.leg_length import check_legs
from app.checks.length_reason import (
    check_backbone_reason,
    check_length_reasons,
    check_walked_reasons,
)
from app.checks.number_port_elsewhere import check_port_frames
from app.checks.number_port_panel import check_port_panels, panels_of
from app.checks.number_port_twice import check_cables_twice, check_ports_twice
from app.checks.number_ports_missing import check_ports_missing
from app.checks.number_ports_unknown import check_ports_unknown
from app.checks.numbers import check_duplicates, check_unlabelled, check_unnumbered
from app.checks.outlet_closed_space import check_closed_space
from app.checks.outlet_outdoors import check_outdoors
from app.checks.outlet_outside import check_outside_spaces
from app.checks.pathway_closed_space import (
    check_pathways_closed,
    check_riser_closed,
    closed_spaces,
)
from app.checks.pathway_ends import check_pathway_ends
from app.checks.penetrations import check_barrier, check_empty, check_passing
from app.checks.plan_scale import check_plan_scale
from app.checks.required_outlets import check_required
from app.checks.riser_ends import check_riser_ends
from app.checks.riser_joined import check_riser_joined
from app.checks.run_length import check_run_lengths
from app.checks.run_odd import check_odd_runs
from app.checks.run_route import Reason, check_routes
from app.checks.serving import check_reserved, check_zones
from app.checks.third_floor import check_third_floors
from app.checks.ways_down import check_ways
from app.checks.wording import duct_name, pathway_name, riser_name
from app.model.entities import Waiver
from app.model.project import Project
from app.model.rooms import Required
from app.model.vocabulary import State
from app.routing.results import BackboneRoute, Fill, Runs
from app.routing.riser_joints import riser_points
from app.sizing.fill import FillLimits
from app.sizing.pathway_fill import Carrier, FillRules, duct_limits, pathway_limits, riser_limits
from app.standards import RuleSet


@dataclass(frozen=True, kw_only=True)
class Facts:
    """The plain results that the checks read.

    `placed`, `required`: outlets by space and kind. `ports` and `areas_m2`: by frame.
    `fills`: by pathway, riser or duct; `passing`: by penetration. `riser_floors`: by riser, the
    floors on which something comes to it. `reason_of` says more exactly why a port has no route.
    """

    project: Project
    rules: RuleSet
    fill_rules: FillRules
    runs: Runs
    space_of: Mapping[str, str | None]
    fills: Mapping[str, Fill]
    passing: Mapping[str, Fill]
    backbone: Mapping[str, BackboneRoute]
    placed: Mapping[str, Mapping[str, int]]
    required: Required
    ports: Mapping[str, int]
    areas_m2: Mapping[str, float]
    riser_floors: Mapping[str, frozenset[str]]
    reason_of: Reason | None = None


def arranged(found: Iterable[Finding], waivers: Iterable[Waiver]) -> tuple[Finding, ...]:
    """The findings in order, those that somebody answers for marked as waived."""
    answered = {w.finding for w in waivers}
    marked = (replace(f, waived=True) if f.key in answered else f for f in found)
    return tuple(sorted(marked, key=in_order))


def check_runs(facts: Facts, outlet_ids: Iterable[str] | None = None) -> list[Finding]:
    """Lengths, routes and detours of all runs, or of the runs of some outlets."""
    runs, project = facts.runs, facts.project
    rows = None
    if outlet_ids is not None:
        ports = (p.id for o in outlet_ids for p in project.outlets[o].ports)
        rows = np.fromiter((runs.row_of[p] for p in ports), dtype=np.int64)
    return [
        *check_run_lengths(runs, project, facts.rules, rows=rows),
        *check_routes(runs, project, rows=rows, reason_of=facts.reason_of),
        *check_third_floors(runs, project, rows=rows),
        *check_odd_runs(runs, project, facts.rules, rows=rows),
    ]


def check_outlets(facts: Facts, outlet_ids: Iterable[str]) -> list[Finding]:
    """Where single outlets stand, and where their runs end."""
    project, rules, found = facts.project, facts.rules, []
    panels = panels_of(project.frames.values())
    for outlet_id in outlet_ids:
        outlet = project.outlets[outlet_id]
        floor = project.floors[outlet.floor]
        space_id = facts.space_of.get(outlet_id)
        space = None if space_id is None else project.spaces[space_id]
        found += check_closed_space(outlet, space, floor, rules)
        found += check_length_reasons(outlet, floor)
        found += check_reserved(outlet, space, floor, project.frames)
        if any(p.ends_at is not None for p in outlet.ports):
            found += check_port_frames(outlet, facts.runs, floor, project.frames)
            found += check_port_panels(outlet, floor, panels, project.frames, project.cable_types)
    return found


def check_floor_legs(facts: Facts, floor_ids: Iterable[str]) -> list[Finding]:
    """The long legs of the outlets of a floor."""
    return check_legs(facts.runs, facts.project, facts.rules, floor_ids=floor_ids)


def check_floor_outlets(facts: Facts, floor_ids: Iterable[str]) -> list[Finding]:
    """What concerns the outlets of a floor together: numbers, spaces, zones, the outdoors."""
    project, found = facts.project, []
    wanted = set(floor_ids)
    outlets = _by_floor(project.outlets.values(), wanted)
    zones = _by_floor(project.serving_zones.values(), wanted)
    panels = (p for frame in project.frames.values() for p in frame.panels)
    panels_stand = any(p.state is State.EXISTING for p in panels)
    for floor in project.floors.values():
        if floor.id in wanted:
            own = outlets.get(floor.id, [])
            found += check_unnumbered(floor, own)
            found += check_ports_missing(floor, own)
            found += check_ports_unknown(floor, own, panels_stand=panels_stand)
            found += check_outside_spaces(floor, own, facts.space_of)
            if floor.id in zones:
                rooms = (s for s in project.spaces.values() if s.floor == floor.id)
                found += check_zones(floor, zones[floor.id], rooms, project.frames)
            found += check_ways(
                floor,
                own,
                project.outlet_kinds,
                project.spaces,
                facts.space_of,
                project.settings,
                facts.rules,
            )
            found += check_outdoors(
                floor, own, project.outlet_kinds, project.spaces, facts.space_of, facts.rules
            )
    return found


def check_floor_pathways(facts: Facts, floor_ids: Iterable[str]) -> list[Finding]:
    """What concerns the pathways of a floor together: numbers, ends, heights and spaces."""
    project, settings, found = facts.project, facts.project.settings, []
    wanted = set(floor_ids)
    pathways = _by_floor(project.pathways.values(), wanted)
    spaces = _by_floor(project.spaces.values(), wanted)
    points = _by_floor(project.access_points.values(), wanted)
    walked = _by_floor(project.walked_lengths.values(), wanted)
    breaks = _by_floor(project.breaks.values(), wanted)
    for floor in project.floors.values():
        if floor.id in wanted:
            laid = pathways.get(floor.id, [])
            found += check_unlabelled(floor, laid)
            found += check_walked_reasons(floor, walked.get(floor.id, []))
            found += check_pathway_ends(
                floor, laid, points.get(floor.id, []), breaks.get(floor.id, []), settings
            )
            rooms = spaces.get(floor.id, [])
            found += check_heights(floor, laid, rooms, settings, facts.rules)
            found += check_pathways_closed(floor, laid, closed_spaces(rooms), facts.rules)
    return found


def check_pathways(facts: Facts, pathway_ids: Iterable[str]) -> list[Finding]:
    """Fill and conduit sections of single pathways."""
    project, found = facts.project, []
    boxes: dict[str, list[tuple[int, int]]] = {}
    for point in project.access_points.values():
        boxes.setdefault(point.pathway, []).append((point.x_mm, point.y_mm))
    for pathway_id in pathway_ids:
        pathway = project.pathways[pathway_id]
        floor = project.floors[pathway.floor]
        found += check_conduit(
            pathway, boxes.get(pathway_id, []), floor, project.settings, facts.rules
        )
        limits = pathway_limits(pathway, fill_rules=facts.fill_rules)
        found += _fill(facts, pathway, limits, pathway_name(pathway, floor), pathway.floor)
    return found


def check_risers(facts: Facts, riser_ids: Iterable[str]) -> list[Finding]:
    """Ends, joins, spaces and fill of single risers."""
    project, found = facts.project, []
    points = riser_points(project)
    pathways = tuple(project.pathways.values())
    spaces = _by_floor(project.spaces.values(), set(project.floors)) if points else {}
    closed = {floor: closed_spaces(spaces.get(floor, [])) for floor in project.floors}
    for riser_id in riser_ids:
        riser = project.risers[riser_id]
        found += check_riser_ends(riser, project.settings)
        found += check_riser_joined(
            riser,
            points[riser_id],
            facts.riser_floors[riser_id],
            project.floors,
            pathways,
            project.settings,
        )
        found += check_riser_closed(riser, points[riser_id], closed, facts.rules)
        limits = riser_limits(riser, fill_rules=facts.fill_rules)
        found += _fill(facts, riser, limits, riser_name(riser), riser.lower_floor)
    return found


def check_ducts(facts: Facts, duct_ids: Iterable[str]) -> list[Finding]:
    """Fill of single outdoor ducts."""
    found = []
    for duct_id in duct_ids:
        duct = facts.project.outdoor_ducts[duct_id]
        limits = duct_limits(duct, fill_rules=facts.fill_rules)
        found += _fill(facts, duct, limits, duct_name(duct), duct.from_floor)
    return found


def check_penetrations(facts: Facts, penetration_ids: Iterable[str]) -> list[Finding]:
    """Fill, barrier and use of single penetrations."""
    project, found = facts.project, []
    for penetration_id in penetration_ids:
        opening = project.penetrations[penetration_id]
        fill = facts.passing[penetration_id]
        floor = project.floors[opening.floor]
        found += check_passing(opening, fill, floor, facts.rules)
        found += check_barrier(opening, floor)
        found += check_empty(opening, floor)
    return found


def check_frames(facts: Facts, frame_ids: Iterable[str]) -> list[Finding]:
    """Ports ended and area served by single frames."""
    settings, found = facts.project.settings, []
    for frame_id in frame_ids:
        frame = facts.project.frames[frame_id]
        found += check_frame_ports(frame, facts.ports.get(frame_id, 0), settings, facts.rules)
        found += check_frame_area(frame, facts.areas_m2.get(frame_id, 0.0), settings, facts.rules)
    return found


def check_spaces(facts: Facts, space_ids: Iterable[str]) -> list[Finding]:
    """Outlets required in single spaces."""
    kinds, found = facts.project.outlet_kinds, []
    for space_id in space_ids:
        asked = facts.required.get(space_id)
        if asked is not None:
            space = facts.project.spaces[space_id]
            found += check_required(space, asked, facts.placed.get(space_id, {}), kinds)
    return found


def check_plans(facts: Facts, plan_ids: Iterable[str]) -> list[Finding]:
    """Scale of single plans."""
    project, found = facts.project, []
    for plan_id in plan_ids:
        plan = project.plans[plan_id]
        found += check_plan_scale(plan, project.floors[plan.floor])
    return found


def check_backbones(facts: Facts, cable_ids: Iterable[str]) -> list[Finding]:
    """Lengths of single backbone cables."""
    project, found = facts.project, []
    for cable_id in cable_ids:
        route = facts.backbone.get(cable_id)
        if route is not None:
            cable = project.backbone_cables[cable_id]
            found += check_backbone(cable, route, project, facts.rules)
            start = project.get(cable.from_id)
            found += check_backbone_reason(cable, getattr(start, "floor", None))
    return found


def check_numbers(facts: Facts) -> list[Finding]:
    """Numbers and names that two things of a sort share, over the whole project."""
    p = facts.project
    outlets = ((o.id, o.number, o.floor) for o in p.outlets.values())
    frames = ((f.id, f.name, f.floor) for f in p.frames.values())
    pathways = ((w.id, w.number, w.floor) for w in p.pathways.values())
    risers = ((r.id, r.number, r.lower_floor) for r in p.risers.values())
    openings = ((x.id, x.number, x.floor) for x in p.penetrations.values())
    return [
        *check_duplicates("outlets", outlets),
        *check_cables_twice(p),
        *check_duplicates("frames", frames),
        *check_duplicates("pathways", pathways),
        *check_duplicates("risers", risers),
        *check_duplicates("penetrations", openings),
        *check_ports_twice(p),
    ]


def _fill(facts: Facts, thing: Carrier, limits: FillLimits, name: str, floor: str) -> list[Finding]:
    fill = facts.fills.get(thing.id)
    if fill is None:
        return []
    return [
        *check_fill(thing, fill, limits, name=name, floor=floor, rules=facts.rules),
        *check_going(thing, fill, name=name, floor=floor),
        *check_count_table(thing, fill, name=name, floor=floor, rules=facts.rules),
    ]


class _OnFloor(Protocol):
    @property
    def floor(self) -> str: ...


_T = TypeVar("_T", bound=_OnFloor)


def _by_floor(things: Iterable[_T], wanted: set[str]) -> dict[str, list[_T]]:
    found: dict[str, list[_T]] = {}
    for thing in things:
        if thing.floor in wanted:
            found.setdefault(thing.floor, []).append(thing)
    return found
