"""The short way for edits of outlets that keep their floor and their ports.

Only these outlets' legs are sought again; network and trees stay. Spaces that are served whole
are served again where an outlet came, went or changed in them.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from app.design.told_runs import taken_told
from app.design.workings import Workings, taken, told_again
from app.model.entities import Outlet
from app.model.project import Patch, Project
from app.routing.columns import with_rows
from app.routing.ground import is_divisible
from app.routing.legs import Legs, find_legs
from app.routing.network import Hold, hold_of
from app.routing.options import FloorWork, Options, floor_options
from app.routing.plates import Plates, build_plates
from app.routing.results import IndexArray, IntArray
from app.routing.serving import ports_of, serve_again

MOST_OUTLETS = 200
"""With more at once, everything that concerns outlets is done again."""


def edited_outlets(workings: Workings, patch: Patch) -> list[Outlet] | None:
    """The changed outlets, if the patch only changes outlets in ways that this module knows."""
    if not 0 < len(patch.changes) <= MOST_OUTLETS:
        return None
    edited: list[Outlet] = []
    for change in patch.changes:
        before, after = change.before, change.after
        if not isinstance(before, Outlet) or not isinstance(after, Outlet):
            return None
        if before.floor != after.floor or len(before.ports) != len(after.ports):
            return None
        for one, other in zip(before.ports, after.ports, strict=True):
            if one.id != other.id or one.frame != other.frame:
                return None
            if one.via != other.via or one.never != other.never:
                return None
        edited.append(after)
    return sorted(edited, key=lambda o: workings.row_of[o.id])


def work_on_outlets(
    project: Project, old: Workings, edited: Sequence[Outlet]
) -> tuple[Workings, IntArray]:
    """The workings with these outlets changed (`edited` in table order), and the ports whose
    runs this may concern."""
    rows = np.array([old.row_of[o.id] for o in edited], dtype=np.int64)
    fresh = build_plates(old.base.world, edited)
    plates = _plates_with(old.plates, rows, fresh)
    columns = old.columns.copy()
    ways, lengths = old.ways, old.lengths
    floors = list(old.floors)
    served: list[IntArray] = []
    for index in np.unique(plates.floor[rows]).tolist():
        mine = np.flatnonzero(plates.floor[rows] == index)
        work, again = _floor_with(project, old, plates, index, rows[mine], fresh, mine)
        floors[index] = work
        serve_again(plates, old.base.stands.keepers, work.options, project.spaces, columns, again)
        given = taken(old.base, plates, work, columns, again)
        ways = with_rows(ways, given.ports, given.ways)[0]
        lengths = with_rows(lengths, given.ports, given.lengths)[0]
        served.append(given.ports)
    ports = np.sort(np.concatenate(served))
    told = old.told
    if old.wishes:
        again = ports[np.isin(ports, list(old.wishes))].tolist()
        anew = told_again(project, old.base, plates, tuple(floors), ways, old.wishes, again)
        base = old.base
        given = taken_told(project, base.network, base.stands, plates, tuple(floors), anew)
        ways = with_rows(ways, given.ports, given.ways)[0]
        lengths = with_rows(lengths, given.ports, given.lengths)[0]
        told = {p: w for p, w in old.told.items() if p not in again} | anew
    workings = replace(
        old,
        plates=plates,
        floors=tuple(floors),
        columns=columns,
        ways=ways,
        lengths=lengths,
        told=told,
    )
    return workings, ports


END_COLUMNS = ("x", "y", "z", "cos", "sin", "ground", "ceiling")
PORT_COLUMNS = (
    "rule",
    "limit",
    "slack",
    "added",
    "replaced",
    "cable",
    "sort",
    "counted",
    "estimated",
)


def _plates_with(old: Plates, rows: IntArray, fresh: Plates) -> Plates:
    """The columns with some outlets' rows, and their ports' rows, written anew."""
    ends = with_rows(old.ends, rows, {n: getattr(fresh.ends, n) for n in END_COLUMNS})[0]
    plates = with_rows(old, rows, {"room": fresh.room})[0]
    ports = {n: getattr(fresh, n) for n in PORT_COLUMNS}
    plates = with_rows(plates, ports_of(old, rows), ports)[0]
    spaces = old.space
    if plates.room is not old.room:
        listed = list(spaces)
        for row, space in zip(rows.tolist(), fresh.space, strict=True):
            listed[row] = space
        spaces = tuple(listed)
    return replace(plates, ends=ends, space=spaces)


def _floor_with(
    project: Project,
    old: Workings,
    plates: Plates,
    index: int,
    rows: IntArray,
    fresh: Plates,
    mine: IntArray,
) -> tuple[FloorWork, IntArray]:
    """The floor's work with some of its outlets anew, and which of its outlets to serve again."""
    base, floor = old.base, old.floors[index]
    local = np.searchsorted(floor.rows, rows)
    ends = fresh.ends.taken(mine)
    legs = find_legs(
        base.joints,
        base.grounds,
        ends,
        reach_mm=project.settings.reach_mm,
        cuts=base.network.key,
    )
    holds = hold_of(base.network, legs.stretch, legs.offset)
    options = floor_options(
        project,
        base.network,
        base.grounds,
        base.trees,
        base.stands,
        plates,
        legs,
        holds,
        rows,
        old.on_floors[index],
    )
    merged_legs, merged_holds, shift = _spliced(floor, local, legs, holds)
    merged = _merged(floor.options, local, options, merged_legs.first, legs.first, shift)
    again = _to_serve(project, old.plates, plates, floor.rows, local)
    return FloorWork(floor.rows, merged_legs, merged_holds, merged), again


