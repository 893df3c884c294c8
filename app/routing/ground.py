"""The ground of one floor: what lies there to be reached, and what no leg may cross."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.geometry.segment_tree import search_tree, segment_lines
from app.model.entities import Space
from app.model.vocabulary import USES_CLOSED_TO_CABLE, USES_DIVISIBLE
from app.routing.joints import Joints
from app.routing.results import FloatArray, IndexArray, IntArray

SKIN_MM = 1.0
"""A leg may run along the wall of a closed space: this much of its edge is no part of it."""


@dataclass(frozen=True, eq=False)
class Ground:
    """One floor's stretches (`rows` into all stretches) and its closed spaces, searchable.

    `closed_bounds` are the boxes of the closed spaces (n, 4). `place_share` are the shares of
    `place_row` at which closed pathways may be entered, sorted by row; `spot_row`, `spot_share`
    are the places in risers and outdoor ducts that frames may use, `spot_z` the height at which
    they must come there, ANY_HEIGHT at ducts.
    """

    rows: IndexArray
    tree: shapely.STRtree
    place_row: IndexArray
    place_share: FloatArray
    spot_row: IndexArray
    spot_share: FloatArray
    spot_z: IntArray
    closed_ids: tuple[str, ...]
    closed_tree: shapely.STRtree
    closed_bounds: FloatArray


@dataclass(frozen=True, eq=False)
class Rooms:
    """The spaces of one floor, searchable; `areas` decide where they lie one in another."""

    ids: tuple[str, ...]
    areas: FloatArray
    tree: shapely.STRtree


def is_closed(space: Space) -> bool:
    """Whether cable may not cross the space: as set by hand, else by its use."""
    if space.closed_to_cable is not None:
        return space.closed_to_cable
    return space.use in USES_CLOSED_TO_CABLE


def is_divisible(space: Space) -> bool:
    """Whether a space's outlets may go to several frames: as set by hand, else by its use."""
    return space.use in USES_DIVISIBLE if space.divisible is None else space.divisible


def polygon_of(space: Space) -> BaseGeometry:
    """The space as a valid shape; an outline that crosses itself is mended, and a hole takes
    away only what lies within the outline."""
    polygon = shapely.Polygon(space.outline, space.holes)
    if polygon.is_valid:
        return polygon
    holes = [shapely.make_valid(shapely.Polygon(hole)) for hole in space.holes]
    return shapely.make_valid(shapely.Polygon(space.outline)).difference(shapely.union_all(holes))


def build_grounds(joints: Joints, spaces: Iterable[Space]) -> tuple[Ground, ...]:
    """The ground of every floor, in floor order."""
    closed: dict[str, list[Space]] = {f: [] for f in joints.floor_index}
    for space in spaces:
        if is_closed(space):
            closed[space.floor].append(space)
    return tuple(
        _ground(joints, index, sorted(closed[floor], key=lambda s: s.id))
        for floor, index in joints.floor_index.items()
    )


def _ground(joints: Joints, index: int, closed: Sequence[Space]) -> Ground:
    flat = joints.stretches
    rows = np.flatnonzero(flat.floor == index).astype(np.int32)
    on_floor = set(flat.thing[rows].tolist())
    places = sorted(
        (place.stretch, place.t)
        for thing, of_thing in joints.places.items()
        if thing in on_floor
        for place in of_thing
    )
    spots = sorted({(*cut, z) for floor, cut, z in joints.spots if floor == index})
    shapes = [polygon_of(space).buffer(-SKIN_MM, join_style="mitre") for space in closed]
    return Ground(
        rows=rows,
        tree=search_tree(segment_lines(flat.start[rows], flat.end[rows])),
        place_row=np.array([p[0] for p in places], dtype=np.int32),
        place_share=np.array([p[1] for p in places], dtype=np.float64),
        spot_row=np.array([s[0] for s in spots], dtype=np.int32),
        spot_share=np.array([s[1] for s in spots], dtype=np.float64),
        spot_z=np.array([s[2] for s in spots], dtype=np.int64),
        closed_ids=tuple(space.id for space in closed),
        closed_tree=shapely.STRtree(shapes),
        closed_bounds=shapely.bounds(np.array(shapes, dtype=object)).reshape(-1, 4),
    )


def build_rooms(floor_ids: Iterable[str], spaces: Iterable[Space]) -> dict[str, Rooms]:
    """The spaces of each floor, by floor id, ready to be asked what lies where."""
    on: dict[str, list[Space]] = {f: [] for f in floor_ids}
    for space in spaces:
        on[space.floor].append(space)
    return {floor: _rooms(sorted(own, key=lambda s: s.id)) for floor, own in on.items()}


def _rooms(spaces: Sequence[Space]) -> Rooms:
    shapes = [polygon_of(space) for space in spaces]
    areas = np.array([shape.area for shape in shapes], dtype=np.float64)
    return Rooms(tuple(s.id for s in spaces), areas, shapely.STRtree(shapes))


def spaces_at(rooms: Rooms, xy: FloatArray) -> IntArray:
    """For each point (n, 2) the number of the smallest space that holds it, -1 outside all.

    A point on a wall that two spaces share belongs to the smaller; equal: to the first by id.
    """
    found = np.full(len(xy), -1, dtype=np.int64)
    if not rooms.ids or not len(xy):
        return found
    which, space = rooms.tree.query(shapely.points(xy), predicate="intersects")
    order = np.lexsort((space, rooms.areas[space], which))
    which, space = which[order][::-1], space[order][::-1]
    found[which] = space  # the last written is the first in order: the smallest
    return found


def crossing_closed(
    ground: Ground, start: FloatArray, corner: FloatArray, end: FloatArray
) -> NDArray[np.bool_]:
    """Which of the bent lines start–corner–end (each (n, 2)) cross a closed space."""
    crossed = np.zeros(len(start), dtype=bool)
    if not ground.closed_ids or not len(start):
        return crossed
    low = np.minimum(np.minimum(start, corner), end)
    high = np.maximum(np.maximum(start, corner), end)
    near = np.flatnonzero(_near_closed(ground, low, high))
    if len(near):
        bent = np.stack((start[near], corner[near], end[near]), axis=1)
        hit = ground.closed_tree.query(shapely.linestrings(bent), predicate="intersects")[0]
        crossed[near[np.unique(hit)]] = True
    return crossed


def _near_closed(ground: Ground, low: FloatArray, high: FloatArray) -> NDArray[np.bool_]:
    """Which boxes meet the box of a closed space. Most floors have few such spaces."""
    near = np.zeros(len(low), dtype=bool)
    for x0, y0, x1, y1 in ground.closed_bounds.tolist():
        near |= (low[:, 0] <= x1) & (high[:, 0] >= x0) & (low[:, 1] <= y1) & (high[:, 1] >= y0)
    return near


def closed_spaces_crossed(ground: Ground, line: Sequence[tuple[float, float]]) -> list[str]:
    """The ids of the closed spaces that a line crosses."""
    if not ground.closed_ids:
        return []
    hits: Any = ground.closed_tree.query(shapely.LineString(line), predicate="intersects")
    return sorted(ground.closed_ids[int(k)] for k in hits)
