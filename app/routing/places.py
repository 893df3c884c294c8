"""Places: where along pathways an end may look for the least cost, before reach and walls.

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

from app.routing.ground import Ground
from app.routing.results import BoolArray, FloatArray, IndexArray, IntArray
from app.routing.riser_joints import ANY_HEIGHT
from app.routing.stretches import OFFSET_BITS, Stretches

GRACE_MM = 0.5
LEAST_SHARE = 1e-12


@dataclass(frozen=True, eq=False)
class Ends:
    """Columns of points that look for a pathway: absolute x, y, z and their grid's axis.

    `ground` is the floor whose pathways they hang on, -1 none; `bottom` and `ceiling` are the
    least and the greatest absolute height of a pathway they may use; `spots` the absolute
    height at which they enter risers (and ends of outdoor ducts at any), None: they enter
    neither.
    """

    x: IntArray
    y: IntArray
    z: IntArray
    cos: FloatArray
    sin: FloatArray
    ground: IndexArray
    bottom: IntArray
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
            self.bottom[rows],
            self.ceiling[rows],
            None if self.spots is None else self.spots[rows],
        )


@dataclass(frozen=True, eq=False)
class Pairs:
    """Pairs of an end and a stretch; u, v are the stretch's ends seen from the end's grid."""

    end: IntArray
    row: IntArray
    u0: FloatArray
    v0: FloatArray
    du: FloatArray
    dv: FloatArray


BarePlaces = tuple[IntArray, IntArray, FloatArray]
"""End, stretch and share of it."""


@dataclass(frozen=True, eq=False)
class Places:
    """Columns: an end, a stretch, a share of it, the point there, and the sides of the leg to
    it, u along the grid and v square to it, signed."""

    end: IntArray
    row: IntArray
    share: FloatArray
    x: FloatArray
    y: FloatArray
    z: FloatArray
    u: FloatArray
    v: FloatArray

    def __len__(self) -> int:
        return len(self.end)

    def some(self, rows: IntArray | BoolArray) -> "Places":
        """Only these rows."""
        return Places(
            self.end[rows],
            self.row[rows],
            self.share[rows],
            self.x[rows],
            self.y[rows],
            self.z[rows],
            self.u[rows],
            self.v[rows],
        )

    def across(self) -> FloatArray:
        """The horizontal leg, before it is rounded."""
        across: FloatArray = np.abs(self.u) + np.abs(self.v)
        return across


def placed(flat: Stretches, ends: Ends, bare: BarePlaces) -> Places:
    """The places with their points and legs."""
    end, row, share = bare
    start = flat.start[row].astype(np.float64)
    at = start + share[:, None] * (flat.end[row] - start)
    x, y, z = at[:, 0], at[:, 1], at[:, 2]
    dx, dy = x - ends.x[end], y - ends.y[end]
    cos, sin = ends.cos[end], ends.sin[end]
    return Places(end, row, share, x, y, z, dx * cos + dy * sin, dy * cos - dx * sin)


def joined(parts: Sequence[Places]) -> Places:
    """The rows of all parts, one part after another."""
    return Places(
        np.concatenate([p.end for p in parts]),
        np.concatenate([p.row for p in parts]),
        np.concatenate([p.share for p in parts]),
        np.concatenate([p.x for p in parts]),
        np.concatenate([p.y for p in parts]),
        np.concatenate([p.z for p in parts]),
        np.concatenate([p.u for p in parts]),
        np.concatenate([p.v for p in parts]),
    )


def is_plain(flat: Stretches, pairs: Pairs) -> BoolArray:
    """Which stretches are level and square to the end's grid, or upright."""
    level = flat.end[pairs.row, 2] == flat.start[pairs.row, 2]
    no_u, no_v = pairs.du == 0, pairs.dv == 0
    plain: BoolArray = np.where(level, no_u | no_v, no_u & no_v)
    return plain


def feet_of(flat: Stretches, ends: Ends, pairs: Pairs) -> BarePlaces:
    """The place nearest to the end on each plain stretch."""
    start_z = flat.start[pairs.row, 2]
    rise = (flat.end[pairs.row, 2] - start_z).astype(np.float64)
    away = (ends.z[pairs.end] - start_z).astype(np.float64)
    away = np.where(rise != 0, away, np.where(pairs.du != 0, -pairs.u0, -pairs.v0))
    along = np.where(rise != 0, rise, np.where(pairs.du != 0, pairs.du, pairs.dv))
    return pairs.end, pairs.row, np.clip(away / along, 0.0, 1.0)


def spots_of(ground: Ground, ends: Ends, here: IntArray) -> BarePlaces:
    """The places in risers and outdoor ducts at which ends of this floor may enter them."""
    if ends.spots is None or not len(here):
        return here[:0], here[:0], np.zeros(0)
    own = ends.spots[here][:, None]
    at, spot = np.nonzero((ground.spot_z == own) | (ground.spot_z == ANY_HEIGHT))
    return here[at], ground.spot_row[spot].astype(np.int64), ground.spot_share[spot]


def pairs_within(
    flat: Stretches, ground: Ground, ends: Ends, here: IntArray, reach_mm: int
) -> Pairs:
    """The pairs of an end and a stretch that comes within its reach."""
    pairs = _pairs(flat, ground, ends, here, reach_mm)
    return chosen(pairs, _least_across(pairs) <= reach_mm + GRACE_MM)


def _pairs(flat: Stretches, ground: Ground, ends: Ends, here: IntArray, reach_mm: int) -> Pairs:
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
    return Pairs(
        end,
        row,
        ax * cos + ay * sin,
        ay * cos - ax * sin,
        dx * cos + dy * sin,
        dy * cos - dx * sin,
    )


def chosen(pairs: Pairs, rows: BoolArray) -> Pairs:
    return Pairs(
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


def _least_across(pairs: Pairs) -> FloatArray:
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


def open_places(flat: Stretches, ends: Ends, pairs: Pairs, reach_mm: int) -> BarePlaces:
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
    pairs: Pairs, row_share: FloatArray, column_share: FloatArray, reach_mm: int
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


def made_places(ground: Ground, pairs: Pairs) -> BarePlaces:
    """The ends, boxes and inserts of closed stretches."""
    low = np.searchsorted(ground.place_row, pairs.row, side="left")
    high = np.searchsorted(ground.place_row, pairs.row, side="right")
    count = high - low
    which = np.repeat(np.arange(len(pairs.end)), count)
    step = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    return pairs.end[which], pairs.row[which], ground.place_share[np.repeat(low, count) + step]


def cut_places(flat: Stretches, end: IntArray, row: IntArray, cuts: IntArray) -> BarePlaces:
    """The places where each stretch is cut between its two ends."""
    low = np.searchsorted(cuts, row << OFFSET_BITS, side="right")
    high = np.searchsorted(cuts, (row << OFFSET_BITS) + flat.length[row], side="left")
    count = np.maximum(high - low, 0)
    which = np.repeat(np.arange(len(row)), count)
    step = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    offset = cuts[low[which] + step] & ((1 << OFFSET_BITS) - 1)
    return end[which], row[which], offset / flat.true_length[row[which]]
