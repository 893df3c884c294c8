"""How long a frame's runs are: a small histogram."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import look
from app.ui.palette import current

STEPS_MM = (1_000, 2_000, 5_000, 10_000, 20_000, 50_000, 100_000, 200_000)
MOST_BARS = 14


def step_mm(longest_mm: int) -> int:
    """The width of a class, so that there are few enough."""
    return next((s for s in STEPS_MM if longest_mm / s <= MOST_BARS), STEPS_MM[-1])


def classes(lengths_mm: Sequence[int], step: int) -> list[int]:
    """How many lengths lie in [0, step), [step, 2 step), …"""
    if not lengths_mm:
        return []
    counts = [0] * (max(lengths_mm) // step + 1)
    for length in lengths_mm:
        counts[length // step] += 1
    return counts


class Histogram(QWidget):
    """Bars by length; those beyond the limit are hatched and in the colour of `over`."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._counts: list[int] = []
        self._step = 10_000
        self._limit_mm = 0
        self._unit_mm, self._unit = 1_000.0, "m"
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(look.em(16), look.em(7.5))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def show_lengths(
        self, lengths_mm: Sequence[int], *, limit_mm: int, unit_mm: float = 1_000.0, unit: str = "m"
    ) -> None:
        """Draw the classes of these lengths."""
        self._unit_mm, self._unit = unit_mm, unit
        longest = max(max(lengths_mm, default=0), limit_mm)
        in_units = [int(length / unit_mm * 1_000) for length in lengths_mm]
        self._step = step_mm(int(longest / unit_mm * 1_000))
        self._counts = classes(in_units, self._step)
        self._limit_mm = int(limit_mm / unit_mm * 1_000)
        self.setAccessibleName(f"Lengths of {len(lengths_mm)} runs")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._counts:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(look.figures_font(look.small_font()))
        text = painter.fontMetrics().height()
        plot = QRectF(2, text + 2, self.width() - 4, self.height() - 2 * text - 8)
        bars = max(len(self._counts), self._limit_mm // self._step + 1)
        wide = plot.width() / bars
        for index, count in enumerate(self._counts):
            self._paint_bar(painter, plot, wide, index, count)
        self._paint_axis(painter, plot, wide, bars)
        painter.end()

    def _paint_bar(
        self, painter: QPainter, plot: QRectF, wide: float, index: int, count: int
    ) -> None:
        colours = current()
        if count == 0:
            return
        high = max(2.0, plot.height() * count / max(self._counts))
        rect = QRectF(plot.left() + index * wide + 1, plot.bottom() - high, wide - 2, high)
        beyond = self._limit_mm and index * self._step >= self._limit_mm
        painter.fillRect(rect, colours.color("over" if beyond else "pathway", 0.85))
        if beyond:
            painter.fillRect(rect, QBrush(colours.color("sheet"), Qt.BrushStyle.BDiagPattern))
        painter.setPen(colours.color("ink"))
        label = QRectF(rect.left() - wide, rect.top() - 40, wide * 3, 40)
        painter.drawText(
            label, Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom, str(count)
        )

    def _paint_axis(self, painter: QPainter, plot: QRectF, wide: float, bars: int) -> None:
        colours = current()
        painter.setPen(QPen(colours.color("edge"), 1))
        painter.drawLine(plot.bottomLeft(), plot.bottomRight())
        metrics = painter.fontMetrics()
        every = max(1, round(metrics.horizontalAdvance("000 m ") / wide + 0.5))
        for index in range(0, bars + 1, every):
            text = f"{index * self._step // 1_000}"
            if index + every > bars:
                text += f" {self._unit}"
            x = plot.left() + index * wide
            left = min(max(0.0, x - metrics.horizontalAdvance(text) / 2), self.width() - 4.0)
            left = min(left, self.width() - metrics.horizontalAdvance(text) - 1)
            painter.setPen(colours.color("ink_soft"))
            painter.drawText(round(left), round(plot.bottom() + metrics.ascent() + 3), text)
        if self._limit_mm:
            x = plot.left() + self._limit_mm / self._step * wide
            painter.setPen(QPen(colours.color("ink"), 2))
            painter.drawLine(round(x), round(plot.top() - 4), round(x), round(plot.bottom()))
