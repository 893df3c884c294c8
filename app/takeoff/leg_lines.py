"""What carries the legs: hooks above accessible ceilings, conduit above hard ones."""

from collections.abc import Sequence

import numpy as np

from app.design.design import Design
from app.model.entities import Outlet
from app.model.project import Project, floors_from_below
from app.model.vocabulary import Ceiling, ProvidedBy, WayDown
from app.routing.ground import spaces_at
from app.sizing.conduit_count import conduit_to_outlet
from app.sizing.supports import couplings, hooks_on_leg, supports_on_line
from app.standards import RuleSet
from app.takeoff.cutting import cut_from_boxes
from app.takeoff.lines import Section, Tally, Unit
from app.takeoff.naming import length_words
from app.takeoff.states import ENDED_AFTER, PULLED, state_of

HANGS = frozenset(
    {
        WayDown.WALL_CAVITY,
        WayDown.SURFACE_RACEWAY,
        WayDown.SERVICE_POLE,
        WayDown.CEILING,
        WayDown.POKE_THROUGH,
    }
)
"""Ways down whose leg hangs overhead; raised floors and outdoor conduit carry it otherwise."""

Leg = tuple[Outlet, int]
"""An outlet and the length of its leg in mm."""


def count_legs(design: Design, rules: RuleSet, tally: Tally) -> None:
    """Hooks, or conduit, for the leg of each new outlet; all its runs share one leg.

    Source: pathways.hook_spacing_most, pathways.conduit_length, pathways.conduit_strap_spacing.
    """
    project, runs = design.project, design.runs
    in_conduit: dict[tuple[str, ProvidedBy, str], list[Leg]] = {}
    for outlet in project.outlets.values():
        if outlet.state not in PULLED:
            continue
        leg_mm = max((int(runs.leg_mm[runs.row_of[p.id]]) for p in outlet.ports), default=0)
        kind = project.outlet_kinds[outlet.kind]
        way = kind.way_down if outlet.way_down is None else outlet.way_down
        if leg_mm == 0 or way not in HANGS:
            continue
        floor, space = _overhead(design, outlet, way)
        if space is not None and project.spaces[space].ceiling is Ceiling.HARD:
            name = _conduit_name(project, outlet, rules)
            key = (floor, outlet.provided_by, name)
            in_conduit.setdefault(key, []).append((outlet, leg_mm))
        else:
            _count_hooks(project, outlet, floor, leg_mm, tally)
    for (floor, by, name), legs in in_conduit.items():
        _count_conduit(project, floor, by, name, legs, rules, tally)


def _overhead(design: Design, outlet: Outlet, way: WayDown) -> tuple[str, str | None]:
    """The floor and the space in which the leg hangs: of a poke-through those below the outlet.

    On the lowest floor a poke-through has no route, and so no leg.
    """
    if way is not WayDown.POKE_THROUGH:
        return outlet.floor, design.space_of.get(outlet.id)
    floors = floors_from_below(design.project, design.project.floors[outlet.floor].building)
    ids = [floor.id for floor in floors]
    below = ids[ids.index(outlet.floor) - 1]
    rooms = design.workings.base.rooms[below]
    number = int(spaces_at(rooms, np.array([(outlet.x_mm, outlet.y_mm)], dtype=np.float64))[0])
    return below, rooms.ids[number] if number >= 0 else None


def _conduit_name(project: Project, outlet: Outlet, rules: RuleSet) -> str:
    """`Conduit Ø 27 of a leg`, by the cables that will lie in it."""
    ods_mm = [
        project.cable_types[p.cable_type].od_mm
        for p in outlet.ports
        if state_of(outlet, p) in ENDED_AFTER
    ]
    size = conduit_to_outlet(ods_mm=ods_mm, rules=rules) if ods_mm else None
    return "Conduit of a leg, size not given" if size is None else f"Conduit Ø {size} of a leg"


def conduit_lengths(legs_mm: Sequence[int], *, straight_mm: int) -> int:
    """Whole lengths for many short conduits: their ends are cut from common lengths."""
    whole = sum(leg // straight_mm for leg in legs_mm)
    ends = [leg % straight_mm for leg in legs_mm]
    return whole + len(cut_from_boxes(ends, usable_mm=straight_mm).boxes)


def _count_hooks(project: Project, outlet: Outlet, floor: str, leg_mm: int, tally: Tally) -> None:
    settings = project.settings
    spacing_mm = settings.hook_spacing_most_mm
    tally.add(
        Section.SUPPORTS,
        "Hook on a leg",
        hooks_on_leg(length_mm=leg_mm, spacing_mm=spacing_mm, from_mm=settings.leg_hooks_from_mm),
        things=[outlet.id],
        provided_by=outlet.provided_by,
        floor=floor,
        basis=f"one every {length_words(spacing_mm, settings.units)}, legs over "
        f"{length_words(settings.leg_hooks_from_mm, settings.units)}",
    )


def _count_conduit(
    project: Project,
    floor: str,
    by: ProvidedBy,
    name: str,
    legs: Sequence[Leg],
    rules: RuleSet,
    tally: Tally,
) -> None:
    settings = project.settings
    straight_mm = settings.conduit_length_mm
    strap_mm = rules.mm("pathways.conduit_strap_spacing")
    lengths_mm = [leg_mm for _, leg_mm in legs]
    joints = sum(couplings(length_mm=leg, straight_mm=straight_mm) for leg in lengths_mm)
    straps = sum(supports_on_line(length_mm=leg, spacing_mm=strap_mm) for leg in lengths_mm)
    bought = conduit_lengths(lengths_mm, straight_mm=straight_mm)
    hard = "a leg above a hard ceiling lies in conduit"
    every = f"one every {length_words(strap_mm, settings.units)} and one at the end"
    for section, item, quantity, unit, basis in (
        (Section.PATHWAYS, name, sum(lengths_mm), Unit.LENGTH, hard),
        (
            Section.PATHWAYS,
            f"{name}, length of {length_words(straight_mm, settings.units)}",
            bought,
            Unit.PIECE,
            "short ends are cut from common lengths",
        ),
        (Section.PATHWAYS, f"{name}, coupling", joints, Unit.PIECE, hard),
        (Section.SUPPORTS, f"{name}, strap", straps, Unit.PIECE, every),
    ):
        tally.add(
            section,
            item,
            quantity,
            unit=unit,
            things=[outlet.id for outlet, _ in legs],
            provided_by=by,
            floor=floor,
            basis=basis,
            billed=unit is Unit.PIECE,
        )
