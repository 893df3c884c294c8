"""Paints outlets by the thousand: stamps whose size and detail follow the room there is."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

import numpy as np
from PySide6.QtGui import QPainter
from scipy.spatial import cKDTree

from app.drawing.symbols import GRID
from app.routing.results import RunStatus
from app.ui import look
from app.ui.canvas.camera import Camera
from app.ui.canvas.outlet_rows import AS_KIND, NO_STATUS, WAYS, OutletRows
from app.ui.canvas.outlet_stamps import (
    MIDDLE,
    REACH,
    SIGN_SPOT,
    WAY_SPOT,
    Look,
    paint_outlet,
    paint_selected_ring,
    way_side_px,
)
from app.ui.canvas.qt_arrays import Floats
from app.ui.canvas.signs import SIGNED, paint_sign, paint_way_sign
from app.ui.canvas.stamp_sheet import StampSheet
from app.ui.palette import Palette

LEAST_PX = 8
READABLE_PX = 24
MOST_PX = 48
SIGN_SHARE = 0.85
SIGN_LEAST_PX = 13
SIGN_BESIDE_FROM_PX = 14
"""A smaller symbol wears its sign on itself."""

ANGLE_STEPS = 24
PALE = 0.3
PITCH_STALE_SHARE = 0.05
"""The pitch is measured again when so many outlets have come or gone."""

CROWDED_SHARE = 0.25
"""A floor counts as crowded where this share of its outlets stand closer to one another."""

STAMPS_KEPT = 6


class OutletPainter:
    """Keeps stamps for the sizes used last, and how close the outlets of the floor stand."""

    def __init__(self) -> None:
        self._sheets: dict[tuple[int, float, str], StampSheet] = {}
        self._pitch = (-1, 0.0)

    def pitch_px(self, rows: OutletRows, camera: Camera) -> float:
        """How close to one another outlets stand on the screen where they are crowded."""
        count, pitch_mm = self._pitch
        if abs(len(rows) - count) > count * PITCH_STALE_SHARE:
            count, pitch_mm = self._pitch = (len(rows), _pitch_mm(rows.xy_mm))
        return pitch_mm * camera.px_per_mm

    def size_px(self, rows: OutletRows, camera: Camera, symbol_mm: float) -> int:
        """The side of a symbol: its size on paper, within what can be read and has room."""
        wanted = min(MOST_PX, max(READABLE_PX, look.em(1.85), symbol_mm * camera.px_per_mm))
        room = self.pitch_px(rows, camera) * 0.9
        return round(min(wanted, max(LEAST_PX, room)) / 2) * 2

    def paint(
        self,
        painter: QPainter,
        camera: Camera,
        palette: Palette,
        rows: OutletRows,
        *,
        symbol_mm: float,
        pixel_ratio: float,
        selected: Iterable[str] = (),
        pale: Iterable[str] = (),
        statuses: np.ndarray | None = None,
        size: int | None = None,
    ) -> None:
        """Selected outlets get a ring; `pale` ones stand back, as what is being moved does.

        `statuses` (n,) stand in for those of the rows; `size` for the side found here.
        """
        if not len(rows):
            return
        if size is None:
            size = self.size_px(rows, camera, symbol_mm)
        if statuses is None:
            statuses = rows.status
        seen = _seen(rows.xy_mm, camera, size)
        if not len(seen):
            return
        sheet = self._sheet(size, pixel_ratio, palette)
        turns = rows.turn_deg[seen]
        wall_px = _on_screen(rows.xy_mm[seen], camera)
        xy_px = wall_px + offsets_px(MIDDLE, turns, size)
        self._set_rings(painter, palette, sheet, rows, camera, size, selected)
        pale_rows = [rows.row_of[i] for i in pale if i in rows.row_of]
        opacity: Floats = np.where(np.isin(seen, pale_rows), PALE, 1.0)
        cells = self._cells(palette, sheet, rows, seen, size)
        sheet.set_stamps(painter, xy_px, cells, opacity)
        spot = SIGN_SPOT if size >= SIGN_BESIDE_FROM_PX else MIDDLE
        sign_px = wall_px + offsets_px(spot, turns, size)
        signed = np.where(np.isin(seen, pale_rows), NO_STATUS, statuses[seen])
        self._set_signs(painter, palette, signed, sign_px, size, pixel_ratio)
        side = way_side_px(camera.px_per_mm, size)
        if side:
            ways = np.where(np.isin(seen, pale_rows), AS_KIND, rows.way[seen])
            way_px = wall_px + offsets_px(WAY_SPOT, turns, size)
            self._set_ways(painter, palette, ways, way_px, side, pixel_ratio)

    def _cells(
        self,
        palette: Palette,
        sheet: StampSheet,
        rows: OutletRows,
        seen: np.ndarray,
        size: int,
    ) -> np.ndarray:
        """The stamp of every outlet in sight, by look and turn."""
        steps = np.round(rows.turn_deg[seen] / (360 / ANGLE_STEPS)).astype(np.int64) % ANGLE_STEPS
        keys = rows.look[seen].astype(np.int64) * ANGLE_STEPS + steps
        different, inverse = np.unique(keys, return_inverse=True)
        cells = np.empty(len(different), dtype=np.int64)
        for i, key in enumerate(different.tolist()):
            look_index, step = divmod(key, ANGLE_STEPS)
            look = Look(*rows.looks[look_index])
            turn = step * 360 / ANGLE_STEPS
            cells[i] = sheet.cell(
                (look, step),
                partial(paint_outlet, palette=palette, look=look, turn_deg=turn, side_px=size),
            )
        return cells[inverse]

    def _set_rings(
        self,
        painter: QPainter,
        palette: Palette,
        sheet: StampSheet,
        rows: OutletRows,
        camera: Camera,
        size: int,
        selected: Iterable[str],
    ) -> None:
        chosen = [rows.row_of[i] for i in selected if i in rows.row_of]
        if chosen:
            ring = sheet.cell(
                "selected", partial(paint_selected_ring, palette=palette, side_px=size)
            )
            at = _on_screen(rows.xy_mm[chosen], camera)
            at = at + offsets_px(MIDDLE, rows.turn_deg[chosen], size)
            sheet.set_stamps(painter, at, np.full(len(chosen), ring))

    def _set_signs(
        self,
        painter: QPainter,
        palette: Palette,
        statuses: np.ndarray,
        xy_px: Floats,
        size: int,
        pixel_ratio: float,
    ) -> None:
        marked = statuses >= int(RunStatus.NEAR)
        if not marked.any():
            return
        side = max(SIGN_LEAST_PX, round(size * SIGN_SHARE))
        sheet = self._sheet(side, pixel_ratio, palette)
        cells = np.zeros(4, dtype=np.int64)
        for status in SIGNED:
            cells[status] = sheet.cell(
                ("sign", int(status)),
                partial(paint_sign, palette=palette, status=int(status), side_px=side),
            )
        order = np.argsort(statuses[marked], kind="stable")
        sheet.set_stamps(painter, xy_px[marked][order], cells[statuses[marked][order]])

    def _set_ways(
        self,
        painter: QPainter,
        palette: Palette,
        ways: np.ndarray,
        xy_px: Floats,
        side: int,
        pixel_ratio: float,
    ) -> None:
        """The signs of ways down that are not those of the kinds."""
        own = ways != AS_KIND
        if not own.any():
            return
        sheet = self._sheet(side, pixel_ratio, palette)
        cells = np.zeros(len(WAYS), dtype=np.int64)
        for index in np.unique(ways[own]).tolist():
            way = WAYS[index]
            cells[index] = sheet.cell(
                ("way", way),
                partial(paint_way_sign, palette=palette, way=way, side_px=side),
            )
        sheet.set_stamps(painter, xy_px[own], cells[ways[own]])

    def _sheet(self, size: int, pixel_ratio: float, palette: Palette) -> StampSheet:
        key = (size, pixel_ratio, palette.name)
        sheet = self._sheets.pop(key, None)
        if sheet is None:
            sheet = StampSheet(round(2 * REACH / GRID * size) + 4, pixel_ratio)
        self._sheets[key] = sheet
        while len(self._sheets) > STAMPS_KEPT:
            del self._sheets[next(iter(self._sheets))]
        return sheet


def _pitch_mm(xy_mm: Floats) -> float:
    """How close outlets stand, where the floor is crowded; far where there are hardly any."""
    if len(xy_mm) < 3:
        return 1e6
    near = np.asarray(cKDTree(xy_mm).query(xy_mm, k=2)[0])
    return max(1.0, float(np.quantile(near[:, 1], CROWDED_SHARE)))


def _on_screen(xy_mm: Floats, camera: Camera) -> Floats:
    zero = camera.to_screen(0.0, 0.0)
    return xy_mm * (camera.px_per_mm, -camera.px_per_mm) + (zero.x(), zero.y())


def offsets_px(spot: tuple[float, float], turns_deg: Floats, size: int) -> Floats:
    """From the point on the wall to a spot of the symbol in grid units; pixels, y down."""
    turn = np.radians(turns_deg)
    u, v = spot[0] * size / GRID, spot[1] * size / GRID
    cos, sin = np.cos(turn), np.sin(turn)
    return np.column_stack((u * cos - v * sin, -(u * sin + v * cos)))


def _seen(xy_mm: Floats, camera: Camera, margin_px: float) -> np.ndarray:
    """The rows in sight."""
    x0, y0, x1, y1 = camera.visible(margin_px)
    x, y = xy_mm[:, 0], xy_mm[:, 1]
    return np.flatnonzero((x >= x0) & (x <= x1) & (y >= y0) & (y <= y1))
