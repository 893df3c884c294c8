"""The oracle's ends: outlets and frames, their legs, and the spaces they stand in."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

import shapely

from app.model.entities import Demarcation, Frame, Outlet, Space
from app.model.project import Project, floors_from_below
from app.model.vocabulary import USES_CLOSED_TO_CABLE, WayDown
from tests.routing.oracle_pathways import (
    Node,
    Pathways,
    Point3,
    Stretch,
    axis_of,
    half_up,
    riser_points,
    square_to,
)

GRACE_MM = 0.5
WALL_MM = 0.5
"""How deep into a closed space a leg must come to cross it."""


@dataclass(frozen=True)
class Leg:
    """A way from an end to a node: horizontal and upright millimetres, and where it comes."""

    node: Node
    across: int
    upright: int
    point: Point3


@dataclass(frozen=True)
class End:
    """An outlet, or a frame's entry: where it is, its grid, and whose floor's pathways it uses."""

    thing: str
    x: int
    y: int
    z: int
    axis: tuple[float, float]
    ground: str | None
    space: Space | None
    highest: float = float("inf")
    lowest: float = float("-inf")


@dataclass(frozen=True)
class Stand:
    """A frame or demarcation point, absolute heights; `top` is where cable runs to it."""

    end: End
    ladder: int | None
    panel: int
    top: int
    beyond: int
    dressing: int

    def down(self, z: int) -> int:
        """Upright millimetres from a height to the panels."""
        if self.ladder is None:
            return abs(z - self.panel)
        return abs(z - self.ladder) + abs(self.ladder - self.panel)


def space_at(project: Project, floor: str, x: int, y: int) -> Space | None:
    """The smallest space that holds a point, walls included."""
    here = [s for s in project.spaces.values() if s.floor == floor and holds(s, x, y)]
    return min(here, key=lambda s: (area2(s), s.id), default=None)


def area2(space: Space) -> int:
    """Twice the area."""
    return ring_area2(space.outline) - sum(ring_area2(hole) for hole in space.holes)


def ring_area2(ring: tuple[tuple[int, int], ...]) -> int:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in _sides(ring)))


def holds(space: Space, x: int, y: int) -> bool:
    """Whether a point lies in a space or on its walls, in whole numbers."""
    return within(space.outline, x, y) is not False and not any(
        within(hole, x, y) is True for hole in space.holes
    )


def within(ring: tuple[tuple[int, int], ...], x: int, y: int) -> bool | None:
    """Whether a point lies within a ring; None on it."""
    inside = False
    for (x0, y0), (x1, y1) in _sides(ring):
        side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
        if side == 0 and min(x0, x1) <= x <= max(x0, x1) and min(y0, y1) <= y <= max(y0, y1):
            return None
        if (y0 > y) != (y1 > y) and (side > 0) == (y1 > y0):
            inside = not inside
    return inside


def _sides(ring: tuple[tuple[int, int], ...]) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    return zip(ring, (*ring[1:], ring[0]), strict=True)


def closed_areas(project: Project, floor: str) -> list[shapely.Geometry]:
    """What no leg on a floor may enter: closed spaces without the skin of their walls."""
    return [
        shapely.Polygon(s.outline, s.holes).buffer(-WALL_MM, join_style="mitre")
        for s in project.spaces.values()
        if s.floor == floor
        and (s.use in USES_CLOSED_TO_CABLE if s.closed_to_cable is None else s.closed_to_cable)
    ]


def outlet_end(project: Project, outlet: Outlet) -> End:
    kind, level = project.outlet_kinds[outlet.kind], project.floors[outlet.floor].level_mm
    space = space_at(project, outlet.floor, outlet.x_mm, outlet.y_mm)
    height = kind.height_mm if outlet.height_mm is None else outlet.height_mm
    if height is None and space is not None:
        height = space.ceiling_height_mm
    if height is None:
        height = project.settings.ceiling_height_mm
    way = kind.way_down if outlet.way_down is None else outlet.way_down
    ground: str | None = outlet.floor
    if way is WayDown.POKE_THROUGH:
        floors = [f.id for f in floors_from_below(project, project.floors[outlet.floor].building)]
        at = floors.index(outlet.floor)
        ground = floors[at - 1] if at else None
    return End(
        outlet.id,
        outlet.x_mm,
        outlet.y_mm,
        level + height,
        grid_of(project, outlet.floor, space),
        ground,
        space,
        level if way is WayDown.RAISED_FLOOR else float("inf"),
        level if way in (WayDown.SERVICE_POLE, WayDown.CEILING) else float("-inf"),
    )


def grid_of(project: Project, floor: str, space: Space | None) -> tuple[float, float]:
    if space is not None and space.grid_angle_mdeg is not None:
        return axis_of(space.grid_angle_mdeg)
    return axis_of(project.floors[floor].grid_angle_mdeg)


def stand_of(project: Project, thing: Frame | Demarcation) -> Stand:
    settings, level = project.settings, project.floors[thing.floor].level_mm
    space = space_at(project, thing.floor, thing.x_mm, thing.y_mm)
    axis = grid_of(project, thing.floor, space)
    tray = level + settings.tray_height_mm
    if isinstance(thing, Demarcation):
        z = level + thing.height_mm
        end = End(thing.id, thing.x_mm, thing.y_mm, z, axis, thing.floor, space)
        return Stand(end, None, z, tray, 0, 0)
    own = settings.panel_height_mm if thing.panel_height_mm is None else thing.panel_height_mm
    ladder = None if thing.ladder_height_mm is None else level + thing.ladder_height_mm
    x, y = (thing.x_mm, thing.y_mm) if thing.entry is None else thing.entry
    z = level + own if ladder is None else ladder
    beyond = sum(half_up(abs(d)) for d in square_to(axis, x - thing.x_mm, y - thing.y_mm))
    dressing = settings.dressing_mm if thing.dressing_mm is None else thing.dressing_mm
    end = End(thing.id, x, y, z, axis, thing.floor, space)
    return Stand(end, ladder, level + own, tray if ladder is None else ladder, beyond, dressing)


def riser_ends(project: Project, stands: list[Stand]) -> list[tuple[str, str, int]]:
    """Riser, floor and height of every frame and demarcation point that may enter a riser."""
    found = []
    for riser in project.risers.values():
        for floor, (x, y) in riser_points(project, riser).items():
            for stand in stands:
                end = stand.end
                u, v = square_to(end.axis, x - end.x, y - end.y)
                if end.ground == floor and abs(u) + abs(v) <= project.settings.reach_mm + GRACE_MM:
                    found.append((riser.id, floor, stand.top))
    return found


Cuts = Mapping[int, Collection[int]]
"""The offsets at which stretches are cut into pieces."""


def legs_of(pathways: Pathways, end: End, closed: list[shapely.Geometry], cuts: Cuts) -> list[Leg]:
    """Every leg of an end to the pathways of its floor."""
    if end.ground is None:
        return []
    legs = []
    for s in pathways.on_floor(end.ground):
        if s.open:
            foot = foot_of(pathways, s, end)
            leg = None if foot is None else leg_to(pathways, end, s, foot, closed)
            if leg is not None:
                legs.append(leg)
                continue
            shares = candidates(s, end, pathways.project.settings.reach_mm, cuts[s.number])
        else:
            shares = [t for number, t in pathways.places[s.thing] if number == s.number]
        legs += [leg for t in shares if (leg := leg_to(pathways, end, s, t, closed)) is not None]
    return legs


def stand_legs(
    pathways: Pathways, stand: Stand, closed: list[shapely.Geometry], cuts: Cuts
) -> list[Leg]:
    """The legs of a frame: to pathways, to risers at its own height, to ends of outdoor ducts."""
    end = stand.end
    legs = legs_of(pathways, end, closed, cuts)
    spots = [
        cut for _, floor, z, cut in pathways.riser_nodes if (floor, z) == (end.ground, stand.top)
    ]
    spots += [cut for floor, cut in pathways.duct_ends if floor == end.ground]
    for number, t in spots:
        leg = leg_to(pathways, end, pathways.stretches[number], t, closed)
        legs += [] if leg is None else [leg]
    return legs


def foot_of(pathways: Pathways, s: Stretch, end: End) -> float | None:
    """On a level stretch square to the end's grid, and on a plumb one, the share nearest to the
    end: a leg grows there at least as fast as the way along, so no other place is better. None
    on any other stretch, and where a measured millimetre costs more than one of a leg."""
    u0, v0 = square_to(end.axis, s.a[0] - end.x, s.a[1] - end.y)
    du, dv = square_to(end.axis, s.b[0] - s.a[0], s.b[1] - s.a[1])
    if s.number in pathways.measured and dearer_than_a_leg(pathways, s):
        return None
    if s.plumb:
        return s.share_at_height(end.z)
    if s.a[2] != s.b[2] or (du != 0 and dv != 0):
        return None
    return min(1.0, max(0.0, -v0 / dv if du == 0 else -u0 / du))


def dearer_than_a_leg(pathways: Pathways, s: Stretch) -> bool:
    """Whether a drawn millimetre costs more than a leg's, or the same and is longer."""
    weight = pathways.project.settings.leg_weight
    measured = pathways.measured[s.number]
    return (measured, measured) > (weight * s.length, s.length) and measured > s.length


