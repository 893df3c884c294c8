"""One tile of the paper and its plans, drawn into an image. Runs in a worker."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QTransform

from app.drawing.plan_drawing import PlanDrawing
from app.ui.canvas.plan_inks import fill_ink, hatch_ink, line_ink
from app.ui.canvas.plan_paths import LinePiece, PlanPaths, let_others_run
from app.ui.canvas.plan_scene import PlanScene, SceneSheet

TILE_PX = 512

LEAST_FILL_PX = 1.0
LEAST_TEXT_PX = 2.5
LEAST_HATCH_PX = 4.0
"""What would be smaller than this on screen is left out."""

BOLD_FROM_MM = 0.5
BOLD_FROM_PX_PER_MM = 0.03
"""Heavy pens are drawn heavier once a wall is wider than a line."""

PathsOf = Callable[[str, PlanDrawing], PlanPaths]


@dataclass(frozen=True, slots=True, order=True)
class TileAt:
    """A square of the site: column and row of TILE_PX device pixels at `scale` pixels per mm."""

    scale: float
    column: int
    row: int


class TileCancelled(Exception):
    """Nobody wants this tile any more."""


def render_tile(
    scene: PlanScene, at: TileAt, *, paths_of: PathsOf, wanted: Callable[[], bool]
) -> QImage:
    """The tile's picture. Raises TileCancelled as soon as `wanted` says no."""
    image = QImage(TILE_PX, TILE_PX, QImage.Format.Format_RGB32)
    image.fill(QColor(scene.palette.sheet))
    painter = QPainter(image)
    try:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for sheet in scene.sheets:
            paths = paths_of(sheet.sha256, sheet.drawing)
            _SheetPainter(scene, sheet, at, painter, wanted).paint(paths)
    finally:
        painter.end()
    return image


class _SheetPainter:
    """Paints one plan into one tile."""

    def __init__(
        self,
        scene: PlanScene,
        sheet: SceneSheet,
        at: TileAt,
        painter: QPainter,
        wanted: Callable[[], bool],
    ) -> None:
        self._scene = scene
        self._sheet = sheet
        self._painter = painter
        self._wanted = wanted
        self._px_per_unit = at.scale * sheet.mm_per_unit
        site_to_tile = QTransform(
            at.scale, 0.0, 0.0, -at.scale, -at.column * TILE_PX, -at.row * TILE_PX
        )
        self._to_tile = sheet.to_site * site_to_tile
        back, possible = self._to_tile.inverted()
        around = QRectF(-3, -3, TILE_PX + 6, TILE_PX + 6)
        self._window = back.mapRect(around) if possible else QRectF()

    def paint(self, paths: PlanPaths) -> None:
        painter = self._painter
        painter.setTransform(self._to_tile)
        painter.setPen(Qt.PenStyle.NoPen)
        for fill in paths.fills:
            if self._shows(fill.layer, fill.box) and self._size_px(fill.box) >= LEAST_FILL_PX:
                painter.fillPath(fill.path, QColor(self._ink(fill_ink, fill.colour)))
                self._pause()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for line in paths.lines:
            if self._shows(line.layer, line.box) and self._is_drawn(line):
                painter.setPen(self._pen(line))
                painter.drawPath(line.path)
                self._pause()
        for text in paths.texts:
            if text.height * self._px_per_unit < LEAST_TEXT_PX:
                continue
            if self._shows(text.layer, text.box):
                painter.fillPath(text.path, QColor(self._ink(line_ink, text.colour)))
                self._pause()

    def _pause(self) -> None:
        if not self._wanted():
            raise TileCancelled
        let_others_run()

    def _shows(self, layer: str, box: tuple[float, float, float, float]) -> bool:
        if layer in self._sheet.hidden:
            return False
        w = self._window
        return (
            box[0] <= w.right()
            and box[2] >= w.left()
            and box[1] <= w.bottom()
            and box[3] >= w.top()
        )

    def _size_px(self, box: tuple[float, float, float, float]) -> float:
        return max(box[2] - box[0], box[3] - box[1]) * self._px_per_unit

    def _is_drawn(self, line: LinePiece) -> bool:
        return not line.is_hatch or line.longest * self._px_per_unit >= LEAST_HATCH_PX

    def _pen(self, line: LinePiece) -> QPen:
        ink = self._ink(hatch_ink if line.is_hatch else line_ink, line.colour)
        pen = QPen(QColor(ink))
        pen.setCosmetic(True)
        pen.setWidthF(1.0)
        close = self._px_per_unit / self._sheet.mm_per_unit >= BOLD_FROM_PX_PER_MM
        if close and line.width_mm >= BOLD_FROM_MM:
            pen.setWidthF(1.8)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        return pen

    def _ink(self, of: Callable[..., str], colour: int) -> str:
        scene = self._scene
        return of(colour, palette=scene.palette, ink=scene.ink, dim_percent=self._sheet.dim_percent)
