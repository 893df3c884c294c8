"""Told: runs that somebody told to pass some pathways, or never to pass others.

The cheapest route that uses some part of every pathway, riser or duct to be passed, in any
order, no part of one never to be passed, and no junction twice. Few ports are told anything:
each is searched by itself, from the outlet on, led by the least cost from every junction to the
frame (`_Field`), which may pass a junction twice and so is never too great.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush

import networkx as nx
import numpy as np

from app.routing.legs import Legs
from app.routing.network import LINK, Hold, Network, walked_between
from app.routing.results import IntArray
from app.routing.trees import FARTHEST, WEIGH, Sources
from app.routing.walked import NOT_MEASURED

MOST_TRIALS = 50_000
"""So many ways are tried; beyond, a way that passes everything counts as not to be found."""
FEW_TRIALS = 150
"""So many before what leads nowhere is left out, which takes longer than they."""
MOST_KEPT = 20_000
"""Ways found are kept for the next edit, up to so many."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What a run was told, by ids."""

    via: frozenset[str]
    never: frozenset[str]


@dataclass(frozen=True, slots=True)
class ToldWay:
    """How a told run goes: by which of its outlet's legs (DIRECT: by one leg alone), to which
    cut, over which pieces (each with the junction it begins at), by which leg to the frame.

    Millimetres are those of the whole way but for the dressing; `measured` are of `across`.
    `cost` is weighed as in trees.
    """

    frame: int
    leg: int
    to_high: bool
    steps: tuple[tuple[int, int], ...]
    last_leg: int
    leg_across: int
    across: int
    upright: int
    added: int = 0
    measured: int = 0
    cost: int = 0


@dataclass(frozen=True, slots=True)
class Start:
    """A leg of an outlet to one of the two cuts beside its point: its number among the
    outlet's, the cost up to the junction, and the piece and thing that it lies on till there."""

    leg: int
    to_high: bool
    cost: int
    node: int
    piece: int
    thing: int


@dataclass(frozen=True, eq=False)
class _Field:
    """Least costs to a frame: by what of the wishes is passed on the way, by junction."""

    least: tuple[Mapping[int, int], ...]
    exits: Mapping[int, tuple[int, int]]
    """By junction the cost and number of the frame's best leg there."""

    def after(self, need: int, node: int) -> int | None:
        """The least cost from a junction that passes at least what is needed."""
        found = [
            costs[node]
            for passed, costs in enumerate(self.least)
            if passed & need == need and node in costs
        ]
        return min(found, default=None)


