"""What would cure a finding, tried on the design or worked out from it, in one sentence.

Asked for when a finding is opened. Every figure comes from routing the building anew with the
cure in place; where nothing was found that cures it, that is said.
"""

import math
from collections.abc import Callable, Iterator

import msgspec

from app.checks.finding import Finding
from app.checks.wording import floor_phrase, length_text, pathway_name, percent_text, riser_name
from app.design import Design, recalculate
from app.geometry.along_lines import place_on
from app.model.entities import Candidate, Outlet, Pathway
from app.model.project import Project
from app.model.vocabulary import PathwayKind
from app.progress import Progress, Silent
from app.routing.results import NoRoute, RunStatus
from app.routing.riser_joints import riser_points
from app.siting.which_floor import patch_with
from app.sizing.pathway_fill import Carrier, fill_of

MOST_TRIED = 12
BESIDE_MM = 1_000
"""A frame is tried so far beside a riser."""
STEP_MM = 50
"""Sizes are proposed in such steps."""
MOST_BESIDE = 200
"""As many like it may lie side by side as a project can say."""


def cure_of(design: Design, finding: Finding, progress: Progress | None = None) -> str:
    """The cure in words; empty where there is nothing to add to the finding itself."""
    cure = _CURES.get(finding.rule)
    watch = Silent() if progress is None else progress
    return "" if cure is None else cure(design, finding, watch)


# --- lengths --------------------------------------------------------------------------------


def _nearer_frame(design: Design, finding: Finding, watch: Progress) -> str:
    """The frame place that shortens the outlet's longest run the most."""
    outlet = design.project.outlets.get(finding.things[0])
    if outlet is None:
        return ""
    best: tuple[int, str] | None = None
    places = list(_places(design.project, outlet))[:MOST_TRIED]
    for number, (place, said) in enumerate(places):
        watch.check()
        watch.report(number / len(places), f"Trying a frame {said}")
        length_mm = _longest_with(design, outlet, place)
        if length_mm is not None and (best is None or length_mm < best[0]):
            best = (length_mm, said)
    return _said_of_best(design, outlet, best)


def _said_of_best(design: Design, outlet: Outlet, best: tuple[int, str] | None) -> str:
    units = design.project.settings.units
    now, limit = _longest(design, outlet)
    if best is None or now is None or best[0] >= now:
        return (
            "No marked frame place and no place beside a riser shortens it. Mark a place nearer "
            "to it, or bring a riser to one."
        )
    length_mm, said = best
    sentence = f"A frame {said} would bring it to {length_text(length_mm, units)}"
    if length_mm > limit:
        return f"{sentence}, which is still over the limit."
    return f"{sentence}."


def _places(project: Project, outlet: Outlet) -> Iterator[tuple[Candidate, str]]:
    """Marked places, the outlet's own floor first, then places beside risers on its floor."""
    marked = sorted(project.candidates.values(), key=lambda c: (c.floor != outlet.floor, c.name))
    for place in marked:
        yield place, f"at {place.name} on {floor_phrase(project.floors[place.floor])}"
    own = project.floors[outlet.floor]
    for riser_id, points in riser_points(project).items():
        if own.id in points:
            x_mm, y_mm = points[own.id]
            place = Candidate(
                id="candidate-00000000",
                floor=own.id,
                name="tried",
                x_mm=x_mm + BESIDE_MM,
                y_mm=y_mm,
            )
            name = riser_name(project.risers[riser_id])
            yield place, f"beside {name[0].lower()}{name[1:]} on {floor_phrase(own)}"


def _longest_with(design: Design, outlet: Outlet, place: Candidate) -> int | None:
    patch = patch_with(design.project, place)
    tried = recalculate(design, design.project.apply(patch), patch)[0]
    return _longest(tried, outlet)[0]


def _longest(design: Design, outlet: Outlet) -> tuple[int | None, int]:
    """The longest run of the outlet's ports (None: one has no route) and the least limit."""
    runs = design.runs
    rows = [runs.row_of[p.id] for p in outlet.ports]
    limit = min((int(runs.limit_mm[r]) for r in rows), default=0)
    if any(runs.status[r] == RunStatus.NO_ROUTE for r in rows):
        return None, limit
    return max((int(runs.installed_mm[r]) for r in rows), default=0), limit


# --- routes ---------------------------------------------------------------------------------

_ROUTE_CURES = {
    NoRoute.NO_FRAME: "Place a frame on this floor, or let one of the next floors serve it too.",
    NoRoute.NO_FLOOR_BELOW: "Give it another way down.",
    NoRoute.ONLY_PLACES: "Put a pull box on the conduit within reach of it.",
    NoRoute.LEG_CROSSES: "Draw a branch that goes around the closed space.",
    NoRoute.STANDS_IN_CLOSED: "Move it out of the space, or say that cable may cross the space.",
    NoRoute.NOT_JOINED: "Join the pathways near it to those of a frame: let their ends meet, or "
    "place a drop-out or a riser.",
    NoRoute.AS_TOLD: "Let it go any way again, or join what it was told to pass to its way to "
    "the frame.",
    NoRoute.FRAME_NOT_JOINED: "Set its ports free from their fixed frame, or join the pathways "
    "near it to those of that frame.",
}


