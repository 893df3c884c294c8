"""Outlets in a space that is closed to cable: shaft, stair enclosure, void, no-cable zone."""

from app.checks.finding import PLAIN, Finding, Severity, authority, finding
from app.checks.wording import outlet_name, space_name
from app.model.entities import Floor, Outlet, Space
from app.model.vocabulary import SpaceUse
from app.routing.ground import is_closed
from app.standards import RuleSet

RULE = "outlet_in_closed_space"


def check_closed_space(
    outlet: Outlet, space: Space | None, floor: Floor, rules: RuleSet
) -> list[Finding]:
    """A finding where the outlet's space is closed to cable; outside has a caution of its own."""
    if space is None or not is_closed(space) or space.use is SpaceUse.OUTSIDE:
        return []
    lift = space.use is SpaceUse.LIFT_SHAFT
    return [
        finding(
            rule=RULE,
            severity=Severity.WARN,
            text=f"{outlet_name(outlet, floor)} stands in {space_name(space)}, "
            "which is closed to cable.",
            things=(outlet.id, space.id),
            floor=outlet.floor,
            authority=authority(rules, "pathways.allowed_in_lift_shaft") if lift else PLAIN,
        )
    ]
