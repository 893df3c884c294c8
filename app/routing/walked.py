"""Walked lengths: what somebody added or measured, laid on the stretches it speaks of.

Along a measured stretch every offset is scaled and rounded once. An added length is had by
what passes its place; what joins at the very place lies on the side of that end of the stretch
which comes first in (z, x, y).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from app.model.entities import WalkedLength
from app.routing.results import BoolArray, IntArray
from app.routing.stretches import OFFSET_BITS, Stretches, nearest_in_plan

NOT_MEASURED = -1
LEAST_PIECE_MM = 1
"""However short a stretch was measured, no piece of it is shorter."""


@dataclass(frozen=True, eq=False)
class Walked:
    """`measured`: by stretch, the length that stands for the drawn one, NOT_MEASURED for none.

    `key`, sorted, are the places of added lengths as stretch and offset: what lies there or
    beyond has them. `total` (keys + 1) adds them up from the first; `ids` are theirs.
    `measured_by` tells which walked length a stretch was measured by. On `dear` stretches a
    longer leg may cost less than the way along.
    """

    measured: IntArray
    dear: BoolArray
    key: IntArray
    total: IntArray
    ids: tuple[str, ...]
    measured_by: Mapping[int, str]

    def along(self, flat: Stretches, stretch: IntArray, offset: IntArray) -> IntArray:
        """The length from the first end of each stretch to the offset, nothing added."""
        whole = self.measured[stretch]
        drawn = np.maximum(flat.length[stretch], 1)
        scaled: IntArray = (2 * offset * whole + drawn) // (2 * drawn)
        return np.where(whole == NOT_MEASURED, offset, scaled)

    def added(self, stretch: IntArray, offset: IntArray) -> IntArray:
        """What was added between the first end of each stretch and the offset."""
        begin = stretch.astype(np.int64) << OFFSET_BITS
        before = np.searchsorted(self.key, begin, side="left")
        upto = np.searchsorted(self.key, begin + offset, side="right")
        added: IntArray = self.total[upto] - self.total[before]
        return added

    def passed(self, stretch: int, one: int, other: int) -> tuple[str, ...]:
        """The ids of what was added between two offsets of a stretch."""
        low, high = sorted((one, other))
        begin = stretch << OFFSET_BITS
        first = int(np.searchsorted(self.key, begin + low, side="right"))
        last = int(np.searchsorted(self.key, begin + high, side="right"))
        return self.ids[first:last]


def lay_walked(
    flat: Stretches,
    lengths: Iterable[WalkedLength],
    storeys: Mapping[tuple[str, str], int],
    *,
    leg_weight: int,
) -> Walked | None:
    """Every walked length on its stretch; None where there is none.

    `storeys`: by riser and floor the stretch above that floor. Of several measured lengths of
    one stretch the longest counts.
    """
    number = {thing: k for k, thing in enumerate(flat.things)}
    measured = np.full(len(flat.length), NOT_MEASURED, dtype=np.int64)
    measured_by: dict[int, str] = {}
    places: list[tuple[int, str, int]] = []
    for walked in sorted(lengths, key=lambda w: w.id):
        place = _place(flat, number, walked, storeys)
        if place is None:
            continue
        stretch, offset = place
        if walked.replaced_mm is not None and walked.replaced_mm > measured[stretch]:
            measured[stretch] = walked.replaced_mm
            measured_by[stretch] = walked.id
        if walked.added_mm:
            places.append(((stretch << OFFSET_BITS) + offset, walked.id, walked.added_mm))
    if not places and not measured_by:
        return None
    places.sort()
    amounts = np.array([0, *(p[2] for p in places)], dtype=np.int64)
    return Walked(
        measured=measured,
        dear=(measured >= leg_weight * flat.length) & (measured > flat.length),
        key=np.array([p[0] for p in places], dtype=np.int64),
        total=np.cumsum(amounts),
        ids=tuple(p[1] for p in places),
        measured_by=measured_by,
    )


def _place(
    flat: Stretches,
    number: Mapping[str, int],
    walked: WalkedLength,
    storeys: Mapping[tuple[str, str], int],
) -> tuple[int, int] | None:
    """The stretch, and the least offset at which the length has been passed."""
    above = storeys.get((walked.along, walked.floor))
    if above is not None:
        return above, 1
    if walked.along not in number:
        return None  # a riser that nothing comes to
    first, stop = flat.first_of_thing[number[walked.along] : number[walked.along] + 2].tolist()
    at = (walked.x_mm, walked.y_mm)
    found = [(*nearest_in_plan(flat, s, at), s) for s in range(first, stop)]
    share, _, stretch = min(found, key=lambda f: (f[1], _order(flat, f[2])))
    return stretch, _threshold(flat, stretch, flat.offset(stretch, share))


def _order(flat: Stretches, stretch: int) -> tuple[int, ...]:
    """Where two stretches meet, the level one is meant; else the first in (z, x, y)."""
    start, end = flat.start[stretch].tolist(), flat.end[stretch].tolist()
    plumb = int(start[:2] == end[:2])
    return plumb, start[2] + end[2], start[0] + end[0], start[1] + end[1], stretch


def _threshold(flat: Stretches, stretch: int, offset: int) -> int:
    start, end = flat.start[stretch].tolist(), flat.end[stretch].tolist()
    length = int(flat.length[stretch])
    if (start[2], start[0], start[1]) < (end[2], end[0], end[1]):
        return min(offset + 1, length)
    return max(min(offset, length), 1)
