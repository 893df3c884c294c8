"""Outlets that lie outside every space: no room number, no ceiling, no serving area."""

from collections.abc import Mapping, Sequence

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import floor_phrase, many
from app.model.entities import Floor, Outlet

RULE = "outlet_outside_spaces"


def check_outside_spaces(
    floor: Floor, outlets: Sequence[Outlet], space_of: Mapping[str, str | None]
) -> list[Finding]:
    """One finding for a floor, naming all its outlets that lie in no space."""
    in_order = sorted(outlets, key=lambda o: (o.number, o.id))
    outside = tuple(o.id for o in in_order if space_of.get(o.id) is None)
    if not outside:
        return []
    verb = "lies" if len(outside) == 1 else "lie"
    text = f"{many(len(outside), 'outlet')} on {floor_phrase(floor)} {verb} outside every space."
    things = (floor.id, *outside)
    return [
        finding(
            rule=RULE,
            severity=Severity.NOTE,
            text=text,
            things=things,
            floor=floor.id,
            excess=len(outside),
        )
    ]
