"""Pathways drawn as lines: tray, basket, ladder, hooks, raceway, conduit, floor ducts."""

from app.editor.asking import InputProblem, Question
from app.editor.commands.placing import add_pathway
from app.editor.commands.vertices import extend_line
from app.editor.measures import format_reading
from app.editor.snapping import SnapKind, SnapWish
from app.editor.tools.crossing_tags import crossed, crossing_signs
from app.editor.tools.entry import Height, parse_entry
from app.editor.tools.line_draft import LineDraft
from app.editor.tools.overlay import Marker, Overlay, Role, Tag
from app.editor.tools.pathway_sort import drawn_pathway, height_of, same_sort
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
from app.editor.wording import name_of, words
from app.model.entities import Pathway, Vertex
from app.model.ids import Source, counting_source
from app.model.project import Patch
from app.model.vocabulary import OPEN_KINDS

LEAST_VERTICES = 2


class PathwayTool(QuietTool):
    """Click point after point; Enter, a double-click or the last point again ends the line.

    A line that begins at the end of one of its own sort continues it; Ctrl begins a new one.
    """

    name = "Pathway"
    takes_text = True

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._draft = LineDraft(context)
        self._vertices: list[Vertex] = []
        self._height_mm: int | None = None
        self._continues: tuple[str, bool] | None = None

    @property
    def takes_letters(self) -> bool:
        return bool(self._draft)

    # --- what is being drawn --------------------------------------------------------------

    @property
    def height_mm(self) -> int:
        """The height of the next point."""
        if self._height_mm is not None:
            return self._height_mm
        return height_of(self.context)

    def hint(self) -> str:
        what = words(self.context.draws.pathway.kind)
        height = format_reading(self.height_mm, self.context.project.settings.units)
        if not self._draft:
            return f"Click the first point of the {what} (height {height})"
        if self._continues is not None:
            line = self.context.project.pathways[self._continues[0]]
            return f"Click on; this continues {name_of(line)}. Enter ends it, Backspace takes back"
        return (
            f"Click the next point of the {what} at {height}, or type 7.25, 7.25 east, 30° or "
            "height 3.1; Enter ends it"
        )

    def wish(self) -> SnapWish:
        return self._draft.wish()

    # --- events ---------------------------------------------------------------------------

    def move(self, pointer: Pointer) -> ToolResult:
        self._draft.pointer = pointer
        return NOTHING_YET

    def press(self, pointer: Pointer) -> ToolResult:
        elsewhere = self._draft.pressed(pointer)
        if elsewhere is not None:
            return ToolResult(message=elsewhere)
        if self._vertices and pointer.at == self._vertices[-1][:2]:
            return self._finish()
        if not self._draft:
            self._begin(pointer)
        self._add(pointer.at)
        return NOTHING_YET

    def _begin(self, pointer: Pointer) -> None:
        """Continue a line of the same sort from its end, unless Ctrl is held."""
        snap = pointer.snapped
        if snap is None or snap.kind is not SnapKind.END or pointer.modifiers.ctrl:
            return
        line = self.context.project.pathways.get(snap.thing or "")
        if line is None or not same_sort(self.context, line):
            return
        at_end = snap.index == len(line.vertices) - 1
        self._continues = (line.id, at_end)
        self._height_mm = line.vertices[-1 if at_end else 0][2]

    def _add(self, point: tuple[int, int]) -> None:
        if self._draft.add(point):
            self._vertices.append((*point, self.height_mm))

    def double_click(self, pointer: Pointer) -> ToolResult:
        return self._finish()

    def key(self, key: Key, modifiers: Modifiers = NO_MODIFIERS) -> ToolResult:
        if key is Key.ENTER:
            return self._finish()
        if key is Key.BACKSPACE:
            self._take_back()
        return NOTHING_YET

    def _take_back(self) -> None:
        if not self._vertices:
            return
        gone = self._vertices.pop()
        if not self._vertices:
            self.cancel()
            return
        if self._vertices[-1][:2] != gone[:2]:
            self._draft.take_back()
        self._height_mm = self._vertices[-1][2]

    def type_text(self, text: str) -> ToolResult:
        elsewhere = self._draft.elsewhere
        if elsewhere is not None:
            return ToolResult(message=elsewhere)
        try:
            entry = parse_entry(text, self.context.project.settings.units)
            if isinstance(entry, Height):
                self._set_height(entry)
                return NOTHING_YET
            point = self._draft.typed(entry)
        except InputProblem as problem:
            return said(problem)
        if point is not None:
            self._add(point)
        return NOTHING_YET

    def _set_height(self, entry: Height) -> None:
        """An upright piece at the last point, or a slope to the next one."""
        self._height_mm = entry.height_mm
        if self._vertices and not entry.sloped:
            upright = (*self._vertices[-1][:2], entry.height_mm)
            if upright != self._vertices[-1]:
                self._vertices.append(upright)

    def _finish(self) -> ToolResult:
        if not self._vertices:
            return NOTHING_YET
        try:
            outcome = self._outcome(self._vertices, self.context.source)
        except InputProblem as problem:
            return said(problem)
        select = None
        if isinstance(outcome, Patch):
            select = (outcome.changes[0].id,) if outcome.changes else None
        self.cancel()
        if isinstance(outcome, Question):
            return ToolResult(question=outcome)
        return ToolResult(patch=outcome, select=select)

    def _outcome(self, vertices: list[Vertex], source: Source) -> Patch | Question:
        if self._continues is not None:
            line_id, at_end = self._continues
            if len(vertices) < LEAST_VERTICES:
                raise InputProblem("Click where the line goes on to.")
            return extend_line(self.context.project, line_id, vertices[1:], at_end=at_end)
        line = drawn_pathway(self.context, self._draft.floor_id, tuple(vertices))
        return add_pathway(self.context.project, line, retired=self.context.retired, source=source)

    def cancel(self) -> bool:
        begun = self._draft.clear() or self._height_mm is not None
        self._vertices = []
        self._height_mm = None
        self._continues = None
        return begun

    def refresh(self) -> None:
        """Let go where the floor, or the line that is continued, is no longer as it was."""
        project = self.context.project
        self._draft.pointer = None
        if self._draft and self._draft.floor_id not in project.floors:
            self.cancel()
        if self._continues is None:
            return
        line = project.pathways.get(self._continues[0])
        ends = () if line is None else (line.vertices[-1 if self._continues[1] else 0],)
        if not self._vertices or self._vertices[0] not in ends:
            self.cancel()

    # --- what is shown --------------------------------------------------------------------

    def _shown(self) -> list[Vertex]:
        at = self._draft.next_point()
        if at is None or not self._vertices or at == self._vertices[-1][:2]:
            return self._vertices
        return [*self._vertices, (*at, self.height_mm)]

    def preview_patch(self) -> Patch | None:
        shown = self._shown()
        if len(shown) < LEAST_VERTICES or self._draft.elsewhere is not None:
            return None
        try:
            outcome = self._outcome(shown, counting_source())
        except InputProblem:
            return None
        return outcome if isinstance(outcome, Patch) else None

    def overlay(self) -> Overlay:
        if self._draft.elsewhere is not None:
            return Overlay()
        join = self._join_tag()
        dots, reasons = self._crossing_signs()
        return Overlay(
            lines=self._draft.lines(),
            markers=(*self._draft.markers(), *dots),
            tags=(
                *self._draft.tags(total=True),
                *reasons,
                *((join,) if join is not None else ()),
            ),
        )

    def _crossing_signs(self) -> tuple[tuple[Marker, ...], tuple[Tag, ...]]:
        """What the piece at the pointer crosses."""
        shown = self._shown()
        if len(shown) < LEAST_VERTICES or shown[-1] == self._vertices[-1]:
            return (), ()
        project = self.context.project
        skip = None if self._continues is None else self._continues[0]
        found = crossed(project, self._draft.floor_id, shown[-2], shown[-1], skip=skip)
        return crossing_signs(project, self.context.draws.pathway.kind, found)

    def _join_tag(self) -> Tag | None:
        """What a point here would join, or why it would not."""
        pointer = self._draft.pointer
        snap = None if pointer is None else pointer.snapped
        if pointer is None or snap is None:
            return None
        line = self.context.project.pathways.get(snap.thing or "")
        if line is None or snap.kind not in (SnapKind.END, SnapKind.VERTEX, SnapKind.LINE):
            return None
        return Tag(role=Role.GUIDE, at=pointer.at, text=self._join_text(line, snap.kind))

    def _join_text(self, line: Pathway, kind: SnapKind) -> str:
        if kind is not SnapKind.END and line.kind not in OPEN_KINDS:
            return f"does not join: {name_of(line)} is entered at its ends and boxes"
        return f"joins {name_of(line)}"
