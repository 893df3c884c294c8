"""What labels keep off: symbols, lines, and what the plan itself has written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF

from app.model.entities import OutdoorDuct, Pathway
from app.model.vocabulary import Units
from app.ui.canvas.camera import Box, Camera
from app.ui.canvas.floor_picture import FloorPicture, line_of
from app.ui.canvas.outlet_rows import AS_KIND
from app.ui.canvas.outlet_stamps import MIDDLE, WAY_SPOT, spot_offset, way_side_px
from app.ui.canvas.pathway_marks import pieces_of
from app.ui.canvas.place_painter import place_point, place_reach_px
from app.ui.canvas.plan_writing import LEGIBLE_FROM_PX, PlanWriting
from app.ui.canvas.qt_arrays import Floats

OBSTACLES_MOST = 2_000
"""More outlets than this in sight are a texture that labels may lie on."""

LINE_MARGIN_PX = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWishes:
    """What the labels of a floor depend on besides the floor."""

    camera: Camera
    view: Box
    outlet_px: int
    units: Units
    loads_shown: bool
    writing: PlanWriting


@dataclass(frozen=True, slots=True)
class Obstacles:
    """Boxes in pixels from the site's origin, y down."""

    places: list[QRectF]
    lines: list[QRectF]
    texts: list[QRectF]
    outlets: list[QRectF]


def obstacles(picture: FloorPicture, wishes: LabelWishes) -> Obstacles:
    """Everything in the view that a label had better not cover."""
    return Obstacles(
        list(_places(picture, wishes)),
        list(_lines(picture, wishes)),
        list(_plan_texts(wishes)),
        list(_outlets(picture, wishes)),
    )


def _places(picture: FloorPicture, wishes: LabelWishes) -> Iterator[QRectF]:
    scale = wishes.camera.px_per_mm
    for place in picture.places.values():
        at = place_point(picture.project, place, picture.floor_id)
        if at is not None and within(wishes.view, *at):
            reach = place_reach_px(place, wishes.camera)
            yield _box_about(at[0] * scale, -at[1] * scale, reach)


def _lines(picture: FloorPicture, wishes: LabelWishes) -> Iterator[QRectF]:
    """Upright and level pieces of pathways; slanting ones have no box worth keeping off."""
    drawn: list[Pathway | OutdoorDuct] = [*picture.pathways.values(), *picture.ducts.values()]
    edge = LINE_MARGIN_PX
    for thing in drawn:
        pieces = pieces_of(line_of(thing)) * wishes.camera.px_per_mm
        for x0, y0, x1, y1 in pieces.tolist():
            if x0 == x1 or y0 == y1:
                box = QRectF(QPointF(x0, -y0), QPointF(x1, -y1)).normalized()
                yield box.adjusted(-edge, -edge, edge, edge)


def _plan_texts(wishes: LabelWishes) -> Iterator[QRectF]:
    """What the plan has written, where it can be read."""
    scale, view, texts = wishes.camera.px_per_mm, wishes.view, wishes.writing.boxes
    legible = texts[:, 4] * scale >= LEGIBLE_FROM_PX
    near = (
        (texts[:, 0] < view[2])
        & (texts[:, 2] > view[0])
        & (texts[:, 1] < view[3])
        & (texts[:, 3] > view[1])
    )
    for x0, y0, x1, y1, _ in texts[legible & near].tolist():
        yield QRectF(QPointF(x0, -y1) * scale, QPointF(x1, -y0) * scale)


def _outlets(picture: FloorPicture, wishes: LabelWishes) -> Iterator[QRectF]:
    rows = picture.outlets
    seen = rows_within(rows.xy_mm, wishes.view)
    if len(seen) > OBSTACLES_MOST:
        return
    scale, half = wishes.camera.px_per_mm, wishes.outlet_px * 0.5
    way_px = way_side_px(scale, wishes.outlet_px)
    for row in seen:
        dx, dy = spot_offset(MIDDLE, float(rows.turn_deg[row]), wishes.outlet_px)
        x, y = rows.xy_mm[row]
        yield _box_about(x * scale + dx, -y * scale - dy, half)
        if way_px and rows.way[row] != AS_KIND:
            dx, dy = spot_offset(WAY_SPOT, float(rows.turn_deg[row]), wishes.outlet_px)
            yield _box_about(x * scale + dx, -y * scale - dy, way_px / 3)


def _box_about(x: float, y: float, reach: float) -> QRectF:
    return QRectF(x - reach, y - reach, 2 * reach, 2 * reach)


def within(view: Box, x: float, y: float) -> bool:
    """Whether a point of the site lies in the view."""
    return view[0] <= x <= view[2] and view[1] <= y <= view[3]


def rows_within(xy_mm: Floats, view: Box) -> list[int]:
    """The rows of points in the view."""
    x, y = xy_mm[:, 0], xy_mm[:, 1]
    inside = (x >= view[0]) & (x <= view[2]) & (y >= view[1]) & (y <= view[3])
    rows: list[int] = inside.nonzero()[0].tolist()
    return rows
