"""What lies under the pointer on the canvas."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from app.model.entities import Entity, OutdoorDuct, Pathway
from app.ui.canvas.camera import Camera
from app.ui.canvas.floor_picture import FloorPicture, line_of
from app.ui.canvas.outlet_painter import offsets_px
from app.ui.canvas.outlet_stamps import MIDDLE, REACH
from app.ui.canvas.pathway_painter import drawn_width_mm
from app.ui.canvas.place_painter import place_point, place_reach_px

SLACK_PX = 4.0


def thing_at(
    picture: FloorPicture, camera: Camera, x_px: float, y_px: float, *, outlet_px: int
) -> str | None:
    """The id of what is shown at a point of the screen, the topmost first."""
    outlet = _outlet_at(picture, camera, x_px, y_px, outlet_px)
    if outlet is not None:
        return outlet
    for place in reversed(list(picture.places_in_order())):
        if _is_on_place(picture, camera, place, x_px, y_px):
            return place.id
    x, y = camera.to_model(x_px, y_px)
    nearest: tuple[float, str] | None = None
    for thing in _lines(picture):
        distance = _distance_mm(thing, x, y) * camera.px_per_mm
        reach = max(SLACK_PX, drawn_width_mm(thing) / 2 * camera.px_per_mm)
        if distance <= reach and (nearest is None or distance < nearest[0]):
            nearest = (distance, thing.id)
    if nearest is not None:
        return nearest[1]
    return space_at(picture, x, y)


def space_at(picture: FloorPicture, x_mm: float, y_mm: float) -> str | None:
    """The smallest space around a point."""
    point = shapely.Point(x_mm, y_mm)
    around = [
        (outline.area, space.id)
        for space in picture.spaces.values()
        if (outline := shapely.Polygon(space.outline, space.holes)).covers(point)
    ]
    return min(around)[1] if around else None


def _outlet_at(
    picture: FloorPicture, camera: Camera, x_px: float, y_px: float, outlet_px: int
) -> str | None:
    rows = picture.outlets
    if not len(rows):
        return None
    zero = camera.to_screen(0.0, 0.0)
    at = rows.xy_mm * (camera.px_per_mm, -camera.px_per_mm) + (zero.x(), zero.y())
    middles = at + offsets_px(MIDDLE, rows.turn_deg, outlet_px)
    away = np.hypot(middles[:, 0] - x_px, middles[:, 1] - y_px)
    nearest = int(away.argmin())
    reach = max(6.0, outlet_px * REACH / 24 * 0.75)
    return rows.ids[nearest] if away[nearest] <= reach else None


def _is_on_place(
    picture: FloorPicture, camera: Camera, place: Entity, x_px: float, y_px: float
) -> bool:
    at = place_point(picture.project, place, picture.floor_id)
    if at is None:
        return False
    on_screen = camera.to_screen(*at)
    away = math.hypot(on_screen.x() - x_px, on_screen.y() - y_px)
    return away <= place_reach_px(place, camera) + 1


def _lines(picture: FloorPicture) -> Iterator[Pathway | OutdoorDuct]:
    yield from picture.pathways.values()
    yield from picture.ducts.values()


def _distance_mm(thing: Pathway | OutdoorDuct, x_mm: float, y_mm: float) -> float:
    """From a point to a line, in plan."""
    line = line_of(thing)
    point = np.array([x_mm, y_mm])
    start, delta = line[:-1], line[1:] - line[:-1]
    square = (delta**2).sum(axis=1)
    square[square == 0] = 1.0
    share = np.clip(((point - start) * delta).sum(axis=1) / square, 0.0, 1.0)
    foot = start + share[:, None] * delta
    return float(np.hypot(*(foot - point).T).min())
