"""Moves the camera, remembers where each floor was looked at, and knows when it stands still."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPointF, QTimer, Signal

from app.ui.canvas.camera import Box, Camera

REST_MS = 90
"""The view counts as resting when it has stood still for so long."""

EMPTY_FLOOR_MM = 40_000.0
"""The width shown of a floor on which nothing stands."""

CLOSE_UP_MM = 14_000.0
"""At least so much is shown across and up where a thing is zoomed to: the room it stands in."""


class Navigator(QObject):
    """The camera of one widget; `resize` is called before anything is fitted."""

    moved = Signal()
    """The camera has moved, or has come to rest."""
    scale_changed = Signal(float)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.camera = Camera()
        self.pixel_ratio = 1.0
        self.is_placed = False
        """Whether the user or a fit in a visible widget has chosen this view."""
        self._seen: dict[str, Camera] = {}
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.moved)

    @property
    def is_resting(self) -> bool:
        return not self._rest.isActive()

    def resize(self, width_px: int, height_px: int, pixel_ratio: float) -> None:
        """Another size of the widget; the middle stays."""
        self.pixel_ratio = pixel_ratio
        self._set(self.camera.resized(width_px, height_px))

    def leave(self, floor_id: str) -> None:
        """Remember how this floor was looked at."""
        if self.is_placed:
            self._seen[floor_id] = self.camera

    def return_to(self, floor_id: str) -> bool:
        """Look as this floor was looked at last; False where it never was."""
        known = self._seen.get(floor_id)
        if known is None:
            return False
        self._set(known.resized(self.camera.width_px, self.camera.height_px))
        return True

    def fit(self, box: Box | None, *, in_sight: bool) -> None:
        """Show all of a box; None is an empty floor. `in_sight`: the widget has its size."""
        half = EMPTY_FLOOR_MM / 2
        self.is_placed = in_sight
        self._set(self.camera.fitted(box or (-half, -half, half, half)))

    def close_up(self, box: Box) -> None:
        """Show a box with some of what is around it."""
        grow_x = max(0.0, CLOSE_UP_MM - (box[2] - box[0])) / 2
        grow_y = max(0.0, CLOSE_UP_MM - (box[3] - box[1])) / 2
        self.is_placed = True
        self._set(
            self.camera.fitted((box[0] - grow_x, box[1] - grow_y, box[2] + grow_x, box[3] + grow_y))
        )

    def zoom_at(self, factor: float, at: QPointF) -> None:
        """Zoom with the point of the screen staying where it is."""
        self.is_placed = True
        self._set(self.camera.zoomed(self.camera.px_per_mm * factor, at.x(), at.y()))

    def pan_by(self, dx_px: float, dy_px: float) -> None:
        """Move the paper by so many pixels."""
        self.is_placed = True
        self._set(self.camera.panned(dx_px, dy_px))

    def _set(self, camera: Camera) -> None:
        before = self.camera
        self.camera = camera.on_whole_pixels(self.pixel_ratio)
        if self.camera == before:
            return
        self._rest.start()
        if before.px_per_mm != self.camera.px_per_mm:
            self.scale_changed.emit(self.camera.px_per_mm)
        self.moved.emit()