def candidates(s: Stretch, end: End, reach: int, cuts: Collection[int]) -> list[float]:
    """The shares of an open stretch at which the cost along it can be least: the ends of its
    pieces, its crossings with the end's row and column, where the leg equals the reach, and on
    a slope the point at the end's height."""
    u0, v0 = square_to(end.axis, s.a[0] - end.x, s.a[1] - end.y)
    du, dv = square_to(end.axis, s.b[0] - s.a[0], s.b[1] - s.a[1])
    bends = [-start / change for start, change in ((v0, dv), (u0, du)) if change != 0]
    shares = [*bends, *(offset / s.true_length for offset in cuts if 0 < offset < s.length)]
    if s.b[2] != s.a[2]:
        shares.append((end.z - s.a[2]) / (s.b[2] - s.a[2]))
    edges = [0.0, *sorted(t for t in bends if 0 < t < 1), 1.0]
    for low, high in pairwise(edges):
        over = [abs(u0 + t * du) + abs(v0 + t * dv) - reach for t in (low, high)]
        if over[0] * over[1] < 0:
            shares.append(low + (high - low) * over[0] / (over[0] - over[1]))
    return [0.0, 1.0, *(t for t in shares if 1e-12 < t < 1 - 1e-12)]


def leg_to(
    pathways: Pathways, end: End, s: Stretch, t: float, closed: list[shapely.Geometry]
) -> Leg | None:
    """The leg to a place on a stretch; None beyond reach, too high, or barred both ways."""
    x, y, _ = s.real(t)
    point = s.at(t)
    u, v = square_to(end.axis, x - end.x, y - end.y)
    if not end.lowest <= point[2] <= end.highest:
        return None
    if abs(u) + abs(v) > pathways.project.settings.reach_mm + GRACE_MM:
        return None
    if barred(end, u, v, closed):
        return None
    across = half_up(abs(u)) + half_up(abs(v))
    return Leg(s.node(t), across, abs(point[2] - end.z), point)


def barred(end: End, u: float, v: float, closed: list[shapely.Geometry]) -> bool:
    """Whether both bent lines from an end cross a closed space."""
    cos, sin = end.axis
    along, square = (u * cos, u * sin), (-v * sin, v * cos)
    goal = (end.x + along[0] + square[0], end.y + along[1] + square[1])
    for dx, dy in (along, square):
        line = shapely.LineString([(end.x, end.y), (end.x + dx, end.y + dy), goal])
        if not any(area.intersects(line) for area in closed):
            return False
    return True
