"""What carries the legs: hooks above accessible ceilings, conduit above hard ones."""

from collections.abc import Iterable

from app.design.ways_down import HANGS
from app.model.entities import Outlet
from app.model.project import Project
from app.model.vocabulary import ProvidedBy
from app.sizing.supports import hooks_on_leg
from app.standards import RuleSet
from app.takeoff.conduit_lines import Stretch, conduit_item, count_conduits
from app.takeoff.lines import Section, Tally
from app.takeoff.naming import length_words
from app.takeoff.way_lines import Way


def count_legs(project: Project, ways: Iterable[Way], rules: RuleSet, tally: Tally) -> None:
    """Hooks, or conduit, for the leg of each new outlet; all its runs share one leg.

    A leg under a raised floor lies there, and one outdoors is in its conduit.
    Source: pathways.hook_spacing_most, pathways.conduit_length, pathways.conduit_strap_spacing.
    """
    in_conduit: dict[tuple[str, ProvidedBy, str], list[Stretch]] = {}
    for outlet, way in ways:
        if way.leg_mm == 0 or way.way not in HANGS:
            continue
        floor = outlet.floor if way.hangs_on is None else way.hangs_on
        if way.in_conduit:
            name = f"{conduit_item('Conduit', way.conduit)} of a leg"
            key = floor, outlet.provided_by, name
            in_conduit.setdefault(key, []).append(Stretch(outlet.id, way.leg_mm, way.bends))
        else:
            _count_hooks(project, outlet, floor, way.leg_mm, tally)
    for (floor, by, name), stretches in in_conduit.items():
        why = "a leg above a hard ceiling lies in conduit"
        count_conduits(project, floor, by, name, stretches, rules, tally, why=why)


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
