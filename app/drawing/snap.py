"""Points of a plan that the cursor may catch: ends, crossings, middles and centres."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
import numpy.typing as npt

from app.drawing.box_index import BoxIndex
from app.drawing.plan_drawing import Floats, PlanDrawing
from app.drawing.primitives import Point

SnapKind: TypeAlias = Literal["end", "crossing", "middle", "center"]

MOST_LINES_CROSSED = 64
"""Where more lines are near, only this many of the nearest are crossed with one another."""
MIDDLE_HANDICAP = 1.5
"""Middles, and centres, must be nearer by this factor than an end or a crossing to win."""
PARALLEL = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Snap:
    """A point that was caught, in local coordinates, what it is, and how far it was."""

    kind: SnapKind
    point: Point
    distance: float


class SnapIndex:
    """The lines of a drawing's shown layers, searchable by place; built when first asked."""

    def __init__(self, drawing: PlanDrawing, *, hidden_layers: Collection[str] = ()) -> None:
        """Index all layers but the hidden ones."""
        self._drawing = drawing
        self._hidden = frozenset(hidden_layers)
        self._built: tuple[Floats, BoxIndex, Floats, BoxIndex] | None = None

    def build(self) -> None:
        """Build the index now, in whatever thread; asking builds it otherwise."""
        if self._built is not None:
            return
        layers = [layer for layer in self._drawing.layers if layer.name not in self._hidden]
        segments = np.concatenate([np.zeros((0, 4)), *(layer.segments for layer in layers)])
        centers = np.concatenate([np.zeros((0, 2)), *(layer.arcs[:, :2] for layer in layers)])
        self._built = (
            segments,
            BoxIndex(segments),
            centers,
            BoxIndex(np.hstack((centers, centers))),
        )

    def nearest_snap(self, point: Point, radius: float) -> Snap | None:
        """The best point within `radius` of `point` (both local), or None.

        An end or a crossing wins over the middle of a line or a centre that is about as near.
        """
        self.build()
        if self._built is None or not radius > 0:
            return None
        segments, lines, centers, points = self._built
        x, y = point
        square = (x - radius, y - radius, x + radius, y + radius)
        near = segments[lines.rows_in(square)]
        near_centers = centers[points.rows_in(square)]
        candidates = [
            _nearest("end", near.reshape(-1, 2), point),
            _nearest("crossing", _crossings(near, point), point),
            _nearest("middle", (near[:, :2] + near[:, 2:]) / 2, point),
            _nearest("center", near_centers, point),
        ]
        found = [snap for snap in candidates if snap is not None and snap.distance <= radius]
        return min(found, key=_rank, default=None)

    def nearest_line(self, point: Point, radius: float) -> tuple[Point, Point] | None:
        """The ends of the line that passes nearest, within `radius` of `point` (both local)."""
        self.build()
        if self._built is None or not radius > 0:
            return None
        segments, lines, _, _ = self._built
        x, y = point
        square = (x - radius, y - radius, x + radius, y + radius)
        near = segments[lines.rows_in(square)]
        near = near[(near[:, :2] != near[:, 2:]).any(axis=1)]
        if not len(near):
            return None
        distances = _distances(near, point)
        best = int(np.argmin(distances))
        if distances[best] > radius:
            return None
        x0, y0, x1, y1 = (float(v) for v in near[best])
        return (x0, y0), (x1, y1)


def _rank(snap: Snap) -> float:
    is_exact = snap.kind in ("end", "crossing")
    return snap.distance if is_exact else snap.distance * MIDDLE_HANDICAP


def _nearest(kind: SnapKind, points: Floats, point: Point) -> Snap | None:
    if not len(points):
        return None
    distances = np.hypot(points[:, 0] - point[0], points[:, 1] - point[1])
    best = int(np.argmin(distances))
    return Snap(
        kind=kind,
        point=(float(points[best, 0]), float(points[best, 1])),
        distance=float(distances[best]),
    )


def _crossings(segments: Floats, point: Point) -> Floats:
    """Where the segments nearest to a point cross one another, ends not counted twice."""
    if len(segments) > MOST_LINES_CROSSED:
        segments = segments[np.argsort(_distances(segments, point))[:MOST_LINES_CROSSED]]
    first, second = np.triu_indices(len(segments), k=1)
    start, along = segments[first, :2], segments[first, 2:] - segments[first, :2]
    other, across = segments[second, :2], segments[second, 2:] - segments[second, :2]
    turn = along[:, 0] * across[:, 1] - along[:, 1] * across[:, 0]
    scale = np.hypot(along[:, 0], along[:, 1]) * np.hypot(across[:, 0], across[:, 1])
    is_crossing = np.abs(turn) > PARALLEL * scale
    safe = np.where(is_crossing, turn, 1.0)
    gap = other - start
    t = (gap[:, 0] * across[:, 1] - gap[:, 1] * across[:, 0]) / safe
    u = (gap[:, 0] * along[:, 1] - gap[:, 1] * along[:, 0]) / safe
    is_crossing &= _within(t) & _within(u)
    result: Floats = start[is_crossing] + t[is_crossing, None] * along[is_crossing]
    return result


def _within(share: Floats) -> npt.NDArray[np.bool_]:
    """Whether a share along a line lies on it, ends included."""
    result: npt.NDArray[np.bool_] = (share >= -PARALLEL) & (share <= 1 + PARALLEL)
    return result


def _distances(segments: Floats, point: Point) -> Floats:
    """How far each segment passes from a point."""
    start = segments[:, :2]
    along = segments[:, 2:] - start
    gap = np.array(point) - start
    square = (along * along).sum(axis=1)
    share = np.clip((gap * along).sum(axis=1) / np.where(square > 0, square, 1.0), 0.0, 1.0)
    rest = gap - share[:, None] * along
    result: Floats = np.hypot(rest[:, 0], rest[:, 1])
    return result
