"""Draws plain primitives (symbols and the like) with a painter; colours come by role."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from app.drawing.primitives import (
    Arc,
    FilledPath,
    Line,
    Polyline,
    Primitive,
    Stroke,
    Text,
    text_corners,
)

Inks = Callable[[str], QColor]
"""The colour of a role."""


def draw_primitives(
    painter: QPainter,
    primitives: Iterable[Primitive],
    *,
    inks: Inks,
    least_pen: float = 0.0,
    pen_factor: float = 1.0,
) -> None:
    """Draw in the painter's units with y up already arranged by its transform.

    `least_pen` is the thinnest pen in the primitives' units.
    """
    for primitive in primitives:
        match primitive:
            case Line():
                painter.setPen(_pen(primitive.stroke, inks, least_pen, pen_factor))
                painter.drawLine(QPointF(*primitive.start), QPointF(*primitive.end))
            case Polyline():
                _draw_polyline(painter, primitive, inks, least_pen, pen_factor)
            case Arc():
                painter.setPen(_pen(primitive.stroke, inks, least_pen, pen_factor))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawPath(arc_path(primitive))
            case FilledPath():
                painter.fillPath(filled_path(primitive), inks(primitive.ink))
            case Text():
                draw_text(painter, primitive, inks)


def arc_path(arc: Arc) -> QPainterPath:
    """An arc's line; Qt counts angles clockwise where y points down, so they are negated."""
    r = arc.radius
    box = QRectF(arc.center[0] - r, arc.center[1] - r, 2 * r, 2 * r)
    path = QPainterPath()
    path.arcMoveTo(box, -arc.start_deg)
    path.arcTo(box, -arc.start_deg, -arc.sweep_deg)
    return path


def filled_path(filled: FilledPath) -> QPainterPath:
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.OddEvenFill)
    for ring in filled.rings:
        path.addPolygon(QPolygonF([QPointF(x, y) for x, y in ring]))
        path.closeSubpath()
    return path


def draw_text(painter: QPainter, text: Text, inks: Inks) -> None:
    """One line of text in its box, narrowed where it would be wider; y is up."""
    font = QFont(painter.font())
    font.setPixelSize(100)
    font.setBold(text.bold)
    measure = QFontMetricsF(font)
    up = text.height / (measure.capHeight() or 100.0)
    wide = measure.horizontalAdvance(text.text) * up
    along = up * min(1.0, text.box[0] / wide) if wide > 0 and text.box[0] > 0 else up
    corner = text_corners(text)[0]
    left = {"left": 0.0, "center": 0.5, "right": 1.0}[text.horizontal]
    free = text.box[0] - wide * along / up
    glyphs = QPainterPath()
    glyphs.addText(0, 0, font, text.text)
    painter.save()
    painter.translate(*corner)
    painter.rotate(text.rotation_deg)
    painter.translate(free * left, 0)
    painter.scale(along, -up)
    painter.fillPath(glyphs, inks(text.ink))
    painter.restore()


def _draw_polyline(
    painter: QPainter, line: Polyline, inks: Inks, least_pen: float, pen_factor: float
) -> None:
    painter.setPen(_pen(line.stroke, inks, least_pen, pen_factor))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    points = QPolygonF([QPointF(x, y) for x, y in line.points])
    if line.closed:
        painter.drawPolygon(points)
    else:
        painter.drawPolyline(points)


def _pen(stroke: Stroke, inks: Inks, least_pen: float, pen_factor: float) -> QPen:
    width = max(least_pen, stroke.width_mm * pen_factor)
    pen = QPen(inks(stroke.ink), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if stroke.dashes_mm:
        pen.setDashPattern([max(0.01, d / width) for d in stroke.dashes_mm])
    return pen
