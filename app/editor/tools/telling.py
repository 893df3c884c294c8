"""The pathway that selected runs are told to pass, or never to pass, clicked on the plan."""

from abc import ABC, abstractmethod
from collections.abc import Sequence

from app.editor.asking import InputProblem
from app.editor.commands.telling import never_there, pass_here
from app.editor.snapping import SnapWish
from app.editor.tools.hit import ways_at
from app.editor.tools.overlay import NOTHING, Marker, MarkerShape, Overlay, Role, Tag
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.editor.wording import name_of
from app.model.entities import OutdoorDuct, Pathway, Riser
from app.model.project import Patch, Project

REACH_PX = 16.0


class _TellingTool(QuietTool, ABC):
    """One click on a pathway, riser or duct tells what was selected when the tool was taken."""

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._ids = context.selection.ids
        self._pointer: Pointer | None = None

    @abstractmethod
    def _told(self, project: Project, ways: Sequence[str]) -> Patch:
        """The patch that tells the selected runs of these ways. Raises InputProblem."""

    def wish(self) -> SnapWish:
        return SnapWish(things=False, plan=False)

    def move(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        return NOTHING_YET

    def _way(self, pointer: Pointer) -> Pathway | Riser | OutdoorDuct | None:
        found = ways_at(self.context, pointer, REACH_PX * pointer.mm_per_pixel)
        return found[0] if found else None

    def press(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        way = self._way(pointer)
        if way is None:
            return ToolResult(message="Click on a pathway, riser or outdoor duct.")
        try:
            patch = self._told(self.context.project, [way.id])
        except InputProblem as problem:
            return said(problem)
        return ToolResult(patch=patch, select=self._ids, done=True)

    def refresh(self) -> None:
        self._pointer = None

    def preview_patch(self) -> Patch | None:
        way = None if self._pointer is None else self._way(self._pointer)
        if way is None:
            return None
        try:
            return self._told(self.context.project, [way.id])
        except InputProblem:
            return None

    def overlay(self) -> Overlay:
        way = None if self._pointer is None else self._way(self._pointer)
        if way is None or self._pointer is None:
            return NOTHING
        role = Role.REFUSED if self.preview_patch() is None else Role.DRAFT
        return Overlay(
            markers=(Marker(role=role, at=self._pointer.raw, shape=MarkerShape.CROSS),),
            tags=(Tag(role=role, at=self._pointer.raw, text=f"{self.name}: {name_of(way)}"),),
        )


class PassHereTool(_TellingTool):
    name = "Pass here"

    def hint(self) -> str:
        return "Click on the pathway, riser or duct that the selected runs are to pass"

    def _told(self, project: Project, ways: Sequence[str]) -> Patch:
        return pass_here(project, self._ids, ways)


class NeverThereTool(_TellingTool):
    name = "Never there"

    def hint(self) -> str:
        return "Click on the pathway, riser or duct that the selected runs are never to pass"

    def _told(self, project: Project, ways: Sequence[str]) -> Patch:
        return never_there(project, self._ids, ways)
