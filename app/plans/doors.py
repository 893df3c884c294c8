"""Door leaves of a plan: quarter circles with a leaf from the hinge to one end."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.spatial import cKDTree

from app.drawing.plan_drawing import Floats, PlanDrawing

SWING_DEG = (60.0, 100.0)
SIZE_RATIO = (0.0005, 0.4)
"""A door's width lies between these parts of the drawing's size, whatever its unit."""
NEAR_RATIO = 0.12
"""The leaf begins and ends within this part of its width of the hinge and the arc's end."""
MOST_SWINGS = 20_000


def door_leaf_widths(drawing: PlanDrawing) -> Floats:
    """The widths, in file units, of what is drawn like a hinged door, hidden layers included."""
    if drawing.bounds is None:
        return np.zeros(0)
    size = max(drawing.bounds[2] - drawing.bounds[0], drawing.bounds[3] - drawing.bounds[1])
    swings = _swings(drawing, size)
    if not len(swings):
        return np.zeros(0)
    widest, narrowest = swings[:, 2].max(), swings[:, 2].min()
    leaves = np.concatenate([layer.segments for layer in drawing.layers])
    length = np.hypot(leaves[:, 2] - leaves[:, 0], leaves[:, 3] - leaves[:, 1])
    could_be = (length >= narrowest * (1 - NEAR_RATIO)) & (length <= widest * (1 + NEAR_RATIO))
    leaves = leaves[could_be]
    if not len(leaves):
        return np.zeros(0)
    ends = np.concatenate((leaves[:, :2], leaves[:, 2:]))
    others = np.concatenate((leaves[:, 2:], leaves[:, :2]))
    found = [_has_leaf(swing, near, others) for swing, near in _near_hinges(swings, ends)]
    result: Floats = swings[np.array(found, dtype=np.bool_), 2]
    return result


def _swings(drawing: PlanDrawing, size: float) -> Floats:
    arcs = np.concatenate([layer.arcs for layer in drawing.layers] or [np.zeros((0, 5))])
    radius, sweep = arcs[:, 2], arcs[:, 4]
    keep = (sweep >= SWING_DEG[0]) & (sweep <= SWING_DEG[1])
    keep &= (radius >= SIZE_RATIO[0] * size) & (radius <= SIZE_RATIO[1] * size) & (radius > 0)
    result: Floats = arcs[keep][:MOST_SWINGS]
    return result


def _near_hinges(swings: Floats, ends: Floats) -> list[tuple[Floats, npt.NDArray[np.intp]]]:
    """Each swing with the rows of `ends` that lie near its hinge."""
    tree = cKDTree(ends)
    near = tree.query_ball_point(swings[:, :2], swings[:, 2] * NEAR_RATIO)
    return [
        (swing, np.array(rows, dtype=np.intp)) for swing, rows in zip(swings, near, strict=True)
    ]


def _has_leaf(swing: Floats, near: npt.NDArray[np.intp], others: Floats) -> bool:
    x, y, radius, start, sweep = swing
    angles = np.radians([start, start + sweep])
    tips = np.column_stack((x + radius * np.cos(angles), y + radius * np.sin(angles)))
    reached = others[near][:, None, :] - tips[None, :, :]
    return bool((np.hypot(reached[..., 0], reached[..., 1]) <= radius * NEAR_RATIO).any())
