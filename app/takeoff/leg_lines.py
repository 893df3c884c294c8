"""What carries the legs: hooks above accessible ceilings, conduit above hard ones."""

from collections.abc import Mapping

from app.model.entities import Outlet
from app.model.project import Project
from app.model.vocabulary import Ceiling, State, WayDown
from app.routing.results import Runs
from app.sizing.supports import couplings, hooks_on_leg, straight_lengths
from app.takeoff.lines import Section, Tally, Unit

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


def count_legs(
    project: Project, runs: Runs, space_of: Mapping[str, str | None], tally: Tally
) -> None:
    """Hooks, or conduit, for the leg of each new outlet; all its runs share one leg.

    Source: pathways.hook_spacing_most, pathways.conduit_length.
    """
    for outlet in project.outlets.values():
        if outlet.state not in {State.NEW, State.TO_RELOCATE}:
            continue
        leg_mm = max((int(runs.leg_mm[runs.row_of[p.id]]) for p in outlet.ports), default=0)
        kind = project.outlet_kinds[outlet.kind]
        way = kind.way_down if outlet.way_down is None else outlet.way_down
        if leg_mm == 0 or way not in HANGS:
            continue
        if _hard_ceiling(project, outlet, space_of):
            _count_conduit(project, outlet, leg_mm, tally)
        else:
            _count_hooks(project, outlet, leg_mm, tally)


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
        basis=f"one every {spacing_mm / 1000:g} m, legs over "
        f"{settings.leg_hooks_from_mm / 1000:g} m",
    )


def _count_conduit(project: Project, outlet: Outlet, leg_mm: int, tally: Tally) -> None:
    straight_mm = project.settings.conduit_length_mm
    lengths = straight_lengths(length_mm=leg_mm, straight_mm=straight_mm)
    for item, quantity, unit in (
        ("Conduit of a leg", leg_mm, Unit.LENGTH),
        (f"Conduit of a leg, length of {straight_mm / 1000:g} m", lengths, Unit.PIECE),
        (
            "Conduit of a leg, coupling",
            couplings(length_mm=leg_mm, straight_mm=straight_mm),
            Unit.PIECE,
        ),
    ):
        tally.add(
            Section.PATHWAYS,
            item,
            quantity,
            unit=unit,
            things=[outlet.id],
            provided_by=outlet.provided_by,
            floor=outlet.floor,
            basis="a leg above a hard ceiling lies in conduit",
            billed=unit is Unit.PIECE,
        )
