"""Places labels so that none lies over another: the more important ones first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF

from app.drawing import occupied
from app.drawing.primitives import Bounds

CELL_PX = 48.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A text that wants to stand near a point of the site.

    `spots` are offsets of the box's upper left corner from that point on the screen, the best
    first. The lower `rank`, the earlier its turn. `lies_on_lines` is for a pathway's own label.
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
    lies_on_lines: bool = False


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """A label and the offset at which it stands."""

    label: Label
    dx_px: float
    dy_px: float


class Occupied:
    """Which parts of the screen are taken, and which had better stay free."""

    def __init__(self) -> None:
        self._boxes = occupied.Occupied(cell=CELL_PX)

    def take(self, box: QRectF) -> None:
        self._boxes.take(_plain(box))

    def avoid(self, box: QRectF) -> None:
        """What a label may lie on only where nothing else is free."""
        self._boxes.avoid(_plain(box))

    def is_free(self, box: QRectF, *, of_all: bool) -> bool:
        """Whether nothing is taken there, and with `of_all` nothing is to be avoided either."""
        return self._boxes.is_free(_plain(box), of_all=of_all)


def _plain(box: QRectF) -> Bounds:
    return box.left(), box.top(), box.right(), box.bottom()


def place_labels(
    labels: Sequence[Label], occupied: Occupied, px_per_mm: float
) -> list[PlacedLabel]:
    """Those labels that find room, in their turn; what is `occupied` grows by them.

    Of labels with one key the first that fits is taken. Boxes are compared in pixels from the
    site's origin, so panning changes nothing.
    """
    turns: dict[tuple[int, str], list[Label]] = {}
    for label in labels:
        turns.setdefault((label.rank, label.key), []).append(label)
    placed = []
    for turn in sorted(turns):
        found = _first_fit(turns[turn], occupied, px_per_mm)
        if found is not None:
            placed.append(found)
    return placed


def _first_fit(
    choices: Sequence[Label], occupied: Occupied, px_per_mm: float
) -> PlacedLabel | None:
    for of_all in (True, False):
        for label in choices:
            x, y = label.x_mm * px_per_mm, -label.y_mm * px_per_mm
            for dx, dy in label.spots:
                box = QRectF(x + dx, y + dy, label.width_px, label.height_px)
                if occupied.is_free(box, of_all=of_all and not label.lies_on_lines):
                    occupied.take(box)
                    return PlacedLabel(label, dx, dy)
    return None
