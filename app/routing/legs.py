"""Legs: every way in which an end may come to a stretch within reach.

The cost along a stretch is convex and piecewise linear, so its least lies at one of finitely
many places: the two ends, the crossings with the end's own row and column, where the leg is as
long as the reach, and on a slope the point at the end's height. Closed pathways have only the
places made on them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from app.geometry.rounding import to_mm_array
from app.routing.ground import Ground, crossing_closed
from app.routing.joints import ANY_HEIGHT, OFFSET_BITS, Joints
from app.routing.results import BoolArray, FloatArray, IndexArray, IntArray
from app.routing.stretches import Entry, Stretches

GRACE_MM = 0.5
LEAST_SHARE = 1e-12


@dataclass(frozen=True, eq=False)
class Ends:
    """Columns of points that look for a pathway: absolute x, y, z and their grid's axis.

    `ground` is the floor whose pathways they hang on, -1 none; `ceiling` the greatest absolute
    height of a pathway they may use; `spots` the absolute height at which they enter risers
    (and ends of outdoor ducts at any), None: they enter neither.
    """

    x: IntArray
    y: IntArray
    z: IntArray
    cos: FloatArray
    sin: FloatArray
    ground: IndexArray
    ceiling: IntArray
    spots: IntArray | None = None

    def __len__(self) -> int:
        return len(self.x)

    def taken(self, rows: IntArray) -> "Ends":
        """Only these rows."""
        return Ends(
            self.x[rows],
            self.y[rows],
            self.z[rows],
            self.cos[rows],
            self.sin[rows],
            self.ground[rows],
            self.ceiling[rows],
            None if self.spots is None else self.spots[rows],
        )


@dataclass(frozen=True, eq=False)
class Legs:
    """One row a possible leg, sorted by end, then by length of leg and place.

    `across` and `upright` are its horizontal and vertical millimetres; `stretch` and `offset`
    say where it meets a pathway, x, y, z are that point. `first` (ends + 1) finds the rows of
    an end. Per end: `near`, a closed pathway passes within reach; `crossed`, a leg was dropped
    because it crosses a closed space.
    """

    end: IndexArray
    stretch: IndexArray
    offset: IntArray
    across: IntArray
    upright: IntArray
    x: IntArray
    y: IntArray
    z: IntArray
    first: IntArray
    near: BoolArray
    crossed: BoolArray

    def __len__(self) -> int:
        return len(self.end)


_Places = tuple[IntArray, IntArray, FloatArray]
"""End, stretch and share of it."""


@dataclass(frozen=True, eq=False)
class _Pairs:
    """Pairs of an end and a stretch; u, v are the stretch's ends seen from the end's grid."""

    end: IntArray
    row: IntArray
    u0: FloatArray
    v0: FloatArray
    du: FloatArray
    dv: FloatArray


def find_legs(
    joints: Joints, grounds: tuple[Ground, ...], ends: Ends, *, reach_mm: int, cuts: IntArray
) -> Legs:
    """All legs of all ends that stay within reach and keep out of closed spaces.

    `cuts` are the keys, sorted, of the places where stretches are cut into pieces.
    """
    near = np.zeros(len(ends), dtype=bool)
    crossed = np.zeros(len(ends), dtype=bool)
    parts: list[tuple[IntArray, IntArray, FloatArray]] = []
    for index in np.unique(ends.ground[ends.ground >= 0]).tolist():
        ground = grounds[index]
        here = np.flatnonzero(ends.ground == index)
        pairs = _pairs_within(joints.stretches, ground, ends, here, reach_mm)
        is_open = joints.stretches.entry[pairs.row] == Entry.ANYWHERE
        near[pairs.end[~is_open]] = True
        tried = _Tried(joints.stretches, ground, ends, reach_mm, cuts)
        legs, barred = _tried_legs(tried, pairs, is_open, here)
        crossed[barred] = True
        parts += legs
    if not parts:
        nothing = np.zeros(0, dtype=np.int64)
        parts.append((nothing, nothing, np.zeros(0)))
    end, row, share = (np.concatenate(column) for column in zip(*parts, strict=True))
    return _sorted_legs(joints.stretches, ends, end, row, share, near, crossed)


@dataclass(frozen=True, eq=False)
class _Tried:
    """What places on a floor are tried against."""

    flat: Stretches
    ground: Ground
    ends: Ends
    reach_mm: int
    cuts: IntArray

    def allowed(self, places: _Places) -> BoolArray:
        """Which places are within reach and not too high."""
        across = _across(self.flat, self.ends, *places)
        low_enough = _heights(self.flat, *places[1:]) <= self.ends.ceiling[places[0]]
        allowed: BoolArray = (across <= self.reach_mm + GRACE_MM) & low_enough
        return allowed

    def open(self, places: _Places) -> BoolArray:
        """Which places can be come to without crossing a closed space."""
        return _outside_closed(self.flat, self.ground, self.ends, *places)


def _tried_legs(
    tried: _Tried, pairs: _Pairs, is_open: BoolArray, here: IntArray
) -> tuple[list[_Places], IntArray]:
    """The places that legs may end at, and the ends of which some leg was barred.

    On a level stretch square to the grid, and on an upright one, a leg grows at least as fast
    as the way along the stretch: while its foot is open no other place is better.
    """
    plain = is_open & _is_plain(tried.flat, pairs)
    footed = _chosen(pairs, plain)
    feet = _feet(tried.flat, tried.ends, footed)
    good = tried.allowed(feet)
    tried_feet = np.flatnonzero(good)
    free = tried.open(_some(feet, tried_feet))
    good[tried_feet] = free
    barred = [feet[0][tried_feet][~free]]
    kept = [_some(feet, good)]

    others = [_made_places(tried.ground, _chosen(pairs, ~is_open)), _spots(tried, here)]
    for more in (_chosen(pairs, is_open & ~plain), _chosen(footed, ~good)):
        if len(more.end):
            others.append(_open_places(tried.flat, tried.ends, more, tried.reach_mm))
            others.append(_cut_places(tried.flat, more.end, more.row, tried.cuts))
    places = _joined(others)
    places = _some(places, tried.allowed(places))
    free = tried.open(places)
    barred.append(places[0][~free])
    kept.append(_some(places, free))
    return kept, np.concatenate(barred)


def _some(places: _Places, rows: IntArray | BoolArray) -> _Places:
    return places[0][rows], places[1][rows], places[2][rows]


def _joined(parts: Sequence[_Places]) -> _Places:
    end, row, share = (np.concatenate(column) for column in zip(*parts, strict=True))
    return end, row, share


def _is_plain(flat: Stretches, pairs: _Pairs) -> BoolArray:
    """Which stretches are level and square to the end's grid, or upright."""
    level = flat.end[pairs.row, 2] == flat.start[pairs.row, 2]
    no_u, no_v = pairs.du == 0, pairs.dv == 0
    plain: BoolArray = np.where(level, no_u | no_v, no_u & no_v)
    return plain


