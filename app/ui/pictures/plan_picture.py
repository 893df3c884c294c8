"""A small picture of a plan's drawing, with its size."""

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPixmap, QTransform
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.drawing.plan_drawing import PlanDrawing
from app.drawing.plan_lines import line_groups
from app.ui import look
from app.ui.canvas.qt_arrays import segments_path
from app.ui.palette import current


class PlanPicture(QWidget):
    """The lines of a drawing, fitted; the size of one side is told under it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._drawing: PlanDrawing | None = None
        self._size_words = ("", "")
        self._cached: QPixmap | None = None
        self._cached_for: tuple[object, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(look.em(18), look.em(14))

    def sizeHint(self) -> QSize:
        return QSize(look.em(26), look.em(20))

    def show_drawing(self, drawing: PlanDrawing | None) -> None:
        """Show a drawing."""
        self._drawing = drawing
        self._cached = None
        self.update()

    def show_size(self, wide: str, high: str) -> None:
        """The true size of the drawing, in words."""
        self._size_words = (wide, high)
        self.setAccessibleName(f"Plan, {wide} wide and {high} high")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colours = current()
        painter.fillRect(self.rect(), colours.color("sheet"))
        key = (self.size(), colours.name, id(self._drawing))
        if self._cached is None or self._cached_for != key:
            self._cached, self._cached_for = self._picture(), key
        painter.drawPixmap(0, 0, self._cached)
        painter.setPen(QPen(colours.color("line"), 1))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.setFont(look.figures_font(look.small_font()))
        painter.setPen(colours.color("ink_soft"))
        wide, high = self._size_words
        if wide:
            text_rect = self.rect().adjusted(8, 4, -8, -5)
            bottom = Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignHCenter
            painter.drawText(text_rect, bottom, f"{wide} × {high}")
        painter.end()

    def _picture(self) -> QPixmap:
        ratio = self.devicePixelRatioF()
        pixmap = QPixmap(self.size() * ratio)
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        drawing = self._drawing
        if drawing is None or drawing.bounds is None:
            return pixmap
        x0, y0, x1, y1 = drawing.bounds
        margin, foot = look.em(1), look.em(1.6)
        scale = min(
            (self.width() - 2 * margin) / max(x1 - x0, 1e-9),
            (self.height() - margin - foot) / max(y1 - y0, 1e-9),
        )
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = QPointF(self.width() / 2, (self.height() - foot + margin) / 2)
        place = QTransform(
            scale,
            0,
            0,
            -scale,
            middle.x() - (x0 + x1) / 2 * scale,
            middle.y() + (y0 + y1) / 2 * scale,
        )
        painter.setTransform(place)
        for group in line_groups(drawing):
            strength = 0.3 if group.is_hatch else 0.75
            pen = QPen(current().color("plan", strength), 0)
            painter.setPen(pen)
            painter.drawPath(segments_path(group.segments))
        painter.end()
        return pixmap
