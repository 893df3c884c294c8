"""What the select tool is in the middle of: pulling a handle, moving things, catching many."""

import math
from typing import Protocol

from app.editor.asking import InputProblem, Outcome, Question
from app.editor.commands.attached import attached_to
from app.editor.commands.branches import ending_on
from app.editor.commands.copying import copy_things
from app.editor.commands.moving import move_things
from app.editor.commands.relocating import asked_where_existing
from app.editor.measures import format_reading
from app.editor.snapping import SnapWish
from app.editor.tools.handles import Handle, pulled
from app.editor.tools.hit import things_within
from app.editor.tools.outlet import is_at_wall, moved_to, place_at
from app.editor.tools.overlay import (
    Area,
    GuideLine,
    Marker,
    MarkerShape,
    Overlay,
    Role,
    Tag,
)
from app.editor.tools.quiet import said
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.editor.wording import name_of, number
from app.geometry.similarity import to_mm
from app.model.entities import Outlet
from app.model.ids import Source, counting_source
from app.model.project import Patch, changing

XY = tuple[float, float]


class Gesture(Protocol):
    """Lives from the press of the button to its release."""

    hint: str

    def wish(self) -> SnapWish: ...

    def move(self, pointer: Pointer) -> None: ...

    def release(self, pointer: Pointer) -> ToolResult: ...

    def overlay(self) -> Overlay: ...

    def preview_patch(self) -> Patch | None: ...


def settled(outcome: Outcome, select: tuple[str, ...] | None = None) -> ToolResult:
    """The result of an outcome: a patch to commit, or a question to ask."""
    if isinstance(outcome, Question):
        return ToolResult(question=outcome)
    return ToolResult(patch=outcome, select=select)


def usual_patch(outcome: Outcome) -> Patch | None:
    """The patch, or that of a question's usual answer."""
    return outcome if isinstance(outcome, Patch) else outcome.answers[0].patch


class PullHandle:
    """A handle follows the pointer."""

    hint = "Let go where the point belongs; Shift keeps it square, Alt lets nothing catch, Esc \
leaves it"

    def __init__(self, context: ToolContext, handle: Handle, *, grabbed: XY) -> None:
        self._context = context
        self._handle = handle
        self._carried = (grabbed[0] - handle.at[0], grabbed[1] - handle.at[1])
        self._skip = frozenset(
            {handle.thing} | {t.id for t in attached_to(context.project, [handle.thing])}
        )
        self._to: tuple[int, int] | None = None

    def wish(self) -> SnapWish:
        start = (to_mm(self._handle.at[0]), to_mm(self._handle.at[1]))
        return SnapWish(square_from=start, loose=True, skip=self._skip, carried=self._carried)

    def move(self, pointer: Pointer) -> None:
        self._to = pointer.at

    def release(self, pointer: Pointer) -> ToolResult:
        try:
            return settled(pulled(self._context.project, self._handle, pointer.at))
        except InputProblem as problem:
            return said(problem)

    def _outcome(self) -> Outcome | None:
        if self._to is None:
            return None
        try:
            return pulled(self._context.project, self._handle, self._to)
        except InputProblem:
            return None

    def preview_patch(self) -> Patch | None:
        outcome = self._outcome()
        return None if outcome is None else usual_patch(outcome)

    def overlay(self) -> Overlay:
        if self._to is None:
            return Overlay()
        outcome = self._outcome()
        role = Role.HELD if outcome is not None else Role.REFUSED
        away = to_mm(math.dist(self._handle.at, self._to))
        text = format_reading(away, self._context.project.settings.units)
        tags = [Tag(role=Role.MEASURE, at=self._to, text=text)]
        if isinstance(outcome, Question):
            tags.append(Tag(role=Role.REFUSED, at=self._to, text=outcome.text))
        return Overlay(
            lines=(GuideLine(role=Role.GUIDE, points=(self._handle.at, self._to)),),
            markers=(Marker(role=role, at=self._to, shape=MarkerShape.BOX),),
            tags=tuple(tags),
        )


def _going_along(context: ToolContext, ids: tuple[str, ...]) -> frozenset[str]:
    """What moves with these things, and so must not catch them."""
    attached = {t.id for t in attached_to(context.project, ids)}
    return frozenset(ids) | attached | ending_on(context.project, ids)