@dataclass(frozen=True, eq=False)
class ToldSearch:
    """Searches in one network; what several runs share is kept."""

    network: Network
    sources: Sources
    leg_weight: int
    _arcs: dict[int, list[tuple[int, int, int]]] = field(default_factory=dict)
    _plain: list[tuple[list[int], list[int]]] = field(default_factory=list)
    _fields: dict[tuple[int, Wish], _Field] = field(default_factory=dict)
    _useful_from: dict[tuple[int, frozenset[int], frozenset[int]], set[int]] = field(
        default_factory=dict
    )
    _ways: dict[tuple[int, Wish, bytes], ToldWay | None] = field(default_factory=dict)

    def arcs(self) -> Mapping[int, list[tuple[int, int, int]]]:
        """By junction: the junctions it leads to, by which piece, at what cost."""
        if not self._arcs:
            network = self.network
            usable = np.flatnonzero(~network.backbone_only & (network.one != network.other))
            arcs: dict[int, list[tuple[int, int, int]]] = {}
            for piece in usable.tolist():
                one, other = int(network.one[piece]), int(network.other[piece])
                cost = int(network.length[piece]) * (WEIGH + 1)
                arcs.setdefault(one, []).append((other, piece, cost))
                arcs.setdefault(other, []).append((one, piece, cost))
            self._arcs.update(arcs)  # at once: another thread may look too
        return self._arcs

    def _lists(self) -> tuple[list[int], list[int]]:
        """The order of every junction and the thing of every piece, as plain numbers."""
        if not self._plain:
            self._plain.append((self.network.rank.tolist(), self.network.thing.tolist()))
        return self._plain[0]

    def numbers(self, things: Iterable[str]) -> list[int]:
        """The numbers of things in the network, those that are not in it left out."""
        known = {thing: k for k, thing in enumerate(self.network.joints.stretches.things)}
        return sorted(known[t] for t in things if t in known)

    def way(
        self, frame: int, wish: Wish, legs: Legs, holds: Hold, rows: tuple[int, int]
    ) -> ToldWay | None:
        """The way of an outlet, whose legs are these rows, to a frame; None where there is
        none. What was found before for the same legs is not sought again."""
        of = slice(*rows)
        own = (legs.stretch, legs.offset, legs.across, legs.upright)
        key = frame, wish, b"".join(column[of].tobytes() for column in own)
        if key not in self._ways:
            if len(self._ways) >= MOST_KEPT:
                self._ways.clear()
            self._ways[key] = self._sought(frame, wish, legs, holds, rows)
        return self._ways[key]

    def _sought(
        self, frame: int, wish: Wish, legs: Legs, holds: Hold, rows: tuple[int, int]
    ) -> ToldWay | None:
        via, never = self.numbers(wish.via), set(self.numbers(wish.never))
        if len(via) < len(wish.via):
            return None
        bits = {thing: 1 << k for k, thing in enumerate(via)}
        reached = self._field(frame, wish, bits, never)
        starts = [s for s in self._starts(legs, holds, rows) if s.thing not in never]
        found = self._search(starts, bits, never, reached, None, most=FEW_TRIALS)
        if found is _TOO_MANY:
            useful = self._useful(frame, frozenset(never), starts, reached)
            passed = {int(self.network.thing[p]) for p in useful} | {s.thing for s in starts}
            if not passed.issuperset(via):
                return None  # what was told leads nowhere, or only back
            found = self._search(starts, bits, never, reached, useful, most=MOST_TRIALS)
        if found is None or found is _TOO_MANY or found.cost > FARTHEST:
            return None
        return self._way(frame, found, legs, rows[0])

    def _starts(self, legs: Legs, holds: Hold, rows: tuple[int, int]) -> list[Start]:
        network, flat = self.network, self.network.joints.stretches
        found = []
        for number in range(*rows):
            own = int(legs.across[number] + legs.upright[number])
            cost = own * (self.leg_weight * WEIGH + 1)
            low, high = int(holds.low[number]), int(holds.high[number])
            thing = int(flat.thing[legs.stretch[number]])
            if low == high:
                node = int(network.node[low])
                found.append(Start(number - rows[0], False, cost, node, LINK, LINK))
                continue
            piece = int(network.piece_of_cut[low])
            for cut, part in ((low, holds.from_low[number]), (high, holds.to_high[number])):
                on = cost + int(part) * (WEIGH + 1)
                node = int(network.node[cut])
                found.append(Start(number - rows[0], cut == high, on, node, piece, thing))
        return found

    def _field(self, frame: int, wish: Wish, bits: Mapping[int, int], never: set[int]) -> _Field:
        known = self._fields.get((frame, wish))
        if known is not None:
            return known
        thing, arcs = self._lists()[1], self.arcs()
        first, stop = self.sources.legs.first[frame : frame + 2].tolist()
        exits: dict[int, tuple[int, int]] = {}
        for leg in range(first, stop):
            own = int(self.sources.across[leg] + self.sources.upright[leg])
            cost = own * (self.leg_weight * WEIGH + 1)
            node = int(self.sources.node[leg])
            exits[node] = min((cost, leg), exits.get(node, (cost, leg)))
        least: tuple[dict[int, int], ...] = tuple({} for _ in range(1 << len(bits)))
        waiting = [(cost, node, 0) for node, (cost, _) in exits.items()]
        waiting.sort()
        while waiting:
            cost, node, passed = heappop(waiting)
            if node in least[passed]:
                continue
            least[passed][node] = cost
            for other, piece, more in arcs.get(node, ()):
                if thing[piece] not in never:
                    on = passed | bits.get(thing[piece], 0)
                    if other not in least[on]:
                        heappush(waiting, (cost + more, other, on))
        self._fields[frame, wish] = _Field(least, exits)
        return self._fields[frame, wish]

    def _search(
        self,
        starts: Sequence[Start],
        bits: Mapping[int, int],
        never: set[int],
        reached: _Field,
        useful: set[int] | None,
        *,
        most: int,
    ) -> "_Found | None":
        """The first way in order of cost, leg and the junctions it passes."""
        rank, thing = self._lists()
        arcs, full = self.arcs(), (1 << len(bits)) - 1
        waiting: list[tuple[int, int, tuple[int, ...], tuple[int, ...], int, _Open]] = []

        def offer(cost: int, passed: int, node: int, open_: "_Open") -> None:
            rest = reached.after(full & ~passed, node)
            if rest is not None:
                order = (open_.start.leg, open_.ranks, open_.pieces, 0)
                heappush(waiting, (cost + rest, *order, open_))

        for start in starts:
            passed = bits.get(start.thing, 0)
            way = _Open(start, start.cost, passed, start.node, (rank[start.node],), ())
            offer(start.cost, passed, start.node, way)
        trials = 0
        while waiting:
            cost, _, _, _, done, way = heappop(waiting)
            if done:
                return _Found(cost, way, reached.exits[way.node][1])
            trials += 1
            if trials > most:
                return _TOO_MANY
            if way.passed == full and way.node in reached.exits:
                whole = way.cost + reached.exits[way.node][0]
                heappush(waiting, (whole, way.start.leg, way.ranks, way.pieces, 1, way))
            for other, piece, more in arcs.get(way.node, ()):
                barred = thing[piece] in never or piece == way.start.piece
                if (
                    barred
                    or rank[other] in way.ranks
                    or (useful is not None and piece not in useful)
                ):
                    continue
                passed = way.passed | bits.get(thing[piece], 0)
                on = _Open(
                    way.start,
                    way.cost + more,
                    passed,
                    other,
                    (*way.ranks, rank[other]),
                    (*way.pieces, piece),
                )
                offer(on.cost, passed, other, on)
        return None

    def _useful(
        self, frame: int, never: frozenset[int], starts: Sequence[Start], reached: _Field
    ) -> set[int]:
        """The pieces on ways without a junction twice; outlets of one piece share them."""
        key = frame, never, frozenset(s.node for s in starts)
        if key not in self._useful_from:
            self._useful_from[key] = self._on_simple_ways(key[2], never, reached)
        return self._useful_from[key]

    def _on_simple_ways(
        self, nodes: Iterable[int], never: frozenset[int], reached: _Field
    ) -> set[int]:
        """The pieces that lie on some way from the outlet to the frame without a junction
        twice: those in one block with a line drawn from the one to the other."""
        graph: nx.Graph[object] = nx.Graph()
        ends = "outlet", "frame"
        graph.add_edge(*ends)
        graph.add_edges_from((ends[0], node) for node in nodes)
        graph.add_edges_from((ends[1], node) for node in reached.exits)
        thing = self._lists()[1]
        lines: dict[frozenset[int], list[int]] = {}
        for node, arcs in self.arcs().items():
            for other, piece, _ in arcs:
                if thing[piece] not in never:
                    lines.setdefault(frozenset((node, other)), []).append(piece)
        graph.add_edges_from((min(pair), max(pair)) for pair in lines)
        block = next(
            set(map(frozenset, edges))
            for edges in nx.biconnected_component_edges(graph)
            if frozenset(ends) in set(map(frozenset, edges))
        )
        return {piece for pair, pieces in lines.items() if pair in block for piece in pieces}

    def _way(self, frame: int, found: "_Found", legs: Legs, first: int) -> ToldWay:
        network, start, last = self.network, found.way.start, found.last_leg
        leg = first + start.leg
        pieces = np.array(found.way.pieces, dtype=np.int64)
        steps, node = [], start.node
        for piece in found.way.pieces:
            steps.append((piece, node))
            node = int(network.other[piece] if network.one[piece] == node else network.one[piece])
        along = network.length[pieces] - network.added[pieces]
        up, known = network.upright[pieces], network.measured[pieces]
        own = self._first_part(legs, leg, start)
        last_across, last_upright = int(self.sources.across[last]), int(self.sources.upright[last])
        return ToldWay(
            frame=frame,
            leg=start.leg,
            to_high=start.to_high,
            steps=tuple(steps),
            last_leg=last,
            leg_across=int(legs.across[leg]),
            across=int(legs.across[leg] + along[~up].sum()) + own.across + last_across,
            upright=int(legs.upright[leg] + along[up].sum()) + own.upright + last_upright,
            added=int(network.added[pieces].sum()) + own.added,
            measured=int(along[~up & known].sum()) + own.measured,
            cost=found.cost,
        )

    def _first_part(self, legs: Legs, leg: int, start: Start) -> "_Lengths":
        """From the point where the leg comes to the junction it takes."""
        if start.piece == LINK:
            return _Lengths(0, 0, 0, 0)
        network = self.network
        row = slice(leg, leg + 1)
        stretch = int(legs.stretch[leg])
        cut = int(network.piece_cut[start.piece]) + int(start.to_high)
        key = network.key[cut : cut + 1]
        along, added = (
            int(v[0]) for v in walked_between(network, legs.stretch[row], key, legs.offset[row])
        )
        if network.joints.stretches.upright[stretch]:
            return _Lengths(0, along, added, 0)
        walked = network.joints.walked
        known = walked is not None and int(walked.measured[stretch]) != NOT_MEASURED
        return _Lengths(along, 0, added, along if known else 0)


@dataclass(frozen=True, slots=True)
class _Lengths:
    across: int
    upright: int
    added: int
    measured: int


@dataclass(frozen=True, slots=True)
class _Open:
    """A way on its way: no two are compared, since their pieces differ."""

    start: Start
    cost: int
    passed: int
    node: int
    ranks: tuple[int, ...]
    pieces: tuple[int, ...]

    def __lt__(self, other: "_Open") -> bool:
        return (self.start.to_high, self.start.piece) < (other.start.to_high, other.start.piece)


@dataclass(frozen=True, slots=True)
class _Found:
    cost: int
    way: _Open
    last_leg: int


_NOWHERE = Start(0, False, 0, 0, LINK, LINK)
_TOO_MANY = _Found(0, _Open(_NOWHERE, 0, 0, 0, (), ()), 0)


def told_pieces(
    told: Mapping[int, ToldWay | None], ports: IntArray | None
) -> Iterator[tuple[int, int]]:
    """Piece and port of all that told runs (of these ports; None: of all) pass wholly."""
    wanted = told.keys() if ports is None else told.keys() & set(ports.tolist())
    for port in sorted(wanted):
        way = told[port]
        if way is not None:
            for piece, _ in way.steps:
                yield piece, port
