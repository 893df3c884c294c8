"""Options: what every frame that may serve an outlet would cost it, and by which leg."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from app.geometry.rounding import to_mm_array
from app.model.entities import Floor, Frame
from app.model.project import Project, floors_from_below
from app.model.vocabulary import Serves
from app.routing.ground import Ground, crossing_closed
from app.routing.legs import Legs
from app.routing.network import Hold, Network, walked_between
from app.routing.places import GRACE_MM, Ends
from app.routing.plates import Plates
from app.routing.results import BoolArray, FloatArray, IndexArray, IntArray
from app.routing.stands import Stands
from app.routing.trees import WEIGH, Trees, weigh
from app.routing.walked import NOT_MEASURED

NO_LEG, DIRECT = -1, -2
FAR = 2**60
"""The length of a run that has no route."""
MOST_CELLS = 4_000_000
"""Numbers held at once; more frames and legs are taken in parts."""


@dataclass(frozen=True, eq=False)
class FloorFrames:
    """The frames that matter on one floor, in order: numbers, and which may serve it."""

    frames: IndexArray
    serves: BoolArray


@dataclass(frozen=True, eq=False)
class Options:
    """For the outlets of one floor (`rows` into the plates) by its frames, matrices.

    `leg` is the leg taken, NO_LEG where there is no route, DIRECT for one leg without a
    pathway; `to_high` whether it goes to the cut after its point. `across` and `upright` are
    the horizontal and vertical millimetres of the whole way, dressing included in `upright`;
    `allowance` is that on the horizontal ones that were not measured. `length` adds it, and what
    was added on the way as walked; FAR where there is no route.
    """

    rows: IntArray
    on: FloorFrames
    leg: IndexArray
    to_high: BoolArray
    leg_across: IntArray
    across: IntArray
    upright: IntArray
    allowance: IntArray
    length: IntArray


@dataclass(frozen=True, eq=False)
class FloorWork:
    """The outlets of one floor: their legs (numbered from 0 on this floor) and options."""

    rows: IntArray
    legs: Legs
    holds: Hold
    options: Options

    def place(self, outlet: int) -> int:
        """The place of an outlet's row among those of the floor."""
        return int(np.searchsorted(self.rows, outlet))


def frames_by_floor(
    project: Project, stands: Stands, plates: Plates, floor_index: Mapping[str, int]
) -> tuple[FloorFrames, ...]:
    """The frames that may serve each floor, those that some port on it is fixed to, and those
    that have a serving zone on it."""
    count = len(floor_index)
    serving: list[set[int]] = [set() for _ in range(count)]
    near = _floors_near(project, floor_index)
    for number in range(stands.frames):
        if stands.keepers.in_use[number]:
            frame = project.frames[stands.ids[number]]
            for floor in _served(frame, project, near):
                serving[floor].add(number)
    fixed: list[set[int]] = [set() for _ in range(count)]
    for port in np.flatnonzero(plates.fixed >= 0).tolist():
        fixed[int(plates.floor[plates.of[port]])].add(int(plates.fixed[port]))
    zone_frame = stands.keepers.belonging.zone_frame
    for zone in project.serving_zones.values():
        fixed[floor_index[zone.floor]].add(zone_frame[zone.id])
    return tuple(
        FloorFrames(
            np.array(sorted(a | b), dtype=np.int32),
            np.array([k in a for k in sorted(a | b)], dtype=bool),
        )
        for a, b in zip(serving, fixed, strict=True)
    )


_Near = Mapping[str, Mapping[Serves, tuple[int, ...]]]


def _floors_near(project: Project, floor_index: Mapping[str, int]) -> _Near:
    """For each floor its own number, those of its neighbours too, and of its whole building."""
    found: dict[str, dict[Serves, tuple[int, ...]]] = {}
    for building in project.buildings:
        floors: Sequence[Floor] = floors_from_below(project, building)
        numbers = [floor_index[f.id] for f in floors]
        for at, floor in enumerate(floors):
            found[floor.id] = {
                Serves.OWN: (numbers[at],),
                Serves.NEXT: tuple(numbers[max(0, at - 1) : at + 2]),
                Serves.ANY: tuple(numbers),
            }
    return found


def _served(frame: Frame, project: Project, near: _Near) -> tuple[int, ...]:
    rule = project.settings.serves if frame.serves is None else frame.serves
    return near[frame.floor][rule]


