"""Paints what stands at one place: frames, candidates, demarcation points, risers, fittings."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.drawing.primitives import Primitive
from app.drawing.symbols import GRID, Direction, placed, riser_symbol, thing_symbol
from app.model.entities import (
    AccessPoint,
    Break,
    Candidate,
    Demarcation,
    DropOut,
    Entity,
    Frame,
    Penetration,
    Riser,
    WalkedLength,
)
from app.model.project import Project
from app.model.vocabulary import AccessKind, Crossed, FrameKind, State
from app.ui import look
from app.ui.canvas.camera import Camera
from app.ui.canvas.floor_picture import riser_point
from app.ui.canvas.primitive_painter import Inks, draw_primitives
from app.ui.canvas.stamp_sheet import StampSheet
from app.ui.palette import Palette

RACK_DEPTH_MM = 1_000.0
RACK_DEPTH_GRID = 20.0
RACK_WIDTH_GRID = 18.0
FRAME_LEAST_PX = 30.0
MOST_RACKS_DRAWN = 6
PLACE_PX = 26.0
FITTING_PX = 18.0
SMALL_BELOW, SMALL_PX = 0.02, 11.0
"""Far out, the many openings of a floor would hide what they are for."""
ABOUT = 1.45
"""How much larger a border is than the riser within."""
LEAST_PEN_PX = 1.2
ENTRY_PX = 3.5
STAMPED_TO_PX = 72.0
SHEETS_KEPT = 12
HEAVY_FROM_PX = 40.0
"""A symbol larger than this grows, but its lines do not."""


def place_point(project: Project, place: Entity, floor_id: str) -> tuple[float, float] | None:
    """Where a thing stands on a floor; None where it stands nowhere."""
    if isinstance(place, Riser):
        return riser_point(project, place, floor_id)
    x, y = getattr(place, "x_mm", None), getattr(place, "y_mm", None)
    return None if x is None or y is None else (float(x), float(y))


def place_side_px(place: Entity, camera: Camera) -> float:
    """The side of a thing's symbol; a frame grows to its true size as one comes near."""
    if isinstance(place, Frame):
        true_px = RACK_DEPTH_MM / RACK_DEPTH_GRID * GRID * camera.px_per_mm
        return max(FRAME_LEAST_PX, look.em(2.3), true_px)
    if isinstance(place, Riser | Candidate | Demarcation):
        return max(PLACE_PX, look.em(2))
    if is_about_a_riser(place):
        return max(PLACE_PX, look.em(2)) * ABOUT
    if isinstance(place, Penetration) and camera.px_per_mm < SMALL_BELOW:
        return SMALL_PX
    return max(FITTING_PX, look.em(1.4))


def is_about_a_riser(place: Entity) -> bool:
    """Whether a thing is drawn as a border about what passes it."""
    return isinstance(place, Penetration) and place.crossed is Crossed.FLOOR


def place_reach_px(place: Entity, camera: Camera) -> float:
    """How far a thing's picture reaches from its point."""
    side = place_side_px(place, camera)
    if isinstance(place, Frame):
        return side * (0.2 + 0.32 * min(max(1, place.racks), MOST_RACKS_DRAWN))
    return side * 0.5


def paint_place(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    project: Project,
    place: Entity,
    floor_id: str,
) -> None:
    """One thing at its place."""
    at = place_point(project, place, floor_id)
    if at is None:
        return
    _paint_entry(painter, camera, palette, place)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(camera.to_screen(*at))
    _draw(painter, palette, place, _symbol(project, place, floor_id), place_side_px(place, camera))
    painter.restore()


class PlaceStamps:
    """Paints many places by stamps drawn once; what grows with the scale is drawn itself."""

    def __init__(self) -> None:
        self._sheets: dict[tuple[int, float, str], StampSheet] = {}

    def paint(
        self,
        painter: QPainter,
        camera: Camera,
        palette: Palette,
        project: Project,
        place: Entity,
        floor_id: str,
    ) -> None:
        """One thing at its place, if it is in sight."""
        at = place_point(project, place, floor_id)
        reach = place_reach_px(place, camera)
        x0, y0, x1, y1 = camera.visible(reach + 2)
        hidden = at is None or not (x0 <= at[0] <= x1 and y0 <= at[1] <= y1)
        if hidden and getattr(place, "entry", None) is None:
            return
        side = place_side_px(place, camera)
        if at is None or side > STAMPED_TO_PX:
            paint_place(painter, camera, palette, project, place, floor_id)
            return
        _paint_entry(painter, camera, palette, place)
        ratio = painter.device().devicePixelRatioF()
        symbol = _symbol(project, place, floor_id)
        sheet = self._sheet(round(2 * reach) + 8, ratio, palette)
        look = (
            type(place),
            id(symbol),  # symbols are made once and kept
            getattr(place, "racks", 1),
            getattr(place, "rotation_mdeg", 0),
        )
        cell = sheet.cell(look, lambda p: _draw(p, palette, place, symbol, side))
        spot = camera.to_screen(*at)
        sheet.set_stamps(painter, np.array([[spot.x(), spot.y()]]), np.array([cell]))

    def _sheet(self, stamp_px: int, ratio: float, palette: Palette) -> StampSheet:
        key = (stamp_px, ratio, palette.name)
        sheet = self._sheets.pop(key, None)
        if sheet is None:
            sheet = StampSheet(stamp_px, ratio)
        self._sheets[key] = sheet
        while len(self._sheets) > SHEETS_KEPT:
            del self._sheets[next(iter(self._sheets))]
        return sheet


