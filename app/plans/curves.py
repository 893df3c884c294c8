"""Curves broken into chords, many at once."""

from __future__ import annotations

import math

import numpy as np

from app.drawing.plan_drawing import Floats, Indices

FULL_TURN = 2 * math.pi
MOST_STEPS_PER_TURN = 256
LEAST_STEPS_PER_TURN = 16


def flatten_curves(
    curves: Floats, pens: Indices, tolerance: float
) -> tuple[Floats, Indices, Floats, Indices]:
    """Segments and pens of curves (n, 8), and arcs (a, 5) and pens of the circular ones."""
    if not len(curves):
        none = np.zeros(0, dtype=np.int32)
        return np.zeros((0, 4)), none, np.zeros((0, 5)), none
    center, major, minor = curves[:, 0:2], curves[:, 2:4], curves[:, 4:6]
    start, sweep = curves[:, 6], curves[:, 7]
    steps = _curve_steps(np.maximum(_length(major), _length(minor)), sweep, tolerance)
    row = np.repeat(np.arange(len(curves)), steps)
    step = np.arange(len(row)) - np.repeat(np.cumsum(steps) - steps, steps)
    angle = np.stack((step, step + 1)) / steps[row] * sweep[row] + start[row]
    points = [
        center[row] + np.cos(t)[:, None] * major[row] + np.sin(t)[:, None] * minor[row]
        for t in angle
    ]
    arcs, is_arc = _arcs_of_curves(curves)
    return np.hstack(points), pens[row], arcs, pens[is_arc]


def _curve_steps(radius: Floats, sweep: Floats, tolerance: float) -> Indices:
    """How many chords each curve needs to keep within the tolerance."""
    ratio = np.clip(tolerance / np.maximum(radius, 1e-300), 0.0, 1.0)
    widest = np.minimum(2 * np.arccos(1 - ratio), FULL_TURN / LEAST_STEPS_PER_TURN)
    steps = np.ceil(np.abs(sweep) / np.maximum(widest, FULL_TURN / MOST_STEPS_PER_TURN))
    steps = np.clip(np.nan_to_num(steps, nan=1.0), 1, MOST_STEPS_PER_TURN)
    result: Indices = steps.astype(np.int32)
    return result


def _arcs_of_curves(curves: Floats) -> tuple[Floats, Indices]:
    """Centre, radius, start and sweep (degrees) of the circular curves, and their rows."""
    major, minor = curves[:, 2:4], curves[:, 4:6]
    radius = _length(major)
    skew = np.abs((major * minor).sum(axis=1)) + np.abs(radius - _length(minor)) * radius
    rows = np.flatnonzero((skew <= 1e-9 * radius * radius) & (radius > 0)).astype(np.int32)
    major, minor, radius = major[rows], minor[rows], radius[rows]
    begin, sweep = curves[rows, 6], curves[rows, 7]
    mirrored = major[:, 0] * minor[:, 1] - major[:, 1] * minor[:, 0] < 0
    turned = np.arctan2(major[:, 1], major[:, 0])
    begin = np.where(mirrored, turned - begin - sweep, turned + begin)
    arcs = np.column_stack(
        (curves[rows, 0:2], radius, np.degrees(begin) % 360.0, np.degrees(sweep))
    )
    return arcs, rows


def _length(vectors: Floats) -> Floats:
    result: Floats = np.hypot(vectors[:, 0], vectors[:, 1])
    return result
