"""The table of runs: one row a port, from the options and who serves."""

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from app.model.settings import Settings
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
from app.routing.trees import Trees, floor_bit


@dataclass(frozen=True, eq=False)
class Ways:
    """By port, how its run goes: frame number, leg (or NO_LEG, DIRECT), the junction it comes
    to and whether that is the cut after its point; `piece` is the piece it hangs on, -1 at a
    junction or without one."""

    frame: IndexArray
    leg: IndexArray
    node: IndexArray
    to_high: BoolArray
    piece: IndexArray
    offset: IntArray


@dataclass(frozen=True, eq=False)
class Lengths:
    """By port: the columns of `Runs` that come from the options."""

    across: IntArray
    upright: IntArray
    base: IntArray
    leg_across: IntArray
    nobody: BoolArray


def empty_columns(ports: int) -> tuple[Ways, Lengths]:
    """Columns for so many ports, nothing known."""
    ways = Ways(
        frame=np.full(ports, -1, dtype=np.int32),
        leg=np.full(ports, NO_LEG, dtype=np.int32),
        node=np.full(ports, -1, dtype=np.int32),
        to_high=np.zeros(ports, dtype=bool),
        piece=np.full(ports, -1, dtype=np.int32),
        offset=np.zeros(ports, dtype=np.int64),
    )
    lengths = Lengths(
        across=np.zeros(ports, dtype=np.int64),
        upright=np.zeros(ports, dtype=np.int64),
        base=np.full(ports, FAR, dtype=np.int64),
        leg_across=np.zeros(ports, dtype=np.int64),
        nobody=np.ones(ports, dtype=bool),
    )
    return ways, lengths


def take_options(
    network: Network,
    plates: Plates,
    legs: Legs,
    holds: Hold,
    options: Options,
    columns: IndexArray,
    ways: Ways,
    lengths: Lengths,
) -> None:
    """Write what the options give to the ports of their outlets."""
    ports = ports_of(plates, options.rows)
    counts = plates.first[options.rows + 1] - plates.first[options.rows]
    line = np.repeat(np.arange(len(options.rows)), counts)
    column = columns[ports]
    lengths.nobody[ports] = column == NOBODY
    ways.node[ports], ways.piece[ports], ways.offset[ports] = -1, -1, 0
    if not len(options.on.frames):
        return
    at = (line, np.maximum(column, 0))
    none = column == NOBODY
    leg = np.where(none, NO_LEG, options.leg[at])
    base = np.where(none, FAR, options.length[at])
    routed = base < FAR
    ways.frame[ports] = np.where(routed, options.on.frames[at[1]], -1)
    ways.leg[ports] = leg
    ways.to_high[ports] = options.to_high[at] & routed
    lengths.base[ports] = base
    lengths.across[ports] = np.where(routed, options.across[at], 0)
    lengths.upright[ports] = np.where(routed, options.upright[at], 0)
    lengths.leg_across[ports] = np.where(routed, options.leg_across[at], 0)
    ways.node[ports], ways.piece[ports], ways.offset[ports] = -1, -1, 0
    if len(legs):
        _hang(network, legs, holds, ports, leg, ways)


def _hang(
    network: Network, legs: Legs, holds: Hold, ports: IntArray, leg: IndexArray, ways: Ways
) -> None:
    by_pathway = leg >= 0
    ports, leg = ports[by_pathway], leg[by_pathway]
    low, high = holds.low[leg], holds.high[leg]
    ways.node[ports] = network.node[np.where(ways.to_high[ports], high, low)]
    ways.piece[ports] = np.where(low == high, -1, network.piece_of_cut[low])
    ways.offset[ports] = holds.from_low[leg]


