"""Tiles of the plans: drawn by a worker, kept within bounds, shown scaled until sharp."""

from __future__ import annotations

import math
import threading
from collections import OrderedDict
from collections.abc import Hashable, Iterator, Sequence

from PySide6.QtCore import QObject, QRectF, QTimer, Signal
from PySide6.QtGui import QImage, QPainter, QPixmap

from app.drawing.plan_drawing import PlanDrawing
from app.ui.canvas.camera import Box, Camera
from app.ui.canvas.plan_paths import PlanPaths, plan_paths
from app.ui.canvas.plan_scene import PlanScene
from app.ui.canvas.tile_render import TILE_PX, TileAt, TileCancelled, render_tile

MOST_BYTES = 192 * 1024 * 1024
TILE_BYTES = TILE_PX * TILE_PX * 4
SHELF_DRAWINGS = 8
"""Drawings whose paths are kept by the worker."""

REST_MS = 70
"""Tiles of a new scale are asked for when the scale has stood still for so long."""

OVERVIEW_PX = 900
"""The longer side of the picture of the whole floor that fills in for missing tiles."""

STAND_INS = 2
"""Other scales that are looked at for a missing tile."""

MOST_ENLARGED = 4.0
"""A thin line enlarged more than this looks like a wall: then rather paper until it is sharp."""


class TileWorker(threading.Thread):
    """Draws the tiles that are wanted, in their order; a new list replaces the old one."""

    def __init__(self, store: TileStore) -> None:
        super().__init__(name="plan tiles", daemon=True)
        self._store = store
        self._news = threading.Condition()
        self._scene: PlanScene | None = None
        self._wanted: list[TileAt] = []
        self._working_on: TileAt | None = None
        self._stopped = False
        self._shelf: OrderedDict[str, PlanPaths] = OrderedDict()

    def want(self, scene: PlanScene, tiles: Sequence[TileAt]) -> None:
        with self._news:
            same = self._scene is not None and scene.key == self._scene.key
            if not same or self._working_on not in tiles:
                self._working_on = None
            self._scene = scene
            self._wanted = [t for t in tiles if t != self._working_on]
            self._news.notify()

    def stop(self) -> None:
        with self._news:
            self._stopped = True
            self._working_on = None
            self._wanted = []
            self._news.notify()

    def run(self) -> None:
        while True:
            with self._news:
                while not self._wanted and not self._stopped:
                    self._news.wait()
                if self._stopped:
                    return
                scene, tile = self._scene, self._wanted.pop(0)
                self._working_on = tile
            if scene is not None:
                self._draw(scene, tile)

    def _draw(self, scene: PlanScene, tile: TileAt) -> None:
        try:
            image = render_tile(
                scene,
                tile,
                paths_of=self._paths_of,
                wanted=lambda: self._working_on is tile,
            )
        except TileCancelled:
            return
        with self._news:
            if self._stopped or self._working_on is not tile:
                return
            self._working_on = None
        try:
            self._store.drawn.emit(scene.key, tile, image)
        except RuntimeError:  # the window has gone while the tile was drawn
            self.stop()

    def _paths_of(self, sha256: str, drawing: PlanDrawing) -> PlanPaths:
        paths = self._shelf.pop(sha256, None)
        if paths is None:
            paths = plan_paths(drawing)
        self._shelf[sha256] = paths
        while len(self._shelf) > SHELF_DRAWINGS:
            self._shelf.popitem(last=False)
        return paths


