"""Outlets in a row: so many along a line, or one every so far."""

import re

from app.editor.asking import InputProblem
from app.editor.commands.outlets import OutletPlace
from app.editor.measures import format_reading, parse_count, parse_length
from app.editor.snapping import SnapWish
from app.editor.tools.line_tool import LineTool
from app.editor.tools.next_drawn import NextRow
from app.editor.tools.outlet import WALLS, commit_outlets, ghosts_of, preview_outlets
from app.editor.tools.overlay import Overlay, Role, Tag
from app.editor.tools.quiet import said
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.editor.wording import number
from app.geometry.similarity import QUARTER_MDEG, normal_mdeg, to_mm, unit_vector
from app.geometry.walls import OFF_WALL_MM, in_row
from app.model.project import Patch

MOST_IN_ROW = 1_000
LEAST_ENDS = 2
LEAST_SPACING_MM = 100
_COUNT = re.compile(r"(\d+)\s+outlets?")
_EVERY = re.compile(r"every\s+(.+)")


class OutletRowTool(LineTool):
    """Click the ends of the row; further clicks before Enter bend it."""

    name = "Outlet row"

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._row: NextRow | None = None
        self._room: tuple[float, float] | None = None

    @property
    def takes_letters(self) -> bool:
        return True

    @property
    def _how(self) -> NextRow:
        return self._row or self.context.draws.row

    def hint(self) -> str:
        units = self.context.project.settings.units
        how = self._how
        if how.count is not None:
            row = number(how.count, "outlet")
        else:
            row = f"an outlet every {format_reading(how.spacing_mm, units)}"
        if not self.draft:
            return f"Click the first end of the row: {row} (type “8 outlets” or “every 2.4 m”)"
        return f"Click the other end, then Enter or double-click places the row: {row}"

    def wish(self) -> SnapWish:
        return self.draft.wish()

    def press(self, pointer: Pointer) -> ToolResult:
        if not self.draft:
            self._room = _room_of(pointer)
        return super().press(pointer)

    def type_text(self, text: str) -> ToolResult:
        try:
            if self._reads_row(text.strip().lower()):
                return NOTHING_YET
        except InputProblem as problem:
            return said(problem)
        return super().type_text(text)

    def _reads_row(self, plain: str) -> bool:
        if (count := _COUNT.fullmatch(plain)) is not None:
            most = parse_count(count[1], least=1, most=MOST_IN_ROW, what="outlets")
            self._row = NextRow(count=most, spacing_mm=self._how.spacing_mm)
            return True
        if (every := _EVERY.fullmatch(plain)) is not None:
            spacing = parse_length(every[1], self.context.project.settings.units)
            if spacing < LEAST_SPACING_MM:
                raise InputProblem("Outlets stand at least 0.1 m apart.")
            self._row = NextRow(spacing_mm=spacing)
            return True
        return False

    def finish(self) -> ToolResult:
        if len(self.draft.points) < LEAST_ENDS:
            raise InputProblem("A row has two ends; click them first.")
        places = self._places(tuple(self.draft.points))
        result = commit_outlets(self.context, places, self.draft.floor_id)
        if result.patch is not None:
            self.draft.clear()
        return result

    def _places(self, line: tuple[tuple[int, int], ...]) -> list[OutletPlace]:
        """The row's places; at a wall they stand a little off it and turn to it."""
        if len(line) < LEAST_ENDS:
            return []
        how = self._how
        spots = in_row(line, count=how.count, spacing_mm=max(how.spacing_mm, LEAST_SPACING_MM))
        return [_spot(at, along, self._room) for at, along in spots[:MOST_IN_ROW]]

    def cancel(self) -> bool:
        begun = self.draft.clear() or self._row is not None
        self._row = None
        return begun

    def _is_here(self) -> bool:
        return self.draft.floor_id == self.context.floor_id

    def preview_patch(self) -> Patch | None:
        if not self.draft or not self._is_here():
            return None
        return preview_outlets(self.context, self._places(self.draft.line()))

    def overlay(self) -> Overlay:
        if not self.draft or not self._is_here():
            return Overlay()
        ghosts = ghosts_of(self.preview_patch())
        count = Tag(role=Role.MEASURE, at=self.draft.points[0], text=number(len(ghosts), "outlet"))
        return Overlay(
            lines=self.draft.lines(Role.GUIDE),
            ghosts=ghosts,
            markers=self.draft.markers(),
            tags=(*self.draft.tags(), count),
        )


def _room_of(pointer: Pointer) -> tuple[float, float] | None:
    """A point in the room of a row that begins at a wall; None where it begins at none."""
    snap = pointer.snapped
    if snap is None or snap.line is None or snap.kind not in WALLS:
        return None
    return pointer.raw


def _spot(
    at: tuple[float, float], along_mdeg: int, room: tuple[float, float] | None
) -> OutletPlace:
    """One place of a row; at a wall a little off it, with its back to it."""
    x, y = at
    rotation = along_mdeg
    if room is not None:
        cos, sin = unit_vector(rotation)
        if cos * (room[1] - y) - sin * (room[0] - x) < 0:
            rotation = normal_mdeg(rotation + 2 * QUARTER_MDEG)
        cos, sin = unit_vector(rotation + QUARTER_MDEG)
        x, y = x + cos * OFF_WALL_MM, y + sin * OFF_WALL_MM
    return OutletPlace(x_mm=to_mm(x), y_mm=to_mm(y), rotation_mdeg=rotation)
