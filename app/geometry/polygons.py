"""Outlines of rooms: what lies within, how large they are, where a line runs inside."""

from collections.abc import Sequence
from itertools import pairwise

import shapely
from shapely import Polygon

XY = tuple[float, float]


def contains(outline: Sequence[XY], at: XY) -> bool:
    """Whether a point lies within an outline; on its edge it may be either."""
    inside = False
    x, y = at
    for (x0, y0), (x1, y1) in pairwise((*outline, outline[0])):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
    return inside


def area_mm2(outline: Sequence[XY], holes: Sequence[Sequence[XY]] = ()) -> float:
    """The area within an outline, holes taken off."""
    return float(Polygon(outline, holes).area)


def is_flat(outline: Sequence[XY]) -> bool:
    """Whether all corners lie on one line."""
    return bool(Polygon(outline).convex_hull.area == 0)


def is_simple(outline: Sequence[XY]) -> bool:
    """Whether an outline bounds one area and neither crosses nor touches itself."""
    return bool(Polygon(outline).is_valid)


def long_side_mm(outline: Sequence[XY]) -> float:
    """The longer side of the smallest rectangle, at any angle, around an outline."""
    ring = shapely.oriented_envelope(Polygon(outline))
    corners = shapely.get_coordinates(ring)
    return float(max(((corners[1:] - corners[:-1]) ** 2).sum(axis=1)) ** 0.5)


def spans_at(
    outline: Sequence[XY], y: float, *, holes: Sequence[Sequence[XY]] = ()
) -> list[tuple[float, float]]:
    """The parts of the level line at `y` that lie within an outline and in no hole."""
    crossings: list[float] = []
    for ring in (outline, *holes):
        for (x0, y0), (x1, y1) in pairwise((*ring, ring[0])):
            if (y0 > y) != (y1 > y):
                crossings.append(x0 + (y - y0) * (x1 - x0) / (y1 - y0))
    crossings.sort()
    return list(zip(crossings[0::2], crossings[1::2], strict=True))
