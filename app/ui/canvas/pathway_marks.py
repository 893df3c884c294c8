"""The hatch that tells kinds of pathway apart: small marks along a line, by arrays."""

from __future__ import annotations

import numpy as np

from app.drawing.pathway_hatches import Hatch, hatches
from app.model.vocabulary import PathwayKind
from app.ui.canvas.qt_arrays import Floats

Stroke = tuple[float, float, float, float]
"""u, v, u, v: u along the way in grid units, v across it in half widths."""

OUTDOOR_DUCT = "outdoor_duct"


CROSS: tuple[Stroke, ...] = ((-6, -1, 6, 1), (-6, 1, 6, -1))
"""What strikes out a pathway that goes."""

LEAVING: tuple[Stroke, ...] = ((-6, -1, 6, 1), (6, 1, 2, 1), (6, 1, 6, 0.1))
"""What says that a pathway goes elsewhere: one stroke with an arrow head."""

CROSS_PERIOD = 40.0


def hatch_of(kind: PathwayKind | None) -> Hatch:
    """The hatch of a kind; None is an outdoor duct."""
    return hatches()[OUTDOOR_DUCT if kind is None else kind.value]


def marks_along(
    pieces: Floats,
    strokes: tuple[Stroke, ...],
    *,
    unit: float,
    half_width: float,
    spacing: float,
) -> Floats:
    """The strokes set at even steps along straight pieces (n, 4); all in one unit of length.

    A piece shorter than the spacing has one mark where it is at least half as long, else none.
    """
    delta = pieces[:, 2:] - pieces[:, :2]
    length = np.hypot(delta[:, 0], delta[:, 1])
    counts = np.floor(length / spacing + 0.5).astype(np.int64)
    counts[length <= 0] = 0
    total = int(counts.sum())
    if total == 0 or not strokes:
        return np.zeros((0, 4))
    row = np.repeat(np.arange(len(pieces)), counts)
    nth = np.arange(total) - np.repeat(np.cumsum(counts) - counts, counts)
    share = (nth + 0.5) / counts[row]
    middle = pieces[row, :2] + share[:, None] * delta[row]
    along = delta[row] / length[row, None]
    across = np.column_stack((-along[:, 1], along[:, 0]))
    drawn = []
    for u0, v0, u1, v1 in strokes:
        start = middle + along * (u0 * unit) + across * (v0 * half_width)
        end = middle + along * (u1 * unit) + across * (v1 * half_width)
        drawn.append(np.hstack((start, end)))
    return np.concatenate(drawn)


def pieces_of(line: Floats) -> Floats:
    """The straight pieces (n − 1, 4) of a polyline (n, 2)."""
    return np.hstack((line[:-1], line[1:]))
