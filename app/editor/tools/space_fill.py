"""Filling a space with the outlets its use wants, or the client's list asks for."""

from typing import NamedTuple

from app.editor.asking import InputProblem
from app.editor.commands.filling import Wanted, places_in, space_at, wanted_in, with_count
from app.editor.commands.outlets import OutletPlace, drafted_outlets, place_outlets
from app.editor.measures import parse_count
from app.editor.snapping import PlanSnapper, SnapWish
from app.editor.tools.one_click import standing_of
from app.editor.tools.outlet import ghosts_of
from app.editor.tools.overlay import NOTHING, GuideLine, Overlay, Role, Tag
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.editor.wording import capital, name_of, number
from app.model.entities import Space
from app.model.ids import Source, counting_source, tag_of_id
from app.model.project import Patch, Project, adding

MOST_IN_SPACE = 2_000


class _Shown(NamedTuple):
    """A preview, and what it was made for: space, count and the plans in sight."""

    project: Project
    wanted: tuple[str, int | None, tuple[PlanSnapper, ...]]
    patch: Patch | None


def space_grid(project: Project, space: Space) -> int:
    """A space's grid angle: its own, else its floor's."""
    if space.grid_angle_mdeg is not None:
        return space.grid_angle_mdeg
    return project.floors[space.floor].grid_angle_mdeg


class FillTool(QuietTool):
    """Shows what a space under the pointer still wants, and places it on a click."""

    name = "Fill a space"
    takes_text = True

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._pointer: Pointer | None = None
        self._count: int | None = None
        self._shown: _Shown | None = None

    def hint(self) -> str:
        if self._count is not None:
            return f"Click a space to place {number(self._count, 'outlet')} in it; Esc as by rule"
        return (
            "Click a space: it gets what its list asks for, or else its use, less what stands "
            "there; type a number for another count"
        )

    def wish(self) -> SnapWish:
        return SnapWish(things=False, plan=False)

    def _space(self, pointer: Pointer) -> Space | None:
        return space_at(self.context.project, self.context.floor_id, pointer.raw)

    def _wanted(self, space: Space, source: Source) -> list[Wanted]:
        wanted = wanted_in(self.context.project, self.context.rules, space, source=source)
        if not wanted:
            raise InputProblem(f"{capital(name_of(space))} has all the outlets it wants.")
        return wanted if self._count is None else with_count(wanted, self._count)

    def _places(self, space: Space, wanted: list[Wanted]) -> list[OutletPlace]:
        grid = space_grid(self.context.project, space)
        catcher = self.context.catcher
        doors = () if catcher is None else catcher.door_leaves(space)
        return places_in(space, wanted, grid_mdeg=grid, doors=doors)

    def move(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        return NOTHING_YET

    def press(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        space = self._space(pointer)
        if space is None:
            return ToolResult(message="There is no space here; draw its outline first.")
        project = self.context.project
        try:
            wanted = self._wanted(space, self.context.source)
            patch = place_outlets(
                project,
                self._places(space, wanted),
                floor_id=space.floor,
                kind_id=wanted[0].kind.id,
                pattern=self.context.draws.number_pattern,
                standing=standing_of(self.context),
                new_kinds=[w.kind for w in wanted if w.kind.id not in project.outlet_kinds],
                retired=self.context.retired,
                source=self.context.source,
            )
        except InputProblem as problem:
            return said(problem)
        made = tuple(i for i in patch.ids if tag_of_id(i) == "outlet")
        return ToolResult(patch=patch, select=made)

    def type_text(self, text: str) -> ToolResult:
        try:
            self._count = parse_count(text, least=1, most=MOST_IN_SPACE, what="outlets")
        except InputProblem as problem:
            return said(problem)
        return NOTHING_YET

    def cancel(self) -> bool:
        typed = self._count is not None
        self._count = None
        return typed

    def refresh(self) -> None:
        self._pointer = None
        self._shown = None

    def preview_patch(self) -> Patch | None:
        """Kept while the pointer stays in one space, so that moving costs nothing."""
        space = None if self._pointer is None else self._space(self._pointer)
        if space is None:
            return None
        catcher = self.context.catcher
        plans = () if catcher is None else tuple(catcher.plans.get(space.floor, ()))
        wanted = (space.id, self._count, plans)
        shown, project = self._shown, self.context.project
        if shown is None or shown.project is not project or shown.wanted != wanted:
            self._shown = _Shown(project, wanted, self._draft(space))
        return None if self._shown is None else self._shown.patch

    def _draft(self, space: Space) -> Patch | None:
        project = self.context.project
        try:
            wanted = self._wanted(space, counting_source())
        except InputProblem:
            return None
        kinds = [w.kind for w in wanted if w.kind.id not in project.outlet_kinds]
        made = drafted_outlets(
            project,
            self._places(space, wanted),
            floor_id=space.floor,
            kind_id=wanted[0].kind.id,
            standing=standing_of(self.context),
            new_kinds=kinds,
        )
        return adding("Place outlets", (*kinds, *made))

    def overlay(self) -> Overlay:
        space = None if self._pointer is None else self._space(self._pointer)
        if space is None or self._pointer is None:
            return NOTHING
        edge = GuideLine(role=Role.GUIDE, points=space.outline, closed=True)
        ghosts = tuple(
            g for g in ghosts_of(self.preview_patch()) if tag_of_id(g.thing.id) == "outlet"
        )
        text = number(len(ghosts), "outlet")
        if not ghosts:
            text = self._why_none(space)
        tag = Tag(role=Role.MEASURE, at=self._pointer.raw, text=text)
        return Overlay(lines=(edge,), ghosts=ghosts, tags=(tag,))

    def _why_none(self, space: Space) -> str:
        try:
            self._wanted(space, counting_source())
        except InputProblem as problem:
            return str(problem)
        return "No room for outlets here."
