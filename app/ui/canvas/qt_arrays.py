"""Arrays handed to Qt in one piece, without a Python loop over their rows."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

import numpy as np
import numpy.typing as npt
import shiboken6
from PySide6.QtCore import QByteArray, QDataStream, QPointF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPixmap

Floats = npt.NDArray[np.float64]

MOVE_TO = 0
LINE_TO = 1
_ELEMENT = np.dtype([("sort", ">i4"), ("x", ">f8"), ("y", ">f8")])

FRAGMENT_COLUMNS = 10
"""x, y of the centre, left, top, width, height in the source, scale x, y, degrees, opacity."""


def segments_path(segments: Floats) -> QPainterPath:
    """The path of unjoined segments (n, 4): x0, y0, x1, y1."""
    return _path(segments.reshape(-1, 2), np.tile([MOVE_TO, LINE_TO], len(segments)))


def lines_path(lines: Iterable[Floats], *, closed: bool = False) -> QPainterPath:
    """The path of polylines, each (n, 2); `closed` ones return to their first point."""
    points: list[Floats] = []
    for line in lines:
        points.append(np.vstack((line, line[:1])) if closed and len(line) else line)
    if not points:
        return QPainterPath()
    sorts = np.full(sum(map(len, points)), LINE_TO)
    sorts[np.cumsum([0, *map(len, points[:-1])])] = MOVE_TO
    return _path(np.concatenate(points), sorts)


def rings_path(rings: Iterable[Floats]) -> QPainterPath:
    """The filled path of rings, even-odd."""
    path = lines_path(rings, closed=True)
    path.setFillRule(Qt.FillRule.OddEvenFill)
    return path


def draw_fragments(painter: QPainter, fragments: Floats, source: QPixmap) -> None:
    """Draw many pieces of one picture: (n, FRAGMENT_COLUMNS), contiguous."""
    if not len(fragments):
        return
    rows = np.ascontiguousarray(fragments, dtype=np.float64)
    first = shiboken6.wrapInstance(rows.ctypes.data, QPainter.PixmapFragment)
    painter.drawPixmapFragments(cast(QPainter.PixmapFragment, first), len(rows), source)


def point_of(row: Floats) -> QPointF:
    return QPointF(float(row[0]), float(row[1]))


def _path(points: Floats, sorts: npt.NDArray[np.int64]) -> QPainterPath:
    """A path by the stream format of QPainterPath: count, elements, start of subpath, rule."""
    path = QPainterPath()
    if not len(points):
        return path
    elements = np.empty(len(points), dtype=_ELEMENT)
    elements["sort"] = sorts
    elements["x"] = points[:, 0]
    elements["y"] = points[:, 1]
    data = len(points).to_bytes(4, "big") + elements.tobytes() + bytes(8)
    stream = QDataStream(QByteArray(data))
    stream >> path
    return path