def _draw(
    painter: QPainter,
    palette: Palette,
    place: Entity,
    symbol: tuple[Primitive, ...],
    side: float,
) -> None:
    """A thing about (0, 0), y down before it."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color("sheet", 0.85))
    if not (isinstance(place, Frame | Break | DropOut) or is_about_a_riser(place)):
        painter.drawEllipse(QPointF(0, 0), side * 0.44, side * 0.44)
    painter.scale(1.0, -1.0)
    if isinstance(place, Frame):
        _draw_racks(painter, palette, place, symbol, side)
    else:
        turned = place.rotation_mdeg / 1000 if isinstance(place, Penetration) else 0.0
        shown = placed(symbol, x=0.0, y=0.0, size=side, rotation_deg=turned)
        draw_primitives(painter, shown, inks=_inks(palette, place), least_pen=LEAST_PEN_PX)


def paint_place_selected(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    project: Project,
    place: Entity,
    floor_id: str,
    alpha: float = 0.25,
) -> None:
    """What lies under a selected thing."""
    at = place_point(project, place, floor_id)
    if at is None:
        return
    radius = place_reach_px(place, camera) + 6
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(palette.color("accent"), 1.6))
    painter.setBrush(palette.color("accent", alpha))
    painter.drawEllipse(camera.to_screen(*at), radius, radius)


def _draw_racks(
    painter: QPainter,
    palette: Palette,
    frame: Frame,
    symbol: tuple[Primitive, ...],
    side: float,
) -> None:
    """One symbol a rack, side by side about the frame's point."""
    racks = min(max(1, frame.racks), MOST_RACKS_DRAWN)
    wide = RACK_WIDTH_GRID * side / GRID
    deep = RACK_DEPTH_GRID * side / GRID
    painter.rotate(frame.rotation_mdeg / 1000)
    painter.fillRect(
        QRectF(-wide * racks / 2 - 2, -deep / 2 - 2, wide * racks + 4, deep + 4),
        palette.color("sheet", 0.9),
    )
    for rack in range(racks):
        shown = placed(symbol, x=(rack - (racks - 1) / 2) * wide, y=0.0, size=side)
        draw_primitives(
            painter,
            shown,
            inks=_inks(palette, frame),
            least_pen=LEAST_PEN_PX,
            pen_factor=min(1.0, HEAVY_FROM_PX / side),
        )


def _paint_entry(painter: QPainter, camera: Camera, palette: Palette, frame: Entity) -> None:
    """Where cable comes into a frame's room: a small ring, joined to the frame; else nothing."""
    if not isinstance(frame, Frame) or frame.entry is None:
        return
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    door = camera.to_screen(*frame.entry)
    pen = QPen(_inks(palette, frame)(frame.state), 1.2)
    pen.setDashPattern([4.0, 3.0])
    painter.setPen(pen)
    painter.drawLine(door, camera.to_screen(frame.x_mm, frame.y_mm))
    painter.setPen(QPen(pen.color(), 1.6))
    painter.setBrush(palette.color("sheet"))
    painter.drawEllipse(door, ENTRY_PX, ENTRY_PX)


def _symbol(project: Project, place: Entity, floor_id: str) -> tuple[Primitive, ...]:
    match place:
        case Frame():
            name = "frame_main" if place.kind == FrameKind.MAIN else "frame_intermediate"
            return thing_symbol(name, state=place.state)
        case Riser():
            return riser_symbol(
                place.kind, direction=riser_direction(project, place, floor_id), state=place.state
            )
        case Demarcation():
            return thing_symbol("demarcation", state=place.state)
        case AccessPoint():
            name = "insert" if place.kind == AccessKind.INSERT else "pull_box"
            return thing_symbol(name, state=place.state)
        case Penetration():
            through = "floor" if place.crossed is Crossed.FLOOR else "wall"
            return thing_symbol(f"penetration_{through}", state=place.state)
        case WalkedLength():
            return thing_symbol("walked")
        case DropOut():
            return thing_symbol("drop_out", state=place.state)
        case Break():
            return thing_symbol("break")
    return thing_symbol("candidate")


def riser_direction(project: Project, riser: Riser, floor_id: str) -> Direction:
    """Which way a riser goes from a floor."""
    floors = project.floors
    level = floors[floor_id].level_mm
    goes_up = floors[riser.upper_floor].level_mm > level
    goes_down = floors[riser.lower_floor].level_mm < level
    if goes_up and goes_down:
        return "through"
    return "up" if goes_up else "down"


def _inks(palette: Palette, place: Entity) -> Inks:
    """What is new has the colour of its sort; other states keep their own."""
    match place:
        case Frame():
            own = "frame"
        case Riser():
            own = "riser"
        case Candidate():
            own = "accent"
        case Demarcation():
            own = "frame"
        case _:
            own = "pathway"
    return lambda role: palette.color(_ROLES.get(role, role) if role != State.NEW else own)


_ROLES: dict[str, str] = {State.TO_RELOCATE: "to_remove"}