class MoveThings:
    """Things follow the pointer by the point they were taken at; with Ctrl copies do."""

    hint = "Let go where it belongs; Ctrl leaves a copy, Shift keeps it square, Alt lets nothing \
catch, Esc leaves it"

    def __init__(
        self,
        context: ToolContext,
        ids: tuple[str, ...],
        *,
        start: tuple[int, int],
        grabbed: XY,
        catches: bool = True,
    ) -> None:
        """`start` is the point of the thing that goes onto what catches it.

        Without `catches` it is no point of its own (the middle of a floor), and nothing does.
        """
        self._context = context
        self._ids = ids
        self._start = start
        self._carried = (grabbed[0] - start[0], grabbed[1] - start[1])
        self._catches = catches
        self._skip = _going_along(context, ids)
        self._pointer: Pointer | None = None

    def wish(self) -> SnapWish:
        return SnapWish(
            things=self._catches,
            plan=self._catches,
            square_from=self._start,
            loose=True,
            skip=self._skip,
            carried=self._carried,
        )

    def move(self, pointer: Pointer) -> None:
        self._pointer = pointer

    def _outcome(self, pointer: Pointer, source: Source) -> Outcome:
        dx, dy = self._step(pointer)
        project = self._context.project
        if pointer.modifiers.ctrl:
            return copy_things(
                project,
                self._ids,
                dx_mm=dx,
                dy_mm=dy,
                pattern=self._context.draws.number_pattern,
                retired=self._context.retired,
                source=source,
            )
        outlet = self._outlet_at_wall(pointer)
        if outlet is not None:
            place = place_at(pointer, outlet.rotation_mdeg, turn_to_wall=True)
            return changing(f"Move {name_of(outlet)}", [(outlet, moved_to(outlet, place))])
        return move_things(project, self._ids, dx_mm=dx, dy_mm=dy)

    def _outlet_at_wall(self, pointer: Pointer) -> Outlet | None:
        """The one outlet in hand, where it would be turned to a wall."""
        if len(self._ids) != 1 or not self._context.draws.turn_to_wall or not is_at_wall(pointer):
            return None
        return self._context.project.outlets.get(self._ids[0])

    def _step(self, pointer: Pointer) -> tuple[int, int]:
        """As far as the thing goes: to what caught it, else with the hand."""
        outlet = None if pointer.modifiers.ctrl else self._outlet_at_wall(pointer)
        if outlet is not None:
            place = place_at(pointer, outlet.rotation_mdeg, turn_to_wall=True)
            return place.x_mm - outlet.x_mm, place.y_mm - outlet.y_mm
        return pointer.x_mm - self._start[0], pointer.y_mm - self._start[1]

    def release(self, pointer: Pointer) -> ToolResult:
        if self._step(pointer) == (0, 0):
            return NOTHING_YET
        try:
            outcome = self._outcome(pointer, self._context.source)
        except InputProblem as problem:
            return said(problem)
        if not pointer.modifiers.ctrl:
            return settled(asked_where_existing(outcome, self._context.runs))
        return settled(outcome, outcome.ids if isinstance(outcome, Patch) else None)

    def _previewed(self) -> Outcome | None:
        if self._pointer is None or self._step(self._pointer) == (0, 0):
            return None
        try:
            return self._outcome(self._pointer, counting_source())
        except InputProblem:
            return None

    def preview_patch(self) -> Patch | None:
        outcome = self._previewed()
        return None if outcome is None else usual_patch(outcome)

    def overlay(self) -> Overlay:
        if self._pointer is None:
            return Overlay()
        dx, dy = self._step(self._pointer)
        at = (self._start[0] + dx, self._start[1] + dy)
        units = self._context.project.settings.units
        text = format_reading(to_mm(math.hypot(dx, dy)), units)
        word = "copy " if self._pointer.modifiers.ctrl else ""
        tags = [Tag(role=Role.MEASURE, at=at, text=word + text)]
        outcome = self._previewed()
        if isinstance(outcome, Question):
            tags.append(Tag(role=Role.REFUSED, at=at, text=outcome.text))
        return Overlay(
            lines=(GuideLine(role=Role.GUIDE, points=(self._start, at)),), tags=tuple(tags)
        )


class CatchMany:
    """A rectangle from the press to the pointer."""

    hint = "All that lies whole in the rectangle is selected; with Alt, all that it touches"

    def __init__(self, context: ToolContext, start: tuple[float, float]) -> None:
        self._context = context
        self._start = start
        self._pointer: Pointer | None = None

    def wish(self) -> SnapWish:
        return SnapWish(things=False, plan=False)

    def move(self, pointer: Pointer) -> None:
        self._pointer = pointer

    def _caught(self, pointer: Pointer) -> tuple[str, ...]:
        touching = pointer.modifiers.alt
        return things_within(self._context, self._start, pointer.raw, touching=touching)

    def release(self, pointer: Pointer) -> ToolResult:
        caught = self._caught(pointer)
        before = self._context.selection.ids
        if pointer.modifiers.shift:
            return ToolResult(select=tuple(dict.fromkeys((*before, *caught))))
        if pointer.modifiers.ctrl:
            kept = [i for i in before if i not in caught]
            return ToolResult(select=(*kept, *(i for i in caught if i not in before)))
        return ToolResult(select=caught)

    def overlay(self) -> Overlay:
        if self._pointer is None:
            return Overlay()
        (x0, y0), (x1, y1) = self._start, self._pointer.raw
        corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        text = number(len(self._caught(self._pointer)), "thing")
        return Overlay(
            areas=(Area(role=Role.CATCH, points=corners),),
            lines=(GuideLine(role=Role.CATCH, points=corners, closed=True),),
            tags=(Tag(role=Role.CATCH, at=self._pointer.raw, text=text),),
        )

    def preview_patch(self) -> Patch | None:
        return None
