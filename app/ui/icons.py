"""Icons and signs of the window, drawn as one family of strokes on a 24-unit grid.

A drawing is a list of strokes: `L` a polyline, `C` a circle, `D` a filled disc, `F` a filled
polygon. Colours come from the palette in use, so icons are made anew when it changes.
"""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap, QPolygonF

from app.ui.palette import current

Stroke = tuple[str, tuple[float, ...]]
GRID = 24.0

DRAWINGS: dict[str, tuple[Stroke, ...]] = {
    "select": (("F", (6, 3, 6, 19, 10, 15, 13, 21, 15.5, 20, 12.5, 14, 18, 14)),),
    "outlet": (("L", (4, 19, 12, 6, 20, 19, 4, 19)), ("L", (12, 12, 12, 16))),
    "row": (
        ("L", (2, 12, 5, 7, 8, 12, 2, 12)),
        ("L", (9, 12, 12, 7, 15, 12, 9, 12)),
        ("L", (16, 12, 19, 7, 22, 12, 16, 12)),
        ("L", (3, 17, 21, 17)),
    ),
    "fill": (
        ("L", (3, 4, 21, 4, 21, 20, 3, 20, 3, 4)),
        ("F", (6, 10, 8, 6.5, 10, 10)),
        ("F", (14, 10, 16, 6.5, 18, 10)),
        ("F", (6, 17, 8, 13.5, 10, 17)),
        ("F", (14, 17, 16, 13.5, 18, 17)),
    ),
    "frame": (("L", (5, 4, 19, 4, 19, 20, 5, 20, 5, 4)), ("F", (5, 17, 19, 17, 19, 20, 5, 20))),
    "candidate": (
        ("L", (5, 4, 9, 4)),
        ("L", (15, 4, 19, 4, 19, 8)),
        ("L", (19, 16, 19, 20, 15, 20)),
        ("L", (9, 20, 5, 20, 5, 16)),
        ("L", (5, 8, 5, 4)),
        ("D", (12, 12, 2)),
    ),
    "demarcation": (
        ("L", (12, 3, 12, 21)),
        ("L", (3, 12, 9, 12, 7, 10)),
        ("L", (9, 12, 7, 14)),
        ("L", (15, 7, 21, 7, 21, 17, 15, 17, 15, 7)),
    ),
    "pathway": (
        ("L", (3, 8, 13, 8, 13, 20)),
        ("L", (3, 13, 8, 13, 8, 20)),
        ("L", (5, 8, 5, 13)),
        ("L", (8, 16.5, 13, 16.5)),
    ),
    "split": (
        ("L", (2, 12, 9, 12)),
        ("L", (15, 12, 22, 12)),
        ("L", (9, 5, 9, 19)),
        ("L", (15, 5, 15, 19)),
    ),
    "pull_box": (
        ("L", (2, 12, 8, 12)),
        ("L", (8, 8, 16, 8, 16, 16, 8, 16, 8, 8)),
        ("L", (16, 12, 22, 12)),
    ),
    "drop_out": (
        ("L", (3, 6, 21, 6)),
        ("L", (3, 18, 21, 18)),
        ("L", (12, 6, 12, 18, 9.5, 15)),
        ("L", (12, 18, 14.5, 15)),
    ),
    "break": (
        ("L", (3, 12, 9, 12)),
        ("L", (15, 12, 21, 12)),
        ("L", (9, 7, 9, 17)),
        ("L", (15, 7, 15, 17)),
    ),
    "riser": (
        ("C", (12, 12, 8)),
        ("L", (12, 17, 12, 7, 9, 10)),
        ("L", (12, 7, 15, 10)),
    ),
    "walked": (
        ("L", (3, 7, 3, 17)),
        ("L", (21, 7, 21, 17)),
        ("L", (3, 12, 21, 12)),
        ("L", (12, 8, 12, 16)),
        ("L", (8, 10, 8, 14)),
        ("L", (16, 10, 16, 14)),
    ),
    "zone": (
        ("L", (4, 5, 9, 5)),
        ("L", (12, 5, 17, 5)),
        ("L", (20, 5, 20, 10)),
        ("L", (20, 13, 20, 18)),
        ("L", (18, 19, 13, 19)),
        ("L", (10, 19, 4, 19, 4, 14)),
        ("L", (4, 11, 4, 5)),
        ("L", (8, 15, 12, 9)),
        ("L", (12, 15, 16, 9)),
    ),
    "penetration": (
        ("L", (9.5, 2, 9.5, 7.5)),
        ("L", (14.5, 2, 14.5, 7.5)),
        ("L", (9.5, 16.5, 9.5, 22)),
        ("L", (14.5, 16.5, 14.5, 22)),
        ("C", (12, 12, 4.5)),
        ("L", (2, 12, 22, 12)),
    ),
    "kit": (
        ("L", (3, 9, 6, 4, 9, 9, 3, 9)),
        ("L", (14, 4, 21, 4, 21, 10, 14, 10, 14, 4)),
        ("L", (3, 15, 21, 15)),
        ("D", (12, 20, 1.8)),
    ),
    "outdoor_duct": (
        ("L", (3, 5, 7, 5, 7, 15, 17, 15, 17, 5, 21, 5)),
        ("L", (5, 20, 8, 20)),
        ("L", (11, 20, 14, 20)),
        ("L", (17, 20, 20, 20)),
    ),
    "space": (("L", (4, 4, 20, 4, 20, 20, 13, 20, 13, 13, 4, 13, 4, 4)),),
    "measure": (
        ("L", (3, 16, 21, 16)),
        ("L", (3, 12, 3, 20)),
        ("L", (21, 12, 21, 20)),
        ("L", (9, 16, 9, 13)),
        ("L", (15, 16, 15, 13)),
    ),
    "calibrate": (
        ("C", (5, 17, 2.5)),
        ("C", (19, 17, 2.5)),
        ("L", (7.5, 17, 16.5, 17)),
        ("L", (8, 5, 16, 5)),
        ("L", (8, 9, 16, 9)),
    ),
    "move_plan": (
        ("L", (12, 3, 12, 21)),
        ("L", (3, 12, 21, 12)),
        ("L", (9.5, 5.5, 12, 3, 14.5, 5.5)),
        ("L", (9.5, 18.5, 12, 21, 14.5, 18.5)),
        ("L", (5.5, 9.5, 3, 12, 5.5, 14.5)),
        ("L", (18.5, 9.5, 21, 12, 18.5, 14.5)),
    ),
    "plan": (("L", (5, 3, 15, 3, 19, 7, 19, 21, 5, 21, 5, 3)), ("L", (15, 3, 15, 7, 19, 7))),
    "project": (("L", (3, 6, 9, 6, 11, 8, 21, 8, 21, 19, 3, 19, 3, 6)),),
    "sample": (
        ("L", (3, 20, 21, 20)),
        ("L", (5, 20, 5, 9, 12, 4, 19, 9, 19, 20)),
        ("L", (10, 20, 10, 14, 14, 14, 14, 20)),
    ),
    "new": (("L", (12, 5, 12, 19)), ("L", (5, 12, 19, 12))),
    "undo": (("L", (8, 5, 4, 9, 8, 13)), ("L", (4, 9, 15, 9, 19, 12, 19, 16, 15, 19, 9, 19))),
    "redo": (("L", (16, 5, 20, 9, 16, 13)), ("L", (20, 9, 9, 9, 5, 12, 5, 16, 9, 19, 15, 19))),
    "up": (("L", (6, 15, 12, 9, 18, 15)),),
    "down": (("L", (6, 9, 12, 15, 18, 9)),),
}


