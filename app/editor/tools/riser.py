"""Risers: pathways between floors, straight up or with their ends apart."""

import math

from app.editor.asking import InputProblem
from app.editor.commands.placing import add_riser
from app.editor.measures import format_reading
from app.editor.snapping import SnapWish
from app.editor.tools.overlay import (
    NOTHING,
    Ghost,
    GuideLine,
    Marker,
    MarkerShape,
    Overlay,
    Role,
    Tag,
)
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.geometry.similarity import to_mm
from app.model.entities import Floor, Riser
from app.model.ids import Source, counting_source
from app.model.project import Patch, floors_from_below

DRAFT_ID = "riser-00000000"


class RiserTool(QuietTool):
    """One click for a straight riser; two where its ends are apart, on either floor's view."""

    name = "Riser"

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._pointer: Pointer | None = None
        self._lower: tuple[int, int] | None = None
        self._floors: tuple[Floor, Floor] | None = None

    def floors(self) -> tuple[Floor, Floor]:
        """The lower and the upper floor: as chosen, else the one in view and the next above.

        On the top floor, the one below and it. Raises InputProblem.
        """
        project, chosen = self.context.project, self.context.draws.riser
        here = project.floors.get(self.context.floor_id)
        if here is None:
            raise InputProblem("Choose a floor first.")
        stack = floors_from_below(project, here.building)
        place = next(i for i, f in enumerate(stack) if f.id == here.id)
        lower = project.floors.get(chosen.lower_floor or "")
        upper = project.floors.get(chosen.upper_floor or "")
        if lower is None and upper is None:
            if len(stack) == 1:
                raise InputProblem("A riser joins two floors; add another floor first.")
            place = min(place, len(stack) - 2)
            return stack[place], stack[place + 1]
        if lower is None or upper is None:
            return (lower or here, upper or here)
        return lower, upper

    def hint(self) -> str:
        try:
            lower, upper = self._floors or self.floors()
        except InputProblem as problem:
            return str(problem)
        joins = f"floor {lower.name} to floor {upper.name}"
        if self._lower is not None:
            return f"Click the upper end of the riser ({joins}); change the floor to see where"
        if self.context.draws.riser.straight_up:
            stubs = "; stubs join it to the nearest pathways" if self._wants_stubs else ""
            return f"Click where the riser stands ({joins}, straight up{stubs})"
        return f"Click the lower end of the riser ({joins})"

    @property
    def _wants_stubs(self) -> bool:
        return self.context.draws.riser.stubs

    def wish(self) -> SnapWish:
        return SnapWish(square_from=self._lower) if self._lower is not None else SnapWish()

    def move(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        return NOTHING_YET

    def press(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        try:
            if self._lower is None:
                self._floors = self.floors()
                self._lower = pointer.at
                if not self.context.draws.riser.straight_up:
                    return NOTHING_YET
            lower, upper = self._lower, pointer.at
            patch = self._patch(lower, upper, self.context.source)
        except InputProblem as problem:
            self.cancel()
            return said(problem)
        self.cancel()
        return ToolResult(patch=patch, select=patch.ids)

    def _riser(self, lower: tuple[int, int], upper: tuple[int, int]) -> Riser:
        chosen, draws = self.context.draws.riser, self.context.draws
        low, high = self._floors or self.floors()
        return Riser(
            id=DRAFT_ID,
            kind=chosen.kind,
            lower_floor=low.id,
            upper_floor=high.id,
            lower=lower,
            upper=upper,
            bore_mm=chosen.bore_mm if chosen.width_mm is None else None,
            width_mm=chosen.width_mm,
            depth_mm=chosen.depth_mm,
            count=chosen.count,
            state=draws.state,
            phase=draws.phase,
            provided_by=draws.provided_by,
        )

    def _patch(self, lower: tuple[int, int], upper: tuple[int, int], source: Source) -> Patch:
        context, riser = self.context, self._riser(lower, upper)
        return add_riser(
            context.project,
            riser,
            stubs=context.draws.riser.stubs,
            retired=context.retired,
            source=source,
        )

    def cancel(self) -> bool:
        begun = self._lower is not None
        self._lower = None
        self._floors = None
        return begun

    def refresh(self) -> None:
        """The floors of a riser that was begun may have gone or moved."""
        floors = self.context.project.floors
        if self._floors is not None and any(floors.get(f.id) != f for f in self._floors):
            self.cancel()

    def preview_patch(self) -> Patch | None:
        if self._pointer is None:
            return None
        try:
            return self._patch(self._lower or self._pointer.at, self._pointer.at, counting_source())
        except InputProblem:
            return None

    def overlay(self) -> Overlay:
        pointer = self._pointer
        if pointer is None:
            return NOTHING
        if self._lower is None:
            patch = self.preview_patch()
            things = () if patch is None else tuple(c.after for c in patch.changes)
            return Overlay(
                ghosts=tuple(Ghost(role=Role.DRAFT, thing=t) for t in things if t is not None)
            )
        units = self.context.project.settings.units
        apart = format_reading(to_mm(math.dist(self._lower, pointer.at)), units)
        return Overlay(
            lines=(GuideLine(role=Role.DRAFT, points=(self._lower, pointer.at)),),
            markers=(Marker(role=Role.HELD, at=self._lower, shape=MarkerShape.RING),),
            tags=(Tag(role=Role.MEASURE, at=pointer.at, text=f"ends {apart} apart"),),
        )
