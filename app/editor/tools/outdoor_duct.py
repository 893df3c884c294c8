"""Outdoor ducts: lines between two places, which may belong to floors of two buildings."""

from app.editor.asking import InputProblem
from app.editor.commands.placing import add_outdoor_duct
from app.editor.snapping import SnapWish
from app.editor.tools.line_tool import LineTool
from app.editor.tools.overlay import Overlay
from app.editor.tools.tool import ToolResult
from app.model.entities import OutdoorDuct
from app.model.ids import Source, counting_source
from app.model.project import Patch

DRAFT_ID = "outdoor-duct-00000000"
LEAST_POINTS = 2


class OutdoorDuctTool(LineTool):
    """Click along the duct; it ends on the floor that is in view when it is finished."""

    name = "Outdoor duct"
    across_floors = True

    def hint(self) -> str:
        if not self.draft:
            return "Click where the duct begins; change the floor on the way to end on another one"
        return "Click along the duct; Enter or double-click ends it on the floor in view"

    def wish(self) -> SnapWish:
        return self.draft.wish()

    def finish(self) -> ToolResult:
        patch = self._patch(tuple(self.draft.points), self.context.source)
        self.cancel()
        return ToolResult(patch=patch, select=patch.ids)

    def _patch(self, points: tuple[tuple[int, int], ...], source: Source) -> Patch:
        if len(points) < LEAST_POINTS:
            raise InputProblem("A duct has two ends; click them first.")
        draws = self.context.draws
        height = self.context.project.settings.outdoor_duct_height_mm
        duct = OutdoorDuct(
            id=DRAFT_ID,
            from_floor=self.draft.floor_id,
            to_floor=self.context.floor_id,
            vertices=tuple((x, y, height) for x, y in points),
            bore_mm=draws.duct_bore_mm,
            count=draws.duct_count,
            state=draws.state,
            phase=draws.phase,
            provided_by=draws.provided_by,
        )
        return add_outdoor_duct(
            self.context.project, duct, retired=self.context.retired, source=source
        )

    def preview_patch(self) -> Patch | None:
        try:
            return self._patch(self.draft.line(), counting_source()) if self.draft else None
        except InputProblem:
            return None

    def overlay(self) -> Overlay:
        return Overlay(
            lines=self.draft.lines(),
            markers=self.draft.markers(),
            tags=self.draft.tags(total=True),
        )
