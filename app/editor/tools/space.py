"""Spaces drawn by hand: corner after corner, or a rectangle along the grid."""

import re

from app.editor.asking import InputProblem
from app.editor.commands.placing import add_space
from app.editor.measures import format_area, format_reading, parse_length
from app.editor.snapping import SnapWish
from app.editor.tools.line_tool import LineTool
from app.editor.tools.overlay import Area, GuideLine, Overlay, Role, Tag
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.geometry.polygons import area_mm2
from app.geometry.similarity import to_mm, unit_vector
from app.model.entities import Point
from app.model.ids import Source, counting_source
from app.model.project import Patch

LEAST_CORNERS = 3
DRAG_PIXELS = 6.0
_SIZE = re.compile(r"(.+?)\s*(?:by|×)\s*(.+)")


class SpaceTool(LineTool):
    """Click the corners and the first one again; or drag from corner to opposite corner."""

    name = "Space"

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._dragging = False
        self._pressed: Pointer | None = None

    def hint(self) -> str:
        if not self.draft:
            return "Click the corners of the space, or drag a rectangle from corner to corner"
        if len(self.draft.points) == 1:
            return "Click the next corner, or type 4.5 by 3.2 for a rectangle"
        return "Click the next corner; the first one again, or Enter, closes the outline"

    def wish(self) -> SnapWish:
        if self._pressed is not None and len(self.draft.points) == 1:
            return SnapWish()
        return self.draft.wish(closes=len(self.draft.points) >= LEAST_CORNERS)

    # --- events ---------------------------------------------------------------------------

    def press(self, pointer: Pointer) -> ToolResult:
        points = self.draft.points
        if len(points) >= LEAST_CORNERS and pointer.at == points[0]:
            return self._guarded_finish()
        self._pressed = pointer if not points else None
        return super().press(pointer)

    def move(self, pointer: Pointer) -> ToolResult:
        super().move(pointer)
        start = self._pressed
        if start is not None:
            away = max(abs(pointer.raw[0] - start.raw[0]), abs(pointer.raw[1] - start.raw[1]))
            self._dragging = self._dragging or away > DRAG_PIXELS * pointer.mm_per_pixel
        return NOTHING_YET

    def release(self, pointer: Pointer) -> ToolResult:
        dragged, self._dragging, self._pressed = self._dragging, False, None
        if not dragged or not self.draft:
            return NOTHING_YET
        self.draft.pointer = pointer
        outline = self._rectangle(self.draft.points[0], pointer.at)
        try:
            result = self._made(outline)
        except InputProblem as problem:
            result = ToolResult(message=str(problem))
        self.cancel()
        return result

    def type_text(self, text: str) -> ToolResult:
        size = _SIZE.fullmatch(text.strip().lower())
        if size is None or len(self.draft.points) != 1:
            return super().type_text(text)
        if self._elsewhere is not None:
            return ToolResult(message=self._elsewhere)
        units = self.context.project.settings.units
        try:
            wide, deep = parse_length(size[1], units), parse_length(size[2], units)
            result = self._made(self._sized(wide, deep))
        except InputProblem as problem:
            return ToolResult(message=str(problem))
        self.cancel()
        return result

    def _sized(self, wide: int, deep: int) -> tuple[Point, ...]:
        """A rectangle from the first corner, towards the pointer."""
        x, y = self.draft.points[0]
        cos, sin = unit_vector(self.draft.grid_mdeg)
        pointer = self.draft.pointer
        dx, dy = (1.0, 1.0) if pointer is None else (pointer.raw[0] - x, pointer.raw[1] - y)
        right = wide if dx * cos + dy * sin >= 0 else -wide
        up = deep if dy * cos - dx * sin >= 0 else -deep
        far = (to_mm(x + right * cos - up * sin), to_mm(y + right * sin + up * cos))
        return self._rectangle((x, y), far)

    def _rectangle(self, a: Point, b: Point) -> tuple[Point, ...]:
        """The rectangle along the grid with these opposite corners."""
        cos, sin = unit_vector(self.draft.grid_mdeg)
        dx, dy = b[0] - a[0], b[1] - a[1]
        right, up = dx * cos + dy * sin, dy * cos - dx * sin
        return (
            a,
            (to_mm(a[0] + right * cos), to_mm(a[1] + right * sin)),
            b,
            (to_mm(a[0] - up * sin), to_mm(a[1] + up * cos)),
        )

    def finish(self) -> ToolResult:
        result = self._made(tuple(self.draft.points))
        self.cancel()
        return result

    def _made(self, outline: tuple[Point, ...]) -> ToolResult:
        patch = self._patch(outline, self.context.source)
        return ToolResult(patch=patch, select=patch.ids)

    def _patch(self, outline: tuple[Point, ...], source: Source) -> Patch:
        return add_space(
            self.context.project,
            outline,
            floor_id=self.draft.floor_id,
            use=self.context.draws.space_use,
            source=source,
        )

    def cancel(self) -> bool:
        self._dragging = False
        self._pressed = None
        return super().cancel()

    # --- what is shown --------------------------------------------------------------------

    def _outline(self) -> tuple[Point, ...]:
        pointer = self.draft.pointer
        if self._dragging and pointer is not None and self.draft:
            return self._rectangle(self.draft.points[0], pointer.at)
        return self.draft.line()

    def preview_patch(self) -> Patch | None:
        outline = self._outline()
        if len(set(outline)) < LEAST_CORNERS or self.draft.elsewhere is not None:
            return None
        try:
            return self._patch(outline, counting_source())
        except InputProblem:
            return None

    def overlay(self) -> Overlay:
        outline = self._outline()
        if not self.draft or self.draft.elsewhere is not None:
            return Overlay()
        if len(set(outline)) < LEAST_CORNERS:
            return Overlay(
                lines=self.draft.lines(), markers=self.draft.markers(), tags=self.draft.tags()
            )
        good = self.preview_patch() is not None
        role = Role.DRAFT if good else Role.REFUSED
        tags = () if self._dragging else self.draft.tags()
        return Overlay(
            areas=(Area(role=role, points=outline),),
            lines=(GuideLine(role=role, points=outline, closed=True),),
            markers=self.draft.markers(),
            tags=(*tags, self._size_tag(outline)),
        )

    def _size_tag(self, outline: tuple[Point, ...]) -> Tag:
        """The area; of a rectangle its sides too."""
        units = self.context.project.settings.units
        text = format_area(area_mm2(outline), units)
        if self._dragging:
            a, b, c = outline[:3]
            sides = (_length(a, b), _length(b, c))
            text = " by ".join(format_reading(s, units) for s in sides) + f", {text}"
        xs, ys = [x for x, _ in outline], [y for _, y in outline]
        middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        return Tag(role=Role.MEASURE, at=middle, text=text)


def _length(a: Point, b: Point) -> int:
    return to_mm(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5)
