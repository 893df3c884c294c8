"""Measuring on the plan: a line with its running length; nothing is kept."""

import msgspec

from app.editor.asking import InputProblem
from app.editor.measures import format_area, format_reading
from app.editor.snapping import SnapWish
from app.editor.tools.line_draft import LEAST_POINTS, Point
from app.editor.tools.line_tool import LineTool
from app.editor.tools.overlay import NOTHING, GuideLine, Overlay, Role, Tag
from app.editor.tools.tool import Pointer, ToolContext, ToolResult
from app.editor.wording import number
from app.geometry.along_lines import line_length
from app.geometry.polygons import area_mm2
from app.geometry.similarity import to_mm

LEAST_CORNERS = 3


class _Reading(msgspec.Struct, frozen=True, kw_only=True):
    """A finished line with its words, on the floor where it was finished."""

    floor_id: str
    points: tuple[Point, ...]
    tags: tuple[Tag, ...]


class MeasureTool(LineTool):
    """Click along what is to be measured; the first point again gives the area."""

    name = "Measure"
    across_floors = True

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._reading: _Reading | None = None

    def hint(self) -> str:
        if not self.draft:
            return "Click where to measure from"
        return "Click on; Enter ends the line, the first point again gives the area"

    def wish(self) -> SnapWish:
        closes = len(self.draft.points) >= LEAST_CORNERS
        return self.draft.wish(closes=closes)

    def press(self, pointer: Pointer) -> ToolResult:
        points = self.draft.points
        if len(points) >= LEAST_CORNERS and pointer.at == points[0]:
            return self._close()
        if not points:
            self._reading = None
        return super().press(pointer)

    def _close(self) -> ToolResult:
        points = tuple(self.draft.points)
        units = self.context.project.settings.units
        around = to_mm(line_length((*points, points[0])))
        text = f"{format_area(area_mm2(points), units)}, {format_reading(around, units)} around"
        self._keep((*points, points[0]), text)
        return ToolResult(message=text)

    def finish(self) -> ToolResult:
        points = tuple(self.draft.points)
        if len(points) < LEAST_POINTS:
            raise InputProblem("Click where to measure to.")
        pieces = self.draft.piece_lengths()
        units = self.context.project.settings.units
        text = format_reading(to_mm(line_length(points)), units)
        if len(pieces) > 1:
            text += f" in {number(len(pieces), 'piece')}"
        self.draft.pointer = None
        last_leg = self.draft.tags() if len(pieces) > 1 else ()
        self._keep(points, text, last_leg)
        return ToolResult(message=text)

    def _keep(self, points: tuple[Point, ...], text: str, last_leg: tuple[Tag, ...] = ()) -> None:
        """The reading stays until Esc or the next measure."""
        total = Tag(role=Role.MEASURE, at=points[-1], text=text)
        self._reading = _Reading(
            floor_id=self.context.floor_id, points=points, tags=(*last_leg, total)
        )
        self.draft.clear()

    def cancel(self) -> bool:
        shown = self._reading is not None
        self._reading = None
        return self.draft.clear() or shown

    def overlay(self) -> Overlay:
        kept = self._reading
        if kept is not None and not self.draft:
            if kept.floor_id != self.context.floor_id:
                return NOTHING
            return Overlay(
                lines=(GuideLine(role=Role.MEASURE, points=kept.points),), tags=kept.tags
            )
        return Overlay(
            lines=self.draft.lines(Role.MEASURE),
            markers=self.draft.markers(),
            tags=self.draft.tags(total=True),
        )
