"""Penetrations: sleeves and openings to make, and what closes them, as placed on the plan."""

from collections.abc import Iterable

from app.model.entities import OutdoorDuct, Pathway, Penetration
from app.model.project import Project
from app.model.vocabulary import Crossed, State
from app.takeoff.lines import Section, Tally
from app.takeoff.naming import opening_size

BASIS = "as placed on the plan; the tested system decides"
NOT_THERE = frozenset({State.TO_REMOVE, State.FUTURE})


def count_penetrations(project: Project, tally: Tally) -> None:
    """New penetrations: their sleeves or openings, and a fire-stop for each.

    A wall that is not rated, and for which no barrier is named, is only opened. A conduit that
    passes by itself needs no sleeve about it.
    """
    for penetration in project.penetrations.values():
        if penetration.state is not State.NEW:
            continue
        crossed = penetration.crossed
        if not _is_its_own_sleeve(project, penetration):
            _add(tally, penetration, f"{opening_word(penetration)} through a {crossed}")
        if penetration.barrier.strip():
            _add(tally, penetration, f"Fire-stop, {penetration.barrier.strip()}")
        elif crossed is Crossed.FLOOR or penetration.rating.strip():
            _add(tally, penetration, f"Fire-stop of a {crossed} opening")


def slabs_marked(penetrations: Iterable[Penetration]) -> dict[str, set[str]]:
    """By riser, the floors whose slab has a penetration of its own, there or to be made."""
    found: dict[str, set[str]] = {}
    for p in penetrations:
        if p.crossed is Crossed.FLOOR and p.through is not None and p.state not in NOT_THERE:
            found.setdefault(p.through, set()).add(p.floor)
    return found


def opening_word(penetration: Penetration) -> str:
    """`Sleeve Ø 103`, `Opening 350 × 110`, `Opening, size not given`."""
    kind = "Opening" if penetration.bore_mm is None else "Sleeve"
    size = opening_size(penetration, each=True)
    return f"{kind} {size}" if size else f"{kind}, size not given"


def _is_its_own_sleeve(project: Project, penetration: Penetration) -> bool:
    carrier = project.get(penetration.through or "")
    if not isinstance(carrier, Pathway | OutdoorDuct) or penetration.bore_mm is None:
        return False
    return carrier.bore_mm == penetration.bore_mm


def _add(tally: Tally, penetration: Penetration, item: str) -> None:
    tally.add(
        Section.RISERS,
        item,
        penetration.count,
        things=[penetration.id],
        provided_by=penetration.provided_by,
        floor=penetration.floor,
        basis=BASIS,
    )
