"""Turning things to walls, and spreading them along walls and over floors."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from app.geometry.along_lines import evenly, foot_on_piece, stepwise, walk
from app.geometry.polygons import spans_at
from app.geometry.similarity import direction_mdeg, unit_vector

XY = tuple[float, float]
OFF_WALL_MM = 10.0
"""An outlet on a wall stands this far into its room, so that it is never in two rooms."""


BESIDE_DOOR_MM = 250.0
"""Nothing is placed so near a door: its frame, and half the wall that it stands in. practice"""
BESIDE_TAKEN_MM = 400.0
"""Nothing is spread so near to what stands there already. practice"""
CLEAR_STEP_MM = 100.0
Triangle = tuple[XY, XY, XY]
"""A leaf of a door: its hinge, and its end when shut and when open."""


class Turned(NamedTuple):
    """A place at a wall, and the direction of the wall with the room on its left."""

    x: float
    y: float
    rotation_mdeg: int


def at_wall(at: XY, wall: tuple[XY, XY], room_side: XY) -> Turned:
    """The foot of `at` on a wall, a little into the room that `room_side` lies in."""
    a, b = wall
    side = (b[0] - a[0]) * (room_side[1] - a[1]) - (b[1] - a[1]) * (room_side[0] - a[0])
    if side < 0:
        a, b = b, a
    foot = foot_on_piece(at, a, b)
    rotation = direction_mdeg(b[0] - a[0], b[1] - a[1])
    cos, sin = unit_vector(rotation)
    return Turned(foot.x - sin * OFF_WALL_MM, foot.y + cos * OFF_WALL_MM, rotation)


def along_walls(
    outline: Sequence[XY],
    count: int,
    *,
    keep_off: Sequence[Triangle] = (),
    off_mm: float = OFF_WALL_MM,
    corner_mm: float = 0.0,
    taken: Sequence[XY] = (),
) -> list[Turned]:
    """`count` places spread evenly along the walls of a room, each turned to its wall.

    The first stands half a step from the first corner, so that few stand in corners. Where
    leaves of doors are to be kept off, corners by `corner_mm`, or places that are taken, they are
    spread over the rest of the walls, if any.
    """
    ring = list(outline) if _turns_left(outline) else list(reversed(outline))
    closed = [*ring, ring[0]]
    whole = math.fsum(math.dist(a, b) for a, b in pairwise(closed))
    spans = [(0.0, whole)]
    for left in (
        _off_corners(closed, corner_mm) if corner_mm else [],
        _clear_stretches(closed, whole, keep_off, taken) if keep_off or taken else [],
    ):
        spans = _common(spans, left) or spans
    distances = _along_spans(spans, count)
    out = []
    for (x, y), piece in walk(closed, distances):
        a, b = closed[piece], closed[piece + 1]
        rotation = direction_mdeg(b[0] - a[0], b[1] - a[1])
        cos, sin = unit_vector(rotation)
        out.append(Turned(x - sin * off_mm, y + cos * off_mm, rotation))
    return out


def _off_corners(closed: Sequence[XY], corner_mm: float) -> list[tuple[float, float]]:
    """The middle parts of those walls that are long enough to have one."""
    spans, run = [], 0.0
    for a, b in pairwise(closed):
        length = math.dist(a, b)
        if length > 2 * corner_mm:
            spans.append((run + corner_mm, run + length - corner_mm))
        run += length
    return spans


def _common(
    some: Sequence[tuple[float, float]], others: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    """What two rows of spans have in common."""
    shared = ((max(a, c), min(b, d)) for a, b in some for c, d in others)
    return [(low, high) for low, high in shared if low < high]


def _clear_stretches(
    closed: Sequence[XY], whole: float, keep_off: Sequence[Triangle], taken: Sequence[XY] = ()
) -> list[tuple[float, float]]:
    """From where to where along the walls nothing is in the way, to a tenth of a metre."""
    count = max(1, round(whole / CLEAR_STEP_MM))
    step = whole / count
    spots = walk(closed, [step * (i + 0.5) for i in range(count)])
    out: list[tuple[float, float]] = []
    for i, (at, _) in enumerate(spots):
        if any(_is_near(at, leaf) for leaf in keep_off) or any(
            math.dist(at, other) < BESIDE_TAKEN_MM for other in taken
        ):
            continue
        if out and math.isclose(out[-1][1], step * i):
            out[-1] = (out[-1][0], step * (i + 1))
        else:
            out.append((step * i, step * (i + 1)))
    return out


def _is_near(at: XY, leaf: Triangle) -> bool:
    """Whether a place is within the swing of a door, or hardly beside it."""
    edges = tuple(pairwise((*leaf, leaf[0])))
    if any(foot_on_piece(at, a, b).distance <= BESIDE_DOOR_MM for a, b in edges if a != b):
        return True
    sides = [(b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0]) for a, b in edges]
    return min(sides) > 0 or max(sides) < 0


def over_area(
    outline: Sequence[XY],
    count: int,
    *,
    grid_mdeg: int = 0,
    holes: Sequence[Sequence[XY]] = (),
) -> list[Turned]:
    """`count` places in rows over a room, along its grid; every one lies within it.

    Rows get their share by the room's width there, so the result follows L and T shapes.
    """
    cos, sin = unit_vector(grid_mdeg)
    flat = [_onto_grid(p, cos, sin) for p in outline]
    flat_holes = [[_onto_grid(p, cos, sin) for p in hole] for hole in holes]
    xs, ys = [x for x, _ in flat], [y for _, y in flat]
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    rows = min(count, max(1, round(math.sqrt(count * tall / wide)))) if wide else count
    levels = [min(ys) + tall * (j + 0.5) / rows for j in range(rows)]
    chords = [spans_at(flat, y, holes=flat_holes) for y in levels]
    shares = _shares([sum(b - a for a, b in spans) for spans in chords], count)
    out = []
    for y, spans, share in zip(levels, chords, shares, strict=True):
        for x in _along_spans(spans, share):
            back = (x * cos - y * sin, x * sin + y * cos)
            out.append(Turned(*back, grid_mdeg))
    return out


def in_row(line: Sequence[XY], *, count: int | None, spacing_mm: float) -> list[tuple[XY, int]]:
    """Places along a line, `count` of them from end to end, or one every `spacing_mm`.

    Each with the direction of its piece in thousandths of a degree.
    """
    length = math.fsum(math.dist(a, b) for a, b in pairwise(line))
    if count is not None:
        distances = evenly(length, count=count)
    else:
        distances = stepwise(length, spacing_mm=spacing_mm)
    out = []
    for at, piece in walk(line, distances):
        a, b = line[piece], line[piece + 1]
        out.append((at, direction_mdeg(b[0] - a[0], b[1] - a[1])))
    return out


def _turns_left(outline: Sequence[XY]) -> bool:
    closed = [*outline, outline[0]]
    pairs = pairwise(closed)
    return math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) > 0


def _onto_grid(point: XY, cos: float, sin: float) -> XY:
    return point[0] * cos + point[1] * sin, point[1] * cos - point[0] * sin


def _shares(weights: Sequence[float], count: int) -> list[int]:
    """Whole shares of `count` by weight: the largest remainders get what is left."""
    whole = math.fsum(weights)
    if whole <= 0:
        return [0] * len(weights)
    exact = [count * w / whole for w in weights]
    shares = [math.floor(e) for e in exact]
    order = sorted(range(len(exact)), key=lambda i: (shares[i] - exact[i], i))
    for index in order[: count - sum(shares)]:
        shares[index] += 1
    return shares


def _along_spans(spans: Sequence[tuple[float, float]], count: int) -> list[float]:
    """`count` places at the middles of equal shares of the spans, laid end to end."""
    whole = math.fsum(b - a for a, b in spans)
    out = []
    for place in range(count):
        rest = whole * (place + 0.5) / count
        for a, b in spans:
            if rest <= b - a:
                out.append(a + rest)
                break
            rest -= b - a
    return out
