"""Places labels so that none lies over another: the more important ones first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF

CELL_PX = 48.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A text that wants to stand near a point of the site.

    `spots` are offsets of the box's upper left corner from that point on the screen, the best
    first. The lower `rank`, the earlier its turn.
    """

    key: str
    text: tuple[str, ...]
    x_mm: float
    y_mm: float
    width_px: float
    height_px: float
    spots: tuple[tuple[float, float], ...]
    rank: int
    role: str = "ink"
    bold: bool = False
    cased: bool = True
    centred: bool = False


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A label and the offset at which it stands."""

    label: Label
    dx_px: float
    dy_px: float


class Occupied:
    """Which parts of the screen are taken; found by a coarse grid."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[QRectF]] = {}

    def take(self, box: QRectF) -> None:
        for cell in _cells_of(box):
            self._cells.setdefault(cell, []).append(box)

    def is_free(self, box: QRectF) -> bool:
        cells = self._cells
        return not any(
            box.intersects(other) for cell in _cells_of(box) for other in cells.get(cell, ())
        )


def _cells_of(box: QRectF) -> Iterable[tuple[int, int]]:
    c0, r0 = int(box.left() // CELL_PX), int(box.top() // CELL_PX)
    c1, r1 = int(box.right() // CELL_PX), int(box.bottom() // CELL_PX)
    return [(c, r) for c in range(c0, c1 + 1) for r in range(r0, r1 + 1)]


def place_labels(
    labels: Sequence[Label], occupied: Occupied, px_per_mm: float
) -> list[PlacedLabel]:
    """Those labels that find room, in their turn; what is `occupied` grows by them.

    Boxes are compared in pixels from the site's origin, so panning changes nothing.
    """
    placed: list[PlacedLabel] = []
    for label in sorted(labels, key=lambda lab: (lab.rank, lab.key)):
        x, y = label.x_mm * px_per_mm, -label.y_mm * px_per_mm
        for dx, dy in label.spots:
            box = QRectF(x + dx, y + dy, label.width_px, label.height_px)
            if occupied.is_free(box):
                occupied.take(box)
                placed.append(PlacedLabel(label, dx, dy))
                break
    return placed
