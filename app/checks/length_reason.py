"""Lengths changed by hand: an added or replaced length wants its reason."""

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import outlet_name
from app.model.entities import Floor, Outlet

RULE = "length_without_reason"


def check_length_reasons(outlet: Outlet, floor: Floor) -> list[Finding]:
    """One finding for an outlet with a length added or replaced and no reason given."""
    silent = tuple(
        p.id
        for p in outlet.ports
        if (p.added_mm != 0 or p.replaced_mm is not None) and not p.length_reason.strip()
    )
    if not silent:
        return []
    text = f"{outlet_name(outlet, floor)}: a length was added or replaced without a reason."
    return [
        finding(
            rule=RULE,
            severity=Severity.NOTE,
            text=text,
            things=(outlet.id, *silent),
            floor=outlet.floor,
        )
    ]
