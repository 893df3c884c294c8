"""Turns pointer and keys into moves of the paper and calls of the tool in hand."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QWheelEvent

from app.editor.selection import Selection
from app.editor.tools.toolbox import RESTING
from app.ui.canvas.gestures import KEYS, SCROLLS, modifiers_of, typed_text, wheel
from app.ui.canvas.navigator import Navigator
from app.ui.canvas.tool_bench import ToolBench

LEFT, MIDDLE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton
TURNED_BY_ARROWS = frozenset({"kit"})
"""Tools that the arrow keys turn."""


class PointerAndKeys(QObject):
    """The state between events: where the pointer is, what it points at, whether it pans."""

    changed = Signal()
    """The cursor or what is pointed at has changed."""

    def __init__(
        self, bench: ToolBench, navigator: Navigator, selection: Selection, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._bench = bench
        self._navigator = navigator
        self._selection = selection
        self._space_is_down = False
        self._held_at: QPointF | None = None
        self.pointer: QPointF | None = None
        self.hovered: str | None = None

    @property
    def cursor(self) -> Qt.CursorShape:
        if self._held_at is not None:
            return Qt.CursorShape.ClosedHandCursor
        if self._space_is_down:
            return Qt.CursorShape.OpenHandCursor
        resting = self._bench.tool_name == RESTING
        return Qt.CursorShape.ArrowCursor if resting else Qt.CursorShape.CrossCursor

    # --- pointer --------------------------------------------------------------------------

    def press(self, event: QMouseEvent) -> None:
        """Take hold of the paper (middle button, or left with the space bar), or use the tool."""
        self._point_at(None)
        pans = event.button() == MIDDLE or (event.button() == LEFT and self._space_is_down)
        if pans:
            self._held_at = event.position()
            self.changed.emit()
        elif event.button() == LEFT:
            held = modifiers_of(event.modifiers())
            self._bench.press(event.position(), self._navigator.camera, held)

    def move(self, event: QMouseEvent) -> None:
        at = event.position()
        self.pointer = at
        if self._held_at is not None:
            step = at - self._held_at
            self._held_at = at
            self._navigator.pan_by(step.x(), step.y())
            return
        camera = self._navigator.camera
        self._bench.move(at, camera, modifiers_of(event.modifiers()))
        if not event.buttons():
            resting = self._bench.tool_name == RESTING
            self._point_at(self._bench.thing_at(at, camera) if resting else None)

    def release(self, event: QMouseEvent) -> None:
        if self._held_at is not None:
            self._held_at = None
            self.changed.emit()
        elif event.button() == LEFT:
            held = modifiers_of(event.modifiers())
            self._bench.release(event.position(), self._navigator.camera, held)

    def double_click(self, event: QMouseEvent) -> None:
        if event.button() == LEFT and not self._space_is_down:
            held = modifiers_of(event.modifiers())
            self._bench.double_click(event.position(), self._navigator.camera, held)

    def turn_wheel(self, event: QWheelEvent) -> None:
        wheel(event, self._navigator)

    def leave(self) -> None:
        """The pointer has left the canvas."""
        self.pointer = None
        self.point_at_nothing()
        self._bench.leave()

    def point_at_nothing(self) -> None:
        """What was pointed at may not be there any more; the next move looks again."""
        self._point_at(None)

    def _point_at(self, thing_id: str | None) -> None:
        if thing_id != self.hovered:
            self.hovered = thing_id
            self.changed.emit()

    # --- keys -----------------------------------------------------------------------------

    def wants_key(self, event: QKeyEvent) -> bool:
        """Keys that belong to the canvas even where the window has them as shortcuts."""
        if self._bench.takes(typed_text(event)):
            return True
        if self._bench.entry:
            return event.key() in KEYS
        return event.key() == Qt.Key.Key_Space and not event.modifiers()

    def key_press(self, event: QKeyEvent) -> bool:
        """Whether the key meant something here."""
        if event.key() == Qt.Key.Key_Space and not self._bench.entry:
            self._hold_space(down=True)
            return True
        key = KEYS.get(event.key())
        if key in SCROLLS and not self._bench.entry and not self._arrows_are_the_tool_s():
            self._navigator.pan_by(*SCROLLS[key])
        elif key is not None:
            self._bench.key(key, modifiers_of(event.modifiers()))
        else:
            return self._bench.character(typed_text(event))
        return True

    def key_release(self, event: QKeyEvent) -> bool:
        """Whether the key meant something here."""
        if event.key() != Qt.Key.Key_Space or event.isAutoRepeat():
            return False
        self._hold_space(down=False)
        return True

    def lose_focus(self) -> None:
        """Keys that are down will be let go elsewhere."""
        self._hold_space(down=False)

    def _arrows_are_the_tool_s(self) -> bool:
        """Arrow keys move what is selected, and turn a kit; else they move the paper."""
        if self._bench.tool_name in TURNED_BY_ARROWS:
            return True
        return self._bench.tool_name == RESTING and bool(self._selection.ids)

    def _hold_space(self, *, down: bool) -> None:
        if down != self._space_is_down:
            self._space_is_down = down
            self.changed.emit()
