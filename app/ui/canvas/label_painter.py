"""Paints placed labels: where each stands on the screen, cased, in one or more lines."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QPainter

from app.ui.canvas.camera import Camera
from app.ui.canvas.label_placer import PlacedLabel
from app.ui.palette import Palette


def box_on_screen(camera: Camera, placed: PlacedLabel) -> QRectF | None:
    """Where a label stands, on whole pixels; None where that is out of sight."""
    label = placed.label
    at = camera.to_screen(label.x_mm, label.y_mm)
    left, top = round(at.x() + placed.dx_px), round(at.y() + placed.dy_px)
    box = QRectF(left, top, label.width_px, label.height_px)
    return box if box.intersects(QRectF(0, 0, camera.width_px, camera.height_px)) else None


def paint_label(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    placed: PlacedLabel,
    plain: QFont,
    bold: QFont,
) -> None:
    label, box = placed.label, box_on_screen(camera, placed)
    if box is None:
        return
    if label.cased:
        painter.fillRect(box, palette.color("sheet", 0.78))
    row_tall = label.height_px / len(label.text)
    flags = Qt.AlignmentFlag.AlignVCenter | (
        Qt.AlignmentFlag.AlignHCenter if label.centred else Qt.AlignmentFlag.AlignLeft
    )
    for i, text in enumerate(label.text):
        first = i == 0 and label.bold
        painter.setFont(bold if first else plain)
        painter.setPen(palette.color("ink" if first else label.role))
        row = QRectF(box.left() + 1, box.top() + i * row_tall, box.width() + 1, row_tall)
        painter.drawText(row, flags | Qt.TextFlag.TextDontClip, text)
