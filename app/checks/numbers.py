"""Numbers on both ends from the first click: what has none, and what has another's."""

from collections.abc import Iterable, Sequence

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import floor_phrase, many
from app.model.entities import Floor, Outlet, Pathway

UNNUMBERED = "outlets_unnumbered"
UNLABELLED = "pathways_unnumbered"
DUPLICATE = "number_twice"


def check_unnumbered(floor: Floor, outlets: Sequence[Outlet]) -> list[Finding]:
    """One finding for a floor, naming all its outlets without a number."""
    bare = tuple(sorted(o.id for o in outlets if not o.number.strip()))
    if not bare:
        return []
    verb = "has" if len(bare) == 1 else "have"
    text = f"{many(len(bare), 'outlet')} on {floor_phrase(floor)} {verb} no number."
    things = (floor.id, *bare)
    return [
        finding(
            rule=UNNUMBERED,
            severity=Severity.NOTE,
            text=text,
            things=things,
            floor=floor.id,
            excess=len(bare),
        )
    ]


def check_duplicates(sort: str, numbered: Iterable[tuple[str, str, str | None]]) -> list[Finding]:
    """One finding for every number that two or more things of a sort carry.

    `numbered` gives id, number and floor id; `sort` is the plural, such as `outlets`.
    """
    by_number: dict[str, list[tuple[str, str | None]]] = {}
    for thing, number, floor in numbered:
        if number.strip():
            by_number.setdefault(number.strip(), []).append((thing, floor))
    found = []
    for number, holders in by_number.items():
        if len(holders) > 1:
            holders.sort(key=lambda holder: holder[0])
            found.append(
                finding(
                    rule=DUPLICATE,
                    severity=Severity.WARN,
                    text=f"The number {number} is carried by {len(holders)} {sort}; "
                    "give each its own.",
                    things=tuple(thing for thing, _ in holders),
                    floor=holders[0][1],
                    excess=len(holders),
                )
            )
    return found


def check_unlabelled(floor: Floor, pathways: Sequence[Pathway]) -> list[Finding]:
    """One finding for a floor, naming all its pathways without a number."""
    bare = tuple(sorted(p.id for p in pathways if not p.number.strip()))
    if not bare:
        return []
    verb = "has" if len(bare) == 1 else "have"
    text = f"{many(len(bare), 'pathway')} on {floor_phrase(floor)} {verb} no number."
    things = (floor.id, *bare)
    return [
        finding(
            rule=UNLABELLED,
            severity=Severity.NOTE,
            text=text,
            things=things,
            floor=floor.id,
            excess=len(bare),
        )
    ]
