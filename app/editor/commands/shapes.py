"""Where things are, and the same things elsewhere: the one place that knows each shape."""

from collections.abc import Callable
from typing import Any, TypeVar, cast

from msgspec.structs import replace

from app.geometry.similarity import HALF_MDEG, Similarity, normal_mdeg
from app.model.entities import (
    AccessPoint,
    Break,
    Candidate,
    Demarcation,
    DropOut,
    Entity,
    Frame,
    OutdoorDuct,
    Outlet,
    Pathway,
    Penetration,
    Plan,
    Point,
    Riser,
    ServingZone,
    Space,
    Vertex,
    WalkedLength,
)
from app.model.project import Project

E = TypeVar("E", bound=Entity)

POINT_TYPES = (
    Outlet,
    Frame,
    Candidate,
    Demarcation,
    AccessPoint,
    DropOut,
    Break,
    Penetration,
    WalkedLength,
)
AREA_TYPES = (Space, ServingZone)
LINE_TYPES = (Pathway, OutdoorDuct)
PLACED_TYPES: tuple[type[Entity], ...] = (*POINT_TYPES, *LINE_TYPES, Riser, *AREA_TYPES)
"""What stands somewhere in the building and can be moved by hand; plans move by themselves."""

_ON_FLOOR = (*POINT_TYPES, Pathway, *AREA_TYPES)


def outline_points(thing: Entity) -> tuple[Point, ...]:
    """The points that make the thing's shape, in the site's axes; empty where it has none."""
    match thing:
        case Pathway() | OutdoorDuct():
            return tuple((x, y) for x, y, _ in thing.vertices)
        case Riser():
            return (thing.lower, thing.upper)
        case Space() | ServingZone():
            return thing.outline
        case _ if isinstance(thing, POINT_TYPES):
            return ((thing.x_mm, thing.y_mm),)
    return ()


def anchor_of(thing: Entity) -> tuple[float, float] | None:
    """The point that stands for the thing: its place, or the middle of its box."""
    points = outline_points(thing)
    if not points:
        return None
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def transformed(thing: E, by: Similarity) -> E:
    """The thing moved, turned, mirrored or scaled; heights and product sizes stay."""
    change = _TRANSFORMS.get(type(thing))
    return thing if change is None else cast(E, change(thing, by))


def _point(e: Any, by: Similarity) -> Any:
    x, y = by.at_mm(e.x_mm, e.y_mm)
    return replace(e, x_mm=x, y_mm=y)


def _turned_point(e: Any, by: Similarity) -> Any:
    x, y = by.at_mm(e.x_mm, e.y_mm)
    return replace(e, x_mm=x, y_mm=y, rotation_mdeg=_facing(e.rotation_mdeg, by))


def _frame(e: Frame, by: Similarity) -> Frame:
    x, y = by.at_mm(e.x_mm, e.y_mm)
    entry = None if e.entry is None else by.at_mm(*e.entry)
    return replace(e, x_mm=x, y_mm=y, entry=entry, rotation_mdeg=_facing(e.rotation_mdeg, by))


def _facing(angle_mdeg: int, by: Similarity) -> int:
    """The turn of a thing with a front: mirrored it still faces its own side.

    An outlet's turn is the direction of its wall with the room on its left; the mirror image of
    that direction would have the room on its right.
    """
    turned = _turned(angle_mdeg, by)
    return normal_mdeg(turned + HALF_MDEG) if by.mirrored else turned


def _turned(angle_mdeg: int, by: Similarity) -> int:
    """An angle is left as it is written where nothing turns."""
    if by.turn_mdeg == 0 and not by.mirrored:
        return angle_mdeg
    return by.turned(angle_mdeg)


def _line(e: Any, by: Similarity) -> Any:
    moved = ((*by.at_mm(x, y), h) for x, y, h in e.vertices)
    return replace(e, vertices=tuple(moved))


def _riser(e: Riser, by: Similarity) -> Riser:
    return replace(e, lower=by.at_mm(*e.lower), upper=by.at_mm(*e.upper))


def _space(e: Space, by: Similarity) -> Space:
    rings = [tuple(by.at_mm(*p) for p in ring) for ring in (e.outline, *e.holes)]
    angle = None if e.grid_angle_mdeg is None else _turned(e.grid_angle_mdeg, by)
    return replace(e, outline=rings[0], holes=tuple(rings[1:]), grid_angle_mdeg=angle)


def _zone(e: ServingZone, by: Similarity) -> ServingZone:
    return replace(e, outline=tuple(by.at_mm(*p) for p in e.outline))


def _plan(e: Plan, by: Similarity) -> Plan:
    """A plan's file cannot be mirrored."""
    x, y = by.at_mm(e.x_mm, e.y_mm)
    return replace(
        e,
        x_mm=x,
        y_mm=y,
        rotation_mdeg=_turned(e.rotation_mdeg, by),
        mm_per_unit=e.mm_per_unit * by.scale,
    )


_TRANSFORMS: dict[type[Entity], Callable[[Any, Similarity], Entity]] = {
    Outlet: _turned_point,
    Penetration: _turned_point,
    Frame: _frame,
    Candidate: _point,
    Demarcation: _point,
    AccessPoint: _point,
    DropOut: _point,
    Break: _point,
    WalkedLength: _point,
    Pathway: _line,
    OutdoorDuct: _line,
    Riser: _riser,
    Space: _space,
    ServingZone: _zone,
    Plan: _plan,
}


def floors_of(project: Project, thing: Entity) -> tuple[str, ...]:
    """The ids of the floors on which the thing can be seen."""
    if isinstance(thing, _ON_FLOOR):
        return (thing.floor,)
    if isinstance(thing, OutdoorDuct):
        return tuple(dict.fromkeys((thing.from_floor, thing.to_floor)))
    if isinstance(thing, Riser):
        lower, upper = project.floors[thing.lower_floor], project.floors[thing.upper_floor]
        return tuple(
            f.id
            for f in project.floors.values()
            if f.building == lower.building and lower.level_mm <= f.level_mm <= upper.level_mm
        )
    return ()


def riser_point(project: Project, riser: Riser, floor_id: str) -> tuple[float, float]:
    """Where a riser passes a floor's level, on the straight line between its ends."""
    lower = project.floors[riser.lower_floor].level_mm
    upper = project.floors[riser.upper_floor].level_mm
    share = (project.floors[floor_id].level_mm - lower) / (upper - lower)
    (x0, y0), (x1, y1) = riser.lower, riser.upper
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)


def things_on(project: Project, floor_id: str) -> list[Entity]:
    """Everything placed that can be seen on a floor, in table order."""
    return [
        thing
        for entity_type in PLACED_TYPES
        for thing in project.table(entity_type).values()
        if floor_id in floors_of(project, thing)
    ]


def flat(vertices: tuple[Vertex, ...]) -> tuple[Point, ...]:
    """The vertices seen from above."""
    return tuple((x, y) for x, y, _ in vertices)
