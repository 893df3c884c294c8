"""The points of a selected thing that can be taken hold of, and what pulling them does."""

import math
from collections.abc import Iterator
from enum import StrEnum
from itertools import pairwise

import msgspec
from msgspec.structs import replace

from app.editor.asking import InputProblem, Outcome, Question
from app.editor.commands.shapes import flat
from app.editor.commands.vertices import (
    delete_corner,
    delete_vertex,
    insert_corner,
    insert_vertex,
    move_corner,
    move_riser_end,
    move_vertex,
    move_wall,
    set_vertices,
)
from app.editor.wording import name_of
from app.geometry.similarity import to_mm
from app.model.entities import Entity, Frame, OutdoorDuct, Pathway, Riser, ServingZone, Space
from app.model.project import Patch, Project, changing

XY = tuple[float, float]
HANDLE_PIXELS = 8.0
LEAST_PIECE_PIXELS = 45.0
"""A shorter piece shows no handle at its middle."""


class HandleSort(StrEnum):
    VERTEX = "vertex"
    MIDDLE = "middle"
    """The middle of a piece of a line: pulling it puts a point there."""
    CORNER = "corner"
    SIDE = "side"
    """The middle of a space's side: pulling it moves the side."""
    LOWER = "lower"
    UPPER = "upper"
    ENTRY = "entry"


class Handle(msgspec.Struct, frozen=True, kw_only=True):
    sort: HandleSort
    thing: str
    at: XY
    index: int = 0


def handles_of(
    project: Project, thing: Entity, floor_id: str, mm_per_pixel: float
) -> Iterator[Handle]:
    """The handles of a thing on a floor. A riser's are for Alt, as its body lies under them."""
    match thing:
        case Pathway() | OutdoorDuct():
            yield from _line_handles(thing.id, flat(thing.vertices), mm_per_pixel)
        case Space() | ServingZone():
            for index, corner in enumerate(thing.outline):
                yield Handle(sort=HandleSort.CORNER, thing=thing.id, at=corner, index=index)
            sides = pairwise((*thing.outline, thing.outline[0]))
            yield from _middles(HandleSort.SIDE, thing.id, sides, mm_per_pixel)
        case Riser() if floor_id == thing.lower_floor:
            yield Handle(sort=HandleSort.LOWER, thing=thing.id, at=thing.lower)
        case Riser() if floor_id == thing.upper_floor:
            yield Handle(sort=HandleSort.UPPER, thing=thing.id, at=thing.upper)
        case Frame():
            at = thing.entry or (thing.x_mm, thing.y_mm)
            yield Handle(sort=HandleSort.ENTRY, thing=thing.id, at=at)


def needs_alt(project: Project, handle: Handle) -> bool:
    """Whether a handle lies on the body of its thing, so that it is taken with Alt only."""
    thing = project.get(handle.thing)
    if isinstance(thing, Riser):
        return True
    return isinstance(thing, Frame) and thing.entry is None


def _line_handles(
    thing_id: str, points: tuple[tuple[int, int], ...], mm_per_pixel: float
) -> Iterator[Handle]:
    for index, point in enumerate(points):
        if index == 0 or point != points[index - 1]:
            yield Handle(sort=HandleSort.VERTEX, thing=thing_id, at=point, index=index)
    yield from _middles(HandleSort.MIDDLE, thing_id, pairwise(points), mm_per_pixel)


def _middles(
    sort: HandleSort, thing_id: str, pieces: Iterator[tuple[XY, XY]], mm_per_pixel: float
) -> Iterator[Handle]:
    for index, (a, b) in enumerate(pieces):
        if math.dist(a, b) >= LEAST_PIECE_PIXELS * mm_per_pixel:
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            yield Handle(sort=sort, thing=thing_id, at=middle, index=index)


def pulled(project: Project, handle: Handle, to: tuple[int, int]) -> Outcome:
    """What pulling a handle to a point does. Raises InputProblem."""
    thing = project.get(handle.thing)
    match handle.sort:
        case HandleSort.VERTEX:
            return move_vertex(project, handle.thing, handle.index, to=to)
        case HandleSort.MIDDLE:
            return _with_new_vertex(project, handle, to)
        case HandleSort.CORNER:
            return move_corner(project, handle.thing, handle.index, to=to)
        case HandleSort.SIDE:
            dx, dy = to_mm(to[0] - handle.at[0]), to_mm(to[1] - handle.at[1])
            return move_wall(project, handle.thing, handle.index, dx_mm=dx, dy_mm=dy)
        case HandleSort.ENTRY if isinstance(thing, Frame):
            return changing(
                f"Move the entry of {name_of(thing)}", [(thing, replace(thing, entry=to))]
            )
    upper = handle.sort is HandleSort.UPPER
    return move_riser_end(project, handle.thing, upper=upper, to=to)


def _with_new_vertex(project: Project, handle: Handle, to: tuple[int, int]) -> Outcome:
    line = project.get(handle.thing)
    if not isinstance(line, Pathway | OutdoorDuct):
        raise InputProblem("Only pathways and outdoor ducts have points along them.")
    a, b = line.vertices[handle.index], line.vertices[handle.index + 1]
    new = (*to, to_mm((a[2] + b[2]) / 2))
    vertices = (*line.vertices[: handle.index + 1], new, *line.vertices[handle.index + 1 :])
    return set_vertices(project, line, f"Add a point to {name_of(line)}", vertices)


def point_added(project: Project, thing_id: str, at: tuple[int, int]) -> Outcome:
    """One more point on a line or outline, where it passes nearest."""
    if thing_id in project.spaces or thing_id in project.serving_zones:
        return insert_corner(project, thing_id, at=at)
    return insert_vertex(project, thing_id, at=at)


def point_taken(project: Project, handle: Handle) -> Patch | Question:
    """The handle's point taken out. Raises InputProblem for a handle that is no point."""
    match handle.sort:
        case HandleSort.VERTEX:
            return delete_vertex(project, handle.thing, handle.index)
        case HandleSort.CORNER:
            return delete_corner(project, handle.thing, handle.index)
        case HandleSort.ENTRY:
            frame = project.need(Frame, handle.thing)
            label = f"Delete the entry of {name_of(frame)}"
            return changing(label, [(frame, replace(frame, entry=None))])
    raise InputProblem("This is no point that can be deleted.")
