"""Flat geometry: lines, arcs, fills and texts as arrays, drawn with pens on layers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.drawing.plan_drawing import Floats, Indices, PlanText
from app.drawing.primitives import Point

PLACEMENT_COST = 20
"""What placing an empty geometry costs, in rows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """What a thing is drawn with and on which layer; `dashes` is a length on, off, on, ..."""

    layer: str
    colour: int
    width_mm: float
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class FlatDimension:
    """A linear dimension: its text, and the two ends of its dimension line."""

    text: str
    start: Point
    end: Point
    is_typed: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FlatGeometry:
    """Geometry without entities; `*_pens` are indices into the importer's list of pens.

    `outlines` (k, 2) are first row and number of rows in `segments`; `arcs` (a, 5) are centre,
    radius, start and sweep in degrees; fills as in a plan layer.
    """

    segments: Floats
    segment_pens: Indices
    outlines: Indices
    arcs: Floats
    arc_pens: Indices
    hatch_lines: Floats
    hatch_pens: Indices
    fill_points: Floats
    fill_rings: Indices
    fill_paths: Indices
    fill_pens: Indices
    texts: tuple[tuple[PlanText, int], ...]
    dimensions: tuple[FlatDimension, ...]

    @property
    def size(self) -> int:
        """A measure of the work of copying this geometry: its rows and a fixed part."""
        return PLACEMENT_COST + len(self.segments) + len(self.hatch_lines) + len(self.fill_points)

    @property
    def has_content(self) -> bool:
        """Whether there is anything at all."""
        rows = (self.segments, self.hatch_lines, self.fill_points, self.texts)
        return any(len(row) > 0 for row in rows)


def joined(parts: Sequence[FlatGeometry]) -> FlatGeometry:
    """Several geometries as one."""
    return FlatGeometry(
        segments=np.concatenate([p.segments for p in parts]),
        segment_pens=np.concatenate([p.segment_pens for p in parts]),
        outlines=_shifted_outlines(parts),
        arcs=np.concatenate([p.arcs for p in parts]),
        arc_pens=np.concatenate([p.arc_pens for p in parts]),
        hatch_lines=np.concatenate([p.hatch_lines for p in parts]),
        hatch_pens=np.concatenate([p.hatch_pens for p in parts]),
        fill_points=np.concatenate([p.fill_points for p in parts]),
        fill_rings=offsets(np.concatenate([np.diff(p.fill_rings) for p in parts])),
        fill_paths=offsets(np.concatenate([np.diff(p.fill_paths) for p in parts])),
        fill_pens=np.concatenate([p.fill_pens for p in parts]),
        texts=tuple(text for p in parts for text in p.texts),
        dimensions=tuple(dimension for p in parts for dimension in p.dimensions),
    )


def _shifted_outlines(parts: Sequence[FlatGeometry]) -> Indices:
    before = 0
    shifted = []
    for part in parts:
        shifted.append(part.outlines + np.array([before, 0], dtype=np.int32))
        before += len(part.segments)
    return np.concatenate(shifted).astype(np.int32)


def offsets(sizes: Indices) -> Indices:
    """Where each run of the given sizes begins, and where the last ends."""
    result: Indices = np.r_[0, np.cumsum(sizes)].astype(np.int32)
    return result
