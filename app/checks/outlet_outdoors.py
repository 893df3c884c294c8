"""Outlets outdoors or on a mast: surge and bonding, and a cable that stands weather."""

from collections.abc import Mapping, Sequence

from app.checks.finding import Finding, Severity, authority, finding
from app.checks.wording import floor_phrase, many
from app.model.entities import Floor, Outlet, OutletKind, Space
from app.model.vocabulary import SpaceUse, WayDown
from app.standards import RuleSet

RULE = "outlet_outdoors"


def is_outdoors(outlet: Outlet, kind: OutletKind, space: Space | None) -> bool:
    """Whether an outlet is reached by outdoor conduit or stands outside."""
    way = kind.way_down if outlet.way_down is None else outlet.way_down
    outside = space is not None and space.use is SpaceUse.OUTSIDE
    return way is WayDown.OUTDOOR_CONDUIT or outside


def check_outdoors(
    floor: Floor,
    outlets: Sequence[Outlet],
    kinds: Mapping[str, OutletKind],
    spaces: Mapping[str, Space],
    space_of: Mapping[str, str | None],
    rules: RuleSet,
) -> list[Finding]:
    """One caution for a floor, naming all its outlets that are outdoors."""

    def outdoors(outlet: Outlet) -> bool:
        space = space_of.get(outlet.id)
        return is_outdoors(outlet, kinds[outlet.kind], None if space is None else spaces[space])

    found = sorted(filter(outdoors, outlets), key=lambda o: (o.number, o.id))
    if not found:
        return []
    one = len(found) == 1
    text = (
        f"{many(len(found), 'outlet')} on {floor_phrase(floor)} {'is' if one else 'are'} outdoors: "
        f"{'it wants' if one else 'they want'} outdoor cable, surge protection and bonding where "
        "the cable enters the building; fibre is preferred. Local code decides."
    )
    return [
        finding(
            rule=RULE,
            severity=Severity.NOTE,
            text=text,
            things=(floor.id, *(o.id for o in found)),
            floor=floor.id,
            authority=authority(rules, "lengths.outdoor_cable_indoors"),
            excess=len(found),
        )
    ]
