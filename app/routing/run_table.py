"""The table of runs: one row a port, from the options and who serves."""

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from app.model.settings import Settings
from app.routing.columns import with_rows
from app.routing.legs import Legs
from app.routing.network import Hold, Network
from app.routing.options import FAR, NO_LEG, Options
from app.routing.plates import Plates
from app.routing.results import (
    BoolArray,
    IndexArray,
    IntArray,
    NoRoute,
    Runs,
    RunStatus,
)
from app.routing.serving import NOBODY, installed, ports_of
from app.routing.stands import Stands
from app.routing.told import ToldWay
from app.routing.trees import Trees, floor_bit

NO_FLOOR = -1
"""Of pieces in risers and outdoor ducts."""


@dataclass(frozen=True, eq=False)
class Ways:
    """By port, how its run goes: frame number, the junction it comes to and whether that is the
    cut after its point; `piece` is the piece it hangs on, -1 at a junction or without one, and
    `offset` where it does, from the first end of the stretch as drawn."""

    frame: IndexArray
    node: IndexArray
    to_high: BoolArray
    piece: IndexArray
    offset: IntArray


@dataclass(frozen=True, eq=False)
class Lengths:
    """By port: the columns of `Runs` that come from the options."""

    across: IntArray
    upright: IntArray
    allowance: IntArray
    base: IntArray
    leg_across: IntArray
    nobody: BoolArray


def empty_columns(ports: int) -> tuple[Ways, Lengths]:
    """Columns for so many ports, nothing known."""
    ways = Ways(
        frame=np.full(ports, -1, dtype=np.int32),
        node=np.full(ports, -1, dtype=np.int32),
        to_high=np.zeros(ports, dtype=bool),
        piece=np.full(ports, -1, dtype=np.int32),
        offset=np.zeros(ports, dtype=np.int64),
    )
    lengths = Lengths(
        across=np.zeros(ports, dtype=np.int64),
        upright=np.zeros(ports, dtype=np.int64),
        allowance=np.zeros(ports, dtype=np.int64),
        base=np.full(ports, FAR, dtype=np.int64),
        leg_across=np.zeros(ports, dtype=np.int64),
        nobody=np.ones(ports, dtype=bool),
    )
    return ways, lengths


@dataclass(frozen=True, eq=False)
class Taken:
    """What the options give to some ports: columns of `Ways` and of `Lengths` for them."""

    ports: IntArray
    ways: Mapping[str, Any]
    lengths: Mapping[str, Any]


def take_options(
    network: Network,
    plates: Plates,
    legs: Legs,
    holds: Hold,
    options: Options,
    columns: IndexArray,
    members: IntArray,
) -> Taken:
    """What the options give to the ports of some of their outlets, by their place in them."""
    outlets = options.rows[members]
    ports = ports_of(plates, outlets)
    column = columns[ports]
    if not len(options.on.frames) or not len(ports):
        ways, lengths = empty_columns(len(ports))
        return Taken(ports, vars(ways), vars(lengths))
    none = column == NOBODY
    line = np.repeat(members, plates.first[outlets + 1] - plates.first[outlets])
    at = (line, np.maximum(column, 0))
    leg = np.where(none, NO_LEG, options.leg[at])
    base = np.where(none, FAR, options.length[at])
    routed = base < FAR
    to_high = options.to_high[at] & routed
    return Taken(
        ports,
        {
            "frame": np.where(routed, options.on.frames[at[1]], -1),
            "to_high": to_high,
            **_hung(network, legs, holds, leg, to_high),
        },
        {
            "nobody": none,
            "base": base,
            "across": np.where(routed, options.across[at], 0),
            "upright": np.where(routed, options.upright[at], 0),
            "allowance": np.where(routed, options.allowance[at], 0),
            "leg_across": np.where(routed, options.leg_across[at], 0),
        },
    )


