"""Which parts of a picture are taken, and which had better stay free: labels are placed by it.

Units and the direction of y are the caller's. Boxes that only touch do not overlap.
"""

from __future__ import annotations

from app.drawing.primitives import Bounds


class Occupied:
    """Boxes by a coarse grid of `cell` a side, so that a look at one place costs little."""

    def __init__(self, *, cell: float) -> None:
        self._cell = cell
        self._taken: dict[tuple[int, int], list[Bounds]] = {}
        self._avoided: dict[tuple[int, int], list[Bounds]] = {}

    def take(self, box: Bounds) -> None:
        """Nothing else may lie here."""
        for cell in self._cells_of(box):
            self._taken.setdefault(cell, []).append(box)

    def avoid(self, box: Bounds) -> None:
        """What a label may lie on only where nothing else is free."""
        for cell in self._cells_of(box):
            self._avoided.setdefault(cell, []).append(box)

    def is_free(self, box: Bounds, *, of_all: bool) -> bool:
        """Whether nothing is taken there, and with `of_all` nothing is to be avoided either."""
        cells = self._cells_of(box)
        grids = (self._taken, self._avoided) if of_all else (self._taken,)
        return not any(
            overlap(box, other) for grid in grids for cell in cells for other in grid.get(cell, ())
        )

    def _cells_of(self, box: Bounds) -> list[tuple[int, int]]:
        c0, r0 = int(box[0] // self._cell), int(box[1] // self._cell)
        c1, r1 = int(box[2] // self._cell), int(box[3] // self._cell)
        return [(c, r) for c in range(c0, c1 + 1) for r in range(r0, r1 + 1)]


def overlap(one: Bounds, other: Bounds) -> bool:
    """Whether two boxes share more than an edge."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
