"""A visible plan as something that catches: its drawing's points and lines in the site's axes."""

import math
from collections.abc import Iterator, Sequence

import numpy as np

from app.drawing.plan_drawing import PlanDrawing
from app.drawing.snap import SnapIndex
from app.editor.snap_kinds import SnapKind
from app.editor.snapping import Snap
from app.geometry.along_lines import foot_on_piece
from app.geometry.similarity import to_mm, unit_vector
from app.geometry.walls import Triangle
from app.model.entities import Plan

XY = tuple[float, float]
LEAF_MM = (550.0, 1_500.0)
"""How wide the leaves of doors are. practice"""
SWING_DEG = (80.0, 100.0)
"""How far plans draw them open. practice"""

_KINDS = {
    "end": (SnapKind.PLAN_END, "end of a line"),
    "crossing": (SnapKind.PLAN_CROSSING, "crossing of lines"),
    "middle": (SnapKind.PLAN_MIDDLE, "middle of a line"),
    "center": (SnapKind.PLAN_CENTRE, "centre of a circle"),
}


class PlanCatcher:
    """One plan, as it lies now; make another when its place, scale or layers change."""

    def __init__(self, plan: Plan, drawing: PlanDrawing, index: SnapIndex | None = None) -> None:
        """`index` may be shared by plans of the same drawing and hidden layers."""
        self.plan = plan
        self._drawing = drawing
        self._leaves: tuple[Triangle, ...] | None = None
        self._origin = drawing.origin
        self._index = index or SnapIndex(drawing, hidden_layers=plan.hidden_layers)
        self._cos, self._sin = unit_vector(plan.rotation_mdeg)

    def door_leaves(self) -> Sequence[Triangle]:
        """Hinge and both ends of every arc that is as wide and turns as far as a door does."""
        if self._leaves is None:
            self._leaves = tuple(self._found_leaves())
        return self._leaves

    def _found_leaves(self) -> Iterator[Triangle]:
        for layer in self._drawing.layers:
            if layer.name in self.plan.hidden_layers:
                continue
            radius_mm = layer.arcs[:, 2] * self.plan.mm_per_unit
            turn = np.abs(layer.arcs[:, 4])
            wide = (radius_mm >= LEAF_MM[0]) & (radius_mm <= LEAF_MM[1])
            is_door = wide & (turn >= SWING_DEG[0]) & (turn <= SWING_DEG[1])
            for x, y, radius, start, sweep in layer.arcs[is_door].tolist():
                first, last = (
                    (x + radius * math.cos(a), y + radius * math.sin(a))
                    for a in (math.radians(start), math.radians(start + sweep))
                )
                yield self.to_site((x, y)), self.to_site(first), self.to_site(last)

    def to_local(self, at: XY) -> XY:
        """A point of the site in the drawing's own coordinates."""
        dx, dy = at[0] - self.plan.x_mm, at[1] - self.plan.y_mm
        u = (dx * self._cos + dy * self._sin) / self.plan.mm_per_unit
        v = (dy * self._cos - dx * self._sin) / self.plan.mm_per_unit
        return u - self._origin[0], v - self._origin[1]

    def to_site(self, local: XY) -> XY:
        """A point of the drawing in the site's axes."""
        u = (local[0] + self._origin[0]) * self.plan.mm_per_unit
        v = (local[1] + self._origin[1]) * self.plan.mm_per_unit
        return (
            u * self._cos - v * self._sin + self.plan.x_mm,
            u * self._sin + v * self._cos + self.plan.y_mm,
        )

    def nearest_point(self, at: XY, radius_mm: float) -> Snap | None:
        """The end, crossing, middle or centre that is nearest; None within the radius."""
        found = self._index.nearest_snap(self.to_local(at), radius_mm / self.plan.mm_per_unit)
        if found is None:
            return None
        kind, name = _KINDS[found.kind]
        x, y = self.to_site(found.point)
        return Snap(kind=kind, name=f"{name} of the plan", x_mm=to_mm(x), y_mm=to_mm(y))

    def nearest_line(self, at: XY, radius_mm: float) -> Snap | None:
        """The foot of the pointer on the line that is nearest; None within the radius."""
        found = self._index.nearest_line(self.to_local(at), radius_mm / self.plan.mm_per_unit)
        if found is None:
            return None
        a, b = self.to_site(found[0]), self.to_site(found[1])
        foot = foot_on_piece(at, a, b)
        return Snap(
            kind=SnapKind.PLAN_LINE,
            name="line of the plan",
            x_mm=to_mm(foot.x),
            y_mm=to_mm(foot.y),
            line=(a, b),
        )