def _hung(
    network: Network, legs: Legs, holds: Hold, leg: IndexArray, to_high: BoolArray
) -> dict[str, Any]:
    """The junctions that runs come to by their legs, and the pieces that they hang on."""
    node = np.full(len(leg), -1, dtype=np.int32)
    piece = np.full(len(leg), -1, dtype=np.int32)
    offset = np.zeros(len(leg), dtype=np.int64)
    if len(legs):
        by_pathway = leg >= 0
        leg = leg[by_pathway]
        low, high = holds.low[leg], holds.high[leg]
        node[by_pathway] = network.node[np.where(to_high[by_pathway], high, low)]
        piece[by_pathway] = np.where(low == high, -1, network.piece_of_cut[low])
        offset[by_pathway] = legs.offset[leg]
    return {"node": node, "piece": piece, "offset": offset}


def leg_of(options: Options, columns: IndexArray, outlet: int, port: int) -> int:
    """The number of a port's leg among those of its floor, or NO_LEG or DIRECT."""
    column = int(columns[port])
    if column == NOBODY:
        return NO_LEG
    return int(options.leg[int(np.searchsorted(options.rows, outlet)), column])


@dataclass(frozen=True, eq=False)
class RunStages:
    """The stages that the table of runs is made from; `told` by port, `piece_floor` by piece."""

    settings: Settings
    plates: Plates
    stands: Stands
    trees: Trees
    sources_across: IntArray
    ways: Ways
    lengths: Lengths
    told: Mapping[int, ToldWay | None]
    piece_floor: IndexArray


def build_runs(stages: RunStages, reason: IndexArray) -> Runs:
    """The table of all runs."""
    plates, stands = stages.plates, stages.stands
    every = np.arange(len(plates.port_ids))
    return Runs(
        port_ids=plates.port_ids,
        outlet_ids=_repeated(plates),
        row_of=_rows(plates),
        frame_ids=stands.ids[: stands.frames],
        **_columns(stages, every, reason),
    )


def rebuilt_runs(
    stages: RunStages, ports: IntArray, reason: IndexArray, old: Runs
) -> tuple[Runs, IntArray]:
    """The table with the rows of some ports made anew, and the rows that came out otherwise.

    `reason` is that of these ports.
    """
    runs, changed = with_rows(old, ports, _columns(stages, ports, reason))
    return runs, ports[changed]


def _columns(stages: RunStages, ports: IntArray, reason: IndexArray) -> dict[str, Any]:
    settings, plates = stages.settings, stages.plates
    lengths, frame = stages.lengths, stages.ways.frame[ports]
    across, upright, allowance = (
        column[ports] for column in (lengths.across, lengths.upright, lengths.allowance)
    )
    routed = lengths.base[ports] < FAR
    base = np.where(routed, lengths.base[ports], 0)
    length = np.where(routed, installed(plates, ports, base), 0)
    limit = plates.limit[ports]
    status = np.full(len(ports), RunStatus.WITHIN, dtype=np.int8)
    status[limit - length < settings.near_limit_mm] = RunStatus.NEAR
    status[length > limit] = RunStatus.OVER
    status[~routed] = RunStatus.NO_ROUTE
    slack = np.where(routed, plates.slack[ports], 0)
    trims = 2 * settings.trim_mm + settings.pull_head_mm
    return {
        "frame_index": frame,
        "horizontal_mm": across,
        "vertical_mm": upright,
        "allowance_mm": allowance,
        "slack_mm": slack,
        "added_mm": length - across - upright - allowance - slack,
        "installed_mm": length,
        "cut_mm": np.where(routed, length + trims, 0),
        "limit_mm": limit,
        "leg_mm": stages.lengths.leg_across[ports],
        "frame_leg_mm": _frame_legs(stages, ports),
        "status": status,
        "reason": reason.astype(np.int8),
        "counted": plates.counted[ports],
        "estimated": plates.estimated[ports],
        "third_floor": _third_floors(stages, ports),
    }


def _rows(plates: Plates) -> dict[str, int]:
    return {port: row for row, port in enumerate(plates.port_ids)}


