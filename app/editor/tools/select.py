"""Selecting, moving and copying what is placed; pulling single points of it."""

import math

from app.editor.asking import InputProblem, Outcome
from app.editor.commands.deleting import delete_things
from app.editor.commands.moving import move_things, nudge_things
from app.editor.commands.relocating import asked_where_existing
from app.editor.snapping import SnapWish, grid_at
from app.editor.tools.entry import Step, parse_entry, step_mm
from app.editor.tools.gestures import CatchMany, Gesture, MoveThings, PullHandle, settled
from app.editor.tools.handles import (
    HANDLE_PIXELS,
    Handle,
    HandleSort,
    handles_of,
    needs_alt,
    point_added,
    point_taken,
)
from app.editor.tools.hit import Hit, hit_at
from app.editor.tools.overlay import NOTHING, Marker, MarkerShape, Overlay, Role
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.tool import (
    NO_MODIFIERS,
    NOTHING_YET,
    Key,
    Modifiers,
    Pointer,
    ToolContext,
    ToolResult,
)
from app.model.entities import Entity
from app.model.project import Patch
from app.model.vocabulary import Units

DRAG_PIXELS = 4.0
NUDGE_MM = {Units.METRIC: (100, 10, 1_000), Units.US: (102, 25, 305)}
"""A step of an arrow key: plain, with Shift, with Ctrl. In US units 4 in, 1 in, 1 ft."""
ARROWS = {Key.LEFT: (-1, 0), Key.RIGHT: (1, 0), Key.UP: (0, 1), Key.DOWN: (0, -1)}


