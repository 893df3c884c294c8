"""Paints any one thing by itself, in full: drafts, what is being moved, what is pointed at."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPen

from app.drawing.states import look_name
from app.model.entities import Entity, OutdoorDuct, Outlet, Pathway, ServingZone, Space
from app.model.project import Project
from app.ui.canvas.camera import Camera
from app.ui.canvas.outlet_stamps import (
    Look,
    middle_offset,
    paint_outlet,
    paint_selected_ring,
)
from app.ui.canvas.pathway_painter import paint_one, paint_selected
from app.ui.canvas.place_painter import paint_place, paint_place_selected
from app.ui.canvas.space_painter import (
    is_closed,
    paint_hatch,
    paint_zone,
    space_path,
    zone_path,
)
from app.ui.palette import Palette


def paint_entity(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    project: Project,
    thing: Entity,
    floor_id: str,
    *,
    outlet_px: int,
) -> None:
    """The thing as it would stand on the floor; `outlet_px` is the side of outlets there."""
    match thing:
        case Outlet():
            kind = project.outlet_kinds.get(thing.kind)
            symbol = "data" if kind is None else kind.symbol
            look = Look(symbol, len(thing.ports), look_name(thing))
            turn = thing.rotation_mdeg / 1000
            with_offset(painter, camera, thing, outlet_px)
            paint_outlet(
                painter, palette=palette, look=look, turn_deg=turn, side_px=float(outlet_px)
            )
            painter.restore()
        case Pathway() | OutdoorDuct():
            if len(thing.vertices) > 1:
                paint_one(painter, camera, palette, thing)
        case Space():
            _paint_space(painter, camera, palette, thing)
        case ServingZone():
            paint_zone(painter, camera, palette, thing)
        case _:
            paint_place(painter, camera, palette, project, thing, floor_id)


def paint_highlight(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    project: Project,
    thing: Entity,
    floor_id: str,
    *,
    outlet_px: int,
    alpha: float,
) -> None:
    """What lies under a thing that is selected or pointed at."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    match thing:
        case Outlet():
            with_offset(painter, camera, thing, outlet_px)
            painter.setOpacity(painter.opacity() * min(1.0, alpha * 3))
            paint_selected_ring(painter, palette=palette, side_px=float(outlet_px))
            painter.restore()
        case Pathway() | OutdoorDuct():
            paint_selected(painter, camera, palette, thing, alpha)
        case Space() | ServingZone():
            own = space_path(thing) if isinstance(thing, Space) else zone_path(thing)
            path = camera.transform().map(own)
            painter.fillPath(path, palette.color("accent", alpha * 0.35))
            painter.setPen(QPen(palette.color("accent", min(1.0, alpha * 3)), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPath(path)
        case _:
            paint_place_selected(painter, camera, palette, project, thing, floor_id, alpha)


def with_offset(painter: QPainter, camera: Camera, outlet: Outlet, side_px: float) -> None:
    """Save the painter and bring it to the middle of an outlet's symbol."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    at = camera.to_screen(outlet.x_mm, outlet.y_mm)
    dx, dy = middle_offset(outlet.rotation_mdeg / 1000, side_px)
    painter.translate(at.x() + dx, at.y() - dy)


def _paint_space(painter: QPainter, camera: Camera, palette: Palette, space: Space) -> None:
    path = camera.transform().map(space_path(space))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    closed = is_closed(space)
    painter.fillPath(path, palette.color("closed_fill" if closed else "space_fill", 0.5))
    if closed:
        paint_hatch(painter, camera, path, palette.color("space_edge", 0.55))
    painter.setPen(QPen(palette.color("space_edge"), 1.4))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)
