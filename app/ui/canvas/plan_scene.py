"""What the plan tiles of a floor show, as a value that a worker can hold."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable
from dataclasses import dataclass

import numpy as np
from PySide6.QtGui import QTransform

from app.drawing.plan_drawing import PlanDrawing
from app.model.entities import Floor, Plan
from app.model.project import Project, floors_from_below
from app.ui.canvas.camera import Box
from app.ui.canvas.plan_inks import PlanInk
from app.ui.palette import Palette

DrawingSource = Callable[[str], PlanDrawing | None]
GHOST_DIM_PERCENT = 80
"""The plan of the floor below, where it is shown at all."""


def no_drawings(sha256: str) -> None:
    """Where no drawing is at hand."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SceneSheet:
    """One plan: its drawing, where it lies, and how strongly it is drawn."""

    plan: Plan
    drawing: PlanDrawing
    to_site: QTransform
    hidden: frozenset[str]
    dim_percent: int

    @property
    def sha256(self) -> str:
        return self.plan.drawing_sha256

    @property
    def mm_per_unit(self) -> float:
        return self.plan.mm_per_unit


TITLE_REACH_RATIO = 0.15
"""Texts as near to a plan as this part of its size are shown with the whole of it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanScene:
    """Paper and plans from the lowest up; scenes of equal `key` look the same.

    `box` is where the floor's own plans are, `reach` where anything at all is drawn.
    """

    key: Hashable
    palette: Palette
    ink: PlanInk
    sheets: tuple[SceneSheet, ...]
    box: Box | None
    reach: Box | None


def plan_scene(
    project: Project,
    floor_id: str,
    *,
    drawings: DrawingSource,
    palette: Palette,
    ink: PlanInk,
    ghost: bool,
) -> PlanScene:
    """The scene of a floor: its visible plans by order, upon the ghost of the floor below."""
    shown: list[tuple[Plan, int]] = []
    below = _floor_below(project, floor_id) if ghost else None
    if below is not None:
        shown += [(plan, GHOST_DIM_PERCENT) for plan in visible_plans(project, below.id)]
    shown += [(plan, plan.dim_percent) for plan in visible_plans(project, floor_id)]
    sheets = []
    for plan, dim in shown:
        drawing = drawings(plan.drawing_sha256)
        if drawing is not None:
            sheets.append(_sheet(plan, drawing, dim))
    own = [s for s, (p, _) in zip(sheets, shown, strict=False) if p.floor == floor_id] or sheets
    return PlanScene(
        key=(
            palette.name,
            ink,
            tuple(_looks(plan, dim) for plan, dim in shown),
            len(sheets),
        ),
        palette=palette,
        ink=ink,
        sheets=tuple(sheets),
        box=joined(tuple(sheet_box(s, _with_titles(s.drawing)) for s in own)),
        reach=joined(tuple(sheet_box(s, s.drawing.raw_bounds) for s in sheets)),
    )


def visible_plans(project: Project, floor_id: str) -> list[Plan]:
    """The plans of a floor that are not hidden, the lowest first."""
    own = [p for p in project.plans.values() if p.floor == floor_id and p.visible]
    return sorted(own, key=lambda p: (p.order, p.id))


def plan_to_site(plan: Plan, drawing: PlanDrawing) -> QTransform:
    """A drawing's local units to millimetres of the site."""
    turn = math.radians(plan.rotation_mdeg / 1000)
    cos, sin = math.cos(turn) * plan.mm_per_unit, math.sin(turn) * plan.mm_per_unit
    u, v = drawing.origin
    return QTransform(
        cos, sin, -sin, cos, plan.x_mm + cos * u - sin * v, plan.y_mm + sin * u + cos * v
    )


def sheet_box(sheet: SceneSheet, bounds: Box | None) -> Box | None:
    """Where local bounds of a plan lie on the site."""
    if bounds is None:
        return None
    x0, y0, x1, y1 = bounds
    corners = [sheet.to_site.map(x, y) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
    points = np.array(corners, dtype=np.float64)
    low, high = points.min(axis=0), points.max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _with_titles(drawing: PlanDrawing) -> Box | None:
    """Where a plan lies, with the texts close around it, such as its title."""
    if drawing.bounds is None:
        return None
    x0, y0, x1, y1 = drawing.bounds
    reach = TITLE_REACH_RATIO * max(x1 - x0, y1 - y0)
    texts = [t for layer in drawing.layers if layer.is_visible for t in layer.texts]
    near = (
        (u - t.height, v - t.height, u + t.height, v + t.height)
        for t, (u, v) in ((t, t.position) for t in texts)
        if x0 - reach <= u <= x1 + reach and y0 - reach <= v <= y1 + reach
    )
    return joined((drawing.bounds, *near))


def joined(boxes: tuple[Box | None, ...]) -> Box | None:
    """The least box around all boxes that are there."""
    there = [b for b in boxes if b is not None]
    if not there:
        return None
    return (
        min(b[0] for b in there),
        min(b[1] for b in there),
        max(b[2] for b in there),
        max(b[3] for b in there),
    )


def _sheet(plan: Plan, drawing: PlanDrawing, dim_percent: int) -> SceneSheet:
    return SceneSheet(
        plan=plan,
        drawing=drawing,
        to_site=plan_to_site(plan, drawing),
        hidden=frozenset(plan.hidden_layers),
        dim_percent=dim_percent,
    )


def _looks(plan: Plan, dim_percent: int) -> Hashable:
    """Every field of a plan that changes its picture."""
    return (
        plan.drawing_sha256,
        plan.mm_per_unit,
        plan.x_mm,
        plan.y_mm,
        plan.rotation_mdeg,
        plan.hidden_layers,
        dim_percent,
    )


def _floor_below(project: Project, floor_id: str) -> Floor | None:
    floor = project.floors.get(floor_id)
    if floor is None:
        return None
    stack = floors_from_below(project, floor.building)
    at = stack.index(floor)
    return stack[at - 1] if at > 0 else None
