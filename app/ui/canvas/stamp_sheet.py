"""Small pictures (stamps) drawn once into one sheet, and set many times from it."""

from __future__ import annotations

from collections.abc import Callable, Hashable

import numpy as np
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter, QPixmap

from app.ui.canvas.qt_arrays import FRAGMENT_COLUMNS, Floats, draw_fragments

COLUMNS = 16

DrawStamp = Callable[[QPainter], None]
"""Draws a stamp about (0, 0), in logical pixels, y down."""


class StampSheet:
    """Stamps of one size for one palette and one pixel ratio."""

    def __init__(self, side_px: int, pixel_ratio: float) -> None:
        self._ratio = pixel_ratio
        self._side = 2 * round(side_px * pixel_ratio / 2 + 1)
        self._cells: dict[Hashable, int] = {}
        self._sheet = QPixmap(self._side * COLUMNS, self._side * 4)
        self._sheet.fill(Qt.GlobalColor.transparent)

    def cell(self, key: Hashable, draw: DrawStamp) -> int:
        """The stamp of this key; drawn when it is asked for the first time."""
        index = self._cells.get(key)
        if index is None:
            index = self._cells[key] = len(self._cells)
            self._draw(index, draw)
        return index

    def set_stamps(
        self,
        painter: QPainter,
        xy_px: Floats,
        cells: np.ndarray,
        opacity: Floats | float = 1.0,
    ) -> None:
        """Stamp the cells (n,) about the points (n, 2) of the screen, on whole device pixels."""
        rows = np.zeros((len(cells), FRAGMENT_COLUMNS))
        rows[:, :2] = np.round(xy_px * self._ratio) / self._ratio
        rows[:, 2] = (cells % COLUMNS) * self._side
        rows[:, 3] = (cells // COLUMNS) * self._side
        rows[:, 4:6] = self._side
        rows[:, 6:8] = 1 / self._ratio
        rows[:, 9] = opacity
        draw_fragments(painter, rows, self._sheet)

    def _draw(self, index: int, draw: DrawStamp) -> None:
        row, column = divmod(index, COLUMNS)
        if (row + 1) * self._side > self._sheet.height():
            self._grow()
        painter = QPainter(self._sheet)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        cell = QRect(column * self._side, row * self._side, self._side, self._side)
        painter.setClipRect(cell)
        painter.translate(cell.x() + self._side / 2, cell.y() + self._side / 2)
        painter.scale(self._ratio, self._ratio)
        draw(painter)
        painter.end()

    def _grow(self) -> None:
        larger = QPixmap(self._sheet.width(), self._sheet.height() * 2)
        larger.fill(Qt.GlobalColor.transparent)
        painter = QPainter(larger)
        painter.drawPixmap(0, 0, self._sheet)
        painter.end()
        self._sheet = larger
