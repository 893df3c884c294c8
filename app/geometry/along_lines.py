"""Points on straight pieces and lines of pieces: feet, distances, crossings, positions."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

XY = tuple[float, float]
PARALLEL = 1e-12


class Foot(NamedTuple):
    """The nearest point of a piece: `ratio` 0 at its first end, 1 at its last."""

    x: float
    y: float
    ratio: float
    distance: float


class Place(NamedTuple):
    """The nearest point of a line of pieces, and the piece it lies on."""

    x: float
    y: float
    piece: int
    ratio: float
    distance: float


def foot_on_piece(at: XY, a: XY, b: XY) -> Foot:
    """The point of the piece a–b that is nearest to `at`."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    ratio = 0.0
    if square > 0:
        ratio = min(1.0, max(0.0, ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / square))
    x, y = a[0] + ratio * dx, a[1] + ratio * dy
    return Foot(x, y, ratio, math.hypot(at[0] - x, at[1] - y))


def foot_on_line(at: XY, through: XY, direction: XY) -> XY:
    """The foot of `at` on the endless line through a point along a unit vector."""
    t = (at[0] - through[0]) * direction[0] + (at[1] - through[1]) * direction[1]
    return through[0] + t * direction[0], through[1] + t * direction[1]


def place_on(line: Sequence[XY], at: XY) -> Place:
    """The point of a line of pieces that is nearest to `at`; of equals the first."""
    best = Place(line[0][0], line[0][1], 0, 0.0, math.dist(line[0], at))
    for index, (a, b) in enumerate(pairwise(line)):
        foot = foot_on_piece(at, a, b)
        if foot.distance < best.distance:
            best = Place(foot.x, foot.y, index, foot.ratio, foot.distance)
    return best


def point_at(line: Sequence[XY], piece: int, ratio: float) -> XY:
    """The point at a ratio of a piece."""
    a, b = line[piece], line[piece + 1]
    return a[0] + ratio * (b[0] - a[0]), a[1] + ratio * (b[1] - a[1])


def line_length(line: Sequence[XY]) -> float:
    return math.fsum(math.dist(a, b) for a, b in pairwise(line))


def crossing(a: XY, b: XY, c: XY, d: XY, *, reach: float = 0.0) -> XY | None:
    """Where the pieces a–b and c–d cross, each lengthened by `reach` at its ends; None if not."""
    r, s = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
    long_r, long_s = math.hypot(*r), math.hypot(*s)
    cross = r[0] * s[1] - r[1] * s[0]
    if long_r == 0 or long_s == 0 or abs(cross) <= PARALLEL * long_r * long_s:
        return None
    q = (c[0] - a[0], c[1] - a[1])
    t = (q[0] * s[1] - q[1] * s[0]) / cross
    u = (q[0] * r[1] - q[1] * r[0]) / cross
    if not (-reach <= t * long_r <= long_r + reach and -reach <= u * long_s <= long_s + reach):
        return None
    return a[0] + t * r[0], a[1] + t * r[1]


def crossings(line: Sequence[XY], other: Sequence[XY], *, reach: float = 0.0) -> Iterator[XY]:
    """Every crossing of two lines of pieces, and where an end of one lies on the other.

    Ends count as lying on the other within `reach`.
    """
    for a, b in pairwise(line):
        for c, d in pairwise(other):
            point = crossing(a, b, c, d, reach=reach)
            if point is not None:
                yield point
    for end, whole in (
        (line[0], other),
        (line[-1], other),
        (other[0], line),
        (other[-1], line),
    ):
        if place_on(whole, end).distance <= reach:
            yield end


def evenly(length_mm: float, *, count: int) -> tuple[float, ...]:
    """`count` distances from 0 to the length, ends included; one stands in the middle."""
    if count == 1:
        return (length_mm / 2,)
    return tuple(length_mm * i / (count - 1) for i in range(count))


def stepwise(length_mm: float, *, spacing_mm: float) -> tuple[float, ...]:
    """Distances 0, spacing, 2 × spacing … that lie within the length."""
    return tuple(spacing_mm * i for i in range(math.floor(length_mm / spacing_mm + 1e-9) + 1))


def walk(line: Sequence[XY], distances: Sequence[float]) -> Iterator[tuple[XY, int]]:
    """The points at rising distances from the first end, each with the piece it lies on."""
    pieces = list(pairwise(line))
    index, passed = 0, 0.0
    for distance in distances:
        long = math.dist(*pieces[index])
        while distance > passed + long and index < len(pieces) - 1:
            passed += long
            index += 1
            long = math.dist(*pieces[index])
        ratio = 0.0 if long == 0 else min(1.0, (distance - passed) / long)
        yield point_at(line, index, ratio), index
