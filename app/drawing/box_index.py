"""The boxes of many lines, searchable by place.

Plain arrays: a tree of objects would hold the interpreter while it is built, and the window
with it. Boxes of like size that lie together share a block; a search looks at the blocks, then
at the boxes of those it touches.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from app.drawing.plan_drawing import Floats

Ints = npt.NDArray[np.int64]
BLOCK = 128
SIZES = 24
"""Halvings of the whole by which boxes are told apart in size."""
_CELLS = 0xFFFF
_SPREAD = ((8, 0x00FF00FF), (4, 0x0F0F0F0F), (2, 0x33333333), (1, 0x55555555))


class BoxIndex:
    """The boxes around segments (n, 4): x0, y0, x1, y1."""

    def __init__(self, segments: Floats) -> None:
        low = np.minimum(segments[:, :2], segments[:, 2:])
        high = np.maximum(segments[:, :2], segments[:, 2:])
        order = np.argsort(_places(low, high), kind="stable")
        self._rows: Ints = order.astype(np.int64)
        self._low, self._high = low[order], high[order]
        self._starts = np.arange(0, len(order), BLOCK)
        empty = np.zeros((0, 2))
        self._block_low: Floats = (
            np.minimum.reduceat(self._low, self._starts) if len(low) else empty
        )
        self._block_high: Floats = (
            np.maximum.reduceat(self._high, self._starts) if len(low) else empty
        )

    def rows_in(self, box: tuple[float, float, float, float]) -> Ints:
        """The rows, rising, whose boxes touch a box."""
        blocks = np.flatnonzero(_touch(self._block_low, self._block_high, box))
        near = (self._starts[blocks][:, None] + np.arange(BLOCK)).ravel()
        near = near[near < len(self._rows)]
        found: Ints = np.sort(self._rows[near[_touch(self._low[near], self._high[near], box)]])
        return found


def _touch(
    low: Floats, high: Floats, box: tuple[float, float, float, float]
) -> npt.NDArray[np.bool_]:
    x0, y0, x1, y1 = box
    result: npt.NDArray[np.bool_] = (
        (low[:, 0] <= x1) & (high[:, 0] >= x0) & (low[:, 1] <= y1) & (high[:, 1] >= y0)
    )
    return result


def _places(low: Floats, high: Floats) -> Ints:
    """A number for each box: near ones of like size have near numbers."""
    if not len(low):
        return np.zeros(0, dtype=np.int64)
    start, whole = low.min(axis=0), max(float((high.max(axis=0) - low.min(axis=0)).max()), 1e-300)
    middle = ((low + high) / 2 - start) / whole
    cells = np.clip(middle * _CELLS, 0, _CELLS).astype(np.int64)
    for shift, mask in _SPREAD:
        cells = (cells | (cells << shift)) & mask
    share = (high - low).max(axis=1) / whole
    size = np.clip(SIZES + np.log2(np.maximum(share, 2.0**-SIZES)), 0, SIZES).astype(np.int64)
    result: Ints = (size << 32) | cells[:, 0] | (cells[:, 1] << 1)
    return result