def _route(design: Design, finding: Finding, _watch: Progress) -> str:
    outlet = design.project.outlets.get(finding.things[0])
    if outlet is None or not outlet.ports:
        return ""
    row = design.runs.row_of[outlet.ports[0].id]
    reason = NoRoute(int(design.runs.reason[row]))
    if reason is NoRoute.NO_PATHWAY:
        return _branch(design.project, outlet)
    return _ROUTE_CURES.get(reason, "")


def _branch(project: Project, outlet: Outlet) -> str:
    """The nearest pathway of the floor, and how far beyond reach it is."""
    near = [
        (place_on([v[:2] for v in p.vertices], (outlet.x_mm, outlet.y_mm)).distance, p.id)
        for p in project.pathways.values()
        if p.floor == outlet.floor
    ]
    if not near:
        return "Draw a pathway on this floor."
    distance_mm, pathway_id = min(near)
    pathway = project.pathways[pathway_id]
    name = pathway_name(pathway, project.floors.get(pathway.floor))
    units = project.settings.units
    return (
        f"Draw a branch towards it: {name[0].lower()}{name[1:]} passes "
        f"{length_text(distance_mm, units)} away, and a leg reaches "
        f"{length_text(project.settings.reach_mm, units)}."
    )


# --- fill -----------------------------------------------------------------------------------


def _size(design: Design, finding: Finding, _watch: Progress) -> str:
    """The size that would bring a pathway under its limit."""
    thing = design.project.get(finding.things[0])
    fill = design.fills.get(finding.things[0])
    if fill is None or fill.limit_ratio <= 0 or not isinstance(thing, Carrier):
        return ""
    if isinstance(thing, Pathway) and thing.kind is PathwayKind.HOOKS:
        needed = fill.area_mm2 / fill.limit_ratio
        return f"Hooks with an opening of {needed:,.0f} mm² would take these cables."
    if isinstance(thing, Pathway) and thing.width_mm is not None and thing.depth_mm is not None:
        wide = math.ceil(fill.area_mm2 / fill.limit_ratio / thing.depth_mm / STEP_MM) * STEP_MM
        ratio = fill.area_mm2 / (wide * thing.depth_mm)
        return (
            f"At {wide} × {thing.depth_mm:g} mm it would be {percent_text(ratio)} full; "
            "or a second way beside it."
        )
    return _more_of_them(design, thing)


def _more_of_them(design: Design, thing: Carrier) -> str:
    """How many like it side by side take its cables, shared evenly."""
    load = design.loads.get(thing.id)
    if load is None or load.cable_type is None:
        return ""
    for count in range(thing.count + 1, MOST_BESIDE + 1):
        filled = fill_of(
            msgspec.structs.replace(thing, count=count),
            cables=load.cables,
            area_mm2=load.area_mm2,
            od_mm=design.project.cable_types[load.cable_type].od_mm,
            fill_rules=design.fill_rules,
        )
        if filled.known and filled.places_left >= 0:
            return f"{count} of this size side by side would take these cables."
    return ""


def _said(sentence: str) -> "Cure":
    return lambda _design, _finding, _watch: sentence


Cure = Callable[[Design, Finding, Progress], str]
_CURES: dict[str, Cure] = {
    "run_over_limit": _nearer_frame,
    "run_over_limit_tolerated": _nearer_frame,
    "run_near_limit": _nearer_frame,
    "run_without_route": _route,
    "run_without_route_tolerated": _route,
    "fill_over_limit": _size,
    "plan_not_scaled": _said(
        "Calibrate it on two points that are far apart, with the true length between them."
    ),
    "outlets_required": _said("Spread what is left (Rooms), or place them one by one by the list."),
    "outlet_outside_spaces": _said("Draw the space it stands in, or move it into one."),
    "riser_ends_apart": _said(
        "Lay the plans of both floors over each other by two columns, or move the riser's end."
    ),
    "serving_zones_overlap": _said("Draw the zones side by side, or give them one frame."),
    "serving_zone_over_whole_space": _said(
        "Draw the zone round the space, or let each of its outlets take a frame (Served by)."
    ),
    "port_at_reserved_frame": _said(
        "End its ports by the rules again, or reserve the frame for them too."
    ),
    "walked_length_without_reason": _said("Write the reason beside the length in the panel."),
    "length_without_reason": _said("Write the reason beside the length in the panel."),
}
