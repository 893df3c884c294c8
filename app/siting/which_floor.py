"""Which floor? What each frame or marked place gives, and what the building is without it.

A first honest answer: every place is tried by routing the whole building with it and without
it. Nothing is guessed, and nothing is proven beyond the places that were tried.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import msgspec
import numpy as np

from app.checks.wording import length_text
from app.design import Design, recalculate, route_of
from app.geometry.rounding import to_mm
from app.model.entities import BackboneCable, Candidate, Floor, Frame, Outlet, Port
from app.model.ids import new_id
from app.model.project import Patch, Project, adding, changing, floors_from_below, removing
from app.model.vocabulary import State, Units
from app.progress import Progress, Silent
from app.routing.results import RunStatus
from app.routing.riser_joints import riser_points

T = TypeVar("T")
ROUGH_MM = 1_000_000
"""From this much cable on it is told in kilometres."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a building comes to with its frames. `mean_mm` and the rest are of runs routed."""

    runs: int
    over_runs: int
    over_outlets: int
    no_route_runs: int
    longest_mm: int
    mean_mm: int
    total_mm: int


@dataclass(frozen=True, slots=True)
class PlaceAnswer:
    """One frame or candidate, or a floor that has neither (`thing` and outcomes None)."""

    floor: str
    thing: str | None
    name: str
    stands: bool
    """Whether a frame stands there now; else it is a marked place."""
    with_it: Outcome | None
    without_it: Outcome | None
    sentence: str
    reason_against: str = ""


def which_floor(design: Design, *, progress: Progress | None = None) -> tuple[PlaceAnswer, ...]:
    """Every floor from below, with each frame and each marked place on it, tried one by one.

    Raises Cancelled when the progress says so; the design is not changed.
    """
    watch = Silent() if progress is None else progress
    project = design.project
    places: list[Frame | Candidate | Floor] = []
    for building in project.buildings:
        for floor in floors_from_below(project, building):
            places.extend(_places_on(project, floor) or [floor])
    answers = []
    for i, place in enumerate(places):
        watch.check()
        watch.report(i / len(places), f"Trying {place.name}")
        answers.append(_answer(design, place))
    watch.report(1.0, "Done")
    return tuple(answers)


def _places_on(project: Project, floor: Floor) -> list[Frame | Candidate | Floor]:
    frames = [f for f in project.frames.values() if f.floor == floor.id and _will_stand(f)]
    marked = [c for c in project.candidates.values() if c.floor == floor.id]
    return [*_by_name(frames), *_by_name(marked)]


def _will_stand(frame: Frame) -> bool:
    return frame.state not in (State.TO_REMOVE, State.FUTURE)


def _by_name(places: Sequence[T]) -> list[T]:
    return sorted(places, key=lambda p: (getattr(p, "name", ""), getattr(p, "id", "")))


def _answer(design: Design, place: Frame | Candidate | Floor) -> PlaceAnswer:
    now = outcome(design)
    if isinstance(place, Floor):
        sentence = f"No frame stands on floor {place.name}, and no place is marked on it."
        return PlaceAnswer(place.id, None, f"Floor {place.name}", False, None, None, sentence)
    if isinstance(place, Frame):
        without = outcome(_after(design, patch_without(design.project, place)))
        sentence = _sentence_for_frame(now, without, design.project.settings.units)
        return PlaceAnswer(place.floor, place.id, place.name, True, now, without, sentence)
    tried = _after(design, patch_with(design.project, place))
    sentence = _sentence_for_candidate(design, tried, place)
    return PlaceAnswer(
        place.floor,
        place.id,
        place.name,
        False,
        outcome(tried),
        now,
        sentence,
        place.reason_against,
    )


def _after(design: Design, patch: Patch) -> Design:
    return recalculate(design, design.project.apply(patch), patch)[0]


def outcome(design: Design) -> Outcome:
    """The counts and lengths of a design's runs; over the limit only those that count."""
    runs = design.runs
    routed = runs.status != RunStatus.NO_ROUTE
    over = _rows_over(design)
    lengths = runs.installed_mm[routed]
    total = int(lengths.sum())
    count = len(lengths)
    return Outcome(
        runs=count,
        over_runs=len(over),
        over_outlets=len({runs.outlet_ids[row] for row in over}),
        no_route_runs=int(((runs.status == RunStatus.NO_ROUTE) & runs.counted).sum()),
        longest_mm=int(lengths.max()) if count else 0,
        mean_mm=(2 * total + count) // (2 * count) if count else 0,
        total_mm=total,
    )


def _rows_over(design: Design) -> list[int]:
    runs = design.runs
    over = (runs.status == RunStatus.OVER) & runs.counted
    return [int(row) for row in np.flatnonzero(over)]


def patch_with(project: Project, place: Candidate) -> Patch:
    """The patch that lets a frame stand at a marked place, to be tried."""
    frame = Frame(
        id=new_id("frame", project),
        floor=place.floor,
        name=place.name,
        x_mm=place.x_mm,
        y_mm=place.y_mm,
        ladder_height_mm=place.ladder_height_mm,
    )
    return adding(f"Try a frame at {place.name}", [frame])


def patch_without(project: Project, frame: Frame) -> Patch:
    """The patch that takes a frame away with all that refers to it, to be tried."""
    freed = changing("", [(o, _freed(o, frame)) for o in project.outlets.values()])
    cables = [c for c in project.table(BackboneCable).values() if frame.id in (c.from_id, c.to_id)]
    zones = [z for z in project.serving_zones.values() if z.frame == frame.id]
    gone = removing("", [*cables, *zones, frame])
    return Patch(f"Try without {frame.name}", (*freed.changes, *gone.changes))