def _spliced(
    floor: FloorWork, local: IntArray, legs: Legs, holds: Hold
) -> tuple[Legs, Hold, IntArray]:
    """The floor's legs with some outlets' legs exchanged; by outlet, how far legs shifted."""
    first = floor.legs.first
    pieces: list[tuple[bool, int, int]] = []
    at = 0
    for number, outlet in enumerate(local.tolist()):
        pieces.append((True, at, int(first[outlet])))
        pieces.append((False, int(legs.first[number]), int(legs.first[number + 1])))
        at = int(first[outlet + 1])
    pieces.append((True, at, len(floor.legs)))

    def joined(kept: Any, fresh: Any) -> Any:
        return np.concatenate([(kept if old else fresh)[a:b] for old, a, b in pieces])

    counts = np.diff(first)
    counts[local] = np.diff(legs.first)
    firsts = np.concatenate((np.zeros(1, dtype=np.int64), np.cumsum(counts)))
    near, crossed = floor.legs.near.copy(), floor.legs.crossed.copy()
    near[local], crossed[local] = legs.near, legs.crossed
    kept = floor.legs
    merged = Legs(
        end=np.repeat(np.arange(len(counts), dtype=np.int32), counts),
        stretch=joined(kept.stretch, legs.stretch),
        offset=joined(kept.offset, legs.offset),
        across=joined(kept.across, legs.across),
        upright=joined(kept.upright, legs.upright),
        x=joined(kept.x, legs.x),
        y=joined(kept.y, legs.y),
        z=joined(kept.z, legs.z),
        first=firsts,
        near=near,
        crossed=crossed,
    )
    hold = Hold(
        low=joined(floor.holds.low, holds.low),
        high=joined(floor.holds.high, holds.high),
        from_low=joined(floor.holds.from_low, holds.from_low),
        to_high=joined(floor.holds.to_high, holds.to_high),
    )
    return merged, hold, firsts[:-1] - first[:-1]


def _merged(
    old: Options,
    local: IntArray,
    new: Options,
    first: IntArray,
    new_first: IntArray,
    shift: IntArray,
) -> Options:
    leg: IndexArray = np.where(old.leg >= 0, old.leg + shift[:, None], old.leg).astype(np.int32)
    step = (first[local] - new_first[:-1])[:, None]
    leg[local] = np.where(new.leg >= 0, new.leg + step, new.leg)
    others = {}
    for name in ("to_high", "leg_across", "across", "upright", "allowance", "length"):
        column = getattr(old, name).copy()
        column[local] = getattr(new, name)
        others[name] = column
    return replace(old, leg=leg, **others)


def _to_serve(
    project: Project, before: Plates, after: Plates, rows: IntArray, local: IntArray
) -> IntArray:
    """The floor's outlets whose frame is open again: the changed ones, and all in the spaces
    served whole that they were or are in."""
    spaces = {plates.space[r] for r in rows[local].tolist() for plates in (before, after)}
    whole = {s for s in spaces if s is not None and not is_divisible(project.spaces[s])}
    again = set(local.tolist())
    if whole:
        again |= {k for k, r in enumerate(rows.tolist()) if after.space[r] in whole}
    return np.array(sorted(again), dtype=np.int64)
