"""Paints where relocated outlets leave: the old place crossed, and an arrow to the new one."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen

from app.drawing.primitives import Line, Polyline
from app.drawing.states import GHOST, relocation_arrow
from app.model.entities import Outlet, OutletKind
from app.model.project import Project
from app.ui.canvas.camera import Camera
from app.ui.canvas.outlet_rows import OutletRows
from app.ui.canvas.outlet_stamps import middle_offset
from app.ui.canvas.qt_arrays import segments_path
from app.ui.palette import Palette

ARROW_PX = 1.1


class RelocationPainter:
    """Keeps the old places of a floor as rows, and the arrows for the scale drawn last."""

    def __init__(self) -> None:
        self.rows = OutletRows()
        self._outlets: tuple[Outlet, ...] = ()
        self._arrows: tuple[tuple[float, int], QPainterPath] | None = None

    def rebuild(self, project: Project, outlets: Iterable[Outlet]) -> None:
        """Take in the outlets that leave a place on the floor."""
        self._outlets = tuple(outlets)
        self._arrows = None
        self.rows = OutletRows()
        for outlet in self._outlets:
            kind: OutletKind | None = project.outlet_kinds.get(outlet.kind)
            self.rows.put_old_place(outlet, kind)

    def paint_arrows(
        self, painter: QPainter, camera: Camera, palette: Palette, outlet_px: int
    ) -> None:
        """The arrows of those that stay on the floor, between the middles of the symbols."""
        if not self._outlets:
            return
        key = (camera.px_per_mm, outlet_px)
        if self._arrows is None or self._arrows[0] != key:
            self._arrows = (key, self._arrow_path(camera.px_per_mm, outlet_px))
        pen = QPen(palette.color(GHOST), ARROW_PX)
        pen.setCosmetic(True)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setTransform(camera.transform(), True)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(self._arrows[1])
        painter.restore()

    def _arrow_path(self, px_per_mm: float, outlet_px: int) -> QPainterPath:
        size = outlet_px / px_per_mm
        segments: list[tuple[float, float, float, float]] = []
        for outlet in self._outlets:
            was_at = outlet.was_at
            if was_at is None or was_at.floor != outlet.floor:
                continue
            dx, dy = middle_offset(outlet.rotation_mdeg / 1000, size)
            old = (was_at.x_mm + dx, was_at.y_mm + dy)
            new = (outlet.x_mm + dx, outlet.y_mm + dy)
            for stroke in relocation_arrow(old, new, size=size):
                match stroke:
                    case Line():
                        segments.append((*stroke.start, *stroke.end))
                    case Polyline():
                        segments += [(*a, *b) for a, b in pairwise(stroke.points)]
        return segments_path(np.array(segments, dtype=np.float64).reshape(-1, 4))