def _feet(flat: Stretches, ends: Ends, pairs: _Pairs) -> _Places:
    """The place nearest to the end on each plain stretch."""
    start_z = flat.start[pairs.row, 2]
    rise = (flat.end[pairs.row, 2] - start_z).astype(np.float64)
    away = (ends.z[pairs.end] - start_z).astype(np.float64)
    away = np.where(rise != 0, away, np.where(pairs.du != 0, -pairs.u0, -pairs.v0))
    along = np.where(rise != 0, rise, np.where(pairs.du != 0, pairs.du, pairs.dv))
    return pairs.end, pairs.row, np.clip(away / along, 0.0, 1.0)


def _spots(tried: _Tried, here: IntArray) -> _Places:
    """The places in risers and outdoor ducts at which ends of this floor may enter them."""
    ground, ends = tried.ground, tried.ends
    if ends.spots is None or not len(here):
        return here[:0], here[:0], np.zeros(0)
    own = ends.spots[here][:, None]
    at, spot = np.nonzero((ground.spot_z == own) | (ground.spot_z == ANY_HEIGHT))
    return here[at], ground.spot_row[spot].astype(np.int64), ground.spot_share[spot]


def _pairs_within(
    flat: Stretches, ground: Ground, ends: Ends, here: IntArray, reach_mm: int
) -> _Pairs:
    """The pairs of an end and a stretch that comes within its reach."""
    pairs = _pairs(flat, ground, ends, here, reach_mm)
    return _chosen(pairs, _least_across(pairs) <= reach_mm + GRACE_MM)


