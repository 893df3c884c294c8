"""The signs at an outlet: of its runs' state, without colour, and of its own way down."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.drawing.symbols import GRID, RunSign, placed, run_sign, way_sign
from app.routing.results import RunStatus
from app.ui.canvas.primitive_painter import draw_primitives
from app.ui.palette import Palette

STATUS_ROLES: dict[int, str] = {
    RunStatus.WITHIN: "within",
    RunStatus.NEAR: "near",
    RunStatus.OVER: "over",
    RunStatus.NO_ROUTE: "no_route",
}
_SIGN_NAMES: dict[int, RunSign] = {
    RunStatus.NEAR: "near",
    RunStatus.OVER: "over",
    RunStatus.NO_ROUTE: "no_route",
}
SIGNED = (RunStatus.NEAR, RunStatus.OVER, RunStatus.NO_ROUTE)


def paint_sign(painter: QPainter, *, palette: Palette, status: int, side_px: float) -> None:
    """The sign about (0, 0), cased in the paper's colour."""
    sign = run_sign(_SIGN_NAMES[status])
    painter.scale(1.0, -1.0)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color("sheet"))
    casing = side_px / GRID * 7.0 + 0.8
    painter.drawEllipse(QPointF(0, 0), casing, casing)
    shown = placed(sign, x=0.0, y=0.0, size=side_px)
    draw_primitives(painter, shown, inks=palette.color, least_pen=1.2)


def paint_way_sign(painter: QPainter, *, palette: Palette, way: str, side_px: float) -> None:
    """The sign of a way down about (0, 0), cased in the paper's colour."""
    painter.scale(1.0, -1.0)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color("sheet"))
    casing = side_px / GRID * 7.4
    painter.drawRoundedRect(QRectF(-casing, -casing, 2 * casing, 2 * casing), 2, 2)
    shown = placed(way_sign(way), x=0.0, y=0.0, size=side_px)
    draw_primitives(painter, shown, inks=palette.color, least_pen=1.0)


def run_pen(palette: Palette, status: int, *, thin: bool = False) -> QPen:
    """The line of a run: its width and dashes tell its state as its colour does."""
    width = {
        RunStatus.WITHIN: 1.4,
        RunStatus.NEAR: 2.2,
        RunStatus.OVER: 3.2,
        RunStatus.NO_ROUTE: 2.0,
    }[RunStatus(status)]
    if thin:
        width = {RunStatus.WITHIN: 1.0, RunStatus.NEAR: 1.3, RunStatus.OVER: 1.8}.get(
            RunStatus(status), 1.3
        )
    pen = QPen(palette.color(STATUS_ROLES[status]), width)
    pen.setCosmetic(True)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    dashes_px = {RunStatus.NEAR: (14, 5), RunStatus.OVER: (7, 4), RunStatus.NO_ROUTE: (2, 3)}
    if status in dashes_px:
        on, off = dashes_px[RunStatus(status)]
        pen.setDashPattern([on / width, off / width])
    return pen