def _freed(outlet: Outlet, frame: Frame) -> Outlet:
    """The outlet with no port fixed to the frame, or ended at it."""
    ports = tuple(_freed_port(port, frame) for port in outlet.ports)
    return outlet if ports == outlet.ports else msgspec.structs.replace(outlet, ports=ports)


def _freed_port(port: Port, frame: Frame) -> Port:
    fixed = port.frame if port.frame != frame.id else None
    ends_at = port.ends_at
    if ends_at is not None and ends_at.frame == frame.id:
        ends_at = None
    return msgspec.structs.replace(port, frame=fixed, ends_at=ends_at)


def _sentence_for_frame(now: Outcome, without: Outcome, units: Units) -> str:
    spent_mm = without.total_mm - now.total_mm
    lost = without.no_route_runs - now.no_route_runs
    more = without.over_runs - now.over_runs
    said = []
    if lost > 0:
        said.append(f"{_runs(lost)} would have no route")
    if more > 0:
        said.append(f"{_runs(more)} more would be over the limit")
    if said:
        return f"Without it {' and '.join(said)}."
    if spent_mm == 0:
        return "Without it: nothing more over the limit, and as much cable."
    cable = f"{_cable(abs(spent_mm), units)} {'less' if spent_mm < 0 else 'more'} cable"
    return f"Without it: nothing more over the limit, {cable}."


def _sentence_for_candidate(design: Design, tried: Design, place: Candidate) -> str:
    before, after = outcome(design), outcome(tried)
    found = before.no_route_runs - after.no_route_runs
    routed = f" It gives {_runs(found)} a route that had none." if found > 0 else ""
    if before.over_runs == 0:
        saved_mm = before.total_mm - after.total_mm
        less = (
            f" It would save {_cable(saved_mm, design.project.settings.units)} of cable."
            if saved_mm > 0
            else ""
        )
        return f"Nothing is over the limit now.{less}{routed}"
    cured = before.over_runs - after.over_runs
    if cured <= 0:
        return f"Cures nothing: {_why_nothing(design, place)}{routed}"
    if after.over_runs == 0:
        return f"Cures all {_runs(before.over_runs)} over the limit.{routed}"
    left = _floors_of(tried, _rows_over(tried))
    where = f"all on floor {left[0]}" if len(left) == 1 else f"on floors {_and(left)}"
    outlets = f"{after.over_outlets} outlet{'s' if after.over_outlets != 1 else ''}"
    stay = "stays" if after.over_outlets == 1 else "stay"
    return f"Cures {cured} of {_runs(before.over_runs)}; {outlets} {stay} over, {where}.{routed}"


def _why_nothing(design: Design, place: Candidate) -> str:
    """Names the riser by which the runs over the limit come to the place's floor."""
    project = design.project
    rows = _rows_over(design)
    floor = project.need(Floor, place.floor)
    if any(_floor_of(design, row).id == floor.id for row in rows):
        return f"{place.name} lies no nearer to those runs than the frames they have."
    floors = _floors_of(design, rows)
    joining = _risers_used(design, rows)
    where = f"floor{'s' if len(floors) > 1 else ''} {_and(floors)}"
    here = (place.x_mm, place.y_mm)
    passing = {
        riser: to_mm(math.dist(points[floor.id], here))
        for riser, points in riser_points(project).items()
        if floor.id in points
    }
    used = min((r for r in joining if r in passing), key=lambda r: (passing[r], r), default=None)
    if used is None:
        return f"the runs over the limit are on {where}, and no riser joins them to {place.name}."
    away_mm = passing[used]
    nearest_mm, nearest = min((mm, r) for r, mm in passing.items())
    said = (
        f"the runs over the limit are on {where} and reach floor {floor.name} only by "
        f"{_riser_name(project, used)}, {away_mm / 1000:.1f} m from {place.name}; "
    )
    if nearest_mm < away_mm:
        name = _riser_name(project, nearest)
        return f"{said}{name}, {nearest_mm / 1000:.1f} m away, gives them no shorter way."
    return f"{said}no riser stands nearer to it."


def _riser_name(project: Project, riser_id: str) -> str:
    return project.risers[riser_id].number or "a riser without a number"


def _risers_used(design: Design, rows: Sequence[int]) -> list[str]:
    ports = [design.runs.port_ids[row] for row in rows]
    used = {
        line.thing
        for port in ports
        for line in route_of(design, port)
        if line.thing is not None and line.thing in design.project.risers
    }
    return sorted(used)


def _floor_of(design: Design, row: int) -> Floor:
    outlet = design.project.outlets[design.runs.outlet_ids[row]]
    return design.project.floors[outlet.floor]


def _floors_of(design: Design, rows: Sequence[int]) -> list[str]:
    floors = {_floor_of(design, row) for row in rows}
    return [f.name for f in sorted(floors, key=lambda f: (f.level_mm, f.id))]


def _cable(length_mm: int, units: Units) -> str:
    """Kilometres of cable, metres where tenths of a kilometre would say too little; or feet."""
    if units is Units.METRIC and length_mm >= ROUGH_MM:
        return f"{length_mm / 1_000_000:.1f} km"
    return length_text(length_mm, units, places=0)


def _runs(count: int) -> str:
    return f"{count} run{'' if count == 1 else 's'}"


def _and(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
