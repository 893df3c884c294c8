"""The strokes of a way down in section: what the cable is in, stands in and hangs from."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.design.ways_down import OutletWay
from app.model.vocabulary import WayDown, WayPart
from app.ui import look
from app.ui.palette import current

TRAY_EM = (0.5, 2.3)
UPRIGHT_EM = 4.4
"""Where cable goes up or down that does so in no wall."""
FACE_EM, BACK_EM, LEAF_EM = 5.2, 7.0, 0.25
"""The wall: its face, its back, and the thickness of the boards of one with a cavity."""
SLAB_EM = 0.8
TO_LEFT, UP, DOWN = (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0)


@dataclass(frozen=True, slots=True)
class _Drawing:
    """What every stroke needs: `y` from height to pixels, `area` the pixels there are."""

    painter: QPainter
    way: OutletWay
    y: Callable[[int], float]
    area: QRectF

    @property
    def floor(self) -> float:
        return self.y(0)

    @property
    def plate(self) -> float:
        return self.y(self.way.outlet_mm)

    @property
    def pathway(self) -> float | None:
        return None if self.way.pathway_mm is None else self.y(self.way.pathway_mm)

    @property
    def ceiling(self) -> float | None:
        return None if self.way.ceiling_mm is None else self.y(self.way.ceiling_mm)

    def box(self, x0: float, y0: float, x1: float, y1: float, *, fill: str = "") -> None:
        """A rectangle between two corners, outlined, and filled by a colour's role."""
        if fill:
            self.painter.fillRect(QRectF(QPointF(x0, y0), QPointF(x1, y1)).normalized(), _c(fill))
        self.painter.setPen(QPen(_c("edge"), 1.2))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.drawRect(QRectF(QPointF(x0, y0), QPointF(x1, y1)).normalized())

    def line(self, x0: float, y0: float, x1: float, y1: float, *, dashed: bool = False) -> None:
        """A line of the building."""
        style = Qt.PenStyle.DashLine if dashed else Qt.PenStyle.SolidLine
        self.painter.setPen(QPen(_c("edge"), 1.5, style))
        self.painter.drawLine(QPointF(x0, y0), QPointF(x1, y1))

    def cable(self, x: float, *, to: float | None = None) -> None:
        """From the pathway level to x, and up or down to the plate; tray and cable."""
        if self.pathway is None:
            return
        left, right = (float(look.em(v)) for v in TRAY_EM)
        high, level = look.em(0.5), self.pathway
        self.painter.setPen(QPen(_c("pathway"), 2.2))
        tray = [(left, level - high), (left, level), (right, level), (right, level - high)]
        self.painter.drawPolyline([QPointF(*p) for p in tray])
        way = [((left + right) / 2, level - 2), (x, level - 2), (x, self.plate)]
        if to is not None:
            way.append((to, self.plate))
        self.painter.setPen(QPen(_c("accent"), 1.8))
        self.painter.drawPolyline([QPointF(*p) for p in way])

    def outlet(self, x: float, towards: tuple[float, float]) -> None:
        """The outlet's triangle: it stands on its wall, floor or ceiling, and points away."""
        dx, dy = towards
        side, tall = look.em(0.42), look.em(0.72)
        corners = [
            QPointF(x - dy * side, self.plate - dx * side),
            QPointF(x + dy * side, self.plate + dx * side),
            QPointF(x + dx * tall, self.plate + dy * tall),
        ]
        self.painter.setPen(QPen(_c("ink"), 1))
        self.painter.setBrush(_c("ink"))
        self.painter.drawPolygon(QPolygonF(corners))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)

    def sides(self, x: float, y0: float, y1: float, half: float) -> None:
        """What encloses an upright cable."""
        self.box(x - half, y0, x + half, y1, fill="field")


def paint_way(painter: QPainter, way: OutletWay, y: Callable[[int], float], area: QRectF) -> None:
    """Paint a way down without words; `y` gives pixels for heights above the finished floor."""
    drawing = _Drawing(painter, way, y, area)
    _paint_levels(drawing)
    _PAINTERS[way.way](drawing)


def has(way: OutletWay, part: WayPart) -> bool:
    """Whether a way down is made with this part."""
    return any(piece.part is part for piece in way.pieces)


def _paint_levels(d: _Drawing) -> None:
    """Dotted lines from the outlet and its pathway to their heights on the right."""
    d.painter.setPen(QPen(_c("edge"), 1, Qt.PenStyle.DotLine))
    for level in (d.plate, d.pathway):
        if level is not None:
            d.painter.drawLine(QPointF(look.em(2.5), level), QPointF(d.area.right(), level))


def _paint_room(d: _Drawing, right: float) -> None:
    """A slab, and over the room a ceiling: tiles dashed, a hard one as a board."""
    d.box(-2, d.floor, d.area.right() + 2, d.floor + look.em(SLAB_EM), fill="line")
    if d.ceiling is None:
        return
    if d.way.in_conduit:
        d.box(-2, d.ceiling - 3, right, d.ceiling, fill="line")
    else:
        d.line(0, d.ceiling, right, d.ceiling, dashed=True)


def _paint_leg_conduit(d: _Drawing, x: float) -> None:
    """The leg over a hard ceiling, or outdoors, lies in conduit."""
    if d.pathway is not None:
        half = look.em(0.25)
        d.box(look.em(TRAY_EM[1] + 0.4), d.pathway - 2 - half, x + half, d.pathway - 2 + half)


def _wall_top(d: _Drawing) -> float:
    """A wall ends at the ceiling, or where the picture does; never under its outlet."""
    return d.area.top() - 2 if d.ceiling is None else min(d.ceiling, d.plate - look.em(0.6))


