"""Paints spaces: their outlines, and a hatch where cable may not go."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import shapely
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen
from shapely.geometry.base import BaseGeometry
from shapely.ops import polylabel

from app.model.entities import ServingZone, Space
from app.model.vocabulary import USES_CLOSED_TO_CABLE
from app.ui.canvas.camera import Camera
from app.ui.canvas.qt_arrays import rings_path
from app.ui.palette import Palette

HATCH_STEP_PX = 9
FILL_ALPHA = 0.35
ZONE_STEP_PX = 22
ZONE_HATCH_ALPHA = 0.16


def is_closed(space: Space) -> bool:
    """Whether cable may not go through a space."""
    if space.closed_to_cable is not None:
        return space.closed_to_cable
    return space.use in USES_CLOSED_TO_CABLE


def space_path(space: Space) -> QPainterPath:
    """The outline and the holes, in millimetres of the site."""
    rings = (space.outline, *space.holes)
    return rings_path(np.array(ring, dtype=np.float64) for ring in rings)


def label_spot(space: Space) -> tuple[float, float]:
    """Where a space's label stands: its middle if that lies well within, else deep inside it."""
    polygon = _largest(shapely.make_valid(shapely.Polygon(space.outline, space.holes)))
    if polygon is None:
        x, y = space.outline[0]
        return float(x), float(y)
    x0, y0, x1, y1 = polygon.bounds
    middle = shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)
    smaller_side = min(x1 - x0, y1 - y0)
    deep = polygon.contains(middle) and polygon.boundary.distance(middle) >= 0.4 * smaller_side
    if not deep:
        middle = polylabel(polygon, tolerance=max(x1 - x0, y1 - y0) / 50)
    return middle.x, middle.y


def _largest(shape: BaseGeometry) -> shapely.Polygon | None:
    """The largest area of a shape; None where it has none."""
    areas = [part for part in shapely.get_parts(shape) if isinstance(part, shapely.Polygon)]
    found = max(areas, key=shapely.area, default=None)
    return None if found is None or found.area <= 0 else found


def space_area_mm2(space: Space) -> float:
    """The floor area, holes taken out."""
    return float(shapely.area(shapely.Polygon(space.outline, space.holes)))


def zone_path(zone: ServingZone) -> QPainterPath:
    """The outline of a serving zone, in millimetres of the site."""
    return rings_path([np.array(zone.outline, dtype=np.float64)])


def paint_zone(painter: QPainter, camera: Camera, palette: Palette, zone: ServingZone) -> None:
    """A light hatch within a dashed outline: no wall, but a border all the same."""
    on_screen = camera.transform().map(zone_path(zone))
    paint_hatch(painter, camera, on_screen, palette.color("frame", ZONE_HATCH_ALPHA), ZONE_STEP_PX)
    pen = QPen(palette.color("frame", 0.8), 1.4)
    pen.setDashPattern([7.0, 4.0])
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(pen)
    painter.drawPath(on_screen)


class SpacePainter:
    """Keeps the paths of a floor's spaces, and paints them."""

    def __init__(self) -> None:
        self._open = QPainterPath()
        self._closed = QPainterPath()

    def rebuild(self, spaces: Mapping[str, Space], without: Iterable[str] = ()) -> None:
        left_out = set(without)
        self._open = QPainterPath()
        self._closed = QPainterPath()
        self._open.setFillRule(Qt.FillRule.OddEvenFill)
        self._closed.setFillRule(Qt.FillRule.OddEvenFill)
        for space in spaces.values():
            if space.id not in left_out:
                (self._closed if is_closed(space) else self._open).addPath(space_path(space))

    def paint(self, painter: QPainter, camera: Camera, palette: Palette) -> None:
        place = camera.transform()
        for path, fill in ((self._open, "space_fill"), (self._closed, "closed_fill")):
            if path.isEmpty():
                continue
            on_screen = place.map(path)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
            painter.fillPath(on_screen, palette.color(fill, FILL_ALPHA))
            if path is self._closed:
                paint_hatch(painter, camera, on_screen, palette.color("space_edge", 0.55))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(palette.color("space_edge", 0.8), 1.0))
            painter.drawPath(on_screen)


def paint_hatch(
    painter: QPainter,
    camera: Camera,
    on_screen: QPainterPath,
    colour: QColor,
    step: int = HATCH_STEP_PX,
) -> None:
    """Slanting lines in a path that stay with the paper when it is moved."""
    zero = camera.to_screen(0.0, 0.0)
    box = on_screen.boundingRect().intersected(painter.viewport().toRectF())
    if box.isEmpty():
        return
    phase = (zero.x() + zero.y()) % step
    first = box.left() + box.top()
    first += (phase - first) % step
    last = box.right() + box.bottom()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    painter.setClipPath(on_screen, Qt.ClipOperation.IntersectClip)
    hatch = QPainterPath()
    while first <= last:
        hatch.moveTo(first - box.top(), box.top())
        hatch.lineTo(first - box.bottom(), box.bottom())
        first += step
    painter.setPen(QPen(colour, 1.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(hatch)
    painter.restore()
