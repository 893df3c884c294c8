"""A plan's texts as outlines, so that they scale, turn and fill like the rest of the drawing."""

from __future__ import annotations

from PySide6.QtGui import QFont, QFontMetricsF, QPainterPath, QTransform
from PySide6.QtWidgets import QApplication

from app.drawing.plan_drawing import PlanText

DRAWN_PX = 100
"""The size at which glyphs are taken from the font; only their shape matters."""


def text_path(text: PlanText) -> QPainterPath:
    """The outlines of a text in the drawing's local units, y up."""
    font = QFont(QApplication.font())
    font.setPixelSize(DRAWN_PX)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    measure = QFontMetricsF(font)
    capital = measure.capHeight() or float(DRAWN_PX)
    lines = text.text.split("\n")
    widest = max((measure.horizontalAdvance(line) for line in lines), default=0.0)
    up = text.height / capital
    along = text.width / widest if widest > 0 and text.width > 0 else up
    step = text.line_step / up if up > 0 else 0.0

    drawn = QPainterPath()
    for row, line in enumerate(lines):
        free = widest - measure.horizontalAdvance(line)
        left = {"left": 0.0, "center": free / 2, "right": free}[text.horizontal]
        drawn.addText(left, row * step, font, line)

    box_left, _, _, box_top = text.box
    first_baseline = box_top - text.height
    placed = QTransform()
    placed.translate(text.position[0], text.position[1])
    placed.rotate(text.rotation_deg)
    placed.translate(box_left, first_baseline)
    placed.scale(along, -up)
    return placed.map(drawn)
