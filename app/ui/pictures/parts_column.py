"""The parts of a length as a column that adds up; a click goes to what a part lies on."""

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import look
from app.ui.palette import current


@dataclass(frozen=True, slots=True)
class Line:
    """One line: name, figure with unit, and what it lies on. `total` lines stand under a rule."""

    name: str
    figure: str
    thing: str | None = None
    total: bool = False
    soft: bool = False


class PartsColumn(QWidget):
    """Lines of names and figures; figures line up on the right."""

    asked = Signal(str)
    """The id of the thing whose part was clicked."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: tuple[Line, ...] = ()
        self._hovered = -1
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    @property
    def lines(self) -> tuple[Line, ...]:
        return self._lines

    def show_lines(self, lines: tuple[Line, ...]) -> None:
        """Show these lines from top to bottom."""
        self._lines = lines
        self.setAccessibleName("; ".join(f"{line.name} {line.figure}" for line in lines))
        self.updateGeometry()
        self.update()

    def _line_height(self) -> int:
        return self.fontMetrics().height() + look.em(0.15)

    def sizeHint(self) -> QSize:
        rules = sum(1 for line in self._lines if line.total)
        return QSize(look.em(14), len(self._lines) * self._line_height() + rules * look.em(0.4) + 2)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def _tops(self) -> list[float]:
        tops, y = [], 0.0
        for line in self._lines:
            y += look.em(0.4) if line.total else 0
            tops.append(y)
            y += self._line_height()
        return tops

    def _line_at(self, pos: QPoint) -> int:
        high = self._line_height()
        return next((i for i, y in enumerate(self._tops()) if y <= pos.y() < y + high), -1)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        index = self._line_at(event.position().toPoint())
        leads = index >= 0 and self._lines[index].thing is not None
        self.setCursor(Qt.CursorShape.PointingHandCursor if leads else Qt.CursorShape.ArrowCursor)
        if index != self._hovered:
            self._hovered = index
            self.update()

    def leaveEvent(self, event: QEvent) -> None:
        self._hovered = -1
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        index = self._line_at(event.position().toPoint())
        thing = self._lines[index].thing if index >= 0 else None
        if thing is not None:
            self.asked.emit(thing)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colours = current()
        figures = look.figures_font(self.font())
        high = self._line_height()
        for index, (line, top) in enumerate(zip(self._lines, self._tops(), strict=True)):
            font = QFont(figures)
            font.setBold(line.total)
            painter.setFont(font)
            if line.total:
                painter.setPen(QPen(colours.color("ink"), 1))
                painter.drawLine(0, round(top - 3), self.width(), round(top - 3))
            linked = line.thing is not None and index == self._hovered
            role = "accent_text" if linked else "ink_soft" if line.soft else "ink"
            painter.setPen(colours.color(role))
            rect = QRectF(0, top, self.width(), high)
            wide = painter.fontMetrics().horizontalAdvance(line.figure)
            room = self.width() - wide - look.em(0.8)
            middle = Qt.AlignmentFlag.AlignVCenter
            painter.drawText(rect, middle | Qt.AlignmentFlag.AlignRight, line.figure)
            name = painter.fontMetrics().elidedText(line.name, Qt.TextElideMode.ElideRight, room)
            painter.drawText(rect, middle | Qt.AlignmentFlag.AlignLeft, name)
        painter.end()
