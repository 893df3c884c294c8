"""Outlines of rooms: what lies within, and where things go along walls and over an area."""

from collections.abc import Sequence
from itertools import pairwise

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
