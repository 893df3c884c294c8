"""Lower bounds on the number of boxes: no cutting plan can do with fewer.

Lengths are integer millimetres and none is longer than the usable length of a box.
Source: Martello and Toth, Lower bounds and reduction procedures for the bin packing problem,
1990; Fekete and Schepers, New classes of fast lower bounds for bin packing problems, 2001.
"""

import numpy as np

from app.routing.results import IntArray

MOST_PER_BOX = 60
"""Step functions are tried up to this many pieces in one box."""


def least_boxes(lengths_mm: IntArray, *, usable_mm: int) -> int:
    """The greatest of the bounds below; 0 for no lengths."""
    if lengths_mm.size == 0:
        return 0
    return max(
        by_total(lengths_mm, usable_mm=usable_mm),
        by_large_pieces(lengths_mm, usable_mm=usable_mm),
        by_steps(lengths_mm, usable_mm=usable_mm),
    )


def by_total(lengths_mm: IntArray, *, usable_mm: int) -> int:
    """All metres together, as if cable could be joined."""
    return -(-int(lengths_mm.sum()) // usable_mm)


def by_large_pieces(lengths_mm: IntArray, *, usable_mm: int) -> int:
    """Pieces over half a box need one each; only what they leave takes the middling ones."""
    lengths = np.sort(lengths_mm)
    sums = np.concatenate(([0], np.cumsum(lengths)))
    half = int(np.searchsorted(lengths, usable_mm // 2, side="right"))
    cuts = np.unique(np.concatenate(([0], lengths[:half])))
    first_middling = np.searchsorted(lengths, cuts, side="left")
    first_alone = np.searchsorted(lengths, usable_mm - cuts, side="right")
    alone = lengths.size - first_alone
    large = first_alone - half
    room = large * usable_mm - (sums[first_alone] - sums[half])
    middling = sums[half] - sums[first_middling]
    more = np.maximum(0, -(-(middling - room) // usable_mm))
    return int((alone + large + more).max())


def by_steps(lengths_mm: IntArray, *, usable_mm: int) -> int:
    """Step functions: a piece over 1/(k+1) of a box counts as at least 1/k of one.

    Thirty pieces of 80 from 302: each is over a quarter, so it takes a third of a box.
    """
    best = 0
    for k in range(1, MOST_PER_BOX + 1):
        scaled = lengths_mm * (k + 1)
        steps = scaled // usable_mm
        exact = scaled % usable_mm == 0
        weight = np.where(exact, lengths_mm * k, steps * usable_mm)
        best = max(best, -(-int(weight.sum()) // (usable_mm * k)))
    return best
