"""Risers among the joints: where they pass floors, their nodes, and what meets them there."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from app.geometry.rounding import to_mm
from app.model.entities import Floor, Riser
from app.model.project import Project, floors_from_below
from app.routing.joins import Cut, Join, Meeting
from app.routing.stretches import Entry, Line, Stretches

RiserEnd = tuple[str, str, int]
"""A riser's id, a floor's id and the absolute height at which an end enters the riser there."""

Spot = tuple[int, Cut, int]
"""A floor's index, a cut in a riser or outdoor duct where frames on that floor may enter, and
the absolute height at which they must come; ANY_HEIGHT at ends of ducts."""
ANY_HEIGHT = 2**40


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


@dataclass(frozen=True, slots=True)
class Met:
    """A node of a riser: its number along the riser, and what meets it there."""

    riser: str
    node: int
    nodes: int
    floor: int
    cuts: tuple[Cut, ...]


def riser_chains(
    project: Project,
    flat: Stretches,
    meetings: Sequence[Meeting],
    riser_ends: Sequence[RiserEnd],
    floor_index: Mapping[str, int],
    points: Mapping[str, Mapping[str, tuple[int, int]]],
) -> tuple[list[Line], list[Met]]:
    """Each riser from its lowest to its highest meeting, with a node at every height."""
    heights: dict[str, dict[tuple[int, int], list[Cut]]] = {r: {} for r in project.risers}
    for m in meetings:
        z = flat.point(*m.cut)[2]
        heights[m.riser].setdefault((z, m.floor), []).append(m.cut)
    for riser, floor_id, z in riser_ends:
        heights[riser].setdefault((z, floor_index[floor_id]), [])
    floor_ids = tuple(floor_index)
    lines: list[Line] = []
    met: list[Met] = []
    for riser in sorted(heights):
        nodes = sorted(heights[riser])
        at = [(*points[riser][floor_ids[floor]], z) for z, floor in nodes]
        distinct = [k for k, p in enumerate(at) if k == 0 or p != at[k - 1]]
        if len(distinct) > 1:
            lines.append(Line(riser, -1, Entry.ENDS, tuple(at[k] for k in distinct), upright=True))
            for k, node in enumerate(nodes):
                number = sum(d <= k for d in distinct) - 1
                cuts = tuple(heights[riser][node])
                met.append(Met(riser, number, len(distinct), node[1], cuts))
    return lines, met


def _riser_cut(stretches: Stretches, index: Mapping[str, int], met: Met) -> Cut:
    first = int(stretches.first_of_thing[index[met.riser]])
    return (first + met.node, 0.0) if met.node < met.nodes - 1 else (first + met.node - 1, 1.0)


def storeys(
    project: Project, stretches: Stretches, met: Sequence[Met], floors: Sequence[Floor]
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


def riser_joins(stretches: Stretches, met: Sequence[Met]) -> list[Join]:
    index = {thing: k for k, thing in enumerate(stretches.things)}
    return [Join(_riser_cut(stretches, index, m), cut) for m in met for cut in m.cuts]


def riser_spots(stretches: Stretches, met: Sequence[Met]) -> list[Spot]:
    index = {thing: k for k, thing in enumerate(stretches.things)}
    cuts = [(m.floor, _riser_cut(stretches, index, m)) for m in met]
    return [(floor, cut, stretches.point(*cut)[2]) for floor, cut in cuts]