class SelectTool(QuietTool):
    """A click selects, a drag moves; on empty ground a drag catches all in its rectangle."""

    name = "Select"

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._pressed: Pointer | None = None
        self._hit: Hit | None = None
        self._held: Handle | None = None
        self._gesture: Gesture | None = None
        self._pointer: Pointer | None = None
        self._known: tuple[Entity, ...] = ()

    @property
    def takes_text(self) -> bool:  # type: ignore[override]
        return bool(self.context.selection.ids)

    def hint(self) -> str:
        if self._gesture is not None:
            return self._gesture.hint
        if self._held is not None:
            return "Drag the point, or press Delete to take it out"
        if self.context.selection.ids:
            return "Drag to move, with Ctrl to copy; arrow keys nudge; type 2 right 1 up to move"
        return "Click a thing to select it, or drag a rectangle round many"

    def wish(self) -> SnapWish:
        if self._gesture is not None:
            return self._gesture.wish()
        return SnapWish(things=False, plan=False)

    # --- the pointer ------------------------------------------------------------------------

    def press(self, pointer: Pointer) -> ToolResult:
        self._gesture = None
        self._pressed = self._pointer = pointer
        self._held = self._handle_at(pointer)
        self._hit = None if self._held is not None else hit_at(self.context, pointer)
        if self._held is not None:
            self._remember((self._held.thing,))
            return NOTHING_YET
        hit = self._hit
        if hit is None or hit.inside or _adds(pointer) or hit.thing in self.context.selection.ids:
            return NOTHING_YET
        return ToolResult(select=(hit.thing,))

    def _handle_at(self, pointer: Pointer) -> Handle | None:
        """The handle of the one selected thing under the pointer."""
        reach = HANDLE_PIXELS * pointer.mm_per_pixel
        alt = pointer.modifiers.alt
        near = [
            (math.dist(h.at, pointer.raw), h.sort in _MIDDLES, h.index, h)
            for h in self._handles(pointer.mm_per_pixel)
            if alt or not needs_alt(self.context.project, h)
        ]
        best = min((n for n in near if n[0] <= reach), key=lambda n: n[:3], default=None)
        return None if best is None else best[-1]

    def _handles(self, mm_per_pixel: float) -> list[Handle]:
        ids = self.context.selection.ids
        thing = self.context.project.get(ids[0]) if len(ids) == 1 else None
        if thing is None:
            return []
        project, floor = self.context.project, self.context.floor_id
        return list(handles_of(project, thing, floor, mm_per_pixel))

    def move(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        if self._pressed is not None and self._gesture is None:
            away = math.dist(self._pressed.raw, pointer.raw)
            if away > DRAG_PIXELS * pointer.mm_per_pixel:
                self._gesture = self._begin()
        if self._gesture is not None:
            self._gesture.move(pointer)
        return NOTHING_YET

    def _begin(self) -> Gesture:
        assert self._pressed is not None
        if self._held is not None:
            return PullHandle(self.context, self._held, grabbed=self._pressed.raw)
        ids = self.context.selection.ids
        if self._hit is None or (self._hit.inside and self._hit.thing not in ids):
            return CatchMany(self.context, self._pressed.raw)
        if self._hit.thing not in ids:
            ids = (*ids, self._hit.thing) if _adds(self._pressed) else (self._hit.thing,)
        self._remember(ids)
        return MoveThings(
            self.context,
            ids,
            start=self._hit.at,
            grabbed=self._pressed.raw,
            catches=not self._hit.inside,
        )

    def release(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        pressed, gesture, hit = self._pressed, self._gesture, self._hit
        self._pressed = self._gesture = self._hit = None
        if gesture is not None:
            self._held = None
            return gesture.release(pointer)
        if pressed is None or self._held is not None:
            return NOTHING_YET
        return self._clicked(pointer, hit)

    def _clicked(self, pointer: Pointer, hit: Hit | None) -> ToolResult:
        ids = self.context.selection.ids
        if hit is None:
            return NOTHING_YET if _adds(pointer) else ToolResult(select=())
        if not _adds(pointer):
            return ToolResult(select=(hit.thing,))
        kept = tuple(i for i in ids if i != hit.thing)
        return ToolResult(select=kept if hit.thing in ids else (*ids, hit.thing))

    def double_click(self, pointer: Pointer) -> ToolResult:
        self._pressed = self._gesture = None
        hit = hit_at(self.context, pointer)
        return NOTHING_YET if hit is None else ToolResult(select=(hit.thing,), opens=hit.thing)

    # --- the keys ---------------------------------------------------------------------------

    def key(self, key: Key, modifiers: Modifiers = NO_MODIFIERS) -> ToolResult:
        if self._gesture is not None:
            return NOTHING_YET
        try:
            return self._at_key(key, modifiers)
        except InputProblem as problem:
            return said(problem)

    def _at_key(self, key: Key, modifiers: Modifiers) -> ToolResult:
        project, ids = self.context.project, self.context.selection.ids
        if not ids:
            return NOTHING_YET
        if key in ARROWS:
            return self._nudged(key, modifiers)
        if key in (Key.DELETE, Key.BACKSPACE):
            held, self._held = self._held, None
            if held is not None and held.sort not in _MIDDLES and held.thing in project:
                return settled(point_taken(project, held))
            return settled(delete_things(project, ids))
        if key is Key.INSERT and self._pointer is not None:
            at = (int(self._pointer.x_mm), int(self._pointer.y_mm))
            return settled(point_added(project, ids[0], at))
        return NOTHING_YET

    def _nudged(self, key: Key, modifiers: Modifiers) -> ToolResult:
        project, ids = self.context.project, self.context.selection.ids
        plain, fine, far = NUDGE_MM[project.settings.units]
        step = fine if modifiers.shift else far if modifiers.ctrl else plain
        floor = project.floors.get(self.context.floor_id)
        grid = 0 if floor is None else floor.grid_angle_mdeg
        right, up = ARROWS[key]
        outcome = nudge_things(project, ids, right=right, up=up, step_mm=step, grid_mdeg=grid)
        result = settled(outcome)
        if result.patch is None:
            return result
        return ToolResult(patch=result.patch, merge="nudge " + " ".join(sorted(ids)))

    def type_text(self, text: str) -> ToolResult:
        """`2 right 1 up` moves what is selected."""
        project, ids = self.context.project, self.context.selection.ids
        try:
            entry = parse_entry(text, project.settings.units)
            if not isinstance(entry, Step):
                raise InputProblem("Say how far and which way, as in 2 right 1 up, or 7.25 east.")
            outcome = self._moved_by(entry, ids)
        except InputProblem as problem:
            return said(problem)
        return settled(outcome)

    def _moved_by(self, step: Step, ids: tuple[str, ...]) -> Outcome:
        project = self.context.project
        at = (0, 0) if self._pointer is None else self._pointer.at
        dx, dy = step_mm(step, grid_at(project, self.context.floor_id, at))
        outcome = move_things(project, ids, dx_mm=dx, dy_mm=dy)
        return asked_where_existing(outcome, self.context.runs)

    # --- letting go ---------------------------------------------------------------------------

    def cancel(self) -> bool:
        """Leave the gesture; with none, let go of the held point, then of the selection."""
        busy = self._gesture is not None or self._pressed is not None
        held, self._held = self._held, None
        self._gesture = self._pressed = self._hit = None
        if busy or held is not None:
            return True
        if self.context.selection.ids:
            self.context.selection.set(())
            return True
        return False

    def _remember(self, ids: tuple[str, ...]) -> None:
        """What the gesture works on, as it is now."""
        found = (self.context.project.get(i) for i in ids)
        self._known = tuple(t for t in found if t is not None)

    def refresh(self) -> None:
        """Leave a gesture whose things have changed under it, and a point that has gone."""
        project = self.context.project
        changed = any(project.get(t.id) is not t for t in self._known)
        if changed or self._pressed is not None:
            self._gesture = self._pressed = self._hit = None
        if changed:
            self._held = None
            self._known = ()

    # --- what is shown --------------------------------------------------------------------------

    def preview_patch(self) -> Patch | None:
        return None if self._gesture is None else self._gesture.preview_patch()

    def overlay(self) -> Overlay:
        if self._gesture is not None:
            return self._gesture.overlay()
        if self._pointer is None:
            return NOTHING
        handles = self._handles(self._pointer.mm_per_pixel)
        if not handles:
            return NOTHING
        markers = (
            Marker(
                role=Role.HELD if h == self._held else Role.HANDLE,
                at=h.at,
                shape=MarkerShape.RING if h.sort in _MIDDLES else MarkerShape.BOX,
            )
            for h in handles
            if not needs_alt(self.context.project, h)
        )
        return Overlay(markers=tuple(markers))


_MIDDLES = (HandleSort.MIDDLE, HandleSort.SIDE)


def _adds(pointer: Pointer) -> bool:
    return pointer.modifiers.shift or pointer.modifiers.ctrl
