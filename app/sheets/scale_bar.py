"""The scale bar, the north arrow, and the key plan of a floor on several sheets."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.drawing.primitives import Bounds, FilledPath, Line, Point, Polyline, Primitive, Stroke
from app.model.vocabulary import Units
from app.sheets.paper_text import SMALL_MM, TEXT_MM, line_of_text

_PEN = Stroke(width_mm=0.25)
_THIN = Stroke(width_mm=0.18)
_BAR_MM = 1.6
_LEAST_PARTS, _MOST_PARTS = 4, 10
_MM_PER = {Units.METRIC: 1_000.0, Units.US: 304.8}
_NAMES = {Units.METRIC: "m", Units.US: "ft"}


def scale_bar(at: Point, *, width_mm: float, denominator: int, units: Units) -> Iterator[Primitive]:
    """A bar of four parts or more, each a round length; `at` is its lower left corner."""
    unit_mm = _MM_PER[units] / denominator
    part = _round_part((width_mm - 6.0) / unit_mm / _LEAST_PARTS)
    step = part * unit_mm
    parts = min(int((width_mm - 6.0) / step + 1e-9), _MOST_PARTS)
    x, y = at
    for number in range(parts):
        x0, x1 = x + number * step, x + (number + 1) * step
        corners = ((x0, y), (x1, y), (x1, y + _BAR_MM), (x0, y + _BAR_MM))
        if number % 2 == 0:
            yield FilledPath(layer="sheet", rings=(corners,))
        yield Polyline(layer="sheet", points=corners, closed=True, stroke=_THIN)
    for number in (0, 1, parts):
        last = number == parts
        text = f"{part * number:g} {_NAMES[units]}" if last else f"{part * number:g}"
        yield line_of_text(
            text,
            (x + number * step, y + _BAR_MM + 0.9),
            width_mm=step * 2 + 6.0,
            capital_mm=SMALL_MM,
            horizontal="left" if number == 0 else "center",
        )


def _round_part(most: float) -> float:
    """The largest 1, 2 or 5 times a power of ten that is not more than this."""
    power = 10.0 ** math.floor(math.log10(most))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most)


def north_arrow(middle: Point, *, size_mm: float, turn_deg: float) -> Iterator[Primitive]:
    """An arrow to the north of the plan, on a sheet whose drawing is turned by so much."""
    angle = math.radians(turn_deg + 90.0)
    along, across = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
    half = size_mm / 2

    def at(u: float, v: float) -> Point:
        return (
            middle[0] + along[0] * u * half + across[0] * v * half,
            middle[1] + along[1] * u * half + across[1] * v * half,
        )

    yield Line(layer="sheet", start=at(-1, 0), end=at(0.2, 0), stroke=_PEN)
    yield FilledPath(layer="sheet", rings=((at(1, 0), at(0, 0.45), at(0.2, 0)),))
    outline = (at(1, 0), at(0.2, 0), at(0, -0.45))
    yield Polyline(layer="sheet", points=outline, closed=True, stroke=_THIN)


def key_plan(tiles: Sequence[Bounds], current: int, box: Bounds) -> Iterator[Primitive]:
    """The sheets of a floor as they lie beside one another, this one dark; tiles in any unit."""
    x0, y0 = min(t[0] for t in tiles), min(t[1] for t in tiles)
    x1, y1 = max(t[2] for t in tiles), max(t[3] for t in tiles)
    scale = min((box[2] - box[0]) / (x1 - x0), (box[3] - box[1]) / (y1 - y0))
    for number, tile in enumerate(tiles):
        left, low = box[0] + (tile[0] - x0) * scale, box[1] + (tile[1] - y0) * scale
        right, top = box[0] + (tile[2] - x0) * scale, box[1] + (tile[3] - y0) * scale
        corners = ((left, low), (right, low), (right, top), (left, top))
        if number == current:
            yield FilledPath(layer="key plan", rings=(corners,), ink="ink")
        yield Polyline(layer="key plan", points=corners, closed=True, stroke=_THIN)
        if min(right - left, top - low) >= TEXT_MM + 1.0:
            yield line_of_text(
                str(number + 1),
                ((left + right) / 2, (low + top) / 2 - TEXT_MM / 2),
                width_mm=right - left,
                horizontal="center",
                bold=True,
                ink="paper" if number == current else "ink",
                layer="key plan",
            )
