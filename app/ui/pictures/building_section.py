"""A section through a building: frames, a riser, trays, and runs down to their outlets."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import look
from app.ui.palette import current

WIDE, HIGH = 300.0, 168.0
FLOORS = (58.0, 106.0, 154.0)
"""Height on the picture of each finished floor."""
TRAY_ABOVE = 34.0
RISER_X, FRAME_X = 84.0, 62.0
OUTLETS = ((120.0, 176.0, 232.0, 268.0), (112.0, 150.0, 214.0, 262.0), (128.0, 190.0, 246.0))


class BuildingSection(QWidget):
    """Drawn once, quietly; it says what the program is about."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("A section through a building with its cables")

    def sizeHint(self) -> QSize:
        return QSize(look.em(22), look.em(22 * HIGH / WIDE))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        scale = min(self.width() / WIDE, self.height() / HIGH)
        painter.scale(scale, scale)
        self._paint_building(painter)
        for floor, outlets in zip(FLOORS, OUTLETS, strict=True):
            self._paint_floor(painter, floor, outlets)
        self._paint_riser(painter)
        painter.end()

    def _paint_building(self, painter: QPainter) -> None:
        colours = current()
        painter.setPen(QPen(colours.color("edge"), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(30, 10, 256, FLOORS[-1] - 10))
        for floor in FLOORS:
            painter.fillRect(QRectF(30, floor - 1, 256, 2.5), colours.color("edge"))
        painter.setPen(QPen(colours.color("line"), 1.5))
        painter.drawLine(QPointF(4, FLOORS[-1] + 1), QPointF(WIDE, FLOORS[-1] + 1))

    def _paint_floor(self, painter: QPainter, floor: float, outlets: tuple[float, ...]) -> None:
        colours = current()
        tray = floor - TRAY_ABOVE
        painter.setPen(QPen(colours.color("pathway"), 2.2))
        painter.drawLine(QPointF(RISER_X, tray), QPointF(outlets[-1] + 8, tray))
        for index, x in enumerate(outlets):
            painter.setPen(QPen(colours.color("accent"), 1.3))
            painter.drawLine(QPointF(x, tray), QPointF(x, floor - 11))
            triangle = QPolygonF(
                [QPointF(x - 4, floor - 5), QPointF(x + 4, floor - 5), QPointF(x, floor - 12)]
            )
            painter.setPen(QPen(colours.color("ink"), 1))
            painter.setBrush(colours.color("ink") if index % 3 else colours.color("sheet"))
            painter.drawPolygon(triangle)
            painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_riser(self, painter: QPainter) -> None:
        colours = current()
        painter.setPen(QPen(colours.color("accent"), 2))
        top, bottom = FLOORS[0] - TRAY_ABOVE, FLOORS[-1] - TRAY_ABOVE
        painter.drawLine(QPointF(RISER_X, top), QPointF(RISER_X, bottom))
        painter.setPen(QPen(colours.color("ink"), 1.2))
        for floor in (FLOORS[0], FLOORS[-1]):
            rack = QRectF(FRAME_X - 8, floor - 27, 12, 26)
            painter.drawRect(rack)
            for step in range(1, 5):
                y = rack.top() + step * 5
                painter.drawLine(QPointF(rack.left() + 2, y), QPointF(rack.right() - 2, y))
            painter.setPen(QPen(colours.color("accent"), 1.6))
            painter.drawLine(
                QPointF(FRAME_X - 2, floor - TRAY_ABOVE), rack.center() - QPointF(0, 13)
            )
            painter.drawLine(
                QPointF(FRAME_X - 2, floor - TRAY_ABOVE), QPointF(RISER_X, floor - TRAY_ABOVE)
            )
            painter.setPen(QPen(colours.color("ink"), 1.2))
