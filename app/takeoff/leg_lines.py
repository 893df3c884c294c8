"""What carries the legs: hooks above accessible ceilings, conduit above hard ones."""

from collections.abc import Mapping, Sequence

from app.model.entities import Outlet
from app.model.project import Project
from app.model.vocabulary import Ceiling, ProvidedBy, State, WayDown
from app.routing.results import Runs
from app.sizing.supports import couplings, hooks_on_leg
from app.takeoff.cutting import cut_from_boxes
from app.takeoff.lines import Section, Tally, Unit
from app.takeoff.naming import length_words

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


def count_legs(
    project: Project, runs: Runs, space_of: Mapping[str, str | None], tally: Tally
) -> None:
    """Hooks, or conduit, for the leg of each new outlet; all its runs share one leg.

    Source: pathways.hook_spacing_most, pathways.conduit_length.
    """
    in_conduit: dict[tuple[str, ProvidedBy], list[Leg]] = {}
    for outlet in project.outlets.values():
        if outlet.state not in {State.NEW, State.TO_RELOCATE}:
            continue
        leg_mm = max((int(runs.leg_mm[runs.row_of[p.id]]) for p in outlet.ports), default=0)
        kind = project.outlet_kinds[outlet.kind]
        way = kind.way_down if outlet.way_down is None else outlet.way_down
        if leg_mm == 0 or way not in HANGS:
            continue
        if _hard_ceiling(project, outlet, space_of):
            key = (outlet.floor, outlet.provided_by)
            in_conduit.setdefault(key, []).append((outlet, leg_mm))
        else:
            _count_hooks(project, outlet, leg_mm, tally)
    for (floor, by), legs in in_conduit.items():
        _count_conduit(project, floor, by, legs, tally)


def conduit_lengths(legs_mm: Sequence[int], *, straight_mm: int) -> int:
    """Whole lengths for many short conduits: their ends are cut from common lengths."""
    whole = sum(leg // straight_mm for leg in legs_mm)
    ends = [leg % straight_mm for leg in legs_mm]
    return whole + len(cut_from_boxes(ends, usable_mm=straight_mm).boxes)


def _hard_ceiling(project: Project, outlet: Outlet, space_of: Mapping[str, str | None]) -> bool:
    space_id = space_of.get(outlet.id)
    space = None if space_id is None else project.spaces.get(space_id)
    return space is not None and space.ceiling is Ceiling.HARD


def _count_hooks(project: Project, outlet: Outlet, leg_mm: int, tally: Tally) -> None:
    settings = project.settings
    spacing_mm = settings.hook_spacing_most_mm
    tally.add(
        Section.SUPPORTS,
        "Hook on a leg",
        hooks_on_leg(length_mm=leg_mm, spacing_mm=spacing_mm, from_mm=settings.leg_hooks_from_mm),
        things=[outlet.id],
        provided_by=outlet.provided_by,
        floor=outlet.floor,
        basis=f"one every {length_words(spacing_mm, settings.units)}, legs over "
        f"{length_words(settings.leg_hooks_from_mm, settings.units)}",
    )


def _count_conduit(
    project: Project, floor: str, by: ProvidedBy, legs: Sequence[Leg], tally: Tally
) -> None:
    straight_mm = project.settings.conduit_length_mm
    lengths_mm = [leg_mm for _, leg_mm in legs]
    joints = sum(couplings(length_mm=leg, straight_mm=straight_mm) for leg in lengths_mm)
    bought = conduit_lengths(lengths_mm, straight_mm=straight_mm)
    hard = "a leg above a hard ceiling lies in conduit"
    for item, quantity, unit, basis in (
        ("Conduit of a leg", sum(lengths_mm), Unit.LENGTH, hard),
        (
            f"Conduit of a leg, length of {length_words(straight_mm, project.settings.units)}",
            bought,
            Unit.PIECE,
            "short ends are cut from common lengths",
        ),
        ("Conduit of a leg, coupling", joints, Unit.PIECE, hard),
    ):
        tally.add(
            Section.PATHWAYS,
            item,
            quantity,
            unit=unit,
            things=[outlet.id for outlet, _ in legs],
            provided_by=by,
            floor=floor,
            basis=basis,
            billed=unit is Unit.PIECE,
        )
