"""Existing runs of which nobody has said on which port of the standing panels they end."""

from collections.abc import Sequence

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import floor_phrase, many
from app.model.entities import Floor, Outlet
from app.model.vocabulary import State

UNKNOWN = "existing_ports_unknown"
THERE = frozenset({State.EXISTING, State.TO_REMOVE, State.TO_RELOCATE})


def check_ports_unknown(
    floor: Floor, outlets: Sequence[Outlet], *, panels_stand: bool
) -> list[Finding]:
    """One finding for a floor; `panels_stand`: whether any frame has panels that stand."""
    if not panels_stand:
        return []
    bare = [
        o.id
        for o in outlets
        for p in o.ports
        if p.ends_at is None and (p.state or o.state) in THERE
    ]
    if not bare:
        return []
    verb, they = ("does", "it does") if len(bare) == 1 else ("do", "they do")
    return [
        finding(
            rule=UNKNOWN,
            severity=Severity.NOTE,
            text=f"{many(len(bare), 'existing run')} on {floor_phrase(floor)} {verb} not say on "
            f"which port of a panel {'it ends' if len(bare) == 1 else 'they end'}; until {they}, "
            "new runs of their cable get no port on the panels that stand.",
            things=(floor.id, *sorted(set(bare))),
            floor=floor.id,
            excess=len(bare),
        )
    ]
