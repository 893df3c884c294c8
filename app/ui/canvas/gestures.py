"""What keys, modifiers and the wheel mean on the canvas."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QInputDevice, QKeyEvent, QWheelEvent

from app.editor.tools.tool import Key, Modifiers

NOTCHES_PER_DOUBLING = 3.0
DEGREES_PER_NOTCH = 120.0
SCROLL_PX = 60.0

KEYS: dict[int, Key] = {
    Qt.Key.Key_Return: Key.ENTER,
    Qt.Key.Key_Enter: Key.ENTER,
    Qt.Key.Key_Escape: Key.ESCAPE,
    Qt.Key.Key_Backspace: Key.BACKSPACE,
    Qt.Key.Key_Delete: Key.DELETE,
    Qt.Key.Key_Insert: Key.INSERT,
    Qt.Key.Key_Left: Key.LEFT,
    Qt.Key.Key_Right: Key.RIGHT,
    Qt.Key.Key_Up: Key.UP,
    Qt.Key.Key_Down: Key.DOWN,
}
SCROLLS: dict[Key, tuple[float, float]] = {
    Key.LEFT: (SCROLL_PX, 0.0),
    Key.RIGHT: (-SCROLL_PX, 0.0),
    Key.UP: (0.0, SCROLL_PX),
    Key.DOWN: (0.0, -SCROLL_PX),
}


class Looks(Protocol):
    """What moves the view."""

    def pan_by(self, dx_px: float, dy_px: float) -> None: ...

    def zoom_at(self, factor: float, at: QPointF) -> None: ...


def modifiers_of(qt: Qt.KeyboardModifier) -> Modifiers:
    return Modifiers(
        shift=bool(qt & Qt.KeyboardModifier.ShiftModifier),
        ctrl=bool(qt & Qt.KeyboardModifier.ControlModifier),
        alt=bool(qt & Qt.KeyboardModifier.AltModifier),
    )


def wheel(event: QWheelEvent, looks: Looks) -> None:
    """A wheel zooms to the cursor; two fingers on a pad pan, and zoom while Ctrl is held."""
    device = event.device()
    on_pad = device is not None and device.type() == QInputDevice.DeviceType.TouchPad
    ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
    if on_pad and not ctrl and not event.pixelDelta().isNull():
        looks.pan_by(event.pixelDelta().x(), event.pixelDelta().y())
        return
    turned = event.angleDelta().y() or event.angleDelta().x()
    notches = turned / DEGREES_PER_NOTCH
    looks.zoom_at(2 ** (notches / NOTCHES_PER_DOUBLING), event.position())


def typed_text(event: QKeyEvent) -> str:
    """The character a key types; empty where it is a command."""
    held = event.modifiers() & ~(
        Qt.KeyboardModifier.ShiftModifier
        | Qt.KeyboardModifier.KeypadModifier
        | Qt.KeyboardModifier.GroupSwitchModifier
    )
    text = event.text()
    return text if not held and text.isprintable() else ""
