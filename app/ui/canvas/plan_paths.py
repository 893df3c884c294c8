"""A plan's drawing as painter paths, cut into small pieces that lie close together.

A painter holds the interpreter while it draws a path, so that a worker which draws one long
path stops the window for its whole length; pieces keep that under a millisecond, and let a
tile skip what lies elsewhere.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from PySide6.QtGui import QPainterPath

from app.drawing.plan_drawing import Floats, PlanDrawing
from app.drawing.plan_lines import LineGroup, line_groups
from app.ui.canvas.camera import Box
from app.ui.canvas.plan_texts import text_path
from app.ui.canvas.qt_arrays import rings_path, segments_path

MOST_SEGMENTS = 1_200
"""In one piece."""

LONGEST_TURN_S = 0.001


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LinePiece:
    """Lines of one layer and pen that lie together; `box` in the drawing's local units."""

    layer: str
    colour: int
    width_mm: float
    is_hatch: bool
    longest: float
    box: Box
    path: QPainterPath


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FillPiece:
    layer: str
    colour: int
    box: Box
    path: QPainterPath


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TextPiece:
    """A text as filled outlines; `height` is that of its capitals."""

    layer: str
    colour: int
    box: Box
    height: float
    path: QPainterPath


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanPaths:
    """Everything of a drawing in the order in which it is painted: fills, lines, texts."""

    fills: tuple[FillPiece, ...]
    lines: tuple[LinePiece, ...]
    texts: tuple[TextPiece, ...]


def plan_paths(drawing: PlanDrawing) -> PlanPaths:
    """The drawing's paths. Runs in a worker; lets others run between pieces."""
    return PlanPaths(
        fills=tuple(_fills(drawing)),
        lines=tuple(piece for group in line_groups(drawing) for piece in _pieces(group)),
        texts=tuple(_texts(drawing)),
    )


class _Turn(threading.local):
    """When this thread last gave the interpreter away."""

    began_s = 0.0


_turn = _Turn()


def let_others_run() -> None:
    """Give the interpreter away now and then, so that the window's thread can go on."""
    if time.perf_counter() - _turn.began_s > LONGEST_TURN_S:
        time.sleep(1e-5)
        _turn.began_s = time.perf_counter()


def _pieces(group: LineGroup) -> Iterator[LinePiece]:
    for rows in _close_together(group.segments):
        segments = group.segments[rows]
        let_others_run()
        yield LinePiece(
            layer=group.layer,
            colour=group.colour,
            width_mm=group.width_mm,
            is_hatch=group.is_hatch,
            longest=float(_lengths(segments).max()),
            box=_box(segments.reshape(-1, 2)),
            path=segments_path(_points_made_visible(segments)),
        )


def _close_together(segments: Floats) -> Iterator[np.ndarray]:
    """The rows of segments in parcels of at most MOST_SEGMENTS, halved along the longer side."""
    middles = (segments[:, :2] + segments[:, 2:]) / 2
    waiting = [np.arange(len(segments))] if len(segments) else []
    while waiting:
        rows = waiting.pop()
        if len(rows) <= MOST_SEGMENTS:
            yield np.sort(rows)
            continue
        here = middles[rows]
        axis = int(np.argmax(here.max(axis=0) - here.min(axis=0)))
        half = len(rows) // 2
        order = np.argpartition(here[:, axis], half)
        waiting.append(rows[order[half:]])
        waiting.append(rows[order[:half]])


def _points_made_visible(segments: Floats) -> Floats:
    """A segment without length (a point of the drawing) is given one that a pen can draw."""
    dots = (segments[:, :2] == segments[:, 2:]).all(axis=1)
    if not dots.any():
        return segments
    drawn = segments.copy()
    size = np.abs(drawn).max() * 1e-9 + 1e-9
    drawn[dots, 2] += size
    return drawn


def _fills(drawing: PlanDrawing) -> Iterator[FillPiece]:
    for layer in drawing.layers:
        for rings, colour in layer.fills():
            if not rings or not len(rings[0]):
                continue
            yield FillPiece(
                layer=layer.name,
                colour=drawing.colours[colour],
                box=_box(np.concatenate(rings)),
                path=rings_path(rings),
            )
        let_others_run()


def _texts(drawing: PlanDrawing) -> Iterator[TextPiece]:
    for layer in drawing.layers:
        for text in layer.texts:
            yield TextPiece(
                layer=layer.name,
                colour=drawing.colours[text.colour],
                box=_box(np.array(text.corners)),
                height=text.height,
                path=text_path(text),
            )
            let_others_run()


def _lengths(segments: Floats) -> Floats:
    lengths: Floats = np.hypot(segments[:, 2] - segments[:, 0], segments[:, 3] - segments[:, 1])
    return lengths


def _box(points: Floats) -> Box:
    x0, y0 = points.min(axis=0)
    x1, y1 = points.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)
