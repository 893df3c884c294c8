"""Legs: every way in which an end may come to a pathway within reach."""

from dataclasses import dataclass

import numpy as np

from app.geometry.rounding import to_mm_array
from app.routing.ground import Ground, crossing_closed
from app.routing.joints import Joints
from app.routing.places import (
    GRACE_MM,
    BarePlaces,
    Ends,
    Pairs,
    Places,
    chosen,
    cut_places,
    feet_of,
    is_plain,
    joined,
    made_places,
    open_places,
    pairs_within,
    placed,
    spots_of,
)
from app.routing.results import BoolArray, IndexArray, IntArray
from app.routing.stretches import Entry, Stretches


@dataclass(frozen=True, eq=False)
class Legs:
    """One row a possible leg, sorted by end, then by length of leg and place.

    `across` and `upright` are its horizontal and vertical millimetres; `stretch` and `offset`
    say where it meets a pathway, x, y, z are that point. `first` (ends + 1) finds the rows of
    an end. Per end: `near`, a closed pathway passes within reach and not too high; `crossed`, a
    leg was dropped because it crosses a closed space.
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


def find_legs(
    joints: Joints, grounds: tuple[Ground, ...], ends: Ends, *, reach_mm: int, cuts: IntArray
) -> Legs:
    """All legs of all ends that stay within reach and keep out of closed spaces.

    `cuts` are the keys, sorted, of the places where stretches are cut into pieces.
    """
    near = np.zeros(len(ends), dtype=bool)
    crossed = np.zeros(len(ends), dtype=bool)
    parts: list[Places] = []
    flat = joints.stretches
    dear = None if joints.walked is None else joints.walked.dear
    for index in np.unique(ends.ground[ends.ground >= 0]).tolist():
        ground = grounds[index]
        here = np.flatnonzero(ends.ground == index)
        pairs = pairs_within(flat, ground, ends, here, reach_mm)
        is_open = flat.entry[pairs.row] == Entry.ANYWHERE
        low = np.minimum(flat.start[pairs.row, 2], flat.end[pairs.row, 2])
        high = np.maximum(flat.start[pairs.row, 2], flat.end[pairs.row, 2])
        fits = (low <= ends.ceiling[pairs.end]) & (high >= ends.bottom[pairs.end])
        near[pairs.end[~is_open & fits]] = True
        trial = _Trial(flat, ground, ends, reach_mm, cuts, dear)
        legs, barred = trial.legs(pairs, is_open, here)
        crossed[barred] = True
        parts += legs
    if not parts:
        nothing = np.zeros(0, dtype=np.int64)
        parts.append(placed(flat, ends, (nothing, nothing, np.zeros(0))))
    return _sorted_legs(flat, ends, joined(parts), near, crossed)


@dataclass(frozen=True, eq=False)
class _Trial:
    """What places on a floor are tried against."""

    flat: Stretches
    ground: Ground
    ends: Ends
    reach_mm: int
    cuts: IntArray
    dear: BoolArray | None

    def legs(
        self, pairs: Pairs, is_open: BoolArray, here: IntArray
    ) -> tuple[list[Places], IntArray]:
        """The places that legs may end at, and the ends of which some leg was barred.

        On a level stretch square to the grid, and on an upright one, a leg grows at least as
        fast as the way along the stretch: while its foot is open no other place is better,
        unless the stretch was measured to be dearer than a leg.
        """
        plain = is_open & is_plain(self.flat, pairs)
        if self.dear is not None:
            plain &= ~self.dear[pairs.row]
        footed = chosen(pairs, plain)
        feet = placed(self.flat, self.ends, feet_of(self.flat, self.ends, footed))
        good = self.allowed(feet)
        tried = np.flatnonzero(good)
        free = self.outside_closed(feet.some(tried))
        good[tried] = free
        kept, barred = [feet.some(good)], [feet.end[tried[~free]]]
        for bare in self._others(pairs, is_open, plain, chosen(footed, ~good), here):
            places = placed(self.flat, self.ends, bare)
            places = places.some(self.allowed(places))
            free = self.outside_closed(places)
            barred.append(places.end[~free])
            kept.append(places.some(free))
        return kept, np.concatenate(barred)

    def _others(
        self,
        pairs: Pairs,
        is_open: BoolArray,
        plain: BoolArray,
        footless: Pairs,
        here: IntArray,
    ) -> list[BarePlaces]:
        """The places of closed and askew stretches, of risers, and where the foot is barred."""
        found = [spots_of(self.ground, self.ends, here)]
        if not is_open.all():
            found.append(made_places(self.ground, chosen(pairs, ~is_open)))
        askew = is_open & ~plain
        for more in (chosen(pairs, askew), footless) if askew.any() else (footless,):
            if len(more.end):
                found.append(open_places(self.flat, self.ends, more, self.reach_mm))
                found.append(cut_places(self.flat, more.end, more.row, self.cuts))
        return [bare for bare in found if len(bare[0])]

    def allowed(self, places: Places) -> BoolArray:
        """Which places are within reach, and neither too high nor too low."""
        z = to_mm_array(places.z)
        fits = (z <= self.ends.ceiling[places.end]) & (z >= self.ends.bottom[places.end])
        allowed: BoolArray = (places.across() <= self.reach_mm + GRACE_MM) & fits
        return allowed

    def outside_closed(self, places: Places) -> BoolArray:
        """Which legs have at least one of their two bends free of closed spaces."""
        if not self.ground.closed_ids or not len(places):
            return np.ones(len(places), dtype=bool)
        ends, u, v = self.ends, places.u, places.v
        cos, sin = ends.cos[places.end], ends.sin[places.end]
        start = np.stack((ends.x[places.end], ends.y[places.end]), axis=1).astype(np.float64)
        along = np.stack((u * cos, u * sin), axis=1)
        square = np.stack((-v * sin, v * cos), axis=1)
        goal = start + along + square
        blocked = crossing_closed(self.ground, start, start + along, goal)
        again = np.flatnonzero(blocked)
        if len(again):
            corner = (start + square)[again]
            blocked[again] = crossing_closed(self.ground, start[again], corner, goal[again])
        return ~blocked


def _sorted_legs(
    flat: Stretches, ends: Ends, places: Places, near: BoolArray, crossed: BoolArray
) -> Legs:
    end, row = places.end, places.row
    across = to_mm_array(np.abs(places.u)) + to_mm_array(np.abs(places.v))
    x, y, z = to_mm_array(places.x), to_mm_array(places.y), to_mm_array(places.z)
    offset = np.minimum(to_mm_array(places.share * flat.true_length[row]), flat.length[row])
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
