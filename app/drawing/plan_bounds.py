"""Where a plan lies: bounds with and without the stray content of its file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from app.drawing.plan_drawing import Floats, PlanLayer
from app.drawing.primitives import Bounds

CELLS = 128
"""The middle of the drawing is covered by a grid of this many cells a side ..."""
MARGIN_CELLS = 300
"""... with so many more on every side; what lies farther counts as lying at the rim."""
REACH_CELLS = 3
"""Lines within twice this many cells of each other hang together."""
MOST_SAMPLES = 400
LIGHT_RATIO = 0.05
"""A part with less than this part of the length of the longest part is stray ..."""
FAR_LIGHT_RATIO = 0.5
"""... and one that lies farther from it than its own size needs this much to count."""
MIDDLE = (0.02, 0.98)


def full_bounds(layers: Iterable[PlanLayer]) -> Bounds | None:
    """The smallest rectangle around everything on visible layers, or None."""
    visible = [layer for layer in layers if layer.is_visible]
    points = [
        p
        for layer in visible
        for p in (
            layer.segments.reshape(-1, 2),
            layer.fill_points,
            np.array([text.position for text in layer.texts]).reshape(-1, 2),
        )
        if len(p)
    ]
    if not points:
        return None
    low = np.min([p.min(axis=0) for p in points], axis=0)
    high = np.max([p.max(axis=0) for p in points], axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def core_bounds(layers: Sequence[PlanLayer]) -> Bounds | None:
    """The smallest rectangle around the plan itself: visible lines without stray ones."""
    rows = [layer.segments for layer in layers if layer.is_visible and len(layer.segments)]
    if not rows:
        return full_bounds(layers)
    segments = np.concatenate(rows)
    return _around(segments[core_segments(segments)])


def core_segments(segments: Floats) -> npt.NDArray[np.bool_]:
    """Which of some segments (n, 4) belong to the plan and are not stray.

    Lines that hang together make a part. Parts that are short in all are stray, and so are
    those that lie far from the longest one, unless they are nearly as long.
    """
    points = segments.reshape(-1, 2)
    if not len(points):
        return np.zeros(0, dtype=np.bool_)
    low, high = np.quantile(points, MIDDLE, axis=0)
    size = float(np.max(high - low))
    if not size > 0:
        return np.ones(len(segments), dtype=np.bool_)
    part = _parts(segments, low, size / CELLS)
    length = np.hypot(segments[:, 2] - segments[:, 0], segments[:, 3] - segments[:, 1])
    lengths = np.bincount(part, weights=length)
    main = int(np.argmax(lengths))
    main_bounds = _around(segments[part == main])
    main_size = max(main_bounds[2] - main_bounds[0], main_bounds[3] - main_bounds[1])
    heavy = lengths >= LIGHT_RATIO * lengths[main]
    for number in np.flatnonzero(heavy & (lengths < FAR_LIGHT_RATIO * lengths[main])):
        heavy[number] = _gap(main_bounds, _around(segments[part == number])) <= main_size
    result: npt.NDArray[np.bool_] = heavy[part]
    return result


def _parts(segments: Floats, low: Floats, step: float) -> npt.NDArray[np.intp]:
    """For each segment the number of the part that it hangs together with."""
    length = np.hypot(segments[:, 2] - segments[:, 0], segments[:, 3] - segments[:, 1])
    samples = np.minimum(np.ceil(length / step), MOST_SAMPLES - 1).astype(np.int64) + 1
    row = np.repeat(np.arange(len(segments)), samples)
    first = np.cumsum(samples) - samples
    share = (np.arange(len(row)) - first[row]) / np.maximum(samples[row] - 1, 1)
    place = segments[row, :2] + share[:, None] * (segments[row, 2:] - segments[row, :2])
    cell = np.floor(np.clip((place - low) / step, -MARGIN_CELLS, CELLS + MARGIN_CELLS - 1))
    x, y = (cell.astype(np.int64) + MARGIN_CELLS).T
    grid = np.zeros((CELLS + 2 * MARGIN_CELLS, CELLS + 2 * MARGIN_CELLS), dtype=np.bool_)
    grid[x, y] = True
    labels, _ = ndimage.label(ndimage.binary_dilation(grid, iterations=REACH_CELLS))
    result: npt.NDArray[np.intp] = labels[x[first], y[first]].astype(np.intp)
    return result


def _around(segments: Floats) -> Bounds:
    xs, ys = segments[:, 0::2], segments[:, 1::2]
    return float(xs.min()), float(ys.min()), float(xs.max()), float(ys.max())


def _gap(one: Bounds, other: Bounds) -> float:
    """The distance between two rectangles, the greater of across and up."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    up = max(one[1] - other[3], other[1] - one[3], 0.0)
    return max(across, up)
