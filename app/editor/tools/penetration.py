"""Penetrations placed one by one: on a pathway where it leaves a room, on a riser at its floor."""

import math

from app.editor.asking import InputProblem
from app.editor.commands.penetrations import Opening, add_penetration, snapped_to_wall
from app.editor.commands.shapes import flat, floors_of, riser_point
from app.editor.tools.on_pathway import pathways_at
from app.editor.tools.one_click import OneClickTool, standing_of
from app.editor.tools.overlay import Overlay, Role, Tag
from app.editor.tools.tool import Pointer
from app.editor.wording import name_of
from app.geometry.along_lines import place_on
from app.geometry.similarity import to_mm
from app.model.entities import OutdoorDuct, Riser
from app.model.ids import Source
from app.model.project import Patch

REACH_PX = 16.0
WALL_PX = 24.0
"""How near to a wall the pointer is drawn to it, along the pathway."""
NOTHING_HERE = "Click on a pathway where it leaves a room, or on a riser where it passes the floor."


class PenetrationTool(OneClickTool):
    """One penetration a click, drawn to the wall that the pathway crosses there."""

    name = "Penetration"

    def hint(self) -> str:
        return (
            "Click on a pathway where it passes a wall, or on a riser; before drilling see the "
            "asbestos register and have slabs scanned"
        )

    def make(self, pointer: Pointer, source: Source) -> Patch:
        through, at = self._place(pointer)
        draws = self.context.draws
        wish = draws.penetration
        return add_penetration(
            self.context.project,
            through_id=through,
            floor_id=self.context.floor_id,
            at=at,
            opening=Opening(
                bore_mm=wish.bore_mm, count=wish.count, rating=wish.rating, barrier=wish.barrier
            ),
            standing=standing_of(self.context),
            retired=self.context.retired,
            source=source,
        )

    def _place(self, pointer: Pointer) -> tuple[str, tuple[int, int]]:
        """What is passed, and where. Raises InputProblem where there is nothing."""
        riser = self._riser_at(pointer)
        if riser is not None:
            return riser.id, pointer.at
        project, floor = self.context.project, self.context.floor_id
        near = pathways_at(project, floor, pointer.raw, REACH_PX * pointer.mm_per_pixel)
        if near:
            reach = WALL_PX * pointer.mm_per_pixel
            return near[0].id, snapped_to_wall(project, near[0], pointer.raw, within_mm=reach)
        duct = self._duct_at(pointer)
        if duct is None:
            raise InputProblem(NOTHING_HERE)
        return duct

    def _riser_at(self, pointer: Pointer) -> Riser | None:
        project, floor = self.context.project, self.context.floor_id
        found = [
            (math.dist(riser_point(project, r, floor), pointer.raw), r.id, r)
            for r in project.risers.values()
            if floor in floors_of(project, r)
        ]
        near = [f for f in found if f[0] <= REACH_PX * pointer.mm_per_pixel]
        return min(near, key=lambda f: f[:2])[2] if near else None

    def _duct_at(self, pointer: Pointer) -> tuple[str, tuple[int, int]] | None:
        ducts: list[OutdoorDuct] = [
            d
            for d in self.context.project.outdoor_ducts.values()
            if self.context.floor_id in floors_of(self.context.project, d)
        ]
        for duct in ducts:
            place = place_on(flat(duct.vertices), pointer.raw)
            if place.distance <= REACH_PX * pointer.mm_per_pixel:
                return duct.id, (to_mm(place.x), to_mm(place.y))
        return None

    def overlay(self) -> Overlay:
        shown = super().overlay()
        patch = self.preview_patch()
        if patch is None or self._pointer is None:
            return shown
        made = patch.changes[-1].after
        through = self.context.project.get(getattr(made, "through", None) or "")
        if through is None:
            return shown
        text = f"through {name_of(through)}"
        tag = Tag(role=Role.DRAFT, at=self._pointer.raw, text=text)
        return Overlay(ghosts=shown.ghosts, tags=(tag,))
