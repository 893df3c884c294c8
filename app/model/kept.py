"""What is kept beside the building: waivers, kits, named states to come back to."""

from typing import Annotated

from msgspec import Meta

from app.model.building import Space
from app.model.cabling import Frame, Outlet
from app.model.fields import Count, Entity, Name, Text
from app.model.laid import AccessPoint, Break, DropOut, Pathway, Penetration, WalkedLength


class Waiver(Entity, frozen=True, kw_only=True):
    """A finding somebody answers for, with a reason and a name."""

    finding: Name
    reason: Text
    by: Name
    date: Name = ""


KitThing = (
    Outlet | Frame | Space | Pathway | AccessPoint | DropOut | Break | Penetration | WalkedLength
)
"""What a kit may hold."""
MOST_KIT_THINGS = 20_000


class Kit(Entity, frozen=True, kw_only=True):
    """A named set of things at places relative to the kit's own origin.

    Ids among `things` are the kit's own: they tell what refers to what within it. Their floor
    is the bare word `floor`. Numbers, tests, lengths and ports at frames are not kept.
    """

    name: Name
    things: Annotated[tuple[KitThing, ...], Meta(max_length=MOST_KIT_THINGS)]
    note: Text = ""


class RestorePoint(Entity, frozen=True, kw_only=True):
    """A named state of the project ("as sent to client, rev A").

    The state itself lies under its hash, beside the plans. `plan_hashes` are those of the
    originals and drawings of its plans, which are kept for it though the project drop them.
    """

    name: Name
    made_on: Name = ""
    by: Name = ""
    revision: Name = ""
    note: Text = ""
    state_sha256: Name
    plan_hashes: tuple[Name, ...] = ()
    outlets: Count = 0
    runs: Count = 0
    over: Count = 0
