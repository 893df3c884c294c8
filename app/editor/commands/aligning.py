"""Lining things up: by a side, by their middles, on one line, at equal steps."""

import math
from collections.abc import Sequence
from enum import StrEnum
from itertools import combinations

from app.editor.asking import InputProblem, Outcome
from app.editor.commands.moving import placed, transform_things
from app.editor.commands.shapes import anchor_of, outline_points
from app.editor.wording import counted
from app.geometry.along_lines import foot_on_line
from app.geometry.similarity import Similarity, shift, unit_vector
from app.model.entities import Entity
from app.model.project import Project

LEAST_TO_ALIGN = 2
LEAST_TO_SPREAD = 3
MOST_FOR_ALL_PAIRS = 200

XY = tuple[float, float]


class Side(StrEnum):
    """The side, or middle, that is made common; sides are those of the floor's grid."""

    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"
    MIDDLE_ACROSS = "middle_across"
    """The middles on one upright line."""
    MIDDLE_UP = "middle_up"
    """The middles on one level line."""


_WORDS = {
    Side.LEFT: "to the left",
    Side.RIGHT: "to the right",
    Side.TOP: "to the top",
    Side.BOTTOM: "to the bottom",
    Side.MIDDLE_ACROSS: "on an upright line",
    Side.MIDDLE_UP: "on a level line",
}


def align_things(
    project: Project, ids: Sequence[str], side: Side, *, grid_mdeg: int = 0
) -> Outcome:
    """Move things along the grid until they share a side, or their middles a line."""
    things = _enough(project, ids, LEAST_TO_ALIGN)
    upright = side in (Side.LEFT, Side.RIGHT, Side.MIDDLE_ACROSS)
    axis = unit_vector(grid_mdeg if upright else grid_mdeg + 90_000)
    extents = [_extent(t, axis) for t in things]
    if side in (Side.LEFT, Side.BOTTOM):
        steps = [min(e[0] for e in extents) - e[0] for e in extents]
    elif side in (Side.RIGHT, Side.TOP):
        steps = [max(e[1] for e in extents) - e[1] for e in extents]
    else:
        middle = (min(e[0] for e in extents) + max(e[1] for e in extents)) / 2
        steps = [middle - (e[0] + e[1]) / 2 for e in extents]
    by = [shift(step * axis[0], step * axis[1]) for step in steps]
    return _moved(project, things, f"Align {counted(things)} {_WORDS[side]}", by)


def align_on_line(project: Project, ids: Sequence[str]) -> Outcome:
    """Move things square onto the line between the two that are furthest apart."""
    things = _enough(project, ids, LEAST_TO_SPREAD)
    middles = [_middle(t) for t in things]
    a, direction, _ = _longest_line(middles)
    by = []
    for middle in middles:
        x, y = foot_on_line(middle, a, direction)
        by.append(shift(x - middle[0], y - middle[1]))
    return _moved(project, things, f"Line up {counted(things)}", by)


def distribute(project: Project, ids: Sequence[str]) -> Outcome:
    """Equal steps between the middles of things, along the line of the two furthest apart."""
    things = _enough(project, ids, LEAST_TO_SPREAD)
    middles = [_middle(t) for t in things]
    a, direction, length = _longest_line(middles)
    along = [_dot((m[0] - a[0], m[1] - a[1]), direction) for m in middles]
    order = sorted(range(len(things)), key=lambda i: (along[i], things[i].id))
    by = [shift(0, 0)] * len(things)
    for place, index in enumerate(order):
        step = length * place / (len(things) - 1) - along[index]
        by[index] = shift(step * direction[0], step * direction[1])
    return _moved(project, things, f"Space {counted(things)} evenly", by)


def _enough(project: Project, ids: Sequence[str], least: int) -> list[Entity]:
    things = placed(project, ids)
    if len(things) < least:
        raise InputProblem(f"Select at least {least} things for that.")
    return things


def _moved(project: Project, things: list[Entity], label: str, by: Sequence[Similarity]) -> Outcome:
    movements = {t.id: b for t, b in zip(things, by, strict=True)}
    return transform_things(project, things, label, movements)


def _extent(thing: Entity, axis: XY) -> tuple[float, float]:
    """Least and greatest position of the thing along an axis."""
    along = [_dot(p, axis) for p in outline_points(thing)]
    return min(along), max(along)


def _middle(thing: Entity) -> XY:
    return anchor_of(thing) or (0.0, 0.0)


def _dot(a: XY, b: XY) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _longest_line(points: Sequence[XY]) -> tuple[XY, XY, float]:
    """The line between the two points furthest apart: first point, direction, length."""
    ends = points
    if len(points) > MOST_FOR_ALL_PAIRS:
        far = (min(points), max(points))
        high = (min(points, key=lambda p: (p[1], p[0])), max(points, key=lambda p: (p[1], p[0])))
        ends = (*far, *high)
    a, b = max(combinations(sorted(ends), 2), key=lambda pair: math.dist(*pair))
    length = math.dist(a, b)
    if length == 0:
        raise InputProblem("These things all stand in one place; move one of them first.")
    return a, ((b[0] - a[0]) / length, (b[1] - a[1]) / length), length
