"""Joints: all stretches of a project and the places where they are joined.

Neither frames nor outlets are in it, but for the heights at which frames and demarcation
points enter a riser that they reach.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from app.model.entities import Break, DropOut, Floor
from app.model.project import Project
from app.routing.joins import (
    Cut,
    FloorPlan,
    Join,
    Meeting,
    Seeker,
    crossing_joins,
    drop_out_joins,
    riser_meetings,
    vertex_joins,
    vertex_seekers,
)
from app.routing.results import FloatArray, IndexArray, IntArray
from app.routing.riser_joints import (
    ANY_HEIGHT,
    RiserEnd,
    Spot,
    riser_chains,
    riser_joins,
    riser_points,
    riser_spots,
    storeys,
)
from app.routing.stretches import (
    OFFSET_BITS,
    Line,
    Place,
    Point3,
    Stretches,
    cut_into_stretches,
    duct_line,
    pathway_line,
    places_of_closed,
)
from app.routing.walked import Walked, lay_walked


@dataclass(frozen=True, eq=False)
class Joints:
    """Stretches cut where they are joined.

    Cuts are sorted by stretch and offset; both ends of every stretch are cuts. Cuts of one
    `group` are one junction. A link joins two groups, one above the other. `places` gives the
    entries of closed pathways, `spots` those of risers and outdoor ducts. `riser_floors` are
    the ids of the floors on which something comes to each riser. `walked` is what was added
    and measured along the stretches, None where nothing was.
    """

    stretches: Stretches
    cut_stretch: IndexArray
    cut_offset: IntArray
    cut_group: IndexArray
    link_from: IndexArray
    link_to: IndexArray
    link_length: IntArray
    link_floor: IndexArray
    places: Mapping[int, tuple[Place, ...]]
    spots: tuple[Spot, ...]
    floor_index: Mapping[str, int]
    riser_floors: Mapping[str, frozenset[str]]
    walked: Walked | None


def floor_order(project: Project) -> tuple[Floor, ...]:
    """All floors, from below, equal levels by building and id."""
    return tuple(sorted(project.floors.values(), key=lambda f: (f.level_mm, f.building, f.id)))


def build_joints(project: Project, riser_ends: Sequence[RiserEnd] = ()) -> Joints:
    """Find what joins what in a project."""
    floors = floor_order(project)
    floor_index = {f.id: i for i, f in enumerate(floors)}
    lines = _lines(project, floor_index)
    flat = cut_into_stretches(lines, tuple(floor_index))
    tolerance = project.settings.join_tolerance_mm
    places = places_of_closed(
        flat, project.pathways, project.access_points.values(), tolerance_mm=tolerance
    )
    points = riser_points(project)
    joins, meetings = _floor_joins(project, flat, places, floors, points)
    chains, met = riser_chains(project, flat, meetings, riser_ends, floor_index, points)
    stretches = cut_into_stretches([*lines, *chains], tuple(floor_index))
    joins += riser_joins(stretches, met)
    joins += _ring_joins(stretches)
    spots = _duct_spots(project, stretches, floors) + riser_spots(stretches, met)
    comes: dict[str, set[str]] = {riser: set() for riser in project.risers}
    for m in meetings:
        comes[m.riser].add(floors[m.floor].id)
    for riser, floor, _ in riser_ends:
        comes[riser].add(floor)
    riser_floors = {riser: frozenset(on) for riser, on in comes.items()}
    walked = None
    if project.walked_lengths:
        walked = lay_walked(
            stretches,
            project.walked_lengths.values(),
            storeys(project, stretches, met, floors),
            leg_weight=project.settings.leg_weight,
        )
    return _joined(stretches, joins, places, tuple(spots), floor_index, riser_floors, walked)


def _lines(project: Project, floor_index: Mapping[str, int]) -> list[Line]:
    lines = [
        pathway_line(p, project.floors[p.floor], floor_index[p.floor])
        for p in project.pathways.values()
    ]
    lines += [
        duct_line(d, project.floors[d.from_floor], project.floors[d.to_floor])
        for d in project.outdoor_ducts.values()
    ]
    return sorted(lines, key=lambda line: line.thing)


def _floor_joins(
    project: Project,
    flat: Stretches,
    places: Mapping[int, tuple[Place, ...]],
    floors: Sequence[Floor],
    points: Mapping[str, Mapping[str, tuple[int, int]]],
) -> tuple[list[Join], list[Meeting]]:
    """The joins on every floor, and the pathways and ducts that come to risers."""
    breaks: dict[frozenset[str], list[Break]] = {}
    for b in project.breaks.values():
        breaks.setdefault(frozenset((b.pathway_a, b.pathway_b)), []).append(b)
    joins: list[Join] = []
    meetings: list[Meeting] = []
    settings = project.settings
    for index, floor in enumerate(floors):
        ducts = _duct_ends(project, flat, floor.id)
        rows = np.flatnonzero(flat.floor == index).astype(np.int32)
        at_risers = [(riser, *on[floor.id]) for riser, on in points.items() if floor.id in on]
        meetings += _duct_meetings(flat, ducts, at_risers, index, settings.join_tolerance_mm)
        joins += _duct_joins(flat, ducts, settings.join_tolerance_mm)
        if not len(rows):
            continue
        plan = FloorPlan(flat, rows, places, settings.join_tolerance_mm)
        seekers = vertex_seekers(flat, rows, places)
        seekers += [_duct_seeker(flat, end) for end in ducts]
        joins += vertex_joins(plan, seekers, breaks)
        joins += crossing_joins(plan, breaks, same_height_mm=settings.same_height_mm)
        drops = [d for d in project.drop_outs.values() if d.floor == floor.id]
        joins += drop_out_joins(plan, _by_place(drops))
        meetings += riser_meetings(plan, index, at_risers)
    return joins, meetings


def _by_place(drops: list[DropOut]) -> list[DropOut]:
    return sorted(drops, key=lambda d: (d.x_mm, d.y_mm, d.id))


def _duct_ends(project: Project, flat: Stretches, floor_id: str) -> list[Cut]:
    """The ends of outdoor ducts on a floor."""
    ends: list[Cut] = []
    if not project.outdoor_ducts:
        return ends
    for index, thing in enumerate(flat.things):
        duct = project.outdoor_ducts.get(thing)
        if duct is not None:
            first, stop = (int(i) for i in flat.first_of_thing[index : index + 2])
            ends += [(first, 0.0)] if duct.from_floor == floor_id else []
            ends += [(stop - 1, 1.0)] if duct.to_floor == floor_id else []
    return ends


def _duct_seeker(flat: Stretches, end: Cut) -> Seeker:
    x, y, _ = flat.point(*end)
    return Seeker(x, y, int(flat.thing[end[0]]), (end,))


def _duct_joins(flat: Stretches, ends: Sequence[Cut], tolerance_mm: int) -> list[Join]:
    """Ends of different outdoor ducts that lie together, as in a manhole."""
    joins = []
    for i, one in enumerate(ends):
        for other in ends[i + 1 :]:
            if flat.thing[one[0]] != flat.thing[other[0]] and _near(
                flat.point(*one), flat.point(*other), tolerance_mm
            ):
                joins.append(Join(one, other))
    return joins


def _duct_meetings(
    flat: Stretches,
    ends: Sequence[Cut],
    at_risers: Sequence[tuple[str, int, int]],
    floor: int,
    tolerance_mm: int,
) -> list[Meeting]:
    return [
        Meeting(riser, floor, end)
        for riser, x, y in at_risers
        for end in ends
        if _near(flat.point(*end), (x, y, 0), tolerance_mm)
    ]


def _near(one: Point3, other: Point3, tolerance_mm: int) -> bool:
    return (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 <= tolerance_mm**2


def _ring_joins(stretches: Stretches) -> list[Join]:
    """A line that comes back to its very first point is a ring."""
    first = stretches.first_of_thing[:-1]
    last = stretches.first_of_thing[1:] - 1
    closed = (stretches.start[first] == stretches.end[last]).all(axis=1) if len(first) else first
    return [
        Join((int(a), 0.0), (int(b), 1.0))
        for a, b in zip(first[closed], last[closed], strict=True)
        if a != b
    ]


def _duct_spots(project: Project, stretches: Stretches, floors: Sequence[Floor]) -> list[Spot]:
    return [
        (index, end, ANY_HEIGHT)
        for index, floor in enumerate(floors)
        for end in _duct_ends(project, stretches, floor.id)
    ]


def _joined(
    stretches: Stretches,
    joins: Sequence[Join],
    places: Mapping[int, tuple[Place, ...]],
    spots: tuple[Spot, ...],
    floor_index: Mapping[str, int],
    riser_floors: Mapping[str, frozenset[str]],
    walked: Walked | None,
) -> Joints:
    """Cuts and links: joined cuts at one height are one group, others are linked."""
    pairs = np.array([(*j.one, *j.other) for j in joins], dtype=np.float64).reshape(-1, 4)
    one = cut_keys(stretches, pairs[:, 0].astype(np.int64), pairs[:, 1])
    other = cut_keys(stretches, pairs[:, 2].astype(np.int64), pairs[:, 3])
    every = np.arange(len(stretches.length), dtype=np.int64) << OFFSET_BITS
    keys = np.unique(np.concatenate((every, every + stretches.length, one, other)))
    rise = np.array(
        [abs(stretches.point(*j.one)[2] - stretches.point(*j.other)[2]) for j in joins],
        dtype=np.int64,
    )
    at_one, at_other = np.searchsorted(keys, one), np.searchsorted(keys, other)
    follows = np.flatnonzero(stretches.thing[1:] == stretches.thing[:-1])
    ends = np.searchsorted(keys, every[follows] + stretches.length[follows])
    starts = np.searchsorted(keys, every[follows + 1])
    level = rise == 0
    a = np.concatenate((at_one[level], ends))
    b = np.concatenate((at_other[level], starts))
    graph = coo_array((np.ones(len(a), dtype=np.int8), (a, b)), shape=(len(keys), len(keys)))
    _, group = connected_components(graph, directed=False)
    floors = stretches.floor[pairs[:, [0, 2]].astype(np.int64)].reshape(-1, 2).max(axis=1)
    links = _distinct_links(
        group[at_one[~level]], group[at_other[~level]], rise[~level], floors[~level]
    )
    return Joints(
        stretches=stretches,
        cut_stretch=(keys >> OFFSET_BITS).astype(np.int32),
        cut_offset=keys & ((1 << OFFSET_BITS) - 1),
        cut_group=group.astype(np.int32),
        link_from=links[0].astype(np.int32),
        link_to=links[1].astype(np.int32),
        link_length=links[2],
        link_floor=links[3].astype(np.int32),
        places=places,
        spots=spots,
        floor_index=floor_index,
        riser_floors=riser_floors,
        walked=walked,
    )


def cut_keys(stretches: Stretches, rows: IntArray, shares: FloatArray) -> IntArray:
    """Stretch and rounded offset of cuts as one sortable number."""
    offsets = np.floor(shares * stretches.true_length[rows] + 0.5).astype(np.int64)
    keys: IntArray = (rows << OFFSET_BITS) + np.minimum(offsets, stretches.length[rows])
    return keys


def cut_keys_of(joints: Joints) -> IntArray:
    """The sorted keys of the cuts at joints."""
    return (joints.cut_stretch.astype(np.int64) << OFFSET_BITS) + joints.cut_offset


def _distinct_links(
    one: IndexArray, other: IndexArray, rise: IntArray, floor: IndexArray
) -> tuple[IntArray, IntArray, IntArray, IntArray]:
    """Links between different groups, of several between the same two the shortest."""
    low, high = np.minimum(one, other), np.maximum(one, other)
    order = np.lexsort((floor, rise, high, low))
    low, high, rise, floor = low[order], high[order], rise[order], floor[order]
    kept = low != high
    kept[1:] &= (low[1:] != low[:-1]) | (high[1:] != high[:-1])
    return (
        low[kept].astype(np.int64),
        high[kept].astype(np.int64),
        rise[kept],
        floor[kept].astype(np.int64),
    )