def _pairs(flat: Stretches, ground: Ground, ends: Ends, here: IntArray, reach_mm: int) -> _Pairs:
    x, y = ends.x[here].astype(np.float64), ends.y[here].astype(np.float64)
    far = reach_mm + 1.0
    if len(here) == 1:  # one moved outlet: the tree's scalar path is the quickest
        local = ground.tree.query(shapely.box(x[0] - far, y[0] - far, x[0] + far, y[0] + far))
        which = np.zeros(len(local), dtype=np.int64)
    else:
        which, local = ground.tree.query(shapely.box(x - far, y - far, x + far, y + far))
    row = ground.rows[local].astype(np.int64)
    end = here[which]
    cos, sin = ends.cos[end], ends.sin[end]
    ax = (flat.start[row, 0] - ends.x[end]).astype(np.float64)
    ay = (flat.start[row, 1] - ends.y[end]).astype(np.float64)
    dx = (flat.end[row, 0] - flat.start[row, 0]).astype(np.float64)
    dy = (flat.end[row, 1] - flat.start[row, 1]).astype(np.float64)
    return _Pairs(
        end,
        row,
        ax * cos + ay * sin,
        ay * cos - ax * sin,
        dx * cos + dy * sin,
        dy * cos - dx * sin,
    )


def _chosen(pairs: _Pairs, rows: BoolArray) -> _Pairs:
    return _Pairs(
        pairs.end[rows],
        pairs.row[rows],
        pairs.u0[rows],
        pairs.v0[rows],
        pairs.du[rows],
        pairs.dv[rows],
    )


def _share_of_zero(start: FloatArray, change: FloatArray) -> FloatArray:
    """The share at which start + share × change is 0; NaN where it never is."""
    safe = np.where(change == 0, 1.0, change)
    return np.where(change == 0, np.nan, -start / safe)


def _least_across(pairs: _Pairs) -> FloatArray:
    """The least |u| + |v| along each stretch: at an end or where u or v is 0."""
    least: FloatArray = np.minimum(
        np.abs(pairs.u0) + np.abs(pairs.v0),
        np.abs(pairs.u0 + pairs.du) + np.abs(pairs.v0 + pairs.dv),
    )
    for start, change in ((pairs.u0, pairs.du), (pairs.v0, pairs.dv)):
        t = np.clip(np.nan_to_num(_share_of_zero(start, change), nan=0.0), 0.0, 1.0)
        here = np.abs(pairs.u0 + t * pairs.du) + np.abs(pairs.v0 + t * pairs.dv)
        least = np.minimum(least, here)
    return least


def _open_places(
    flat: Stretches, ends: Ends, pairs: _Pairs, reach_mm: int
) -> tuple[IntArray, IntArray, FloatArray]:
    """The places worth trying on stretches that may be entered anywhere."""
    count = len(pairs.end)
    row_share = _share_of_zero(pairs.v0, pairs.dv)
    column_share = _share_of_zero(pairs.u0, pairs.du)
    start_z = flat.start[pairs.row, 2].astype(np.float64)
    rise = flat.end[pairs.row, 2] - start_z
    height_share = _share_of_zero(start_z - ends.z[pairs.end], rise)
    zero, one = np.zeros(count), np.ones(count)
    inner = [row_share, column_share, height_share]
    inner += _reach_shares(pairs, row_share, column_share, reach_mm)
    inner = [np.where((t > LEAST_SHARE) & (t < 1 - LEAST_SHARE), t, np.nan) for t in inner]
    shares = np.stack([zero, one, *inner], axis=1)
    good = ~np.isnan(shares)
    which = np.nonzero(good)[0]
    return pairs.end[which], pairs.row[which], shares[good]


def _reach_shares(
    pairs: _Pairs, row_share: FloatArray, column_share: FloatArray, reach_mm: int
) -> list[FloatArray]:
    """Where the leg is just as long as the reach: at most twice, one a section between bends."""
    bends = np.stack((row_share, column_share), axis=1)
    bends = np.where((bends > 0) & (bends < 1), bends, np.nan)
    low = np.nan_to_num(np.fmin(bends[:, 0], bends[:, 1]), nan=0.0)
    high = np.nan_to_num(np.fmax(bends[:, 0], bends[:, 1]), nan=1.0)
    edges = [np.zeros(len(low)), low, high, np.ones(len(low))]
    found = []
    for a, b in pairwise(edges):
        fa = np.abs(pairs.u0 + a * pairs.du) + np.abs(pairs.v0 + a * pairs.dv) - reach_mm
        fb = np.abs(pairs.u0 + b * pairs.du) + np.abs(pairs.v0 + b * pairs.dv) - reach_mm
        between = (fa * fb < 0) & (b > a)
        safe = np.where(between, fa - fb, 1.0)
        found.append(np.where(between, a + (b - a) * fa / safe, np.nan))
    return found


