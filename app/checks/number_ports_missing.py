"""New runs that were left out when panel ports were given."""

from collections.abc import Sequence

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import floor_phrase, many
from app.model.entities import Floor, Outlet
from app.model.vocabulary import State

MISSING = "ports_not_given"
PULLED = frozenset({State.NEW, State.TO_RELOCATE})


def check_ports_missing(floor: Floor, outlets: Sequence[Outlet]) -> list[Finding]:
    """One finding for a floor on which some runs have a panel port and new ones have none.

    Nothing is said before any is given: then it is only not done yet.
    """
    if not any(p.ends_at is not None for o in outlets for p in o.ports):
        return []
    bare = [
        o.id
        for o in outlets
        for p in o.ports
        if p.ends_at is None and (p.state or o.state) in PULLED
    ]
    if not bare:
        return []
    verb = "has" if len(bare) == 1 else "have"
    return [
        finding(
            rule=MISSING,
            severity=Severity.NOTE,
            text=f"{many(len(bare), 'new run')} on {floor_phrase(floor)} {verb} no panel port yet; "
            "give panels and ports again.",
            things=(floor.id, *sorted(set(bare))),
            floor=floor.id,
            excess=len(bare),
        )
    ]
