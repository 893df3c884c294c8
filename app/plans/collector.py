"""Gathers flat geometry entity by entity."""

from __future__ import annotations

import math
from array import array
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from app.drawing.plan_drawing import Floats, Indices, PlanText
from app.plans.curves import LEAST_STEPS_PER_TURN, flatten_curves
from app.plans.flat import FlatDimension, FlatGeometry, joined, offsets
from app.plans.limits import Budget

SAME = 1e-9


@dataclass(slots=True)
class Collector:
    """Gathers lines, curves, fills and texts; `geometry()` gives them as arrays.

    `tolerance` is how far a chord may lie from its curve.
    """

    budget: Budget
    tolerance: float
    _segments: array[float] = field(default_factory=lambda: array("d"))
    _segment_pens: array[int] = field(default_factory=lambda: array("i"))
    _outlines: array[int] = field(default_factory=lambda: array("i"))
    _curves: array[float] = field(default_factory=lambda: array("d"))
    _curve_pens: array[int] = field(default_factory=lambda: array("i"))
    _hatch_lines: array[float] = field(default_factory=lambda: array("d"))
    _hatch_pens: array[int] = field(default_factory=lambda: array("i"))
    _fill_points: array[float] = field(default_factory=lambda: array("d"))
    _ring_sizes: array[int] = field(default_factory=lambda: array("i"))
    _path_sizes: array[int] = field(default_factory=lambda: array("i"))
    _fill_pens: array[int] = field(default_factory=lambda: array("i"))
    _texts: list[tuple[PlanText, int]] = field(default_factory=list)
    _dimensions: list[FlatDimension] = field(default_factory=list)
    _chunks: list[FlatGeometry] = field(default_factory=list)

    def line(self, x0: float, y0: float, x1: float, y1: float, pen: int) -> None:
        """One straight line, or a point where both ends are the same."""
        self.budget.spend_geometry(1, 0)
        self._segments.extend((x0, y0, x1, y1))
        self._segment_pens.append(pen)

    def polyline(self, points: Sequence[tuple[float, float]], pen: int, *, closed: bool) -> None:
        """Straight pieces through points; one that comes back to its beginning is an outline."""
        if len(points) > 1 and _is_same(points[0], points[-1]):
            points = points[:-1]
            closed = True
        if len(points) < 2:  # noqa: PLR2004 - a line has two ends
            return
        following = [*points[1:], points[0]] if closed else points[1:]
        self.budget.spend_geometry(len(following), 0)
        if closed and len(points) > 2:  # noqa: PLR2004 - two points enclose nothing
            self._outlines.extend((len(self._segment_pens), len(points)))
        for start, end in zip(points, following, strict=False):
            self._segments.extend((*start, *end))
        self._segment_pens.extend([pen] * len(following))

    def curve(
        self,
        center: tuple[float, float],
        major: tuple[float, float],
        minor: tuple[float, float],
        start: float,
        sweep: float,
        pen: int,
    ) -> None:
        """The points centre + cos(t) major + sin(t) minor, for t (radians) over the sweep."""
        self.budget.spend_geometry(LEAST_STEPS_PER_TURN, 0)
        self._curves.extend((*center, *major, *minor, start, sweep))
        self._curve_pens.append(pen)

    def hatch(self, lines: Floats, pen: int) -> None:
        """The lines (n, 4) of a hatch pattern."""
        self.budget.spend_geometry(len(lines), 0)
        self._hatch_lines.frombytes(np.ascontiguousarray(lines, dtype=np.float64).tobytes())
        self._hatch_pens.extend([pen] * len(lines))

    def fill(self, rings: Sequence[Sequence[Sequence[float]]], pen: int) -> None:
        """A path filled even-odd."""
        rings = [ring for ring in rings if len(ring) > 2]  # noqa: PLR2004 - two points enclose nothing
        if not rings:
            return
        self.budget.spend_geometry(sum(len(ring) for ring in rings), 0)
        for ring in rings:
            for point in ring:
                self._fill_points.extend((point[0], point[1]))
            self._ring_sizes.append(len(ring))
        self._path_sizes.append(len(rings))
        self._fill_pens.append(pen)

    def text(self, text: PlanText, pen: int) -> None:
        """A text; its colour is that of the pen."""
        self.budget.spend_geometry(0, 1)
        self._texts.append((text, pen))

    def dimension(self, dimension: FlatDimension) -> None:
        """A dimension, beside the lines and texts that show it."""
        self._dimensions.append(dimension)

    def add(self, geometry: FlatGeometry) -> None:
        """All of another geometry, already in this one's coordinates."""
        self.budget.spend_geometry(geometry.size, len(geometry.texts))
        self._chunks.append(geometry)

    def geometry(self) -> FlatGeometry:
        """Everything gathered, as arrays."""
        curve_segments, curve_pens, arcs, arc_pens = flatten_curves(
            _floats(self._curves, 8), _indices(self._curve_pens), self.tolerance
        )
        own = FlatGeometry(
            segments=np.concatenate((_floats(self._segments, 4), curve_segments)),
            segment_pens=np.concatenate((_indices(self._segment_pens), curve_pens)),
            outlines=_indices(self._outlines).reshape(-1, 2),
            arcs=arcs,
            arc_pens=arc_pens,
            hatch_lines=_floats(self._hatch_lines, 4),
            hatch_pens=_indices(self._hatch_pens),
            fill_points=_floats(self._fill_points, 2),
            fill_rings=offsets(_indices(self._ring_sizes)),
            fill_paths=offsets(_indices(self._path_sizes)),
            fill_pens=_indices(self._fill_pens),
            texts=tuple(self._texts),
            dimensions=tuple(self._dimensions),
        )
        return joined([own, *self._chunks]) if self._chunks else own


def _is_same(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Whether two points are one, but for the last digits of their file."""
    return all(
        math.isclose(a, b, rel_tol=SAME, abs_tol=SAME) for a, b in zip(one, other, strict=True)
    )


def _floats(values: array[float], columns: int) -> Floats:
    return np.array(values, dtype=np.float64).reshape(-1, columns)


def _indices(values: array[int]) -> Indices:
    return np.array(values, dtype=np.int32)