def _repeated(plates: Plates) -> tuple[str, ...]:
    ids = plates.ids
    return tuple(ids[k] for k in plates.of.tolist())


def _frame_legs(stages: RunStages, ports: IntArray) -> IntArray:
    """The horizontal leg at the frame: that of the leg by which the way ends."""
    found = np.zeros(len(ports), dtype=np.int64)
    frame, node = stages.ways.frame[ports], stages.ways.node[ports]
    rows = np.flatnonzero(node >= 0)
    if len(rows):
        last = stages.trees.last_leg[frame[rows], node[rows]]
        found[rows] = stages.sources_across[last]
    for row, way in _told_rows(stages, ports):
        found[row] = 0 if way.last_leg < 0 else stages.sources_across[way.last_leg]
    return found


def _told_rows(stages: RunStages, ports: IntArray) -> Iterator[tuple[int, ToldWay]]:
    """Of these ports those with a told way: their places, and the ways."""
    if stages.told:
        for row, port in enumerate(ports.tolist()):
            way = stages.told.get(port)
            if way is not None:
                yield row, way


def _third_floors(stages: RunStages, ports: IntArray) -> BoolArray:
    """Runs on a floor that is neither where they hang, nor the outlet's, nor the frame's."""
    found = np.zeros(len(ports), dtype=bool)
    frame, node = stages.ways.frame[ports], stages.ways.node[ports]
    rows = np.flatnonzero(node >= 0)
    if len(rows):
        plates = stages.plates
        outlet = plates.of[ports[rows]]
        own = floor_bit(plates.floor[outlet]) | floor_bit(plates.ends.ground[outlet])
        own |= floor_bit(stages.stands.floor[frame[rows]])
        used = stages.trees.floors[frame[rows], node[rows]]
        found[rows] = (used & ~own) != 0
    for row, way in _told_rows(stages, ports):
        used_by_told = {int(stages.piece_floor[piece]) for piece, _ in way.steps}
        outlet_row = int(stages.plates.of[ports[row]])
        ends = stages.plates.floor[outlet_row], stages.plates.ends.ground[outlet_row]
        known = {int(ends[0]), int(ends[1]), int(stages.stands.floor[way.frame]), NO_FLOOR}
        found[row] = bool(used_by_told - known)
    return found


@dataclass(frozen=True, eq=False)
class Signs:
    """By outlet, signs of why it has no route: `has_legs`; `near_closed`, a closed pathway
    passes within reach; `crossed`, a leg was dropped because it crosses a closed space."""

    has_legs: BoolArray
    near_closed: BoolArray
    crossed: BoolArray


def reasons(
    plates: Plates,
    lengths: Lengths,
    ports: IntArray,
    signs: Signs,
    closed: Container[str],
    told: Container[int],
) -> IndexArray:
    """Why these ports have no route; `closed` are the ids of spaces closed to cable, `told` the
    ports that would have one if they had been told nothing."""
    outlet = plates.of[ports]
    none = ~signs.has_legs[outlet]
    inside = np.array([plates.space[o] in closed for o in outlet.tolist()], dtype=bool)
    reason = np.full(len(ports), NoRoute.NOT_JOINED, dtype=np.int32)
    reason[plates.fixed[ports] >= 0] = NoRoute.FRAME_NOT_JOINED
    reason[none] = NoRoute.NO_PATHWAY
    reason[none & signs.near_closed[outlet]] = NoRoute.ONLY_PLACES
    reason[none & signs.crossed[outlet]] = NoRoute.LEG_CROSSES
    reason[none & signs.crossed[outlet] & inside] = NoRoute.STANDS_IN_CLOSED
    reason[plates.ends.ground[outlet] < 0] = NoRoute.NO_FLOOR_BELOW
    reason[lengths.nobody[ports]] = NoRoute.NO_FRAME
    reason[[port in told for port in ports.tolist()]] = NoRoute.AS_TOLD
    return reason
