"""Serving zones, drawn like spaces over those that are divisible."""

from app.editor.commands.zones import add_zone
from app.editor.tools.space import SpaceTool
from app.model.entities import Point
from app.model.ids import Source
from app.model.project import Patch


class ZoneTool(SpaceTool):
    """Click the corners and the first one again; or drag from corner to opposite corner."""

    name = "Serving zone"

    def hint(self) -> str:
        if not self.draft:
            return "Click the corners of the part that a frame serves, or drag a rectangle over it"
        return super().hint()

    def _patch(self, outline: tuple[Point, ...], source: Source) -> Patch:
        return add_zone(
            self.context.project,
            outline,
            floor_id=self.draft.floor_id,
            frame_id=self.context.draws.zone_frame,
            source=source,
        )
