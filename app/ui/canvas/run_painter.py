"""Paints the ways of runs: of what is selected, or of all, thin, as they become known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen

from app.design import Design, backbone_route, route_of
from app.model.entities import Outlet
from app.routing.results import RouteLine, RunStatus
from app.ui.canvas.camera import Camera
from app.ui.canvas.qt_arrays import Floats, segments_path
from app.ui.canvas.signs import run_pen
from app.ui.palette import Palette

RouteOf = Callable[[Any, str], tuple[RouteLine, ...]]
"""The way of a run by its port's id, in a design."""

NOWHERE_MM = 900.0
"""How far the dotted leg of a run without a route reaches: a sign, not a length."""


class RunPaths:
    """The ways on one floor of some runs, one path a status; `ports` are those taken in."""

    def __init__(self, floor_id: str) -> None:
        self._floor_id = floor_id
        self.ports: set[str] = set()
        self._pieces: dict[int, list[Floats]] = {}
        self._paths: dict[int, QPainterPath] = {}

    def add(
        self,
        design: Design,
        outlets: Iterable[Outlet],
        only: set[str] | None,
        route_of: RouteOf = route_of,
    ) -> None:
        """Take in the runs of these outlets; `only` these ports where given."""
        for outlet in outlets:
            for port in outlet.ports:
                if port.id not in self.ports and (only is None or port.id in only):
                    self.ports.add(port.id)
                    self._add_run(design, outlet, port.id, route_of)

    def _add_run(self, design: Design, outlet: Outlet, port_id: str, route_of: RouteOf) -> None:
        row = design.runs.row_of.get(port_id)
        if row is None:
            return
        status = int(design.runs.status[row])
        if status == RunStatus.NO_ROUTE:
            if outlet.floor == self._floor_id:
                start = np.array([outlet.x_mm, outlet.y_mm], dtype=np.float64)
                away = np.array([NOWHERE_MM, -NOWHERE_MM])
                self._keep(status, np.vstack((start, start + away)))
            return
        self._keep_lines(status, route_of(design, port_id))

    def add_backbone(self, design: Design, cable_ids: Iterable[str]) -> None:
        """Take in backbone cables; one without a route has no line."""
        for cable_id in cable_ids:
            way = design.backbone.get(cable_id)
            if way is not None:
                self._keep_lines(int(way.status), backbone_route(design, cable_id))

    def _keep_lines(self, status: int, lines: Iterable[RouteLine]) -> None:
        for line in lines:
            if line.floor_id == self._floor_id and len(line.points) > 1:
                plan = np.array([(x, y) for x, y, _ in line.points], dtype=np.float64)
                self._keep(status, plan)

    def _keep(self, status: int, line: Floats) -> None:
        self._pieces.setdefault(status, []).append(np.hstack((line[:-1], line[1:])))
        self._paths.pop(status, None)

    def paths(self) -> Iterator[tuple[int, QPainterPath]]:
        """Each status with the path of its runs, each stretch once; the gravest last."""
        for status in sorted(self._pieces):
            path = self._paths.get(status)
            if path is None:
                pieces = _once(np.concatenate(self._pieces[status]))
                self._pieces[status] = [pieces]
                path = self._paths[status] = segments_path(pieces)
            yield status, path

    def paint(
        self, painter: QPainter, camera: Camera, palette: Palette, *, thin: bool = False
    ) -> None:
        """The gravest status last, so that it lies on top."""
        if not self._pieces:
            return
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setTransform(camera.transform(), True)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for status, path in self.paths():
            if not thin:
                painter.setPen(_casing(palette, status))
                painter.drawPath(path)
            painter.setPen(run_pen(palette, status, thin=thin))
            painter.drawPath(path)
        painter.restore()


def _once(pieces: Floats) -> Floats:
    """Straight pieces (n, 4), each stretch of the floor once however many of them share it.

    Upright and level pieces of one line are joined where they overlap; of slanting ones only
    equal pieces are taken together.
    """
    turned = (pieces[:, 0] > pieces[:, 2]) | (
        (pieces[:, 0] == pieces[:, 2]) & (pieces[:, 1] > pieces[:, 3])
    )
    ordered = np.where(turned[:, None], pieces[:, [2, 3, 0, 1]], pieces)
    level = ordered[:, 1] == ordered[:, 3]
    upright = ~level & (ordered[:, 0] == ordered[:, 2])
    y, x0, x1 = _joined(ordered[level][:, [1, 0, 2]])
    x, y0, y1 = _joined(ordered[upright][:, [0, 1, 3]])
    return np.concatenate(
        (
            np.column_stack((x0, y, x1, y)),
            np.column_stack((x, y0, x, y1)),
            np.unique(ordered[~level & ~upright], axis=0),
        )
    )


def _joined(stretches: Floats) -> Floats:
    """Stretches (n, 3) of parallel lines: which line, from, to; joined where they overlap.

    Gives (3, m).
    """
    if not len(stretches):
        return np.zeros((3, 0))
    line, start, end = stretches[np.lexsort((stretches[:, 1], stretches[:, 0]))].T
    number = np.cumsum(np.r_[0, line[1:] != line[:-1]])
    apart = number * (2 * np.abs(stretches).max() + 1)  # lines laid end to end, none touching
    furthest = np.maximum.accumulate(end + apart)
    begins = np.r_[True, (start + apart)[1:] > furthest[:-1]]
    first = np.flatnonzero(begins)
    last = np.r_[first[1:], len(line)] - 1
    return np.stack((line[first], start[first], furthest[last] - apart[last]))


def _casing(palette: Palette, status: int) -> QPen:
    pen = QPen(palette.color("sheet", 0.85), run_pen(palette, status).widthF() + 2.5)
    pen.setCosmetic(True)
    return pen
