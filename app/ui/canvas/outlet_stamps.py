"""One outlet as a stamp: the family's triangle, turned to its wall, with its number of ports."""

from __future__ import annotations

import math
from typing import NamedTuple

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from app.drawing.primitives import Polyline, Primitive
from app.drawing.states import RELOCATED
from app.drawing.symbols import GRID, outlet_symbol, placed
from app.model.vocabulary import State
from app.ui.canvas.primitive_painter import draw_primitives
from app.ui.palette import Palette

COUNT_FROM_PX = 20
MARK_FROM_PX = 14
BODY_FROM_PX = 10
"""Smaller symbols are drawn without number, then without mark, then as a solid triangle."""

MIDDLE = (0.0, 8.0)
"""The middle of the symbol in grid units; its origin is the point on the wall."""

REACH = 16.0
"""How far the symbol reaches from its middle, number included, in grid units."""

SIGN_SPOT = (-9.5, 14.5)
"""Where the sign of a run's state stands, in grid units: across from the number."""

WAY_SPOT = (0.0, -8.5)
"""Where the sign of an outlet's own way down stands: behind its wall."""

WAY_SHARE = 0.8
WAY_FROM_PX_PER_MM = 0.04
"""Farther out the sign of a way down is left out."""

LEAST_PEN_PX = 1.0
HEAVY_FROM_PX = 28.0
"""A symbol larger than this grows, but its lines do not."""


class Look(NamedTuple):
    """What tells one outlet's picture from another's; `ports` below 0 are not told."""

    symbol: str
    ports: int
    state: str


def paint_outlet(
    painter: QPainter, *, palette: Palette, look: Look, turn_deg: float, side_px: float
) -> None:
    """The outlet with its middle at (0, 0); turned anticlockwise."""
    plain = side_px < MARK_FROM_PX
    symbol = outlet_symbol(
        "data" if plain else look.symbol,
        ports=look.ports if look.ports >= 0 and side_px >= COUNT_FROM_PX else None,
        state=look.state,
    )
    dx, dy = middle_offset(turn_deg, side_px)
    shown = placed(symbol, x=-dx, y=-dy, size=side_px, rotation_deg=turn_deg)
    painter.scale(1.0, -1.0)
    solid = side_px < BODY_FROM_PX and look.state in (State.NEW, RELOCATED)
    _fill_body(painter, shown, palette, "new" if solid else "sheet")
    draw_primitives(
        painter,
        shown,
        inks=palette.color,
        least_pen=LEAST_PEN_PX,
        pen_factor=min(1.0, HEAVY_FROM_PX / side_px),
    )


def _fill_body(
    painter: QPainter, shown: tuple[Primitive, ...], palette: Palette, role: str
) -> None:
    """The triangle filled, so that plan lines do not run through the symbol."""
    body = next(p for p in shown if isinstance(p, Polyline))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color(role))
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in body.points]))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def middle_offset(turn_deg: float, side_px: float) -> tuple[float, float]:
    """From an outlet's point on the wall to its symbol's middle; pixels, y up."""
    return spot_offset(MIDDLE, turn_deg, side_px)


def spot_offset(spot: tuple[float, float], turn_deg: float, side_px: float) -> tuple[float, float]:
    """From an outlet's point on the wall to a spot in grid units; pixels, y up."""
    turn = math.radians(turn_deg)
    u, v = spot[0] * side_px / GRID, spot[1] * side_px / GRID
    return u * math.cos(turn) - v * math.sin(turn), u * math.sin(turn) + v * math.cos(turn)


def way_side_px(px_per_mm: float, outlet_px: int) -> int:
    """The side of the sign of a way down; 0 where it is too small to be told."""
    close = px_per_mm >= WAY_FROM_PX_PER_MM and outlet_px >= COUNT_FROM_PX
    return round(outlet_px * WAY_SHARE) if close else 0


def paint_selected_ring(painter: QPainter, *, palette: Palette, side_px: float) -> None:
    """What lies under a selected symbol."""
    radius = side_px * REACH / GRID * 0.92 + 1
    painter.setPen(QPen(palette.color("accent"), 1.8))
    painter.setBrush(palette.color("accent", 0.2))
    painter.drawEllipse(QPointF(0, 0), radius, radius)


def state_role(state: str) -> str:
    """The colour role of a thing's state."""
    match state:
        case State.NEW:
            return "new"
        case State.FUTURE:
            return "future"
        case State.TO_REMOVE | State.TO_RELOCATE:
            return "to_remove"
        case _:
            return "existing"
