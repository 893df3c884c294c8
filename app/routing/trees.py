"""Trees: from each frame the cheapest way to every junction, the same on every machine.

Cost and true length travel in one number, `WEIGH * cost + length`, so that of two ways that
cost the same the shorter is taken. Doubles hold these sums exactly (below 2**53). What is
still equal is decided by the coordinates of the junction the way comes from.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from app.routing.legs import Legs
from app.routing.network import Network, hold_of
from app.routing.results import FloatArray, IndexArray, IntArray

WEIGH = 2**26
"""More than any way's length in millimetres (67.1 km)."""
FARTHEST = float(WEIGH // 2) * WEIGH
"""A way that costs more (33.5 km) is none: beyond, length and cost would run into each other."""


@dataclass(frozen=True, eq=False)
class Sources:
    """The ends that trees grow from, with their legs.

    `upright` and `across` are of each leg, down to the panels and with what lies beyond the
    entry; `node` is the junction it comes to.
    """

    legs: Legs
    across: IntArray
    upright: IntArray
    node: IndexArray
    count: int


@dataclass(frozen=True, eq=False)
class Trees:
    """One row a source. `weighed` is infinite at junctions it does not reach.

    `before` is the junction a way comes from, `nodes` where it comes by a leg; `by` is the
    piece, or `pieces` plus the leg's number. `upright` are the vertical millimetres of the
    whole way, legs at the source included; `added` those that were added on it as walked, and
    `measured` its horizontal ones that were measured; `floors` the floors it lies on, as bits;
    `last_leg` the leg that a way to the junction begins with at the source.
    """

    weighed: FloatArray
    before: IndexArray
    by: IndexArray
    upright: IntArray
    added: IntArray
    measured: IntArray
    floors: NDArray[np.uint64]
    last_leg: IndexArray
    pieces: int


def weigh(length: IntArray, weight: int) -> FloatArray:
    """Millimetres at a weight, with their true length, as one number."""
    return length.astype(np.float64) * (weight * WEIGH + 1)


def floor_bit(floor: IndexArray) -> NDArray[np.uint64]:
    """The bit of a floor; none for -1. Floors 64 apart share one, which only a note reads."""
    bits: NDArray[np.uint64] = np.where(
        floor < 0, np.uint64(0), np.uint64(1) << (floor % 64).astype(np.uint64)
    )
    return bits


def sources_of(network: Network, legs: Legs, across: IntArray, upright: IntArray) -> Sources:
    """Legs whose points are cuts of the network, as sources; `across`, `upright` by leg."""
    hold = hold_of(network, legs.stretch, legs.offset)
    return Sources(legs, across, upright, network.node[hold.low], len(legs.first) - 1)


def grow_trees(network: Network, sources: Sources, *, leg_weight: int, backbone: bool) -> Trees:
    """The tree of every source; `backbone` opens ducts that horizontal runs may not use."""
    nodes, count, pieces = network.nodes, sources.count, len(network.one)
    shut = np.zeros(pieces, dtype=bool) if backbone else network.backbone_only
    open_pieces = np.flatnonzero(~shut & (network.one != network.other))
    start = np.concatenate((network.one[open_pieces], network.other[open_pieces])).astype(np.int64)
    goal = np.concatenate((network.other[open_pieces], network.one[open_pieces])).astype(np.int64)
    piece = np.concatenate((open_pieces, open_pieces)).astype(np.int64)
    cost = weigh(network.length[piece], 1)
    leg_cost = weigh(sources.across + sources.upright, leg_weight)
    leg_start = nodes + sources.legs.end.astype(np.int64)
    graph = _least_matrix(
        np.concatenate((start, leg_start)),
        np.concatenate((goal, sources.node)),
        np.concatenate((cost, leg_cost)),
        nodes + count,
    )
    weighed = np.full((count, nodes), np.inf)
    if count and nodes:
        from_all = np.arange(nodes, nodes + count)
        weighed = dijkstra(graph, directed=True, indices=from_all, limit=FARTHEST)
        weighed = weighed[:, :nodes]
    order = np.lexsort((piece, network.rank[start], goal))
    arcs = (start[order], goal[order], cost[order], piece[order])
    before = np.full((count, nodes), nodes, dtype=np.int32)
    by = np.full((count, nodes), -1, dtype=np.int32)
    for k in range(count):
        _tight(before[k], by[k], weighed[k], arcs)
        _by_legs(before[k], by[k], weighed[k], sources, leg_cost, k, nodes, pieces)
    upright, floors, last_leg = _summed(network, sources, before, by)
    added = measured = np.broadcast_to(np.zeros(1, dtype=np.int64), upright.shape)
    if network.joints.walked is not None:
        added = _sums(network.added, before, by)
        measured = _sums(measured_across(network), before, by)
    return Trees(weighed, before, by, upright, added, measured, floors, last_leg, pieces)


def measured_across(network: Network) -> IntArray:
    """Of every piece the horizontal millimetres that were measured."""
    level = network.measured & ~network.upright
    across: IntArray = np.where(level, network.length - network.added, 0)
    return across


def _least_matrix(start: IntArray, goal: IntArray, cost: FloatArray, size: int) -> csr_array:
    """A sparse matrix in which of several arcs between two junctions the cheapest counts."""
    order = np.lexsort((cost, goal, start))
    start, goal, cost = start[order], goal[order], cost[order]
    kept = np.ones(len(start), dtype=bool)
    kept[1:] = (start[1:] != start[:-1]) | (goal[1:] != goal[:-1])
    return csr_array((cost[kept], (start[kept], goal[kept])), shape=(size, size))


def _tight(
    before: IndexArray,
    by: IndexArray,
    weighed: FloatArray,
    arcs: tuple[IntArray, IntArray, FloatArray, IntArray],
) -> None:
    """Of all arcs that give a junction its number, the one from the least in order."""
    start, goal, cost, piece = arcs
    tight = np.flatnonzero((weighed[start] + cost == weighed[goal]) & np.isfinite(weighed[goal]))
    tight = tight[::-1]  # the last written is the first in order
    before[goal[tight]] = start[tight]
    by[goal[tight]] = piece[tight]


def _by_legs(
    before: IndexArray,
    by: IndexArray,
    weighed: FloatArray,
    sources: Sources,
    leg_cost: FloatArray,
    source: int,
    nodes: int,
    pieces: int,
) -> None:
    """A leg that gives a junction its number goes before any piece; of several the first."""
    rows = np.arange(sources.legs.first[source], sources.legs.first[source + 1])
    tight = rows[leg_cost[rows] == weighed[sources.node[rows]]][::-1]
    before[sources.node[tight]] = nodes
    by[sources.node[tight]] = pieces + tight


def _summed(
    network: Network, sources: Sources, before: IndexArray, by: IndexArray
) -> tuple[IntArray, NDArray[np.uint64], IndexArray]:
    """Vertical millimetres, floors and first leg of each way, by doubling the steps back."""
    count, nodes = before.shape
    pieces = len(network.one)
    piece_up = np.where(network.upright, network.length - network.added, 0)
    step_up = np.concatenate((piece_up, sources.upright, np.zeros(1, dtype=np.int64)))
    bits = floor_bit(network.floor)
    no_bits = np.zeros(len(sources.upright) + 1, dtype=np.uint64)
    step_bits = np.concatenate((bits, no_bits))
    upright = np.zeros((count, nodes), dtype=np.int64)
    floors = np.zeros((count, nodes), dtype=np.uint64)
    last_leg = np.zeros((count, nodes), dtype=np.int32)
    root = np.zeros(1, dtype=np.int64)
    last = pieces + len(sources.upright)
    for k in range(count):
        step = np.where(by[k] < 0, last, by[k])
        up = np.concatenate((step_up[step], root))
        on = np.concatenate((step_bits[step], root.astype(np.uint64)))
        back = np.concatenate((before[k], np.array([nodes], dtype=np.int32)))
        first = np.concatenate((np.where(by[k] >= pieces, by[k] - pieces, 0), root))
        while (back != nodes).any():
            up = up + up[back]
            on = on | on[back]
            first = np.where(back == nodes, first, first[back])
            back = back[back]
        upright[k], floors[k], last_leg[k] = up[:nodes], on[:nodes], first[:nodes]
    return upright, floors, last_leg


def _sums(of_piece: IntArray, before: IndexArray, by: IndexArray) -> IntArray:
    """What the pieces of each way back to its source add up to, by doubling the steps back."""
    count, nodes = before.shape
    pieces = len(of_piece)
    step = np.append(of_piece, 0)
    found = np.zeros((count, nodes), dtype=np.int64)
    for k in range(count):
        on_piece = (by[k] >= 0) & (by[k] < pieces)
        sums = np.append(step[np.where(on_piece, by[k], pieces)], 0)
        back = np.append(before[k], nodes)
        while (back != nodes).any():
            sums = sums + sums[back]
            back = back[back]
        found[k] = sums[:nodes]
    return found


def way_back(trees: Trees, source: int, node: int) -> tuple[list[tuple[int, int]], int]:
    """The pieces from a junction back to the source, each with the junction it begins at,
    and the number of the leg that the way ends with."""
    nodes = trees.before.shape[1]
    steps: list[tuple[int, int]] = []
    while True:
        by = int(trees.by[source, node])
        if by >= trees.pieces:
            return steps, by - trees.pieces
        steps.append((by, node))
        node = int(trees.before[source, node])
        if node == nodes:
            raise LookupError("a way that leads nowhere")
