"""The tool in hand on the canvas: events go in once a frame, previews and words come out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import msgspec
from PySide6.QtCore import QElapsedTimer, QObject, QPointF, QTimer, Signal

from app.editor.asking import Answer, Question
from app.editor.document import Document, DocumentChanged, Preview
from app.editor.selection import Selection
from app.editor.shown_states import ALL_SHOWN, ShownStates
from app.editor.snapping import Catcher, PlanSnapper
from app.editor.tools.hand import Hand
from app.editor.tools.hit import hit_at
from app.editor.tools.overlay import NOTHING, Overlay
from app.editor.tools.tool import (
    Key,
    Modifiers,
    Pointer,
    Tool,
    ToolContext,
    ToolResult,
    usual_reach_px,
)
from app.editor.tools.toolbox import RESTING
from app.model.entities import Entity
from app.model.project import PatchRefused
from app.standards import RuleSet
from app.ui.canvas.camera import Camera
from app.ui.canvas.live_lengths import Line, live_lines

ToolMakers = Mapping[str, Callable[[ToolContext], Tool]]
FRAME_MS = 16
"""Moves of the pointer are taken in no more often than this."""


class ToolBench(QObject):
    """Holds the hand for one document; there is none while no floor is shown."""

    changed = Signal()
    """Something that is painted has changed."""
    message = Signal(str)
    hint_changed = Signal(str)
    tool_changed = Signal(str)
    opened = Signal(str)
    """The id of a thing that was asked to be opened."""
    asked = Signal(object)
    """A Question that only the user can answer."""
    pointer_moved = Signal(float, float)
    preview_changed = Signal(object)
    """The Preview of what letting go would do; None where there is none any more."""

    def __init__(
        self,
        document: Document,
        selection: Selection,
        *,
        rules: RuleSet,
        makers: ToolMakers,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._rules = rules
        self._makers = makers
        self.reach_px: Callable[[Entity], float] = usual_reach_px
        """How far a thing's symbol reaches; whoever paints them says so."""
        self._shown = ALL_SHOWN
        self._hand: Hand | None = None
        self._tool_name = RESTING
        self._tool: Tool | None = None
        self._hint = ""
        self._waiting: tuple[QPointF, Camera, Modifiers] | None = None
        self._preview: Preview | None = None
        self._moving: frozenset[str] = frozenset()
        self._lines: list[Line] = []
        self._unsubscribe: Callable[[], None] | None = None
        self._since_move = QElapsedTimer()
        self._next_frame = QTimer(self)
        self._next_frame.setSingleShot(True)
        self._next_frame.timeout.connect(self.flush)

    # --- what is shown --------------------------------------------------------------------

    @property
    def hand(self) -> Hand | None:
        return self._hand

    @property
    def tool_name(self) -> str:
        return self._tool_name

    @property
    def preview(self) -> Preview | None:
        return self._preview

    @property
    def moving(self) -> frozenset[str]:
        """The ids that the preview's patch changes."""
        return self._moving

    @property
    def lines(self) -> list[Line]:
        """Live lengths, for the card at the pointer."""
        return self._lines

    @property
    def overlay(self) -> Overlay:
        return NOTHING if self._hand is None else self._hand.overlay()

    @property
    def hint(self) -> str:
        return self._hint

    def takes(self, text: str) -> bool:
        """Whether a typed character belongs to the tool's entry."""
        return self._hand is not None and self._hand.takes(text)

    @property
    def entry(self) -> str:
        return "" if self._hand is None else self._hand.entry

    # --- taking tools -----------------------------------------------------------------------

    def show_floor(self, floor_id: str | None) -> None:
        """The floor in view; None puts everything away."""
        if floor_id is None:
            self.close()
            return
        if self._hand is None:
            context = ToolContext(
                document=self._document,
                selection=self._selection,
                floor_id=floor_id,
                rules=self._rules,
                reach_px=self.reach_px,
            )
            catcher = Catcher(self._document.project)
            catcher.show(self._shown)
            self._hand = Hand(context, resting=self._makers[RESTING], catcher=catcher)
            self._unsubscribe = self._document.subscribe(self._document_changed)
            self._tool = self._hand.tool
            self._know_tool(RESTING)
        else:
            self._waiting = None
            self._hand.show_floor(floor_id)
        self._after()

    def show_states(self, shown: ShownStates) -> None:
        """Let only things of some states and phases be hit and caught."""
        self._shown = shown
        if self._hand is not None:
            self._hand.catcher.show(shown)

    def take(self, name: str, options: Mapping[str, Any]) -> None:
        """Take the tool of this name; options are what is drawn next."""
        if self._hand is None:
            return
        context = self._hand.context
        if options:
            context.draws = msgspec.structs.replace(context.draws, **options)
        if name == RESTING:
            self._hand.rest()
        else:
            self._hand.take(self._makers[name](context))
        self._tool = self._hand.tool
        self._know_tool(name)
        self._after()

    def thing_at(self, at: QPointF, camera: Camera) -> str | None:
        """The id of what a click would select; None where it would select nothing."""
        if self._hand is None:
            return None
        raw = camera.to_model(at.x(), at.y())
        x, y = round(raw[0]), round(raw[1])
        pointer = Pointer(x_mm=x, y_mm=y, raw=raw, mm_per_pixel=1 / camera.px_per_mm)
        hit = hit_at(self._hand.context, pointer)
        return None if hit is None else hit.thing

    def catch_on_plans(self, floor_id: str, snappers: Sequence[PlanSnapper]) -> None:
        """The plans of a floor that the pointer catches on."""
        if self._hand is not None:
            self._hand.catcher.plans = {floor_id: snappers}

    def close(self) -> None:
        """Put the hand away."""
        if self._hand is not None:
            self._hand.close()
            self._hand = None
        if self._unsubscribe is not None:
            self._unsubscribe()
            self._unsubscribe = None
        self._waiting = None
        self._drop_preview()
        self.changed.emit()

    # --- events -----------------------------------------------------------------------------

    def move(self, at: QPointF, camera: Camera, held: Modifiers) -> None:
        """The pointer is elsewhere; taken in once a frame."""
        self._waiting = (at, camera, held)
        if not self._next_frame.isActive():
            rest = FRAME_MS - self._since_move.elapsed() if self._since_move.isValid() else 0
            self._next_frame.start(max(0, rest))

    def flush(self) -> None:
        """Take in the last move that waits."""
        self._next_frame.stop()
        if self._waiting is None or self._hand is None:
            return
        at, camera, held = self._waiting
        self._waiting = None
        self._since_move.restart()
        x, y = camera.to_model(at.x(), at.y())
        self._settle(self._hand.move(x, y, 1 / camera.px_per_mm, held))

    def press(self, at: QPointF, camera: Camera, held: Modifiers) -> None:
        self._at_point(at, camera, held, "press")

    def release(self, at: QPointF, camera: Camera, held: Modifiers) -> None:
        self._at_point(at, camera, held, "release")

    def double_click(self, at: QPointF, camera: Camera, held: Modifiers) -> None:
        self._at_point(at, camera, held, "double_click")

    def leave(self) -> None:
        """The pointer has left the canvas."""
        self._waiting = None
        if self._hand is not None:
            self._hand.leave()
            self._after()

    def key(self, key: Key, held: Modifiers) -> None:
        if self._hand is not None:
            self.flush()
            self._settle(self._hand.key(key, held))

    def character(self, text: str) -> bool:
        """A typed character; False where the tool has no use for it."""
        if self._hand is None or not self._hand.character(text):
            return False
        self.changed.emit()
        return True

    def answer(self, answer: Answer) -> None:
        """Do what the user chose."""
        if self._hand is not None:
            self._settle(self._hand.answer(answer))

    # --- within -----------------------------------------------------------------------------

    def _at_point(self, at: QPointF, camera: Camera, held: Modifiers, event: str) -> None:
        if self._hand is None:
            return
        self.flush()
        x, y = camera.to_model(at.x(), at.y())
        self._settle(getattr(self._hand, event)(x, y, 1 / camera.px_per_mm, held))

    def _settle(self, result: ToolResult) -> None:
        if result.message:
            self.message.emit(result.message)
        if result.question is not None:
            question: Question = result.question
            self.asked.emit(question)
        if result.opens is not None:
            self.opened.emit(result.opens)
        self._after()

    def _document_changed(self, _changed: DocumentChanged) -> None:
        """The hand, which hears of it first, has let go of what is no longer there."""
        self._after()

    def _after(self) -> None:
        """Look at the tool again: which it is, its hint, its preview, where the pointer is."""
        hand = self._hand
        if hand is None:
            return
        if self._tool is not hand.tool:
            self._tool = hand.tool  # the hand has put a tool away by itself, and rests
            self._know_tool(RESTING)
        hint = hand.hint()
        if hint != self._hint:
            self._hint = hint
            self.hint_changed.emit(hint)
        self._make_preview(hand)
        if hand.pointer is not None:
            self.pointer_moved.emit(float(hand.pointer.x_mm), float(hand.pointer.y_mm))
        self.changed.emit()

    def _know_tool(self, name: str) -> None:
        if name != self._tool_name:
            self._tool_name = name
            self.tool_changed.emit(name)

    def _make_preview(self, hand: Hand) -> None:
        patch = hand.preview_patch()
        if patch is None or not patch.changes:
            self._drop_preview()
            return
        try:
            preview = self._document.preview(patch)
        except PatchRefused as refusal:
            self._drop_preview()
            self._lines = [(str(refusal), "over_text")]
            return
        self._preview = preview
        self._moving = frozenset(patch.ids)
        self._lines = live_lines(self._document.design, preview)
        self.preview_changed.emit(preview)

    def _drop_preview(self) -> None:
        had_one, self._preview = self._preview is not None, None
        self._moving = frozenset()
        self._lines = []
        if had_one:
            self.preview_changed.emit(None)