def build_runs(
    settings: Settings,
    plates: Plates,
    stands: Stands,
    trees: Trees,
    sources_across: IntArray,
    ways: Ways,
    lengths: Lengths,
    reason: IndexArray,
    names: "Runs | None" = None,
) -> Runs:
    """The table of all runs; `names`: a table with the same ports, whose names are taken over."""
    ports = np.arange(len(plates.port_ids))
    routed = lengths.base < FAR
    base = np.where(routed, lengths.base, 0)
    length = np.where(routed, installed(plates, ports, base), 0)
    trims = 2 * settings.trim_mm + settings.pull_head_mm
    allowance = np.where(routed, (settings.allowance_permille * lengths.across + 500) // 1000, 0)
    status = np.full(len(ports), RunStatus.WITHIN, dtype=np.int8)
    status[plates.limit - length < settings.near_limit_mm] = RunStatus.NEAR
    status[length > plates.limit] = RunStatus.OVER
    status[~routed] = RunStatus.NO_ROUTE
    slack = np.where(routed, plates.slack, 0)
    replaced = routed & (plates.replaced >= 0)
    added = np.where(routed, plates.added, 0)
    added = np.where(replaced, length - base - slack, np.maximum(added, -base - slack))
    return Runs(
        port_ids=plates.port_ids if names is None else names.port_ids,
        outlet_ids=_repeated(plates) if names is None else names.outlet_ids,
        row_of=_rows(plates) if names is None else names.row_of,
        frame_ids=stands.ids[: stands.frames],
        frame_index=ways.frame,
        horizontal_mm=lengths.across,
        vertical_mm=lengths.upright,
        allowance_mm=allowance,
        slack_mm=slack,
        added_mm=np.where(routed, added, 0),
        installed_mm=length,
        cut_mm=np.where(routed, length + trims, 0),
        limit_mm=plates.limit,
        leg_mm=lengths.leg_across,
        frame_leg_mm=_frame_legs(trees, sources_across, ways),
        status=status,
        reason=reason.astype(np.int8),
        counted=plates.counted,
        third_floor=_third_floors(plates, trees, ways, stands.floor),
    )


def _rows(plates: Plates) -> dict[str, int]:
    return {port: row for row, port in enumerate(plates.port_ids)}


def _repeated(plates: Plates) -> tuple[str, ...]:
    ids = plates.ids
    return tuple(ids[k] for k in plates.of.tolist())


def _frame_legs(trees: Trees, across: IntArray, ways: Ways) -> IntArray:
    """The horizontal leg at the frame: that of the leg by which the way ends."""
    found = np.zeros(len(ways.frame), dtype=np.int64)
    rows = np.flatnonzero(ways.node >= 0)
    if not len(rows):
        return found
    last = trees.last_leg[ways.frame[rows], ways.node[rows]]
    found[rows] = across[last]
    return found


def _third_floors(
    plates: Plates, trees: Trees, ways: Ways, floor_of_frame: IndexArray
) -> BoolArray:
    """Runs on a floor that is neither where they hang, nor the outlet's, nor the frame's."""
    found = np.zeros(len(ways.frame), dtype=bool)
    rows = np.flatnonzero(ways.node >= 0)
    if len(rows):
        outlet = plates.of[rows]
        own = floor_bit(plates.floor[outlet]) | floor_bit(plates.ends.ground[outlet])
        own |= floor_bit(floor_of_frame[ways.frame[rows]])
        used = trees.floors[ways.frame[rows], ways.node[rows]]
        found[rows] = (used & ~own) != 0
    return found


def reasons(
    plates: Plates,
    lengths: Lengths,
    *,
    has_legs: BoolArray,
    near_closed: BoolArray,
    crossed: BoolArray,
    in_closed: BoolArray,
) -> IndexArray:
    """Why ports have no route, NONE where they have one.

    By outlet: `has_legs`, `near_closed` (a closed pathway passes within reach), `crossed` (a leg
    was dropped because it crosses a closed space), `in_closed` (it stands in such a space).
    """
    outlet = plates.of
    none = ~has_legs[outlet]
    reason = np.full(len(outlet), NoRoute.NOT_JOINED, dtype=np.int32)
    reason[plates.fixed >= 0] = NoRoute.FRAME_NOT_JOINED
    reason[none] = NoRoute.NO_PATHWAY
    reason[none & near_closed[outlet]] = NoRoute.ONLY_PLACES
    reason[none & crossed[outlet]] = NoRoute.LEG_CROSSES
    reason[none & crossed[outlet] & in_closed[outlet]] = NoRoute.STANDS_IN_CLOSED
    reason[plates.ends.ground[outlet] < 0] = NoRoute.NO_FLOOR_BELOW
    reason[lengths.nobody] = NoRoute.NO_FRAME
    reason[lengths.base < FAR] = NoRoute.NONE
    return reason


def closed_flags(plates: Plates, closed: Collection[str]) -> BoolArray:
    """Which outlets stand in a space that is closed to cable."""
    return np.fromiter((s in closed for s in plates.space), dtype=bool, count=len(plates.ids))
