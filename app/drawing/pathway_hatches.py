"""How a pathway is drawn by its kind: its edges at true width, its middle, and its hatch."""

import math
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from typing import Literal

import msgspec

from app.drawing.primitives import Line, Point, Polyline, Primitive, Stroke
from app.drawing.symbol_marks import StateLook, pairs, read_symbols
from app.drawing.symbols import GRID, state_look

_DASHES = (3.0, 2.0)
_STATE_NEW = "new"
_INK = "pathway"
_WEIGHT = 0.75
"""A pathway is long: its lines are lighter than those of a symbol."""
_ARM = 8.0
"""Least half side of the cross over a pathway that goes, in grid units."""
_SHARPEST = 0.25
"""Where a bend is sharper, the edge is cut instead of drawn to a far-away corner."""


Drawn = Literal["solid", "dashed", "none"]


class Hatch(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The drawing of one kind, as `symbols/hatches.toml` holds it.

    Marks repeat every `period` grid units: u along the way in grid units, v across it in half
    widths, 1 on the left.
    """

    label: str
    period: float
    marks: tuple[tuple[float, ...], ...]
    edges: Drawn = "none"
    centre: Drawn = "none"

    def strokes(self) -> tuple[tuple[float, float, float, float], ...]:
        """The marks as single strokes: u, v, u, v."""
        return tuple(
            (mark[i], mark[i + 1], mark[i + 2], mark[i + 3])
            for mark in self.marks
            for i in range(0, len(mark) - 3, 2)
        )


@cache
def hatches() -> dict[str, Hatch]:
    """The hatch of every kind of pathway, in the legend's order."""
    return read_symbols("hatches", dict[str, Hatch])


def pathway_drawing(
    kind: str,
    points: tuple[Point, ...],
    *,
    width: float,
    size: float,
    state: str = _STATE_NEW,
    layer: str = "pathways",
) -> tuple[Primitive, ...]:
    """A pathway along a line, `width` wide, its hatch as large as symbols of `size`.

    Units are those of `points`. Points that coincide count once; fewer than two draw nothing.
    Raises KeyError for a kind that has no hatch.
    """
    hatch, look = hatches()[kind], state_look(state)
    line = tuple(point for n, point in enumerate(points) if n == 0 or point != points[n - 1])
    if len(line) <= 1:
        return ()
    unit = size / GRID
    made: list[Primitive] = []
    for offset, style, bold in (
        (width / 2, hatch.edges, True),
        (-width / 2, hatch.edges, True),
        (0.0, hatch.centre, hatch.edges == "none"),
    ):
        if style != "none":
            stroke = _stroke(look, unit, bold=bold, dashed=style == "dashed")
            made.append(Polyline(layer=layer, points=beside(line, offset), stroke=stroke))
    thin = _stroke(look, unit, bold=False, dashed=False)
    for mark in _marks(hatch, line, width=width, unit=unit):
        made.append(Polyline(layer=layer, points=mark, stroke=thin))
    return (*made, *_crossings(look, line, width=width, unit=unit, layer=layer))


def beside(line: tuple[Point, ...], offset: float) -> tuple[Point, ...]:
    """The line moved to its left by `offset` (to its right where negative), corners kept."""
    if offset == 0:
        return line
    normals = [_normal(a, b) for a, b in pairwise(line)]
    moved = [_along(line[0], normals[0], offset)]
    for point, (before, after) in zip(line[1:-1], pairwise(normals), strict=True):
        share = 1 + before[0] * after[0] + before[1] * after[1]
        if share < _SHARPEST:
            moved += [_along(point, before, offset), _along(point, after, offset)]
        else:
            corner = ((before[0] + after[0]) / share, (before[1] + after[1]) / share)
            moved.append(_along(point, corner, offset))
    moved.append(_along(line[-1], normals[-1], offset))
    return tuple(moved)


def _marks(
    hatch: Hatch, line: tuple[Point, ...], *, width: float, unit: float
) -> Iterator[tuple[Point, ...]]:
    """The marks that lie wholly on one straight piece; corners stay free of them."""
    reach = max((abs(u) for mark in hatch.marks for u in mark[::2]), default=0.0) * unit
    for start, end in pairwise(line):
        length = math.dist(start, end)
        count = int((length - 2 * reach) / (hatch.period * unit))
        first = (length - (count - 1) * hatch.period * unit) / 2
        along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
        for number in range(count):
            middle = _along(start, along, first + number * hatch.period * unit)
            for mark in hatch.marks:
                yield tuple(
                    _along(_along(middle, along, u * unit), _left(along), v * width / 2)
                    for u, v in pairs(mark)
                )


def _crossings(
    look: StateLook, line: tuple[Point, ...], *, width: float, unit: float, layer: str
) -> Iterator[Primitive]:
    """A pathway that goes is crossed out at the middle of each of its pieces."""
    if not (look.crossed or look.leaving):
        return
    stroke = _stroke(look, unit, bold=True, dashed=False)
    arm = max(width, _ARM * unit)
    for start, end in pairwise(line):
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        yield Line(layer=layer, start=(x - arm, y - arm), end=(x + arm, y + arm), stroke=stroke)
        if look.crossed:
            yield Line(layer=layer, start=(x - arm, y + arm), end=(x + arm, y - arm), stroke=stroke)


def _stroke(look: StateLook, unit: float, *, bold: bool, dashed: bool) -> Stroke:
    """In the state's ink; a new pathway has the ink of pathways."""
    dashes = (look.dashes if bold else ()) or (_DASHES if dashed else ())
    return Stroke(
        ink=_INK if look.ink == _STATE_NEW else look.ink,
        width_mm=(look.outline if bold else look.mark) * _WEIGHT * unit,
        dashes_mm=tuple(dash * unit for dash in dashes),
    )


def _normal(start: Point, end: Point) -> Point:
    length = math.dist(start, end)
    return _left(((end[0] - start[0]) / length, (end[1] - start[1]) / length))


def _left(direction: Point) -> Point:
    return -direction[1], direction[0]


def _along(point: Point, direction: Point, distance: float) -> Point:
    return point[0] + direction[0] * distance, point[1] + direction[1] * distance
