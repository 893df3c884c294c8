"""Walked lengths: click on a pathway, riser or duct, then type what was walked, and why."""

from app.editor.asking import InputProblem
from app.editor.commands.walked import HOW, add_walked, parse_walked, place_of_walked
from app.editor.snapping import SnapWish
from app.editor.tools.gestures import settled
from app.editor.tools.hit import ways_at
from app.editor.tools.overlay import NOTHING, Marker, MarkerShape, Overlay, Role, Tag
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.editor.wording import capital, name_of
from app.model.entities import OutdoorDuct, Pathway, Point, Riser, WalkedLength

REACH_PX = 16.0
NOTHING_HERE = "Click on the pathway, riser or duct that was walked."


class WalkedTool(QuietTool):
    """A click marks the place; what is typed then is had by every cable that passes it."""

    name = "Walked length"

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._pointer: Pointer | None = None
        self._held: tuple[str, str, Point] | None = None
        """The pathway, the floor and the place that was clicked."""

    @property
    def takes_text(self) -> bool:  # type: ignore[override]
        return self._held is not None

    def hint(self) -> str:
        if self._held is None:
            return "Click on the pathway, riser or duct where a length was walked or measured"
        return f"{HOW} Enter keeps it."

    def wish(self) -> SnapWish:
        return SnapWish()

    def move(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        return NOTHING_YET

    def press(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        found = self._at(pointer)
        if found is None:
            return ToolResult(message=NOTHING_HERE)
        along, at = found
        self._held = (along.id, self.context.floor_id, at)
        return NOTHING_YET

    def _at(self, pointer: Pointer) -> tuple[Pathway | Riser | OutdoorDuct, Point] | None:
        context = self.context
        near = ways_at(context, pointer, REACH_PX * pointer.mm_per_pixel)
        if not near:
            return None
        here = WalkedLength(
            id="walked-length", floor=context.floor_id, along=near[0].id, x_mm=0, y_mm=0
        )
        return near[0], place_of_walked(context.project, here, near[0], pointer.raw)

    def type_text(self, text: str) -> ToolResult:
        if self._held is None:
            return ToolResult(message=NOTHING_HERE)
        along, floor, at = self._held
        project = self.context.project
        try:
            outcome = add_walked(
                project,
                along_id=along,
                floor_id=floor,
                at=at,
                said=parse_walked(text, project.settings.units),
                by=self.context.draws.walked_by,
                source=self.context.source,
            )
        except InputProblem as problem:
            return said(problem)
        self._held = None
        return settled(outcome)

    def cancel(self) -> bool:
        held, self._held = self._held, None
        return held is not None

    def refresh(self) -> None:
        """The place is let go of with its pathway, and with its floor."""
        if self._held is None:
            return
        along, floor, _ = self._held
        if along not in self.context.project or floor != self.context.floor_id:
            self._held = None

    def overlay(self) -> Overlay:
        project = self.context.project
        if self._held is not None:
            along, _, at = self._held
            thing = project.get(along)
            name = "" if thing is None else f"{capital(name_of(thing))}: "
            text = f"{name}+4 round the duct, or 61.2 by tape"
            return Overlay(
                markers=(Marker(role=Role.HELD, at=at, shape=MarkerShape.CROSS),),
                tags=(Tag(role=Role.DRAFT, at=at, text=text),),
            )
        found = None if self._pointer is None else self._at(self._pointer)
        if found is None:
            return NOTHING
        way, at = found
        return Overlay(
            markers=(Marker(role=Role.DRAFT, at=at, shape=MarkerShape.CROSS),),
            tags=(Tag(role=Role.DRAFT, at=at, text=name_of(way)),),
        )
