"""Which unit a drawing is in: what speaks for and against each, weighed.

Every piece of evidence adds to a unit's weight, as the logarithm of how many times more likely
the evidence is in that unit; the proposals' confidences are those weights turned into shares.
The header is believed a little, since it is wrong as often as a template was; what is drawn
(doors, dimensions, areas, the size of letters and of the whole) is believed more.

Source: the ranges (a plan of 3 to 1,000 m, door leaves of 0.6 to 1.2 m) and weights are practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from app.drawing.plan_drawing import PlanDrawing
from app.plans.doors import door_leaf_widths
from app.plans.flat import FlatDimension
from app.plans.imported import PlanDimension, UnitProposal
from app.plans.loose_dimensions import StatedBeside, agreeing
from app.plans.stated import stated_area_m2, stated_length

HEADER_VARIABLES = ("$INSUNITS", "$MEASUREMENT")

MM_PER_UNIT = {
    "mm": 1.0,
    "cm": 10.0,
    "dm": 100.0,
    "m": 1000.0,
    "km": 1e6,
    "in": 25.4,
    "ft": 304.8,
    "yd": 914.4,
}
UNITS_IN_WORDS = {
    "mm": "millimetres",
    "cm": "centimetres",
    "dm": "decimetres",
    "m": "metres",
    "km": "kilometres",
    "in": "inches",
    "ft": "feet",
    "yd": "yards",
}
_HEADER_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 7: "km", 10: "yd", 14: "dm", 21: "ft"}
"""Source: DXF reference, header variable $INSUNITS (21: US survey foot, taken as the foot)."""
_IMPERIAL = frozenset(("in", "ft", "yd"))
_RARITY = {
    "mm": 0.0,
    "m": -0.3,
    "in": -0.5,
    "cm": -1.0,
    "ft": -1.2,
    "dm": -3.0,
    "yd": -4.0,
    "km": -6.0,
}

HEADER_SAYS = "The file's header says"
HEADER_WEIGHT = 3.0
MEASUREMENT_WEIGHT = 0.5
PLAN_SIZE_M = (3.0, 1000.0)
USUAL_SIZE_M, USUAL_SIZE_SPREAD = 45.0, 1.1
IMPOSSIBLE_SIZE = -6.0
DOOR_LEAF_MM = (600.0, 1200.0)
TEXT_HEIGHT_MM, TEXT_HEIGHT_SPREAD, LEAST_TEXTS = 200.0, 0.9, 5
AREA_RATIO, AREA_SPREAD, LEAST_AREAS = 0.6, 0.8, 2
AGREEMENT = 0.01
MOST_SHARE_IN_PERCENT = 10.0
LEAST_SIZE = 1e-9
"""Sizes below this, in any unit, are none."""
WHOLE_NUMBERS_FROM = 200.0
SURE = 0.85
CONFIRMING_WEIGHT = 0.75


@dataclass(slots=True)
class _Weights:
    """The weight of each unit so far, what was said of it, and what is ruled in and out."""

    weight: dict[str, float] = field(default_factory=lambda: dict(_RARITY))
    reasons: dict[str, list[str]] = field(default_factory=lambda: {u: [] for u in MM_PER_UNIT})

    confirmed: set[str] = field(default_factory=set)
    impossible: set[str] = field(default_factory=set)

    def add(self, unit: str, weight: float, reason: str = "", *, confirms: bool = False) -> None:
        """More (or less) for a unit, and why; whether that confirms it beyond its likelihood."""
        self.weight[unit] += weight
        if confirms and weight >= CONFIRMING_WEIGHT:
            self.confirmed.add(unit)
        if reason:
            self.reasons[unit].append(reason)


def stated_dimensions(dimensions: Sequence[FlatDimension]) -> tuple[PlanDimension, ...]:
    """Dimensions with the lengths that their texts state."""
    result = []
    for dimension in dimensions:
        stated_mm, number = stated_length(dimension.text)
        result.append(
            PlanDimension(
                text=dimension.text,
                start=dimension.start,
                end=dimension.end,
                is_typed=dimension.is_typed,
                stated_mm=stated_mm,
                stated_number=number,
            )
        )
    return tuple(result)


def unit_proposals(
    header: Mapping[str, object],
    drawing: PlanDrawing,
    dimensions: Sequence[PlanDimension],
    loose: Sequence[Sequence[StatedBeside]] = (),
) -> tuple[UnitProposal, ...]:
    """All units, the most likely first. `header` has the file's HEADER_VARIABLES,
    `loose` the texts beside lines, layer by layer."""
    weights = _Weights()
    _weigh_header(weights, header)
    _weigh_size(weights, drawing)
    _weigh_doors(weights, drawing)
    _weigh_dimensions(weights, dimensions)
    _weigh_loose_dimensions(weights, loose)
    _weigh_text_heights(weights, drawing)
    _weigh_areas(weights, drawing)
    most = max(weights.weight.values())
    shares = {unit: math.exp(weight - most) for unit, weight in weights.weight.items()}
    total = sum(shares.values())
    return tuple(
        UnitProposal(
            unit=unit,
            mm_per_unit=MM_PER_UNIT[unit],
            confidence=share / total,
            is_confirmed=unit in weights.confirmed - weights.impossible,
            reasons=tuple(weights.reasons[unit]),
        )
        for unit, share in sorted(shares.items(), key=lambda item: -item[1])
    )


def is_sure(proposals: Sequence[UnitProposal]) -> bool:
    """Whether the first proposal can be taken without asking."""
    return bool(proposals) and proposals[0].is_confirmed and proposals[0].confidence >= SURE


def _weigh_header(weights: _Weights, header: Mapping[str, object]) -> None:
    unit = _HEADER_UNITS.get(_integer(header.get("$INSUNITS")))
    if unit is not None:
        weights.add(unit, HEADER_WEIGHT, f"{HEADER_SAYS} {UNITS_IN_WORDS[unit]}.", confirms=True)
    measurement = header.get("$MEASUREMENT")
    if measurement is not None:
        is_metric = _integer(measurement) == 1
        for candidate in MM_PER_UNIT:
            if (candidate in _IMPERIAL) != is_metric:
                weights.add(candidate, MEASUREMENT_WEIGHT)


def _integer(value: object) -> int:
    return value if isinstance(value, int) else 0


def _size(drawing: PlanDrawing) -> tuple[float, float]:
    if drawing.bounds is None:
        return (0.0, 0.0)
    x0, y0, x1, y1 = drawing.bounds
    return x1 - x0, y1 - y0


def _weigh_size(weights: _Weights, drawing: PlanDrawing) -> None:
    across, up = _size(drawing)
    greatest = max(across, up)
    if greatest < LEAST_SIZE:
        return
    for unit, mm in MM_PER_UNIT.items():
        size_m = greatest * mm / 1000
        words = f"Extent {plain(across * mm / 1000)} × {plain(up * mm / 1000)} m"
        weight = -0.5 * (math.log(size_m / USUAL_SIZE_M) / USUAL_SIZE_SPREAD) ** 2
        if PLAN_SIZE_M[0] <= size_m <= PLAN_SIZE_M[1]:
            weights.add(unit, weight, f"{words}.")
        else:
            small = size_m < PLAN_SIZE_M[0]
            weights.impossible.add(unit)
            weights.add(
                unit,
                weight + IMPOSSIBLE_SIZE,
                f"{words}: too {'small' if small else 'large'} for a plan.",
            )


def plain(number: float) -> str:
    """Three figures that count, and never a power of ten: 0.0012, 37.6, 4,500."""
    if not number or not math.isfinite(number):
        return f"{number:g}"
    decimals = max(0, 2 - math.floor(math.log10(abs(number))))
    text = f"{number:,.{decimals}f}"
    return text.rstrip("0").rstrip(".") if decimals else text


def _weigh_doors(weights: _Weights, drawing: PlanDrawing) -> None:
    widths = door_leaf_widths(drawing)
    if not len(widths):
        return
    for unit, mm in MM_PER_UNIT.items():
        fitting = (widths * mm >= DOOR_LEAF_MM[0]) & (widths * mm <= DOOR_LEAF_MM[1])
        count = int(fitting.sum())
        if count:
            share = count / len(widths)
            weights.add(
                unit,
                min(1.0 + 0.5 * count, 4.0) * share,
                f"{count} of {len(widths)} door leaves 0.6 to 1.2 m wide.",
                confirms=True,
            )


def _weigh_dimensions(weights: _Weights, dimensions: Sequence[PlanDimension]) -> None:
    measured = [d for d in dimensions if d.distance > 0 and (d.stated_mm or d.stated_number)]
    if not measured:
        return
    bare = [d.stated_number for d in measured if d.stated_number]
    number_mm = _unit_of_numbers_mm(bare)
    ratios = np.array(
        [(d.stated_mm or (d.stated_number or 0.0) * number_mm) / d.distance for d in measured]
    )
    has_units = len(bare) < len(measured)
    for unit, mm in MM_PER_UNIT.items():
        count = int((np.abs(ratios / mm - 1) <= AGREEMENT).sum())
        if count:
            share = count / len(ratios)
            most = 6.0 if has_units else 2.5
            weights.add(
                unit,
                min(1.0 + count, most) * share,
                f"{count} of {len(ratios)} dimensions in agreement with their texts.",
                confirms=True,
            )


def loose_dimensions(
    loose: Sequence[Sequence[StatedBeside]], mm_per_unit: float
) -> list[PlanDimension]:
    """The dimensions among loose texts and lines, in a unit."""
    numbers = [item.stated_number for group in loose for item in group if item.stated_number]
    return agreeing(loose, mm_per_unit=mm_per_unit, mm_per_number=_unit_of_numbers_mm(numbers))


def _weigh_loose_dimensions(weights: _Weights, loose: Sequence[Sequence[StatedBeside]]) -> None:
    total = sum(len(group) for group in loose)
    for unit, mm in MM_PER_UNIT.items():
        found = loose_dimensions(loose, mm)
        count = len(found)
        if count:
            with_unit = sum(dimension.stated_mm is not None for dimension in found)
            weights.add(
                unit,
                min(0.5 * (count + with_unit), 6.0),
                f"{count} of {total} texts in agreement with a line beside them.",
                confirms=True,
            )


def _unit_of_numbers_mm(numbers: Sequence[float]) -> float:
    """What bare numbers on dimensions are likely to count: millimetres if large and whole."""
    if not numbers:
        return 1.0
    is_whole = all(float(number).is_integer() for number in numbers)
    is_large = float(np.median(numbers)) >= WHOLE_NUMBERS_FROM
    return 1.0 if is_whole and is_large else 1000.0


def _weigh_text_heights(weights: _Weights, drawing: PlanDrawing) -> None:
    heights = [
        text.height for layer in drawing.layers for text in layer.texts if text.height > LEAST_SIZE
    ]
    if len(heights) < LEAST_TEXTS:
        return
    middle = float(np.median(heights))
    for unit, mm in MM_PER_UNIT.items():
        deviation = math.log(middle * mm / TEXT_HEIGHT_MM) / TEXT_HEIGHT_SPREAD
        weights.add(
            unit,
            max(-0.5 * deviation**2, -2.0),
            f"Letters mostly {plain(middle * mm)} mm high.",
        )


def _weigh_areas(weights: _Weights, drawing: PlanDrawing) -> None:
    """Areas written on the plan must fit into it, and fill a good part of it."""
    texts = (text.text for layer in drawing.layers for text in layer.texts)
    areas = [area for area in map(stated_area_m2, texts) if area]
    across, up = _size(drawing)
    if len(areas) < LEAST_AREAS or across * up < LEAST_SIZE:
        return
    for unit, mm in MM_PER_UNIT.items():
        ratio = sum(areas) / (across * up * (mm / 1000) ** 2)
        weight = 2.0 - 0.5 * (math.log(ratio / AREA_RATIO) / AREA_SPREAD) ** 2
        times = f"{plain(ratio)} times"
        share = f"{ratio * 100:.0f} % of" if ratio < MOST_SHARE_IN_PERCENT else times
        reason = f"Areas written on it ({sum(areas):,.0f} m²): {share} its extent."
        weights.add(unit, max(weight, -6.0), reason, confirms=True)
