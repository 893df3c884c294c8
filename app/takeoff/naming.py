"""What carriers of cable are called in a list, and lengths in the words of an item."""

from app.model.entities import OutdoorDuct, Pathway, Penetration, Riser
from app.model.settings import Settings
from app.model.vocabulary import OPEN_KINDS, PathwayKind, RiserKind, Units

MM_PER_M = 1_000
MM_PER_FOOT = 304.8

KINDS = {
    PathwayKind.LADDER: "Ladder",
    PathwayKind.TRAY: "Tray",
    PathwayKind.BASKET: "Basket",
    PathwayKind.HOOKS: "Hook",
    PathwayKind.SURFACE_RACEWAY: "Surface raceway",
    PathwayKind.CONDUIT: "Conduit",
    PathwayKind.UNDERFLOOR_DUCT: "Underfloor duct",
    PathwayKind.IN_FLOOR_DUCT: "In-floor duct",
}
RISERS = {
    RiserKind.SLEEVES: "Sleeve",
    RiserKind.SLOT: "Slot",
    RiserKind.SHAFT: "Shaft",
    RiserKind.CONDUIT: "Vertical conduit",
}


def length_words(length_mm: float, units: Units) -> str:
    """A length as an item names it, with no more digits than it has: `3.05 m`, `10 ft`."""
    if units is Units.US:
        return f"{round(length_mm / MM_PER_FOOT, 1):g} ft"
    return f"{length_mm / MM_PER_M:g} m"


def carrier_name(thing: Pathway | Riser | OutdoorDuct, settings: Settings) -> str:
    """`Basket 300 × 60`, `Conduit Ø 27`, `Sleeve Ø 103`, `Hook, opening 3,300 mm²`."""
    size = size_text(thing, settings)
    if isinstance(thing, Pathway):
        kind = KINDS[thing.kind]
    elif isinstance(thing, Riser):
        kind = RISERS[thing.kind]
    else:
        kind = "Outdoor duct"
    if not size:
        return f"{kind}, size not given"
    return f"{kind}, {size}" if size.startswith("opening") else f"{kind} {size}"


def size_text(thing: Pathway | Riser | OutdoorDuct, settings: Settings) -> str:
    """The size of one tray, duct, sleeve or hook; empty where none is given."""
    if isinstance(thing, Pathway) and thing.kind is PathwayKind.HOOKS:
        own = thing.opening_mm2
        return f"opening {settings.hook_opening_mm2 if own is None else own:,.0f} mm²"
    if _is_round(thing):
        return "" if thing.bore_mm is None else f"Ø {thing.bore_mm:g}"
    if isinstance(thing, OutdoorDuct) or thing.width_mm is None or thing.depth_mm is None:
        return ""
    return f"{thing.width_mm:g} × {thing.depth_mm:g}"


def opening_size(penetration: Penetration, *, each: bool = False) -> str:
    """`2 × Ø 103`, `350 × 110`; empty where no size is given. `each`: of one of them."""
    if penetration.bore_mm is not None:
        size = f"Ø {penetration.bore_mm:g}"
    elif penetration.width_mm is None or penetration.depth_mm is None:
        return ""
    else:
        size = f"{penetration.width_mm:g} × {penetration.depth_mm:g}"
    return size if each or penetration.count == 1 else f"{penetration.count} × {size}"


def _is_round(thing: Pathway | Riser | OutdoorDuct) -> bool:
    if isinstance(thing, Pathway):
        return thing.kind not in OPEN_KINDS and thing.bore_mm is not None
    if isinstance(thing, Riser):
        return thing.kind in {RiserKind.SLEEVES, RiserKind.CONDUIT}
    return True
