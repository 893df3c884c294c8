"""Which thing lies under the pointer, or within a rectangle."""

import math
from collections.abc import Iterator
from itertools import pairwise

import msgspec

from app.editor.catches import CatchLine, CatchPoint
from app.editor.commands.filling import space_at
from app.editor.commands.shapes import flat, outline_points, riser_point, things_on
from app.editor.snap_kinds import SnapKind
from app.editor.tools.tool import Pointer, ToolContext
from app.geometry.along_lines import foot_on_piece, place_on
from app.geometry.similarity import unit_vector
from app.model.entities import (
    Entity,
    OutdoorDuct,
    Outlet,
    Pathway,
    Penetration,
    Riser,
    ServingZone,
    Space,
)
from app.model.vocabulary import Crossed

XY = tuple[float, float]
LINE_PIXELS = 7.0
SIGN_PIXELS = 10.0
"""However small its symbol, a thing can be taken hold of from so far."""
OUTLET_MIDDLE = 1 / 3
"""Of its side: how far the middle of an outlet's triangle lies from its point."""
RIM = 0.85
"""Of its reach: where the border lies by which a penetration of a floor is taken hold of, so that
its riser can be taken in the middle."""
FURTHEST_PIXELS = 50.0
LARGEST_MM = 2_000.0
"""How far from its point the largest thing reaches that is drawn at its true size."""
LINES_ONLY = frozenset(
    {SnapKind.END, SnapKind.VERTEX, SnapKind.CORNER, SnapKind.ENTRY, SnapKind.EDGE}
)


class Hit(msgspec.Struct, frozen=True, kw_only=True):
    """A thing under the pointer, and the point by which it is taken hold of.

    `inside` is a space whose floor, not whose outline, was hit.
    """

    thing: str
    at: tuple[int, int]
    inside: bool = False


def hit_at(context: ToolContext, pointer: Pointer) -> Hit | None:
    """The sign, else the line, else the space under the pointer."""
    px = pointer.mm_per_pixel
    points, lines = context.index().near(pointer.raw, max(FURTHEST_PIXELS * px, LARGEST_MM))
    signs = list(_signs(context, points, pointer))
    if signs:
        _, _, point = min(signs, key=lambda s: s[:2])
        return Hit(thing=point.thing, at=_whole(point.at))
    for edges in (False, True):
        found = list(_lines(lines, pointer, edges=edges))
        if found:
            _, thing, at = min(found)
            return Hit(thing=thing, at=_whole(at))
    space = space_at(context.project, context.floor_id, pointer.raw)
    if space is None:
        return None
    return Hit(thing=space.id, at=_whole(pointer.raw), inside=True)


def _whole(at: XY) -> tuple[int, int]:
    return math.floor(at[0] + 0.5), math.floor(at[1] + 0.5)


def _signs(
    context: ToolContext, points: list[CatchPoint], pointer: Pointer
) -> Iterator[tuple[float, str, CatchPoint]]:
    px = pointer.mm_per_pixel
    for point in points:
        if point.kind in LINES_ONLY:
            continue
        thing = context.project.get(point.thing)
        if thing is None:
            continue
        reach = max(SIGN_PIXELS, context.reach_px(thing)) * px
        distance = math.dist(point.at, pointer.raw)
        if isinstance(thing, Outlet):
            distance = _to_outlet(thing, 2 * context.reach_px(thing) * px, pointer)
        if isinstance(thing, Penetration) and thing.crossed is Crossed.FLOOR:
            distance = abs(RIM * reach - distance)
        if distance <= reach:
            yield distance, point.thing, point


def _to_outlet(outlet: Outlet, side: float, pointer: Pointer) -> float:
    """Distance to an outlet's point, or to the middle of its triangle, which lies in the room."""
    cos, sin = unit_vector(outlet.rotation_mdeg)
    middle = (
        outlet.x_mm - sin * side * OUTLET_MIDDLE,
        outlet.y_mm + cos * side * OUTLET_MIDDLE,
    )
    to_point = math.dist((outlet.x_mm, outlet.y_mm), pointer.raw)
    return min(to_point, math.dist(middle, pointer.raw))


def _lines(
    lines: list[CatchLine], pointer: Pointer, *, edges: bool
) -> Iterator[tuple[float, str, XY]]:
    for line in lines:
        if (line.kind is SnapKind.EDGE) is edges:
            foot = foot_on_piece(pointer.raw, line.a, line.b)
            if foot.distance <= LINE_PIXELS * pointer.mm_per_pixel:
                yield foot.distance, line.thing, (foot.x, foot.y)


def things_within(context: ToolContext, a: XY, b: XY, *, touching: bool = False) -> tuple[str, ...]:
    """The things that lie whole in a rectangle, or touch it; spaces only if nothing else does."""
    low = (min(a[0], b[0]), min(a[1], b[1]))
    high = (max(a[0], b[0]), max(a[1], b[1]))
    every = things_on(context.project, context.floor_id)
    sees = context.sees
    found = [t for t in every if _in_box(t, low, high, touching=touching) and sees(t)]
    smaller = [t for t in found if not isinstance(t, Space | ServingZone)]
    return tuple(t.id for t in (smaller or found))


def _in_box(thing: Entity, low: XY, high: XY, *, touching: bool) -> bool:
    points = outline_points(thing)
    inside = [low[0] <= x <= high[0] and low[1] <= y <= high[1] for x, y in points]
    if not touching:
        return all(inside)
    if any(inside):
        return True
    ring = (*points, points[0]) if isinstance(thing, Space | ServingZone) else points
    return any(_cuts(p, q, low, high) for p, q in pairwise(ring))


def _cuts(p: XY, q: XY, low: XY, high: XY) -> bool:
    """Whether a piece passes through a box: the part of it within both bands is not empty."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        step = q[axis] - p[axis]
        if step == 0:
            if not low[axis] <= p[axis] <= high[axis]:
                return False
            continue
        t0, t1 = sorted(((low[axis] - p[axis]) / step, (high[axis] - p[axis]) / step))
        first, last = max(first, t0), min(last, t1)
    return first <= last


def ways_at(
    context: ToolContext, pointer: Pointer, within_mm: float
) -> list[Pathway | Riser | OutdoorDuct]:
    """The risers, then the pathways and outdoor ducts at the pointer, the nearest first."""
    found: list[tuple[bool, float, str, Pathway | Riser | OutdoorDuct]] = []
    for thing in things_on(context.project, context.floor_id):
        if isinstance(thing, Riser):
            distance = math.dist(riser_point(context.project, thing, context.floor_id), pointer.raw)
        elif isinstance(thing, Pathway | OutdoorDuct):
            distance = place_on(flat(thing.vertices), pointer.raw).distance
        else:
            continue
        if distance <= within_mm and context.sees(thing):
            found.append((not isinstance(thing, Riser), distance, thing.id, thing))
    return [thing for *_, thing in sorted(found, key=lambda f: f[:3])]