def floor_options(
    project: Project,
    network: Network,
    grounds: tuple[Ground, ...],
    trees: Trees,
    stands: Stands,
    plates: Plates,
    legs: Legs,
    holds: Hold,
    rows: IntArray,
    on: FloorFrames,
) -> Options:
    """The options of these outlets of one floor; `legs` and `holds` are theirs alone."""
    weight, permille = project.settings.leg_weight, project.settings.allowance_permille
    shape = (len(rows), len(on.frames))
    weighed = np.full(shape, np.inf)
    leg = np.full(shape, NO_LEG, dtype=np.int32)
    to_high = np.zeros(shape, dtype=bool)
    _by_pathways(network, trees, legs, holds, on.frames, weight, weighed, leg, to_high)
    direct = _by_one_leg(project, grounds, stands, plates, legs, rows, on.frames, weighed, leg)
    across, upright, added, measured = _sides(
        network, trees, legs, holds, on.frames, weighed, leg, to_high
    )
    leg_across = np.where(leg >= 0, legs.across[np.maximum(leg, 0)], 0) if len(legs) else across * 0
    for row, column, side, rise in direct:
        across[row, column], upright[row, column], leg_across[row, column] = side, rise, side
    upright += stands.dressing[on.frames]
    allowance = allowance_on(across - measured, permille)
    length = across + upright + added + allowance
    length[leg == NO_LEG] = FAR
    return Options(rows, on, leg, to_high, leg_across, across, upright, allowance, length)


def allowance_on(across: IntArray, permille: int) -> IntArray:
    """The allowance on horizontal millimetres, rounded once a run."""
    return (permille * across + 500) // 1000


