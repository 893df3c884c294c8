"""Paints what selected runs are told to pass, and what they are never to pass."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPen

from app.model.entities import OutdoorDuct, Outlet, Pathway
from app.model.project import Project
from app.ui.canvas.camera import Camera
from app.ui.canvas.floor_picture import line_of
from app.ui.canvas.pathway_painter import drawn_width_mm
from app.ui.canvas.qt_arrays import lines_path
from app.ui.palette import Palette

MOST_OUTLETS = 200
"""What more outlets were told is not looked for with every painting."""
CROSS_EVERY_PX = 46.0
CROSS_PX = 5.0
RING_PX = 19.0


def told_ways(project: Project, selected: Iterable[str]) -> dict[str, bool]:
    """By the id of a pathway, riser or duct: whether selected runs pass it, or never do."""
    found: dict[str, bool] = {}
    outlets = [project.get(i) for i in list(selected)[:MOST_OUTLETS]]
    for outlet in outlets:
        if isinstance(outlet, Outlet):
            for port in outlet.ports:
                found.update(dict.fromkeys(port.never, False))
                found.update(dict.fromkeys(port.via, True))
    return found


def paint_told(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    thing: Pathway | OutdoorDuct,
    *,
    passes: bool,
) -> None:
    """A pathway to pass between two lines; one never to pass with crosses along it."""
    line = line_of(thing)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if passes:
        wide = max(8.0, drawn_width_mm(thing) * camera.px_per_mm + 6.0)
        for width, role in ((wide + 3.0, "accent"), (wide, "ground")):
            pen = QPen(palette.color(role), width)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            painter.drawPath(camera.transform().map(lines_path([line])))
        return
    painter.setPen(QPen(palette.color("over"), 1.8))
    for at in _spots(camera, line):
        _cross(painter, at)


def paint_told_riser(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    at: tuple[float, float],
    *,
    passes: bool,
) -> None:
    """A riser to pass within a ring; one never to pass within a cross."""
    spot = camera.to_screen(*at)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(palette.color("accent" if passes else "over"), 2.0))
    painter.drawEllipse(spot, RING_PX, RING_PX)
    if not passes:
        _cross(painter, spot, RING_PX * 0.7)


def _spots(camera: Camera, line: np.ndarray) -> Iterable[QPointF]:
    """Places along a line, evenly on the screen."""
    points = [camera.to_screen(float(x), float(y)) for x, y in line]
    for a, b in pairwise(points):
        length = math.hypot(b.x() - a.x(), b.y() - a.y())
        count = max(1, round(length / CROSS_EVERY_PX))
        for k in range(count):
            yield a + (b - a) * ((k + 0.5) / count)


def _cross(painter: QPainter, at: QPointF, size: float = CROSS_PX) -> None:
    for way in (1, -1):
        step = QPointF(size, size * way)
        painter.drawLine(at - step, at + step)
