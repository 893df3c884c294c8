"""Points of a plan that the cursor may catch: ends, middles, crossings and centres."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal, TypeAlias

from app.drawing.plan_drawing import PlanDrawing
from app.drawing.primitives import Point

SnapKind: TypeAlias = Literal["end", "crossing", "middle", "center"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Snap:
    """A point that was caught, in local coordinates, and what it is."""

    kind: SnapKind
    point: Point
    distance: float


class SnapIndex:
    """The visible lines of a drawing, searchable by place; built when first asked."""

    def __init__(self, drawing: PlanDrawing, *, hidden_layers: Collection[str] = ()) -> None:
        """Index all layers but the hidden ones and those that the file itself hides."""
        self._drawing = drawing
        self._hidden = frozenset(hidden_layers)

    def nearest_snap(self, point: Point, radius: float) -> Snap | None:
        """The best point within `radius` of `point` (both local), or None."""
        raise NotImplementedError
