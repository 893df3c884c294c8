"""Things placed by one click: a frame, a place for a frame, a carrier's demarcation point."""

from abc import ABC, abstractmethod

from app.editor.asking import InputProblem
from app.editor.commands.outlets import Standing
from app.editor.commands.placing import (
    next_frame_kind,
    place_candidate,
    place_demarcation,
    place_frame,
)
from app.editor.snapping import SnapWish
from app.editor.tools.overlay import NOTHING, Ghost, Overlay, Role
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.model.ids import Source, counting_source
from app.model.project import Patch
from app.model.vocabulary import FrameKind, State


def standing_of(context: ToolContext) -> Standing:
    """The state, phase and provider chosen for what is drawn next, and the frame of what exists."""
    draws = context.draws
    known = draws.state is State.EXISTING and draws.frame in context.project.frames
    return Standing(
        state=draws.state,
        phase=draws.phase,
        provided_by=draws.provided_by,
        frame=draws.frame if known else None,
    )


class OneClickTool(QuietTool, ABC):
    """Shows a thing at the pointer, and makes it on a click."""

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._pointer: Pointer | None = None

    @abstractmethod
    def make(self, pointer: Pointer, source: Source) -> Patch:
        """The patch that makes the thing at the pointer. Raises InputProblem."""

    def wish(self) -> SnapWish:
        return SnapWish()

    def move(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        return NOTHING_YET

    def press(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        try:
            patch = self.make(pointer, self.context.source)
        except InputProblem as problem:
            return said(problem)
        return ToolResult(patch=patch, select=(patch.changes[-1].id,))

    def refresh(self) -> None:
        self._pointer = None

    def preview_patch(self) -> Patch | None:
        if self._pointer is None:
            return None
        try:
            return self.make(self._pointer, counting_source())
        except InputProblem:
            return None

    def overlay(self) -> Overlay:
        patch = self.preview_patch()
        if patch is None:
            return NOTHING
        things = (c.after for c in patch.changes if c.before is None and c.after is not None)
        return Overlay(ghosts=tuple(Ghost(role=Role.DRAFT, thing=t) for t in things))


class FrameTool(OneClickTool):
    name = "Frame"

    def hint(self) -> str:
        return f"Click where the {self._kind} frame stands"

    @property
    def _kind(self) -> FrameKind:
        return self.context.draws.frame_kind or next_frame_kind(self.context.project)

    def make(self, pointer: Pointer, source: Source) -> Patch:
        return place_frame(
            self.context.project,
            floor_id=self.context.floor_id,
            at=pointer.at,
            kind=self._kind,
            standing=standing_of(self.context),
            retired=self.context.retired,
            source=source,
        )


class CandidateTool(OneClickTool):
    name = "Frame place"

    def hint(self) -> str:
        return "Click where a frame could stand; places are compared, not built"

    def make(self, pointer: Pointer, source: Source) -> Patch:
        return place_candidate(
            self.context.project,
            floor_id=self.context.floor_id,
            at=pointer.at,
            retired=self.context.retired,
            source=source,
        )


class DemarcationTool(OneClickTool):
    name = "Demarcation point"

    def hint(self) -> str:
        return "Click where the carrier's property ends"

    def make(self, pointer: Pointer, source: Source) -> Patch:
        return place_demarcation(
            self.context.project,
            floor_id=self.context.floor_id,
            at=pointer.at,
            carrier=self.context.draws.carrier,
            retired=self.context.retired,
            source=source,
        )
