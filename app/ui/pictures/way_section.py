"""The way down of an outlet in section: pathway, ceiling, floor and plate at their heights."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.design.ways_down import OutletWay
from app.model.vocabulary import Units, WayDown
from app.ui import look
from app.ui.lengths import length
from app.ui.palette import current
from app.ui.pictures.way_strokes import paint_way

LEAST_SPAN_MM = 900
"""So much height is shown at least, lest a void of 0.15 m fill the picture."""
WIDE_EM = 8.5
"""The drawing; words stand to its right."""
FROM_BELOW = frozenset({WayDown.RAISED_FLOOR, WayDown.POKE_THROUGH})
Level = tuple[str, int]
"""What stands there, and its height above the finished floor."""


class WaySection(QWidget):
    """Heights are to scale; widths are not, nor how thick a slab is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._way: OutletWay | None = None
        self._units = Units.METRIC
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    @property
    def way(self) -> OutletWay | None:
        """What is drawn."""
        return self._way

    def sizeHint(self) -> QSize:
        return QSize(look.em(20), look.em(11))

    def minimumSizeHint(self) -> QSize:
        return QSize(look.em(16), look.em(11))

    def show_way(self, way: OutletWay, units: Units) -> None:
        """Draw a way down, with its heights in these units."""
        self._way, self._units = way, units
        self.setAccessibleName("Section: " + ", ".join(label_texts(way, units)))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._way is None:
            return
        way = self._way
        y = scale_of(way, top=look.em(1.1), room=self.height() - look.em(2.2))
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        wide = float(look.em(WIDE_EM))
        painter.save()
        painter.setClipRect(QRectF(0, 0, wide, self.height()))
        paint_way(painter, way, y, QRectF(0, 0, wide, self.height()))
        painter.restore()
        self._paint_words(painter, [y(mm) for _, mm in levels(way)], wide)
        painter.end()

    def _paint_words(self, painter: QPainter, at: Sequence[float], wide: float) -> None:
        """Every height beside its level, with a line that leads to it where it gives way."""
        assert self._way is not None
        metrics, left = painter.fontMetrics(), wide + look.em(1)
        high = metrics.height()
        tops = spread([y - high / 2 for y in at], high=high, room=self.height())
        for y, top, text in zip(at, tops, label_texts(self._way, self._units), strict=True):
            middle = top + high / 2
            painter.setPen(QPen(current().color("edge"), 1))
            painter.drawLine(QPointF(wide + look.em(0.1), y), QPointF(left - look.em(0.2), middle))
            painter.setPen(current().color("ink_soft"))
            room = QRectF(left, top, max(self.width() - left, 0), high)
            shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, int(room.width()))
            painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, shown)


def levels(way: OutletWay) -> list[Level]:
    """What stands at which height, highest first; what stands level shares a line.

    A ceiling is left out where the cable comes from below.
    """
    found = [("floor", 0), ("outlet", way.outlet_mm)]
    if way.ceiling_mm is not None and way.way not in FROM_BELOW:
        found.insert(0, ("ceiling", way.ceiling_mm))
    if way.pathway_mm is not None:
        found.append(("pathway", way.pathway_mm))
    if way.way is WayDown.RAISED_FLOOR and way.void_mm:
        found.append(("slab", -way.void_mm))
    heights = sorted({mm for _, mm in found}, reverse=True)
    return [(" and ".join(name for name, at in found if at == mm), mm) for mm in heights]


def label_texts(way: OutletWay, units: Units) -> list[str]:
    """`ceiling 2.70 m`: the levels in words, highest first."""
    return [f"{name} {length(mm, units, places=2)}".replace(" -", " −") for name, mm in levels(way)]


def scale_of(way: OutletWay, *, top: float, room: float) -> Callable[[int], float]:
    """From heights in millimetres to pixels from the top of the picture."""
    heights = [mm for _, mm in levels(way)]
    low, high = min(heights), max(heights)
    high = max(high, low + LEAST_SPAN_MM)
    return lambda mm: top + room * (high - mm) / (high - low)


def spread(wanted: Sequence[float], *, high: float, room: float) -> list[float]:
    """Tops of labels of this height, in order from above, moved as little as keeps them apart."""
    found: list[float] = []
    for top in wanted:
        found.append(max(top, 0.0, found[-1] + high if found else 0.0))
    last = room
    for index in range(len(found) - 1, -1, -1):
        found[index] = min(found[index], last - high)
        last = found[index]
    return found
