"""A small picture of some things with the symbols of the plan: a kit, an array."""

from collections.abc import Sequence
from itertools import chain

from PySide6.QtCore import QSize
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.editor.commands.shapes import outline_points
from app.model.entities import Entity, Pathway, Space
from app.model.project import Project
from app.ui import look
from app.ui.canvas.camera import Box, Camera
from app.ui.canvas.entity_painter import paint_entity
from app.ui.canvas.floor_picture import passes_floor
from app.ui.palette import Palette, current

MARGIN_PX = 20
OUTLET_PX, LEAST_OUTLET_PX, OUTLET_SHARE = 16, 9, 9
"""The side of an outlet: a share of the picture's height, within bounds."""
MOST_PX_PER_MM = 0.06
LEAST_SIDE_MM = 400.0
MOST_DRAWN = 1_500
"""More things than this would be a grey mass."""


def camera_over(things: Sequence[Entity], size: QSize) -> Camera:
    """The camera that shows all of the things."""
    x0, y0, x1, y1 = _box(things)
    wide, high = max(x1 - x0, LEAST_SIDE_MM), max(y1 - y0, LEAST_SIDE_MM)
    room = max(1, size.width() - 2 * MARGIN_PX), max(1, size.height() - 2 * MARGIN_PX)
    return Camera(
        x_mm=(x0 + x1) / 2,
        y_mm=(y0 + y1) / 2,
        px_per_mm=min(MOST_PX_PER_MM, room[0] / wide, room[1] / high),
        width_px=size.width(),
        height_px=size.height(),
    )


def _box(things: Sequence[Entity]) -> Box:
    points = list(chain.from_iterable(outline_points(t) for t in things)) or [(0, 0)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def paint_things(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    project: Project,
    things: Sequence[Entity],
    floor_id: str,
) -> None:
    """Rooms below, then pathways, then all that stands; at most so many."""
    order = sorted(things[:MOST_DRAWN], key=lambda t: (not isinstance(t, Space), _rank(t)))
    side = max(LEAST_OUTLET_PX, min(OUTLET_PX, camera.height_px // OUTLET_SHARE))
    for thing in order:
        paint_entity(painter, camera, palette, project, thing, floor_id, outlet_px=side)


def _rank(thing: Entity) -> int:
    return 0 if isinstance(thing, Pathway) else 1


def things_pixmap(
    project: Project, things: Sequence[Entity], size: QSize, ratio: float = 1.0
) -> QPixmap:
    """The things of a kit on paper of this size."""
    pixmap = QPixmap(round(size.width() * ratio), round(size.height() * ratio))
    pixmap.setDevicePixelRatio(ratio)
    palette = current()
    pixmap.fill(palette.color("sheet"))
    painter = QPainter(pixmap)
    paint_things(painter, camera_over(things, size), palette, project, things, "")
    painter.end()
    return pixmap


class ThingsPicture(QWidget):
    """Things over the rooms of their floor; what is `pale` is what stands already."""

    def __init__(self, project: Project, floor_id: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._project, self._floor_id = project, floor_id
        self._things: tuple[Entity, ...] = ()
        self._standing: tuple[Entity, ...] = ()
        self._rooms = tuple(s for s in project.spaces.values() if s.floor == floor_id)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(look.em(20), look.em(15))

    def sizeHint(self) -> QSize:
        return QSize(look.em(30), look.em(22))

    def show_things(self, standing: Sequence[Entity], made: Sequence[Entity]) -> None:
        """What stands, and what would be made beside it."""
        self._standing, self._things = tuple(standing), tuple(made)
        self.setAccessibleName(f"{len(made)} copies")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        palette, project = current(), self._project
        painter.fillRect(self.rect(), palette.color("sheet"))
        every = (*self._standing, *self._things)
        here = [t for t in every if not hasattr(t, "lower_floor") or self._passes(t)]
        if here:
            camera = camera_over(here, self.size())
            painter.setOpacity(0.6)
            paint_things(painter, camera, palette, project, self._rooms, self._floor_id)
            paint_things(painter, camera, palette, project, self._standing, self._floor_id)
            painter.setOpacity(1.0)
            paint_things(painter, camera, palette, project, self._things, self._floor_id)
        painter.setPen(QPen(palette.color("line"), 1))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _passes(self, thing: Entity) -> bool:
        return passes_floor(self._project, thing, self._floor_id)  # type: ignore[arg-type]
