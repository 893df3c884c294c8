"""How things and numbers are called in a finding's sentence."""

from app.model.entities import (
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    PanelPort,
    Pathway,
    Riser,
    Space,
)
from app.model.vocabulary import PathwayKind, Units
from app.routing.tracing import PATHWAY_WORDS

MM_PER_M = 1_000
MM_PER_FOOT = 304.8
M2_PER_FT2 = 0.09290304
ROUGH_MM = 100
"""Below this a length is told to the centimetre, for 0.1 m would say nothing."""


def length_text(length_mm: float, units: Units, *, places: int = 1) -> str:
    """A length as people read it: 97.3 m, or 319.2 ft. Half up, as lengths are rounded."""
    if units is Units.US:
        return f"{_half_up(length_mm / MM_PER_FOOT, places)} ft"
    return f"{_half_up(length_mm / MM_PER_M, places)} m"


def length_and_excess(length_mm: int, limit_mm: int, units: Units) -> tuple[str, str]:
    """A length and how far it is from its limit, so that the two printed numbers agree.

    To the centimetre where a decimetre would say nothing.
    """
    places = 1 if abs(length_mm - limit_mm) >= ROUGH_MM else 2
    per_unit, unit = (MM_PER_FOOT, "ft") if units is Units.US else (MM_PER_M, "m")
    length = _half_up(length_mm / per_unit, places)
    limit = _half_up(limit_mm / per_unit, places)
    apart = abs(float(length) - float(limit))
    return f"{length} {unit}", f"{_half_up(apart, places)} {unit}"


def _half_up(value: float, places: int) -> str:
    # Binary rounding would print 0.25 as 0.2 and 0.35 as 0.3.
    scaled = int(abs(value) * 10**places + 0.5 + 1e-9)
    text = f"{scaled / 10**places:.{places}f}"
    return f"-{text}" if value < 0 and scaled else text


def area_text(area_m2: float, units: Units) -> str:
    """An area as people read it: 5,500 m², or 59,200 ft²."""
    if units is Units.US:
        return f"{area_m2 / M2_PER_FT2:,.0f} ft²"
    return f"{area_m2:,.0f} m²"


def percent_text(ratio: float) -> str:
    """A share in whole percent, or with one decimal below ten: 90 %, 5.4 %."""
    percent = ratio * 100
    return f"{percent:.0f} %" if percent >= 10 else f"{percent:.1f} %"  # noqa: PLR2004


def percent_over(ratio: float, limit_ratio: float) -> str:
    """A share that passes a limit, with a decimal where it else would read like the limit."""
    text = percent_text(ratio)
    return f"{ratio * 100:.1f} %" if text == percent_text(limit_ratio) else text


def many(count: int, word: str, plural: str | None = None) -> str:
    """`1 cable`, `3 cables`, `2 boxes`."""
    return f"{count:,} {word if count == 1 else plural or word + 's'}"


def outlet_name(outlet: Outlet, floor: Floor | None) -> str:
    """`Outlet 2-041`, or `An outlet without a number on floor 2`."""
    if outlet.number:
        return f"Outlet {outlet.number}"
    return f"An outlet without a number on {floor_phrase(floor)}"


def frame_name(frame: Frame | None) -> str:
    """`frame T1`."""
    return "frame ?" if frame is None else f"frame {frame.name}"


def place_name(place: PanelPort, frame: Frame | None) -> str:
    """`1B-A07`: frame, panel and port, as they stand on a cable's label."""
    return f"{'?' if frame is None else frame.name}-{place.panel}{place.port:02d}"


def space_name(space: Space) -> str:
    """`2.04 Operations offices`."""
    return " ".join(p for p in (space.number, space.name) if p) or "a space without a name"


def pathway_name(pathway: Pathway, floor: Floor | None) -> str:
    """`Basket B-03`, or `A basket without a number on floor 2`."""
    word = PATHWAY_WORDS[pathway.kind]
    if pathway.number:
        return f"{word.capitalize()} {pathway.number}"
    article = "An" if word[0] in "aeiou" else "A"
    line = "line of hooks" if pathway.kind is PathwayKind.HOOKS else word
    return f"{article} {line} without a number on {floor_phrase(floor)}"


def riser_name(riser: Riser) -> str:
    return f"Riser {riser.number}" if riser.number else "A riser without a number"


def duct_name(duct: OutdoorDuct) -> str:
    return f"Outdoor duct {duct.number}" if duct.number else "An outdoor duct without a number"


def floor_phrase(floor: Floor | None) -> str:
    """`floor 2` for a floor named 2, `Level B` for one that says what it is."""
    if floor is None:
        return "no floor"
    name = floor.name
    return name if name.lower().startswith(("floor", "level")) else f"floor {name}"