def _paint(painter: QPainter, drawing: tuple[Stroke, ...], color: QColor) -> None:
    pen = QPen(
        color, 1.7, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap, Qt.PenJoinStyle.RoundJoin
    )
    for sort, numbers in drawing:
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if sort in "CD":
            if sort == "D":
                painter.setBrush(color)
            painter.drawEllipse(QPointF(numbers[0], numbers[1]), numbers[2], numbers[2])
            continue
        points = QPolygonF(
            [QPointF(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        )
        if sort == "F":
            painter.setBrush(color)
            painter.drawPolygon(points)
        else:
            painter.drawPolyline(points)


def icon(name: str, role: str = "ink") -> QIcon:
    """An icon in the colour of a role, sharp at the usual sizes."""
    made = QIcon()
    for mode, used in ((QIcon.Mode.Normal, role), (QIcon.Mode.Disabled, "ink_faint")):
        for size in (16, 24, 32, 48):
            for ratio in (1.0, 2.0):
                made.addPixmap(_pixmap(DRAWINGS[name], used, size, ratio), mode)
    return made


def _pixmap(drawing: tuple[Stroke, ...], role: str, size: int, ratio: float) -> QPixmap:
    pixmap = QPixmap(QSize(round(size * ratio), round(size * ratio)))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(size / GRID, size / GRID)
    _paint(painter, drawing, current().color(role))
    painter.end()
    return pixmap


def paint_state_sign(painter: QPainter, state: str, rect: QRectF) -> None:
    """The sign of a run's state inside a square: none, half-filled dot, dot with bar, ring."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    color = current().color(state)
    centre, radius = rect.center(), rect.width() * 0.3
    circle = QRectF(centre.x() - radius, centre.y() - radius, 2 * radius, 2 * radius)
    painter.setPen(QPen(color, max(1.4, radius * 0.3)))
    if state == "within":
        painter.drawLine(
            QPointF(rect.left() + radius * 0.5, centre.y()),
            QPointF(rect.right() - radius * 0.5, centre.y()),
        )
    elif state == "near":
        painter.drawEllipse(circle)
        painter.setBrush(color)
        painter.drawChord(circle, 90 * 16, 180 * 16)
    elif state == "over":
        painter.setBrush(color)
        painter.drawEllipse(circle)
        painter.setPen(QPen(color, radius * 0.6))
        painter.drawLine(
            QPointF(rect.left() + 1, centre.y()), QPointF(rect.right() - 1, centre.y())
        )
    else:
        painter.drawEllipse(circle)
    painter.restore()


def state_icon(state: str, size: int = 16) -> QIcon:
    """The sign of a run's state as an icon."""
    made = QIcon()
    for ratio in (1.0, 2.0):
        pixmap = QPixmap(QSize(round(size * ratio), round(size * ratio)))
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        paint_state_sign(painter, state, QRectF(0, 0, size, size))
        painter.end()
        made.addPixmap(pixmap)
    return made
