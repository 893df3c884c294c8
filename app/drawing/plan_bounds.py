"""Where a plan lies: bounds with and without the stray content of its file."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from app.drawing.plan_drawing import Floats, PlanLayer
from app.drawing.primitives import Bounds

GAP_RATIO = 0.5
"""Content apart from the main body by more than this part of the body's size may be stray ..."""
STRAY_RATIO = 0.02
"""... if it is less than this part of all lines."""


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


def core_bounds(layers: Iterable[PlanLayer]) -> Bounds | None:
    """The smallest rectangle around the plan itself: visible lines without stray ones.

    Stray is what lies apart from the rest, across a gap that is wide for the plan, and is little.
    """
    layers = tuple(layers)
    rows = [layer.segments for layer in layers if layer.is_visible and len(layer.segments)]
    if not rows:
        return full_bounds(layers)
    segments = np.concatenate(rows)
    kept = segments[core_segments(segments)]
    xs, ys = kept[:, 0::2], kept[:, 1::2]
    return float(xs.min()), float(ys.min()), float(xs.max()), float(ys.max())


def core_segments(segments: Floats) -> npt.NDArray[np.bool_]:
    """Which of some segments (n, 4) belong to the plan and are not stray."""
    kept = np.ones(len(segments), dtype=np.bool_)
    for _ in range(4):
        before = int(kept.sum())
        for axis in (0, 1):
            inside = np.flatnonzero(kept)
            ends = segments[inside][:, axis::2]
            kept[inside[~_main_run(ends.min(axis=1), ends.max(axis=1))]] = False
        if int(kept.sum()) == before:
            break
    return kept


def _main_run(low: Floats, high: Floats) -> npt.NDArray[np.bool_]:
    """Which intervals lie in runs (broken only by wide gaps) that hold more than a little."""
    order = np.argsort(low, kind="stable")
    reach = np.maximum.accumulate(high[order])
    middles = (low + high) / 2
    size = float(np.quantile(middles, 0.95) - np.quantile(middles, 0.05))
    gap = low[order][1:] - reach[:-1]
    run = np.r_[0, np.cumsum(gap > GAP_RATIO * size)]
    counts = np.bincount(run)
    heavy = counts > max(STRAY_RATIO * len(low), 1)
    heavy[np.argmax(counts)] = True
    result = np.empty(len(low), dtype=np.bool_)
    result[order] = heavy[run]
    return result
