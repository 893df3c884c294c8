"""What stands on the canvas whatever is drawn: scale bar, north, notices, words for emptiness."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from app.model.vocabulary import Units
from app.ui import look
from app.ui.canvas.camera import Camera
from app.ui.palette import Palette

MM_PER_FOOT = 304.8
BAR_PX = 130.0
MARGIN_PX = 16.0


def round_length(most: float) -> float:
    """The greatest 1, 2 or 5 times a power of ten that is not more than `most`."""
    power = 10 ** math.floor(math.log10(most))
    return max(n * power for n in (1, 2, 5) if n * power <= most * (1 + 1e-9))


def bar_length(px_per_mm: float, units: Units) -> tuple[float, str]:
    """The scale bar's length in mm, and its words."""
    most_mm = BAR_PX / px_per_mm
    if units is Units.US:
        if most_mm < MM_PER_FOOT:
            inches = round_length(most_mm / 25.4)
            return inches * 25.4, f"{inches:g} in"
        feet = round_length(most_mm / MM_PER_FOOT)
        return feet * MM_PER_FOOT, f"{feet:g} ft"
    length = round_length(most_mm)
    return length, f"{length / 1000:g} m" if length >= 1000 else f"{length:g} mm"


def paint_scale_bar(
    painter: QPainter, camera: Camera, palette: Palette, units: Units, *, scaled: bool
) -> None:
    """Lower left; where a plan is not scaled the bar says that its length means nothing."""
    length_mm, words = bar_length(camera.px_per_mm, units)
    wide = length_mm * camera.px_per_mm
    y = camera.height_px - MARGIN_PX
    x = MARGIN_PX
    if not scaled:
        words = f"{words}?  plan not calibrated"
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setFont(_font(painter, look.em(0.9)))
    text_wide = QFontMetricsF(painter.font()).horizontalAdvance(words)
    card = QRectF(x - 6, y - look.em(1.9), max(wide, text_wide) + 12, look.em(2.3))
    painter.fillRect(card, palette.color("sheet", 0.82))
    role = "ink" if scaled else "over"
    painter.setPen(QPen(palette.color(role), 1.0))
    painter.setBrush(palette.color(role))
    half = wide / 2
    painter.drawRect(QRectF(x, y - 4, half, 4))
    painter.setBrush(palette.color("sheet"))
    painter.drawRect(QRectF(x + half, y - 4, half, 4))
    painter.setPen(palette.color("ink" if scaled else "over_text"))
    painter.drawText(QPointF(x, y - 10), words)


def paint_north(painter: QPainter, camera: Camera, palette: Palette, grid_angle_mdeg: int) -> None:
    """The floor's own axes, upper right: up is the site's y, the cross is the grid."""
    middle = QPointF(camera.width_px - MARGIN_PX - 14, MARGIN_PX + 16)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(middle)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color("sheet", 0.82))
    painter.drawEllipse(QPointF(0, 0), 19, 19)
    painter.setPen(QPen(palette.color("edge"), 1.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(QPointF(0, 0), 15, 15)
    painter.rotate(-grid_angle_mdeg / 1000)
    painter.setPen(QPen(palette.color("guide"), 1.2))
    painter.drawLine(QPointF(-15, 0), QPointF(15, 0))
    painter.drawLine(QPointF(0, -15), QPointF(0, 15))
    painter.rotate(grid_angle_mdeg / 1000)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color("ink_soft"))
    painter.drawPolygon(QPolygonF([QPointF(0, -13), QPointF(4, -3), QPointF(-4, -3)]))
    painter.restore()


def paint_notice(painter: QPainter, camera: Camera, palette: Palette, words: str) -> None:
    """A strip along the top that does not go away until its cause does."""
    painter.setFont(_font(painter, look.em(0.95), bold=True))
    measure = QFontMetricsF(painter.font())
    wide = min(measure.horizontalAdvance(words) + 40, camera.width_px - 2 * MARGIN_PX)
    card = QRectF((camera.width_px - wide) / 2, MARGIN_PX, wide, measure.height() + 12)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(palette.color("over"), 1.4))
    painter.setBrush(palette.color("sheet"))
    painter.drawRoundedRect(card, 3, 3)
    painter.setPen(palette.color("over_text"))
    text = measure.elidedText(words, Qt.TextElideMode.ElideRight, wide - 20)
    painter.drawText(card, Qt.AlignmentFlag.AlignCenter, text)


def paint_words(
    painter: QPainter, camera: Camera, palette: Palette, title: str, words: str
) -> None:
    """An empty state: what is not there yet, and what to do."""
    middle = camera.height_px / 2
    painter.setPen(palette.color("ink"))
    painter.setFont(_font(painter, look.em(1.6)))
    painter.drawText(
        QRectF(24, middle - look.em(4.5), camera.width_px - 48, look.em(3)),
        Qt.AlignmentFlag.AlignCenter,
        title,
    )
    painter.setPen(palette.color("ink_soft"))
    painter.setFont(_font(painter, look.em(1.05)))
    painter.drawText(
        QRectF(camera.width_px / 2 - look.em(20), middle - look.em(1), look.em(40), look.em(7)),
        Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap,
        words,
    )


def _font(painter: QPainter, px: int, *, bold: bool = False) -> QFont:
    font = QFont(painter.font())
    font.setPixelSize(px)
    font.setBold(bold)
    return font
