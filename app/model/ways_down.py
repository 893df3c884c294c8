"""Ways down: which one an outlet has, who provides its parts, and the ceiling it starts from."""

from collections.abc import Mapping

from app.model.building import Space
from app.model.cabling import Outlet, OutletKind
from app.model.settings import Settings
from app.model.vocabulary import Ceiling, ProvidedBy, WayDown, WayPart

FROM_ABOVE = frozenset(
    {
        WayDown.WALL_CAVITY,
        WayDown.SURFACE_RACEWAY,
        WayDown.SERVICE_POLE,
        WayDown.CEILING,
    }
)
"""Hang on the pathways of their own floor, over or under the ceiling."""
PARTS_OF_WAY: Mapping[WayDown, tuple[WayPart, ...]] = {
    WayDown.WALL_CAVITY: (WayPart.BACK_BOX, WayPart.STUB),
    WayDown.SURFACE_RACEWAY: (WayPart.RACEWAY, WayPart.MOUNTING_BOX),
    WayDown.SERVICE_POLE: (WayPart.POLE,),
    WayDown.CEILING: (WayPart.BACK_BOX,),
    WayDown.RAISED_FLOOR: (WayPart.FLOOR_BOX,),
    WayDown.POKE_THROUGH: (WayPart.POKE_THROUGH_FITTING, WayPart.CORED_HOLE),
    WayDown.OUTDOOR_CONDUIT: (WayPart.CONDUIT, WayPart.BACK_BOX),
}
"""What each way down may be made of; the settings say what it is made of."""


def way_of(outlet: Outlet, kind: OutletKind) -> WayDown:
    """The way down of an outlet: its own, else its kind's."""
    return kind.way_down if outlet.way_down is None else outlet.way_down


def height_of(outlet: Outlet, kind: OutletKind, space: Space | None, settings: Settings) -> int:
    """The height of an outlet: its own, its kind's, or the ceiling of its space."""
    if outlet.height_mm is not None:
        return outlet.height_mm
    if kind.height_mm is not None:
        return kind.height_mm
    if space is not None and space.ceiling_height_mm is not None:
        return space.ceiling_height_mm
    return settings.ceiling_height_mm


def ceiling_of(space: Space | None, settings: Settings) -> int | None:
    """The height of a space's ceiling; None where there is none, or it is open to the slab.

    Outside every space the ceiling of the settings is taken for granted.
    """
    if space is None:
        return settings.ceiling_height_mm
    if space.ceiling in (Ceiling.OPEN, Ceiling.NONE):
        return None
    own = space.ceiling_height_mm
    return settings.ceiling_height_mm if own is None else own


def parts_by(outlet: Outlet, kind: OutletKind, settings: Settings) -> dict[WayPart, ProvidedBy]:
    """The parts of an outlet's way down and who provides each: as the outlet says, else its
    kind, else the settings, else whoever provides the outlet itself."""
    way = way_of(outlet, kind)
    for_all = kind.way_provided_by if outlet.way_provided_by is None else outlet.way_provided_by
    found = {}
    for rule in settings.ways:
        if rule.way is way and rule.part in PARTS_OF_WAY[way]:
            found[rule.part] = for_all or rule.provided_by or outlet.provided_by
    return found
