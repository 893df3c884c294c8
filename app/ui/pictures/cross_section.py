"""A pathway cut across: its inside to scale, and the cables that lie in it."""

import math
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui import look
from app.ui.palette import current

Outline = Literal["trough", "round", "hook"]
MOST_DOTS = 900


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """What is cut: outline and inside size, cables with their mean diameter, and the ratios."""

    outline: Outline
    width_mm: float
    depth_mm: float
    cables: int
    od_mm: float
    ratio: float
    limit_ratio: float
    planned_ratio: float | None = None
    count: int = 1


def pitch_mm(od_mm: float, limit_ratio: float) -> float:
    """Distance between cables, so that a pathway at its limit looks full.

    Cables lie at random: at a calculated fill of one half a tray can take no more.
    """
    return od_mm * math.sqrt(math.pi / 4 / max(limit_ratio, 0.05))


class CrossSection(QWidget):
    """The section, drawn as large as the width allows."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._section: Section | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(look.em(16), look.em(7))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def show_section(self, section: Section | None) -> None:
        """Draw a section; None draws nothing."""
        self._section = section
        if section is not None:
            self.setAccessibleName(f"{section.cables} cables, {section.ratio:.0%} full")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        section = self._section
        if section is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        room = QRectF(8, 6, self.width() - 16, self.height() - 12)
        tallest = max([section.depth_mm, *(y + section.od_mm / 2 for _, y in places(section))])
        scale = min(room.width() / section.width_mm, room.height() / tallest)
        wide, deep = section.width_mm * scale, section.depth_mm * scale
        box = QRectF(room.center().x() - wide / 2, room.bottom() - deep, wide, deep)
        self._paint_fill(painter, section, box, scale)
        self._paint_outline(painter, section, box)
        painter.end()

    def _paint_outline(self, painter: QPainter, section: Section, box: QRectF) -> None:
        colours = current()
        pen = QPen(colours.color("ink"), 2)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if section.outline == "round":
            painter.drawEllipse(box)
        elif section.outline == "hook":
            painter.drawArc(box, 100 * 16, 320 * 16)
        else:
            painter.drawPolyline(
                [box.topLeft(), box.bottomLeft(), box.bottomRight(), box.topRight()]
            )
        if section.planned_ratio and section.outline == "trough":
            y = box.bottom() - box.height() * min(1.0, section.planned_ratio / section.limit_ratio)
            painter.setPen(QPen(colours.color("ink_soft"), 1, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(box.left() + 2, y), QPointF(box.right() - 2, y))

    def _paint_fill(self, painter: QPainter, section: Section, box: QRectF, scale: float) -> None:
        colours = current()
        role = "over" if section.ratio > section.limit_ratio else "pathway"
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.color(role, 0.85))
        radius = section.od_mm * scale / 2
        if section.cables > MOST_DOTS or radius < 0.8:
            self._paint_level(painter, section, box)
            return
        for centre in places(section):
            painter.drawEllipse(
                QPointF(box.left() + centre[0] * scale, box.bottom() - centre[1] * scale),
                max(radius - 0.3, 0.8),
                max(radius - 0.3, 0.8),
            )

    def _paint_level(self, painter: QPainter, section: Section, box: QRectF) -> None:
        share = min(1.0, section.ratio / max(section.limit_ratio, 0.01))
        painter.save()
        level = QRectF(box.left(), box.bottom() - box.height() * share, box.width(), 1e4)
        if section.outline == "trough":
            painter.drawRect(level.intersected(box))
        else:
            painter.setClipRect(level.intersected(box))
            painter.drawEllipse(box)
        painter.restore()


def places(section: Section) -> list[tuple[float, float]]:
    """Centres of the cables from the lower left corner, lowest first; more than fit pile up."""
    pitch = pitch_mm(section.od_mm, section.limit_ratio)
    each = math.ceil(section.cables / max(section.count, 1))
    found: list[tuple[float, float]] = []
    row = 0
    while len(found) < each and row < MOST_DOTS:
        y = section.od_mm / 2 + row * pitch
        first, last = _centres(section, y)
        x = first + (row % 2) * pitch / 2
        before = len(found)
        while x <= last + 1e-9 and len(found) < each:
            found.append((x, y))
            x += pitch
        row += 1
        if len(found) == before and y > section.depth_mm:
            break
    return found


def _centres(section: Section, y: float) -> tuple[float, float]:
    """The first and last place for a cable's centre at a height; none where first > last."""
    half_cable = section.od_mm / 2
    if section.outline == "trough":
        return half_cable, section.width_mm - half_cable
    radius = section.width_mm / 2
    square = (radius - half_cable) ** 2 - (y - radius) ** 2
    if square < 0:
        return (radius, radius) if abs(y - half_cable) < 1e-9 else (1.0, 0.0)
    return radius - math.sqrt(square), radius + math.sqrt(square)