def _wall_cavity(d: _Drawing) -> None:
    face, back, leaf = look.em(FACE_EM), look.em(BACK_EM), look.em(LEAF_EM)
    x, top = (face + back) / 2, _wall_top(d)
    _paint_room(d, face)
    for left in (face, back - leaf):
        d.box(left, top, left + leaf, d.floor, fill="line")
    if d.way.in_conduit:
        _paint_leg_conduit(d, x)
    for piece in d.way.pieces:
        if piece.part is WayPart.STUB:
            d.sides(x, d.plate, d.y(d.way.outlet_mm + piece.length_mm), look.em(0.25))
    if has(d.way, WayPart.BACK_BOX):
        d.box(face, d.plate - look.em(0.5), x + look.em(0.4), d.plate + look.em(0.5), fill="field")
    d.cable(x, to=face)
    d.outlet(face, TO_LEFT)


def _surface_raceway(d: _Drawing) -> None:
    face, half = look.em(FACE_EM), look.em(0.3)
    x = face - half
    _paint_room(d, face)
    d.box(face, _wall_top(d), look.em(BACK_EM), d.floor, fill="line")
    if d.way.in_conduit:
        _paint_leg_conduit(d, x)
    if d.pathway is not None:
        d.sides(x, d.pathway, d.plate, half)
    deep = look.em(1.0 if has(d.way, WayPart.MOUNTING_BOX) else 0.6)
    d.box(face - deep, d.plate - look.em(0.5), face, d.plate + look.em(0.5), fill="field")
    d.cable(x)
    d.outlet(face - deep, TO_LEFT)


def _service_pole(d: _Drawing) -> None:
    x, half = look.em(UPRIGHT_EM), look.em(0.35)
    _paint_room(d, d.area.right())
    tops = [t for t in (d.ceiling, d.pathway) if t is not None]
    d.sides(x, tops[0] if tops else d.area.top() - 2, d.floor, half)
    if d.way.in_conduit:
        _paint_leg_conduit(d, x)
    d.cable(x, to=x - half)
    d.outlet(x - half, TO_LEFT)


def _ceiling(d: _Drawing) -> None:
    x = look.em(UPRIGHT_EM)
    _paint_room(d, d.area.right())
    if d.way.in_conduit:
        _paint_leg_conduit(d, x)
    if has(d.way, WayPart.BACK_BOX):
        d.box(x - look.em(0.5), d.plate - look.em(0.6), x + look.em(0.5), d.plate, fill="field")
    d.cable(x)
    d.outlet(x, DOWN)


def _raised_floor(d: _Drawing) -> None:
    """Panels on pedestals over a slab; its depth to scale where the room's void is known."""
    x, panel = look.em(UPRIGHT_EM), look.em(0.25)
    lowest = d.floor if d.pathway is None else max(d.pathway, d.floor)
    slab = d.y(-d.way.void_mm) if d.way.void_mm else lowest + look.em(0.4)
    d.box(-2, slab, d.area.right() + 2, slab + look.em(SLAB_EM), fill="line")
    for step in range(4):
        at = d.area.width() * (step + 0.36) / 4
        d.line(at, d.floor, at, slab)
    d.box(-2, d.floor, d.area.right() + 2, d.floor + panel, fill="line")
    wide = look.em(0.8)
    d.box(x - wide, d.floor, x + wide, d.floor + look.em(0.6), fill="field")
    d.cable(x)
    d.outlet(x, UP)


def _poke_through(d: _Drawing) -> None:
    """The slab with the fitting in it; the pathway hangs in the room below."""
    x, half, thick = look.em(UPRIGHT_EM), look.em(0.4), float(look.em(SLAB_EM))
    if d.pathway is not None and d.pathway > d.floor:
        thick = min(thick, (d.pathway - d.floor) * 0.6)
    d.box(-2, d.floor, d.area.right() + 2, d.floor + thick, fill="line")
    if d.way.in_conduit:
        _paint_leg_conduit(d, x)
    d.box(x - half, d.floor - 2, x + half, d.floor + thick, fill="field")
    d.box(x - 2 * half, d.floor - look.em(0.2), x + 2 * half, d.floor, fill="field")
    d.cable(x)
    d.outlet(x, UP)


def _outdoor_conduit(d: _Drawing) -> None:
    """On the face of a massive wall, under the open sky, all in conduit."""
    face, half = look.em(FACE_EM), look.em(0.25)
    x = face - half
    d.line(0, d.floor, face, d.floor)
    bottom = max(d.floor, d.area.bottom() + 2)
    d.box(face, d.area.top() - 2, look.em(BACK_EM), bottom, fill="line")
    _paint_leg_conduit(d, x)
    if d.pathway is not None:
        d.sides(x, d.pathway, d.plate, half)
    deep = look.em(0.7)
    d.box(face - deep, d.plate - look.em(0.45), face, d.plate + look.em(0.45), fill="field")
    d.cable(x)
    d.outlet(face - deep, TO_LEFT)


def _c(role: str) -> QColor:
    return current().color(role)


_PAINTERS: dict[WayDown, Callable[[_Drawing], None]] = {
    WayDown.WALL_CAVITY: _wall_cavity,
    WayDown.SURFACE_RACEWAY: _surface_raceway,
    WayDown.SERVICE_POLE: _service_pole,
    WayDown.CEILING: _ceiling,
    WayDown.RAISED_FLOOR: _raised_floor,
    WayDown.POKE_THROUGH: _poke_through,
    WayDown.OUTDOOR_CONDUIT: _outdoor_conduit,
}
