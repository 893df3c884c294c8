"""Outlets outdoors or on a mast: surge and bonding, and a cable that stands weather."""

from app.checks.finding import Finding, Severity, authority, finding
from app.checks.wording import outlet_name
from app.model.entities import Floor, Outlet, OutletKind, Space
from app.model.vocabulary import SpaceUse, WayDown
from app.standards import RuleSet

RULE = "outlet_outdoors"


def check_outdoors(
    outlet: Outlet, kind: OutletKind, space: Space | None, floor: Floor, rules: RuleSet
) -> list[Finding]:
    """A caution for each outlet that is reached by outdoor conduit or stands outside."""
    way = kind.way_down if outlet.way_down is None else outlet.way_down
    outside = space is not None and space.use is SpaceUse.OUTSIDE
    if way is not WayDown.OUTDOOR_CONDUIT and not outside:
        return []
    text = (
        f"{outlet_name(outlet, floor)} is outdoors: it wants outdoor cable, surge protection and "
        "bonding where the cable enters the building; fibre is preferred. Local code decides."
    )
    return [
        finding(
            rule=RULE,
            severity=Severity.NOTE,
            text=text,
            things=(outlet.id,),
            floor=outlet.floor,
            authority=authority(rules, "lengths.outdoor_cable_indoors"),
        )
    ]
