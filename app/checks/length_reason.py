"""Lengths changed by hand: an added or replaced length wants its reason."""

from collections.abc import Sequence

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import floor_phrase, many, outlet_name
from app.model.entities import BackboneCable, Floor, Outlet, Port, WalkedLength

RULE = "length_without_reason"
WALKED = "walked_length_without_reason"


def check_walked_reasons(floor: Floor, walked: Sequence[WalkedLength]) -> list[Finding]:
    """One finding for a floor, naming all its walked lengths without a reason."""
    silent = tuple(w.id for w in sorted(walked, key=lambda w: w.id) if not w.reason.strip())
    if not silent:
        return []
    said = many(len(silent), "walked length")
    verb = "has" if len(silent) == 1 else "have"
    return [
        finding(
            rule=WALKED,
            severity=Severity.NOTE,
            text=f"{said} on {floor_phrase(floor)} {verb} no reason.",
            things=(floor.id, *silent),
            floor=floor.id,
            excess=len(silent),
        )
    ]


def check_length_reasons(outlet: Outlet, floor: Floor) -> list[Finding]:
    """One finding for an outlet with a length added or replaced and no reason given."""
    silent = tuple(p.id for p in outlet.ports if _silent(p))
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


def check_backbone_reason(cable: BackboneCable, floor_id: str | None) -> list[Finding]:
    """A backbone cable with a length added or replaced and no reason given."""
    if not _silent(cable):
        return []
    text = f"Backbone cable {cable.name}: a length was added or replaced without a reason."
    return [
        finding(rule=RULE, severity=Severity.NOTE, text=text, things=(cable.id,), floor=floor_id)
    ]


def _silent(cable: Port | BackboneCable) -> bool:
    changed = cable.added_mm != 0 or cable.replaced_mm is not None
    return changed and not cable.length_reason.strip()