def _made_places(ground: Ground, pairs: _Pairs) -> tuple[IntArray, IntArray, FloatArray]:
    """The ends, boxes and inserts of closed stretches."""
    low = np.searchsorted(ground.place_row, pairs.row, side="left")
    high = np.searchsorted(ground.place_row, pairs.row, side="right")
    count = high - low
    which = np.repeat(np.arange(len(pairs.end)), count)
    step = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    return pairs.end[which], pairs.row[which], ground.place_share[np.repeat(low, count) + step]


def _cut_places(
    flat: Stretches, end: IntArray, row: IntArray, cuts: IntArray
) -> tuple[IntArray, IntArray, FloatArray]:
    """The places where each stretch is cut between its two ends."""
    low = np.searchsorted(cuts, row << OFFSET_BITS, side="right")
    high = np.searchsorted(cuts, (row << OFFSET_BITS) + flat.length[row], side="left")
    count = np.maximum(high - low, 0)
    which = np.repeat(np.arange(len(row)), count)
    step = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    offset = cuts[low[which] + step] & ((1 << OFFSET_BITS) - 1)
    return end[which], row[which], offset / flat.true_length[row[which]]


def _points(
    flat: Stretches, row: IntArray, share: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    start, end = flat.start[row].astype(np.float64), flat.end[row].astype(np.float64)
    at = start + share[:, None] * (end - start)
    return at[:, 0], at[:, 1], at[:, 2]


def _heights(flat: Stretches, row: IntArray, share: FloatArray) -> IntArray:
    return to_mm_array(_points(flat, row, share)[2])


def _sides(
    flat: Stretches, ends: Ends, end: IntArray, row: IntArray, share: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """The two sides of the leg, along the grid and square to it; signed."""
    px, py, _ = _points(flat, row, share)
    dx, dy = px - ends.x[end], py - ends.y[end]
    cos, sin = ends.cos[end], ends.sin[end]
    return dx * cos + dy * sin, dy * cos - dx * sin


def _across(
    flat: Stretches, ends: Ends, end: IntArray, row: IntArray, share: FloatArray
) -> FloatArray:
    u, v = _sides(flat, ends, end, row, share)
    length: FloatArray = np.abs(u) + np.abs(v)
    return length


def _outside_closed(
    flat: Stretches, ground: Ground, ends: Ends, end: IntArray, row: IntArray, share: FloatArray
) -> BoolArray:
    """Which legs have at least one of their two bends free of closed spaces."""
    if not ground.closed_ids or not len(end):
        return np.ones(len(end), dtype=bool)
    start, first, second, goal = leg_corners(flat, ends, end, row, share)
    blocked = crossing_closed(ground, start, first, goal)
    again = np.flatnonzero(blocked)
    blocked[again] = crossing_closed(ground, start[again], second[again], goal[again])
    return ~blocked


def leg_corners(
    flat: Stretches, ends: Ends, end: IntArray, row: IntArray, share: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Start, the corner along the grid first, the corner square to it first, and goal."""
    u, v = _sides(flat, ends, end, row, share)
    cos, sin = ends.cos[end], ends.sin[end]
    start = np.stack((ends.x[end], ends.y[end]), axis=1).astype(np.float64)
    along = np.stack((u * cos, u * sin), axis=1)
    square = np.stack((-v * sin, v * cos), axis=1)
    return start, start + along, start + square, start + along + square


def _sorted_legs(
    flat: Stretches,
    ends: Ends,
    end: IntArray,
    row: IntArray,
    share: FloatArray,
    near: BoolArray,
    crossed: BoolArray,
) -> Legs:
    u, v = _sides(flat, ends, end, row, share)
    across = to_mm_array(np.abs(u)) + to_mm_array(np.abs(v))
    px, py, pz = _points(flat, row, share)
    x, y, z = to_mm_array(px), to_mm_array(py), to_mm_array(pz)
    offset = np.minimum(to_mm_array(share * flat.true_length[row]), flat.length[row])
    upright = np.abs(z - ends.z[end])
    order = np.lexsort((offset, row, y, x, z, across, end))
    end = end[order]
    return Legs(
        end=end.astype(np.int32),
        stretch=row[order].astype(np.int32),
        offset=offset[order],
        across=across[order],
        upright=upright[order],
        x=x[order],
        y=y[order],
        z=z[order],
        first=np.searchsorted(end, np.arange(len(ends) + 1)),
        near=near,
        crossed=crossed,
    )
