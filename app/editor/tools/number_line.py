"""Outlets numbered in the order in which a drawn line passes them."""

import re

from app.editor.asking import InputProblem
from app.editor.commands.renumbering import NEAR_LINE_MM, number_along
from app.editor.measures import format_reading, parse_length
from app.editor.snapping import SnapWish
from app.editor.tools.line_tool import LineTool
from app.editor.tools.overlay import Overlay, Role, Tag
from app.editor.tools.quiet import said
from app.editor.tools.tool import NOTHING_YET, ToolContext, ToolResult
from app.editor.wording import number
from app.model.entities import Outlet
from app.model.project import Patch

LEAST_ENDS = 2
LEAST_WITHIN_MM = 100
MOST_TAGS = 150
ALREADY = "These outlets have their numbers in this order already."
_WITHIN = re.compile(r"within\s+(.+)")


class NumberLineTool(LineTool):
    """Click along the outlets; Enter or a double-click numbers what the line passes."""

    name = "Number along a line"

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._within_mm = NEAR_LINE_MM

    @property
    def takes_letters(self) -> bool:
        return True

    def _chosen(self) -> tuple[str, ...]:
        """The selected outlets; where there are none, all near the line are numbered."""
        outlets = self.context.project.outlets
        return tuple(i for i in self.context.selection.ids if i in outlets)

    def hint(self) -> str:
        chosen = self._chosen()
        near = format_reading(self._within_mm, self.context.project.settings.units)
        which = (
            f"the {number(len(chosen), 'selected outlet')}"
            if chosen
            else f"outlets within {near} (type “within 2 m” for another reach)"
        )
        if not self.draft:
            return f"Click where numbering begins: {which}"
        return f"Click on along the outlets, then Enter or double-click numbers {which}"

    def wish(self) -> SnapWish:
        return self.draft.wish()

    def type_text(self, text: str) -> ToolResult:
        within = _WITHIN.fullmatch(text.strip().lower())
        if within is None:
            return super().type_text(text)
        try:
            reach = parse_length(within[1], self.context.project.settings.units)
        except InputProblem as problem:
            return said(problem)
        if reach < LEAST_WITHIN_MM:
            return ToolResult(message="Outlets are looked for within at least 0.1 m of the line.")
        self._within_mm = reach
        return NOTHING_YET

    def _patch(self, line: tuple[tuple[int, int], ...]) -> Patch:
        return number_along(
            self.context.project,
            self.draft.floor_id or self.context.floor_id,
            line,
            ids=self._chosen(),
            within_mm=self._within_mm,
            pattern=self.context.draws.number_pattern,
            retired=self.context.retired,
        )

    def finish(self) -> ToolResult:
        if len(self.draft.points) < LEAST_ENDS:
            raise InputProblem("The line has two ends at least; click them first.")
        patch = self._patch(tuple(self.draft.points))
        self.draft.clear()
        done = number(len(patch.changes), "outlet")
        said = f"{done} numbered along the line." if patch.changes else ALREADY
        return ToolResult(patch=patch, message=said)

    def overlay(self) -> Overlay:
        if not self.draft or self.draft.floor_id != self.context.floor_id:
            return Overlay()
        return Overlay(
            lines=self.draft.lines(Role.GUIDE),
            markers=self.draft.markers(),
            tags=(*self.draft.tags(), *self._numbers()),
        )

    def _numbers(self) -> tuple[Tag, ...]:
        """What each outlet would be called."""
        line = self.draft.line()
        if len(line) < LEAST_ENDS:
            return ()
        try:
            patch = self._patch(line)
        except InputProblem:
            return ()
        outlets = (c.after for c in patch.changes[:MOST_TAGS] if isinstance(c.after, Outlet))
        return tuple(Tag(role=Role.MEASURE, at=(o.x_mm, o.y_mm), text=o.number) for o in outlets)