class TileStore(QObject):
    """The tiles at hand, and the painting of them."""

    drawn = Signal(object, object, QImage)
    """Scene key, TileAt, picture: from the worker."""

    arrived = Signal()
    """There is something new to paint."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._scene: PlanScene | None = None
        self._tiles: OrderedDict[tuple[Hashable, TileAt], QPixmap] = OrderedDict()
        self._asked: tuple[Hashable, float, int, int, int, int] | None = None
        self._missing = 0
        self._needed = 0
        self._most_bytes = MOST_BYTES
        self._scale_seen = 0.0
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.arrived)
        self.drawn.connect(self._take)
        self._worker = TileWorker(self)
        self._worker.start()

    @property
    def is_sharp(self) -> bool:
        """Whether the last painting needed no stand-in."""
        return self._missing == 0

    @property
    def has_painted(self) -> bool:
        """Whether the last painting showed plans, and all of them sharp."""
        return self._needed > 0 and self._missing == 0

    @property
    def worker(self) -> TileWorker:
        return self._worker

    @property
    def bytes_held(self) -> int:
        return len(self._tiles) * TILE_BYTES

    def close(self) -> None:
        """End the worker; nothing is painted afterwards but what is at hand."""
        self._worker.stop()
        self._worker.join(timeout=5.0)

    def set_scene(self, scene: PlanScene | None) -> None:
        """Show other plans, or the same ones otherwise."""
        if scene is None or self._scene is None or scene.key != self._scene.key:
            self._asked = None
        self._scene = scene

    def paint(self, painter: QPainter, camera: Camera, pixel_ratio: float) -> None:
        """Paint the paper and the plans in sight; ask the worker for what is not there."""
        scene = self._scene
        if scene is None or not scene.sheets:
            self._missing = 0
            return
        scale = camera.px_per_mm * pixel_ratio
        view = camera.visible()
        needed = list(tiles_over(view, scale, within=scene.reach))
        missing = [t for t in needed if (scene.key, t) not in self._tiles]
        self._missing, self._needed = len(missing), len(needed)
        self._most_bytes = max(MOST_BYTES, 2 * len(needed) * TILE_BYTES)
        if missing:
            self._paint_stand_ins(painter, camera, pixel_ratio, scale)
        for tile in needed:
            self._paint_tile(painter, camera, pixel_ratio, tile)
        self._ask(scene, scale, view, missing)

    def _paint_tile(
        self, painter: QPainter, camera: Camera, pixel_ratio: float, tile: TileAt
    ) -> None:
        assert self._scene is not None
        key = (self._scene.key, tile)
        pixmap = self._tiles.get(key)
        if pixmap is None:
            return
        self._tiles.move_to_end(key)
        side = TILE_PX / tile.scale
        corner = camera.to_screen(tile.column * side, -tile.row * side)
        px = side * camera.px_per_mm
        if abs(px * pixel_ratio - TILE_PX) < 1e-6:
            x, y = round(corner.x() * pixel_ratio), round(corner.y() * pixel_ratio)
            painter.drawPixmap(
                QRectF(x / pixel_ratio, y / pixel_ratio, px, px), pixmap, QRectF(pixmap.rect())
            )
        else:
            painter.drawPixmap(QRectF(corner.x(), corner.y(), px, px), pixmap, pixmap.rect())

    def _paint_stand_ins(
        self, painter: QPainter, camera: Camera, pixel_ratio: float, scale: float
    ) -> None:
        """Tiles of other scales: the nearest scales last, so that they lie on top."""
        assert self._scene is not None
        held: dict[float, list[TileAt]] = {}
        x0, y0, x1, y1 = camera.visible()
        for key, tile in self._tiles:
            side = TILE_PX / tile.scale
            left, top = tile.column * side, -tile.row * side
            touches = left < x1 and left + side > x0 and top > y0 and top - side < y1
            near = tile.scale != scale and tile.scale * MOST_ENLARGED >= scale
            if key == self._scene.key and near and touches:
                held.setdefault(tile.scale, []).append(tile)
        nearest = sorted(held, key=lambda s: abs(math.log(s / scale)))[:STAND_INS]
        whole = self._overview_scale()
        if whole in held and whole not in nearest:
            nearest.append(whole)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, not self._rest.isActive())
        for other in reversed(nearest):
            for tile in held[other]:
                self._paint_tile(painter, camera, pixel_ratio, tile)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, False)

    def _overview_scale(self) -> float:
        box = None if self._scene is None else self._scene.box
        if box is None:
            return 0.0
        return OVERVIEW_PX / max(box[2] - box[0], box[3] - box[1], 1.0)

    def _ask(self, scene: PlanScene, scale: float, view: Box, missing: list[TileAt]) -> None:
        """What is missing, from the middle out; then a margin, then the whole floor."""
        if scale != self._scale_seen:
            first = self._scale_seen == 0.0
            self._scale_seen = scale
            if not first and missing:
                self._rest.start()
                return
        if self._rest.isActive():
            return
        columns = tile_range(view, scale)
        asked = (scene.key, scale, *columns)
        if asked == self._asked:
            return
        self._asked = asked
        middle_x = (columns[0] + columns[2]) / 2
        middle_y = (columns[1] + columns[3]) / 2
        missing.sort(key=lambda t: (t.column - middle_x) ** 2 + (t.row - middle_y) ** 2)
        margin = TILE_PX / scale
        wide = (view[0] - margin, view[1] - margin, view[2] + margin, view[3] + margin)
        later = list(tiles_over(wide, scale, within=scene.reach))
        if scene.box is not None:
            later += tiles_over(scene.box, self._overview_scale(), within=scene.box)
        known = set(missing)
        extra = [t for t in later if t not in known and (scene.key, t) not in self._tiles]
        spare = self._most_bytes // TILE_BYTES - len(known) - 2 * self._needed
        self._worker.want(scene, [*missing, *extra[: max(0, spare)]])

    def _take(self, key: Hashable, tile: TileAt, image: QImage) -> None:
        self._tiles[(key, tile)] = QPixmap.fromImage(image)
        while len(self._tiles) * TILE_BYTES > self._most_bytes:
            self._tiles.popitem(last=False)
        if self._scene is not None and key == self._scene.key:
            self.arrived.emit()


def tile_range(box: Box, scale: float) -> tuple[int, int, int, int]:
    """First and last column and row that a box of the site touches: c0, r0, c1, r1."""
    side = TILE_PX / scale
    return (
        math.floor(box[0] / side),
        math.floor(-box[3] / side),
        math.floor(box[2] / side),
        math.floor(-box[1] / side),
    )


def tiles_over(box: Box, scale: float, *, within: Box | None) -> Iterator[TileAt]:
    """The tiles that a box touches, where something of `within` (a little widened) lies."""
    if within is not None:
        edge = 0.02 * max(within[2] - within[0], within[3] - within[1])
        box = (
            max(box[0], within[0] - edge),
            max(box[1], within[1] - edge),
            min(box[2], within[2] + edge),
            min(box[3], within[3] + edge),
        )
        if box[0] >= box[2] or box[1] >= box[3]:
            return
    c0, r0, c1, r1 = tile_range(box, scale)
    for row in range(r0, r1 + 1):
        for column in range(c0, c1 + 1):
            yield TileAt(scale, column, row)
