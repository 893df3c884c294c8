"""Joints: all stretches of a project and the places where they are joined.

Neither frames nor outlets are in it, but for the heights at which frames and demarcation
points enter a riser that they reach.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from app.geometry.rounding import to_mm
from app.model.entities import Break, DropOut, Floor, Riser
from app.model.project import Project, floors_from_below
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
from app.routing.stretches import (
    OFFSET_BITS,
    Entry,
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

RiserEnd = tuple[str, str, int]
"""A riser's id, a floor's id and the absolute height at which an end enters the riser there."""

Spot = tuple[int, Cut, int]
"""A floor's index, a cut in a riser or outdoor duct where frames on that floor may enter, and
the absolute height at which they must come; ANY_HEIGHT at ends of ducts."""
ANY_HEIGHT = 2**40


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
    chains, met = _riser_chains(project, flat, meetings, riser_ends, floor_index, points)
    stretches = cut_into_stretches([*lines, *chains], tuple(floor_index))
    joins += _riser_joins(stretches, met)
    joins += _ring_joins(stretches)
    spots = _duct_spots(project, stretches, floors) + _riser_spots(stretches, met)
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
            _storeys(project, stretches, met, floors),
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


def riser_points(project: Project) -> dict[str, dict[str, tuple[int, int]]]:
    """Riser id -> floor id -> where the riser passes that floor, from its lower floor up."""
    below: dict[str, tuple[Floor, ...]] = {}
    found: dict[str, dict[str, tuple[int, int]]] = {}
    for riser in project.risers.values():
        building = project.floors[riser.lower_floor].building
        if building not in below:
            below[building] = floors_from_below(project, building)
        found[riser.id] = _points_of(riser, below[building], project.floors)
    return found


def _points_of(
    riser: Riser, floors: Sequence[Floor], by_id: Mapping[str, Floor]
) -> dict[str, tuple[int, int]]:
    low, high = by_id[riser.lower_floor].level_mm, by_id[riser.upper_floor].level_mm
    points: dict[str, tuple[int, int]] = {}
    for floor in floors:
        is_end = floor.id in (riser.lower_floor, riser.upper_floor)
        if not is_end and not low < floor.level_mm < high:
            continue
        share = (floor.level_mm - low) / (high - low)
        points[floor.id] = (
            to_mm(riser.lower[0] + share * (riser.upper[0] - riser.lower[0])),
            to_mm(riser.lower[1] + share * (riser.upper[1] - riser.lower[1])),
        )
    return points


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


@dataclass(frozen=True, slots=True)
class _Met:
    """A node of a riser: its number along the riser, and what meets it there."""

    riser: str
    node: int
    nodes: int
    floor: int
    cuts: tuple[Cut, ...]


def _riser_chains(
    project: Project,
    flat: Stretches,
    meetings: Sequence[Meeting],
    riser_ends: Sequence[RiserEnd],
    floor_index: Mapping[str, int],
    points: Mapping[str, Mapping[str, tuple[int, int]]],
) -> tuple[list[Line], list[_Met]]:
    """Each riser from its lowest to its highest meeting, with a node at every height."""
    heights: dict[str, dict[tuple[int, int], list[Cut]]] = {r: {} for r in project.risers}
    for m in meetings:
        z = flat.point(*m.cut)[2]
        heights[m.riser].setdefault((z, m.floor), []).append(m.cut)
    for riser, floor_id, z in riser_ends:
        heights[riser].setdefault((z, floor_index[floor_id]), [])
    floor_ids = tuple(floor_index)
    lines: list[Line] = []
    met: list[_Met] = []
    for riser in sorted(heights):
        nodes = sorted(heights[riser])
        at = [(*points[riser][floor_ids[floor]], z) for z, floor in nodes]
        distinct = [k for k, p in enumerate(at) if k == 0 or p != at[k - 1]]
        if len(distinct) > 1:
            lines.append(Line(riser, -1, Entry.ENDS, tuple(at[k] for k in distinct), upright=True))
            for k, node in enumerate(nodes):
                number = sum(d <= k for d in distinct) - 1
                cuts = tuple(heights[riser][node])
                met.append(_Met(riser, number, len(distinct), node[1], cuts))
    return lines, met


def _riser_cut(stretches: Stretches, index: Mapping[str, int], met: _Met) -> Cut:
    first = int(stretches.first_of_thing[index[met.riser]])
    return (first + met.node, 0.0) if met.node < met.nodes - 1 else (first + met.node - 1, 1.0)


def _storeys(
    project: Project, stretches: Stretches, met: Sequence[_Met], floors: Sequence[Floor]
) -> dict[tuple[str, str], int]:
    """By riser and floor: the stretch from the highest place where something of that floor
    enters, else from the floor itself, to the next place above; at the top the last stretch."""
    index = {thing: k for k, thing in enumerate(stretches.things)}
    entered: dict[tuple[str, int], int] = {}
    for m in met:
        entered[m.riser, m.floor] = max(m.node, entered.get((m.riser, m.floor), 0))
    found: dict[tuple[str, str], int] = {}
    for riser in project.risers:
        if riser not in index:
            continue
        first, stop = stretches.first_of_thing[index[riser] : index[riser] + 2].tolist()
        for number, floor in enumerate(floors):
            node = entered.get((riser, number))
            if node is None:
                lower = stretches.start[first:stop, 2] <= floor.level_mm
                node = int(lower.sum()) - 1
            found[riser, floor.id] = min(max(first + node, first), stop - 1)
    return found


def _riser_joins(stretches: Stretches, met: Sequence[_Met]) -> list[Join]:
    index = {thing: k for k, thing in enumerate(stretches.things)}
    return [Join(_riser_cut(stretches, index, m), cut) for m in met for cut in m.cuts]


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


def _riser_spots(stretches: Stretches, met: Sequence[_Met]) -> list[Spot]:
    index = {thing: k for k, thing in enumerate(stretches.things)}
    cuts = [(m.floor, _riser_cut(stretches, index, m)) for m in met]
    return [(floor, cut, stretches.point(*cut)[2]) for floor, cut in cuts]


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