def _by_pathways(
    network: Network,
    trees: Trees,
    legs: Legs,
    holds: Hold,
    frames: IndexArray,
    weight: int,
    weighed: FloatArray,
    leg: IndexArray,
    to_high: BoolArray,
) -> None:
    """Fill in the cheapest leg of each outlet to each frame."""
    first, counts = legs.first[:-1], np.diff(legs.first)
    some = np.flatnonzero(counts > 0)
    if not len(some) or not len(frames):
        return
    starts = np.cumsum(counts[some]) - counts[some]
    total = int(counts[some].sum())
    which = np.repeat(np.arange(len(some)), counts[some])
    chosen = (
        np.repeat(first[some], counts[some]) + np.arange(total) - np.repeat(starts, counts[some])
    )
    own = weigh(legs.across[chosen] + legs.upright[chosen], weight)
    low, high = network.node[holds.low[chosen]], network.node[holds.high[chosen]]
    back, on = weigh(holds.from_low[chosen], 1) + own, weigh(holds.to_high[chosen], 1) + own
    place = np.arange(total)
    step = max(1, MOST_CELLS // total)
    for begin in range(0, len(frames), step):
        part = trees.weighed[frames[begin : begin + step]]
        by_low, by_high = part[:, low] + back, part[:, high] + on
        cost = np.minimum(by_low, by_high)
        least = np.minimum.reduceat(cost, starts, axis=1)
        at = np.where(cost == least[:, which], place, total)
        at = np.minimum.reduceat(at, starts, axis=1)
        found = np.isfinite(least)
        lines = np.arange(len(part))[:, None]
        rank_low, rank_high = network.rank[low[at]], network.rank[high[at]]
        one, other = by_low[lines, at], by_high[lines, at]
        forward = (other < one) | ((other == one) & (rank_high < rank_low))
        columns = slice(begin, begin + len(part))
        weighed[some, columns] = least.T
        leg[some, columns] = np.where(found, chosen[at], NO_LEG).T
        to_high[some, columns] = (forward & found).T


def _by_one_leg(
    project: Project,
    grounds: tuple[Ground, ...],
    stands: Stands,
    plates: Plates,
    legs: Legs,
    rows: IntArray,
    frames: IndexArray,
    weighed: FloatArray,
    leg: IndexArray,
) -> list[tuple[int, int, int, int]]:
    """Put in the runs that need no pathway: (row, column, across, upright) of each."""
    taken: list[tuple[int, int, int, int]] = []
    spaces = [plates.space[r] for r in rows.tolist()]
    for column, frame in enumerate(frames.tolist()):
        space = stands.space[frame]
        if space is None or space not in spaces:
            continue
        ground = grounds[int(stands.floor[frame])]
        for at, own in enumerate(spaces):
            if own == space:
                sides = one_leg(ground, stands, plates.ends, frame, int(rows[at]))
                found = _reachable(project, sides)
                if found is None:
                    continue
                across, upright = found
                cost = (across + upright) * float(project.settings.leg_weight * WEIGH + 1)
                by_pathway = int(leg[at, column])
                shorter = by_pathway < 0 or across < int(legs.across[by_pathway])
                if cost < weighed[at, column] or (cost == weighed[at, column] and shorter):
                    weighed[at, column], leg[at, column] = cost, DIRECT
                    taken.append((at, column, across, upright))
    return taken


@dataclass(frozen=True, slots=True)
class OneLeg:
    """A leg from an outlet straight to a frame: sides, rise, and whether it is barred."""

    reach: float
    across: int
    upright: int
    corner: tuple[float, float]
    barred: bool


def one_leg(ground: Ground, stands: Stands, ends: Ends, frame: int, row: int) -> OneLeg:
    """The leg from an outlet up to the frame's ladder, across, and down to its panels."""
    x, y = float(ends.x[row]), float(ends.y[row])
    goal = np.array([[float(stands.ends.x[frame]), float(stands.ends.y[frame])]])
    cos, sin = float(ends.cos[row]), float(ends.sin[row])
    dx, dy = float(goal[0, 0]) - x, float(goal[0, 1]) - y
    u, v = dx * cos + dy * sin, dy * cos - dx * sin
    sides = to_mm_array(np.abs(np.array([u, v])))
    top = int(stands.top[frame])
    rise = abs(top - int(ends.z[row])) + abs(top - int(stands.panel[frame]))
    start = np.array([[x, y]])
    barred = True
    corner = (x, y)
    for turn in ((u * cos, u * sin), (-v * sin, v * cos)):
        corner = (x + turn[0], y + turn[1])
        if not crossing_closed(ground, start, np.array([corner]), goal)[0]:
            barred = False
            break
    across = int(sides.sum()) + int(stands.beyond[frame])
    return OneLeg(abs(u) + abs(v), across, rise, corner, barred)


def direct_leg(
    project: Project,
    grounds: tuple[Ground, ...],
    stands: Stands,
    plates: Plates,
    outlet: int,
    frame: int,
) -> tuple[int, int] | None:
    """Across and upright of one leg without a pathway; None where a run may not go so."""
    space = stands.space[frame]
    if space is None or plates.space[outlet] != space:
        return None
    ground = grounds[int(stands.floor[frame])]
    return _reachable(project, one_leg(ground, stands, plates.ends, frame, outlet))


def _reachable(project: Project, leg: OneLeg) -> tuple[int, int] | None:
    if leg.barred or leg.reach > project.settings.reach_mm + GRACE_MM:
        return None
    return leg.across, leg.upright


def _sides(
    network: Network,
    trees: Trees,
    legs: Legs,
    holds: Hold,
    frames: IndexArray,
    weighed: FloatArray,
    leg: IndexArray,
    to_high: BoolArray,
) -> tuple[IntArray, IntArray, IntArray, IntArray]:
    """Of the ways along pathways, 0 for all others: horizontal and vertical millimetres, those
    added as walked, and the measured ones among the horizontal."""
    by_pathway = leg >= 0
    row, column = np.nonzero(by_pathway)
    across, upright, added, measured = (np.zeros(leg.shape, dtype=np.int64) for _ in range(4))
    if not len(row):
        return across, upright, added, measured
    taken = leg[row, column]
    forward = to_high[row, column]
    cut = np.where(forward, holds.high[taken], holds.low[taken])
    part = np.where(forward, holds.to_high[taken], holds.from_low[taken])
    stands_up = network.joints.stretches.upright[legs.stretch[taken]]
    rise = trees.upright[frames[column], network.node[cut]] + legs.upright[taken]
    rise += np.where(stands_up, part, 0)
    whole = np.mod(weighed[row, column], WEIGH).astype(np.int64)
    walked = network.joints.walked
    if walked is not None:
        stretch = legs.stretch[taken]
        along, more = walked_between(network, stretch, network.key[cut], legs.offset[taken])
        rise -= np.where(stands_up, more, 0)
        of_tree = frames[column], network.node[cut]
        added[row, column] = trees.added[of_tree] + more
        level = ~stands_up & (walked.measured[stretch] != NOT_MEASURED)
        measured[row, column] = trees.measured[of_tree] + np.where(level, along, 0)
    upright[row, column] = rise
    across[row, column] = whole - rise - added[row, column]
    return across, upright, added, measured
