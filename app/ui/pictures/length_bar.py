"""A run's length as one bar: what it is made of, held against its limit."""

from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import look
from app.ui.palette import current


@dataclass(frozen=True, slots=True)
class Stretch:
    """A share of the bar; `tone` from 0 (pale) to 1 (ink), `hatched` for what is estimated."""

    name: str
    length_mm: int
    tone: float
    hatched: bool = False


class LengthBar(QWidget):
    """Stretches end to end from zero; the limit is a tick, and what lies beyond it is marked."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._stretches: tuple[Stretch, ...] = ()
        self._limit_mm = 0
        self._limit_text = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(look.em(16), look.em(3.1))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def show_length(
        self, stretches: tuple[Stretch, ...], *, limit_mm: int, limit_text: str
    ) -> None:
        """Draw these; a limit of 0 draws none."""
        self._stretches, self._limit_mm, self._limit_text = stretches, limit_mm, limit_text
        total = sum(s.length_mm for s in stretches)
        self.setAccessibleName(f"Length {total / 1000:.1f} m, limit {limit_text}")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        total = sum(s.length_mm for s in self._stretches)
        if total <= 0:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(look.small_font())
        high = painter.fontMetrics().height()
        bar = QRectF(1, high + 4, self.width() - 2, max(10, look.em(1.1)))
        per_mm = bar.width() / (max(total, self._limit_mm) * 1.02)
        self._paint_stretches(painter, bar, per_mm)
        if self._limit_mm:
            self._paint_limit(painter, bar, per_mm, over_mm=total - self._limit_mm)
        painter.end()

    def _paint_stretches(self, painter: QPainter, bar: QRectF, per_mm: float) -> None:
        colours = current()
        left = bar.left()
        for stretch in self._stretches:
            width = stretch.length_mm * per_mm
            rect = QRectF(left, bar.top(), width, bar.height())
            fill = colours.color("ink", 0.12 + 0.6 * stretch.tone)
            painter.fillRect(rect, fill)
            if stretch.hatched:
                hatch = QBrush(colours.color("ink_soft"), Qt.BrushStyle.BDiagPattern)
                painter.fillRect(rect, hatch)
            painter.fillRect(QRectF(left + width - 1, bar.top(), 1, bar.height()), colours.sheet)
            left += width
        painter.setPen(QPen(colours.color("edge"), 1))
        painter.drawRect(QRectF(bar.left(), bar.top(), left - bar.left(), bar.height()))

    def _paint_limit(self, painter: QPainter, bar: QRectF, per_mm: float, *, over_mm: int) -> None:
        colours = current()
        at = bar.left() + self._limit_mm * per_mm
        if over_mm > 0:
            beyond = QRectF(at, bar.top(), over_mm * per_mm, bar.height())
            painter.fillRect(beyond, colours.color("over"))
        painter.setPen(QPen(colours.color("ink"), 2))
        painter.drawLine(round(at), round(bar.top() - 4), round(at), round(bar.bottom() + 4))
        text = f"limit {self._limit_text}"
        wide = painter.fontMetrics().horizontalAdvance(text)
        x = min(at - wide - 5, self.width() - wide - 2) if at > wide + 8 else at + 5
        painter.setPen(colours.color("ink_soft"))
        painter.drawText(round(x), round(bar.top() - 5), text)
