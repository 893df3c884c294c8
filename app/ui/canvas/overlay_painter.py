"""Paints what the tool in hand shows: drafts, guides, handles, lengths, and what has caught."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from app.editor.snapping import Snap, SnapKind
from app.editor.tools.overlay import GuideLine, Marker, MarkerShape, Overlay, Role, Tag
from app.model.project import Project
from app.ui.canvas.camera import Camera
from app.ui.canvas.entity_painter import paint_entity
from app.ui.look import em
from app.ui.palette import Palette

GHOST_OPACITY = 0.65
MARKER_PX = 7.0
CUE_PX = 6.0
CARD_AWAY_PX = 18.0
CARD_PAD_PX = 6.0
TAG_STEPS = 8
"""How many lines a tag may stand away from its place, rather than over a label."""

_ROLE_INKS: dict[Role, str] = {
    Role.DRAFT: "accent",
    Role.GUIDE: "guide",
    Role.HANDLE: "accent",
    Role.HELD: "accent",
    Role.REFUSED: "over",
    Role.MEASURE: "ink",
    Role.CATCH: "accent",
}
_ROLE_TEXTS: dict[Role, str] = {Role.REFUSED: "over_text", Role.GUIDE: "ink_soft"}


def paint_overlay(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    project: Project,
    overlay: Overlay,
    floor_id: str,
    *,
    outlet_px: int,
    labels: Iterable[QRectF] = (),
) -> None:
    """Everything of the overlay but its entry, which belongs to the card at the pointer.

    `labels` are the boxes on screen that stand already; tags keep off them.
    """
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for area in overlay.areas:
        ink = _ROLE_INKS[area.role]
        shape = _polygon(camera, area.points)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(palette.color(ink, 0.13))
        painter.drawPolygon(shape)
    painter.save()
    painter.setOpacity(GHOST_OPACITY)
    for ghost in overlay.ghosts:
        paint_entity(painter, camera, palette, project, ghost.thing, floor_id, outlet_px=outlet_px)
    painter.restore()
    for line in overlay.lines:
        _paint_line(painter, camera, palette, line)
    for marker in overlay.markers:
        _paint_marker(painter, camera, palette, marker)
    taken = list(labels) if overlay.tags else []
    for tag in overlay.tags:
        _paint_tag(painter, camera, palette, tag, taken)
    if overlay.cue is not None:
        paint_cue(painter, camera, palette, overlay.cue)


def _polygon(camera: Camera, points: Sequence[tuple[float, float]]) -> QPolygonF:
    return QPolygonF([camera.to_screen(x, y) for x, y in points])


def _paint_line(painter: QPainter, camera: Camera, palette: Palette, line: GuideLine) -> None:
    shape = _polygon(camera, line.points)
    ink = palette.color(_ROLE_INKS[line.role])
    width = 1.2 if line.role in (Role.GUIDE, Role.CATCH) else 1.8
    if line.role is not Role.GUIDE:
        casing = QPen(palette.color("sheet", 0.8), width + 2.4)
        _draw(painter, shape, casing, closed=line.closed)
    pen = QPen(ink, width)
    if line.role is Role.GUIDE:
        pen.setDashPattern([6.0, 4.0])
    elif line.role is Role.CATCH:
        pen.setDashPattern([4.0, 3.0])
    _draw(painter, shape, pen, closed=line.closed)
    if line.role is Role.MEASURE:
        _paint_ends(painter, shape, ink)


def _draw(painter: QPainter, shape: QPolygonF, pen: QPen, *, closed: bool) -> None:
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if closed:
        painter.drawPolygon(shape)
    else:
        painter.drawPolyline(shape)


def _paint_ends(painter: QPainter, shape: QPolygonF, ink: QColor) -> None:
    """Short slanting strokes at every point of a measured line, as dimensions have them."""
    painter.setPen(QPen(ink, 1.6))
    for i in range(shape.size()):
        at = shape.at(i)
        painter.drawLine(at + QPointF(-4, 4), at + QPointF(4, -4))


def _paint_marker(painter: QPainter, camera: Camera, palette: Palette, marker: Marker) -> None:
    at = camera.to_screen(*marker.at)
    half = MARKER_PX / 2
    ink = palette.color(_ROLE_INKS[marker.role])
    held = marker.role is Role.HELD
    painter.setPen(QPen(ink, 1.6))
    painter.setBrush(ink if held else palette.color("sheet"))
    box = QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half)
    match marker.shape:
        case MarkerShape.BOX:
            painter.drawRect(box)
        case MarkerShape.DOT:
            painter.setBrush(ink)
            painter.drawEllipse(box)
        case MarkerShape.RING:
            painter.drawEllipse(box.adjusted(-1, -1, 1, 1))
        case MarkerShape.CROSS:
            painter.drawLine(box.topLeft(), box.bottomRight())
            painter.drawLine(box.topRight(), box.bottomLeft())


def _paint_tag(
    painter: QPainter, camera: Camera, palette: Palette, tag: Tag, taken: list[QRectF]
) -> None:
    """A short text beside a point; one that would lie over another steps aside."""
    font = text_font(painter, bold=tag.role in (Role.DRAFT, Role.MEASURE))
    painter.setFont(font)
    measure = QFontMetricsF(font)
    wide = measure.horizontalAdvance(tag.text) + 8
    tall = measure.height() + 2
    at = camera.to_screen(*tag.at)
    box = _free_box(QRectF(at.x() + 9, at.y() - tall - 5, wide, tall), taken)
    taken.append(box)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color("field", 0.92))
    painter.drawRoundedRect(box, 2, 2)
    painter.setPen(palette.color(_ROLE_TEXTS.get(tag.role, "ink")))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, tag.text)


def _free_box(wanted: QRectF, taken: Sequence[QRectF]) -> QRectF:
    """The wanted box, or the first below or above it that lies over nothing."""
    step = wanted.height() + 1
    for steps in sorted(range(-TAG_STEPS, TAG_STEPS + 1), key=lambda n: (abs(n), -n)):
        box = wanted.translated(0, steps * step)
        if not any(box.intersects(other) for other in taken):
            return box
    return wanted


def paint_cue(painter: QPainter, camera: Camera, palette: Palette, cue: Snap) -> None:
    """Where the pointer was caught, by what, and in words."""
    at = camera.to_screen(cue.x_mm, cue.y_mm)
    if cue.line is not None:
        pen = QPen(palette.color("guide", 0.9), 1.4)
        painter.setPen(pen)
        painter.drawLine(camera.to_screen(*cue.line[0]), camera.to_screen(*cue.line[1]))
    for width, ink in ((3.6, palette.color("sheet", 0.9)), (1.8, palette.color("snap"))):
        pen = QPen(ink, width)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        _draw_cue(painter, at, cue.kind)
    if cue.name:
        font = text_font(painter)
        painter.setFont(font)
        measure = QFontMetricsF(font)
        box = QRectF(
            at.x() + 10, at.y() + 8, measure.horizontalAdvance(cue.name) + 8, measure.height()
        )
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(palette.color("sheet", 0.85))
        painter.drawRoundedRect(box, 2, 2)
        painter.setPen(palette.color("accent_text"))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, cue.name)


_RINGED = {
    SnapKind.OUTLET,
    SnapKind.FRAME,
    SnapKind.PLACE,
    SnapKind.DEMARCATION,
    SnapKind.RISER,
    SnapKind.BOX,
    SnapKind.PLAN_CENTRE,
}
_CROSSED = {SnapKind.CROSSING, SnapKind.PLAN_CROSSING}
_ON_A_LINE = {SnapKind.LINE, SnapKind.EDGE, SnapKind.PLAN_LINE}


def _draw_cue(painter: QPainter, at: QPointF, kind: SnapKind) -> None:
    half = CUE_PX
    if kind in _RINGED:
        painter.drawEllipse(at, half, half)
    elif kind in _CROSSED:
        painter.drawLine(at + QPointF(-half, -half), at + QPointF(half, half))
        painter.drawLine(at + QPointF(half, -half), at + QPointF(-half, half))
    elif kind in _ON_A_LINE:
        painter.drawLine(at + QPointF(-half, 0), at + QPointF(half, 0))
        painter.drawLine(at + QPointF(-half, half), at + QPointF(half, half))
    elif kind is SnapKind.PLAN_MIDDLE:
        painter.drawPolygon(
            QPolygonF([at + QPointF(0, -half), at + QPointF(half, half), at + QPointF(-half, half)])
        )
    elif kind is SnapKind.SQUARE:
        painter.drawLine(at + QPointF(-half, 0), at + QPointF(half, 0))
        painter.drawLine(at + QPointF(0, -half), at + QPointF(0, half))
    else:
        painter.drawRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))


def paint_card(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    at: QPointF,
    *,
    entry: str | None,
    lines: Sequence[tuple[str, str]],
    below_cue: bool = False,
) -> None:
    """Beside the pointer: what is being typed, and what would become of lengths (text, role).

    `below_cue` leaves room for the words of what has caught the pointer.
    """
    font = text_font(painter, larger=1)
    measure = QFontMetricsF(font)
    rows = [*lines]
    wide = max((measure.horizontalAdvance(text) for text, _ in rows), default=0.0)
    if entry is not None:
        wide = max(wide, measure.horizontalAdvance(entry) + 24, 70.0)
    tall = measure.height() * (len(rows) + (1.3 if entry is not None else 0.0))
    box = QRectF(
        at.x() + CARD_AWAY_PX,
        at.y() + CARD_AWAY_PX + (measure.height() if below_cue else 0.0),
        wide + 2 * CARD_PAD_PX,
        tall + 2 * CARD_PAD_PX,
    )
    if box.right() > camera.width_px - 4:
        box.moveRight(at.x() - CARD_AWAY_PX)
    if box.bottom() > camera.height_px - 4:
        box.moveBottom(at.y() - CARD_AWAY_PX)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(palette.color("edge"), 1.0))
    painter.setBrush(palette.color("field", 0.96))
    painter.drawRoundedRect(box, 3, 3)
    painter.setFont(font)
    y = box.top() + CARD_PAD_PX
    if entry is not None:
        field = QRectF(box.left() + 3, y - 2, box.width() - 6, measure.height() + 4)
        painter.setPen(QPen(palette.color("accent"), 1.6))
        painter.setBrush(palette.color("field"))
        painter.drawRect(field)
        painter.setPen(palette.color("ink"))
        painter.drawText(field.adjusted(4, 0, -4, 0), Qt.AlignmentFlag.AlignVCenter, entry)
        x = field.left() + 5 + measure.horizontalAdvance(entry)
        painter.drawLine(QPointF(x, field.top() + 3), QPointF(x, field.bottom() - 3))
        y += measure.height() * 1.3
    for text, role in rows:
        painter.setPen(palette.color(role))
        row = QRectF(box.left() + CARD_PAD_PX, y, wide + 2, measure.height())
        painter.drawText(row, Qt.AlignmentFlag.AlignVCenter, text)
        y += measure.height()


def text_font(painter: QPainter, *, bold: bool = False, larger: int = 0) -> QFont:
    """The application's text, a little smaller, with figures of equal width."""
    font = QFont(painter.font())
    font.setPixelSize(max(11, em(0.92)) + larger)
    font.setBold(bold)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font
