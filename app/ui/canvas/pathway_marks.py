"""The hatch that tells kinds of pathway apart: small marks along a line, by arrays."""

from __future__ import annotations

import numpy as np

from app.model.vocabulary import PathwayKind
from app.ui.canvas.qt_arrays import Floats

Mark = tuple[tuple[float, float, float, float], ...]
"""Strokes about a point of the line: along, across, along, across."""

RUNG: Mark = ((0, -1, 0, 1),)
CROSS: Mark = ((-0.8, -0.8, 0.8, 0.8), (-0.8, 0.8, 0.8, -0.8))
HOOK: Mark = ((0, 0, 0, -0.9), (0, -0.9, 0.55, -1.2), (0.55, -1.2, 1.0, -0.8))
DIAMOND: Mark = ((-0.8, 0, 0, 0.8), (0, 0.8, 0.8, 0), (0.8, 0, 0, -0.8), (0, -0.8, -0.8, 0))
SLANT: Mark = ((-0.5, -0.9, 0.5, 0.9),)

LINE_MARKS: dict[PathwayKind, tuple[Mark, float, float]] = {
    PathwayKind.LADDER: (RUNG, 4.0, 9.0),
    PathwayKind.BASKET: (CROSS, 3.5, 20.0),
    PathwayKind.HOOKS: (HOOK, 4.0, 16.0),
    PathwayKind.SURFACE_RACEWAY: (SLANT, 3.5, 12.0),
    PathwayKind.CONDUIT: (DIAMOND, 2.8, 26.0),
}
"""On a pathway drawn as a line: the mark, its half size and its spacing in pixels."""

BAND_MARKS: dict[PathwayKind, tuple[Mark, float]] = {
    PathwayKind.LADDER: (RUNG, 300.0),
    PathwayKind.BASKET: (CROSS, 300.0),
    PathwayKind.HOOKS: (RUNG, 1_200.0),
    PathwayKind.SURFACE_RACEWAY: (SLANT, 600.0),
}
"""On a pathway drawn at its true width: the mark, as wide as the pathway, and its spacing in mm."""


def marks_along(
    pieces: Floats, mark: Mark, *, half_along: float, half_across: float, spacing: float
) -> Floats:
    """The strokes of a mark set at even steps along straight pieces (n, 4), middle to middle.

    A piece shorter than the spacing has one mark where it is at least half as long, else none.
    """
    delta = pieces[:, 2:] - pieces[:, :2]
    length = np.hypot(delta[:, 0], delta[:, 1])
    counts = np.floor(length / spacing + 0.5).astype(np.int64)
    counts[length <= 0] = 0
    total = int(counts.sum())
    if total == 0:
        return np.zeros((0, 4))
    row = np.repeat(np.arange(len(pieces)), counts)
    nth = np.arange(total) - np.repeat(np.cumsum(counts) - counts, counts)
    share = (nth + 0.5) / counts[row]
    middle = pieces[row, :2] + share[:, None] * delta[row]
    along = delta[row] / length[row, None]
    across = np.column_stack((-along[:, 1], along[:, 0]))
    strokes = []
    for a0, c0, a1, c1 in mark:
        start = middle + along * (a0 * half_along) + across * (c0 * half_across)
        end = middle + along * (a1 * half_along) + across * (c1 * half_across)
        strokes.append(np.hstack((start, end)))
    return np.concatenate(strokes)


def pieces_of(line: Floats) -> Floats:
    """The straight pieces (n − 1, 4) of a polyline (n, 2)."""
    return np.hstack((line[:-1], line[1:]))
