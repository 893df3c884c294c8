"""The oracle of routing: one directed graph in which outlets and frames are nodes.

Arcs lead out of outlets and into frames, so that nothing passes through an end. Solved by
networkx, by scipy, and on small buildings by trying every simple path. Nothing is shared with
the router, not even what joins what: it is all written again from the rules.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import networkx as nx
import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from app.model.project import Project
from tests.routing.oracle_legs import (
    GRACE_MM,
    End,
    Stand,
    barred,
    closed_areas,
    legs_of,
    outlet_end,
    riser_ends,
    stand_legs,
    stand_of,
)
from tests.routing.oracle_pathways import Node, Pathways, Stretch, half_up, square_to

BIG = 2**22
"""More than any way's length: cost * BIG + length is ordered as cost, then length."""


class Split(NamedTuple):
    """Of a length: the horizontal part, what of that has an allowance, what was added."""

    across: int
    loose: int
    added: int = 0

    def plus(self, other: Split) -> Split:
        return Split(*(a + b for a, b in zip(self, other, strict=True)))


NONE = Split(0, 0)


@dataclass(frozen=True)
class Arc:
    """One way on: `weighed` orders as cost and true length; `split` says what of it is what."""

    goal: str | int
    cost: int
    length: int
    split: Split
    leg: tuple[int, ...] = ()
    """Of arcs out of outlets: the horizontal leg, then z, x, y of where it comes."""
    piece: tuple[int, ...] = ()
    """The stretch and the two cuts between which it lies; none for legs and steps."""

    @property
    def weighed(self) -> int:
        return self.cost * BIG + self.length


@dataclass(frozen=True)
class Ways:
    """The best ways between two ends: their one length, dressing included, how it may split,
    and the horizontal leg at the outlet."""

    length: int
    splits: frozenset[Split]
    leg: int

    def base(self, split: Split, permille: int) -> int:
        """The length with the allowance on what has one."""
        return self.length + (permille * split.loose + 500) // 1000


Trial = tuple[str | int, int, Split, tuple[int, ...], frozenset[object], frozenset[str]]
"""Where a way has come to, at what cost, how that splits, its leg, what it has seen and passed."""


class TooMany(Exception):
    """More ways than one can try."""


class Graph:
    """The all-in-one graph of a project; `backbone` opens all outdoor ducts."""

    def __init__(self, project: Project, *, backbone: bool = False) -> None:
        self.project = project
        things = [*project.frames.values(), *project.demarcations.values()]
        self.stands = {t.id: stand_of(project, t) for t in things}
        self.ends = {o.id: outlet_end(project, o) for o in project.outlets.values()}
        self.pathways = Pathways(project, riser_ends(project, list(self.stands.values())))
        self.closed = {f: closed_areas(project, f) for f in project.floors}
        cuts = self.pathways.cuts()
        self.frame_legs = {
            i: stand_legs(self.pathways, s, self.closed[s.end.ground or ""], cuts)
            for i, s in self.stands.items()
        }
        for number, offset in (leg.node for legs in self.frame_legs.values() for leg in legs):
            cuts[number].add(offset)
        self.outlet_legs = {
            o: legs_of(self.pathways, e, self.closed.get(e.ground or "", []), cuts)
            for o, e in self.ends.items()
        }
        self.arcs: dict[str | int, list[Arc]] = {}
        self._lay_pieces(backbone, cuts)
        self._lay_legs()

    # --- the graph -------------------------------------------------------------------------

    @cached_property
    def _group(self) -> dict[Node, int]:
        """Nodes that are one place, by number."""
        paths = self.pathways
        graph = nx.Graph()
        for s in paths.stretches:
            graph.add_nodes_from([(s.number, 0), (s.number, s.length)])
        for legs in (*self.outlet_legs.values(), *self.frame_legs.values()):
            graph.add_nodes_from(leg.node for leg in legs)
        for stretches in paths.of_thing.values():
            for one, other in pairwise(stretches):
                graph.add_edge((one.number, one.length), (other.number, 0))
        for a, b in paths.joins:
            one_node, other_node = (paths.stretches[c[0]].node(c[1]) for c in (a, b))
            graph.add_nodes_from((one_node, other_node))
            if paths.point(a)[2] == paths.point(b)[2]:
                graph.add_edge(one_node, other_node)
        return {
            node: number
            for number, together in enumerate(nx.connected_components(graph))
            for node in together
        }

    def _lay_pieces(self, backbone: bool, cuts: dict[int, set[int]]) -> None:
        """Both ways between cuts; from where an outlet's leg comes, only on to the next cuts."""
        paths, group = self.pathways, self._group
        for s in paths.stretches:
            for low, high in pairwise(sorted(cuts[s.number])):
                if not s.shut or backbone:
                    along, more = paths.way(s.number, low, high)
                    one, other = group[s.number, low], group[s.number, high]
                    split = self._split(s, max(1, along), more)
                    self._both(one, other, max(1, along), split, (s.number, low, high))
        for number, offset in {leg.node for legs in self.outlet_legs.values() for leg in legs}:
            if offset in cuts[number]:
                continue
            s, start = paths.stretches[number], group[number, offset]
            low = max(c for c in cuts[number] if c < offset)
            high = min(c for c in cuts[number] if c > offset)
            for cut in (low, high):
                along, more = paths.way(number, offset, cut)
                split, piece = self._split(s, along, more), (number, low, high)
                arc = Arc(group[number, cut], along + more, along + more, split, piece=piece)
                self.arcs.setdefault(start, []).append(arc)
        for a, b in paths.joins:
            rise = abs(paths.point(a)[2] - paths.point(b)[2])
            if rise:
                one, other = (group[paths.stretches[c[0]].node(c[1])] for c in (a, b))
                self._both(one, other, rise, NONE)

    def _split(self, s: Stretch, along: int, more: int) -> Split:
        across = 0 if s.upright else along
        return Split(across, 0 if s.number in self.pathways.measured else across, more)

    def _both(
        self, one: int, other: int, along: int, split: Split, piece: tuple[int, ...] = ()
    ) -> None:
        length = along + split.added
        if one != other:
            self.arcs.setdefault(one, []).append(Arc(other, length, length, split, piece=piece))
            self.arcs.setdefault(other, []).append(Arc(one, length, length, split, piece=piece))

    def _lay_legs(self) -> None:
        weight = self.project.settings.leg_weight
        for outlet, legs in self.outlet_legs.items():
            out = self.arcs.setdefault(outlet, [])
            for leg in legs:
                whole = leg.across + leg.upright
                x, y, z = leg.point
                goal = self._group[leg.node]
                split = Split(leg.across, leg.across)
                out.append(Arc(goal, weight * whole, whole, split, (leg.across, z, x, y)))
        for thing, legs in self.frame_legs.items():
            stand = self.stands[thing]
            for leg in legs:
                across, down = leg.across + stand.beyond, stand.down(leg.point[2])
                arc = Arc(thing, weight * (across + down), across + down, Split(across, across))
                self.arcs.setdefault(self._group[leg.node], []).append(arc)
        for outlet, end in self.ends.items():
            for frame in self.project.frames:
                straight = self._one_leg(end, self.stands[frame])
                if straight is not None:
                    self.arcs[outlet].append(straight)

    def _one_leg(self, end: End, stand: Stand) -> Arc | None:
        """In the frame's own space, one leg: up to the ladder, across, down to the panels."""
        if end.space is None or stand.end.space is None or end.space.id != stand.end.space.id:
            return None
        u, v = square_to(end.axis, stand.end.x - end.x, stand.end.y - end.y)
        too_far = abs(u) + abs(v) > self.project.settings.reach_mm + GRACE_MM
        if too_far or barred(end, u, v, self.closed[stand.end.ground or ""]):
            return None
        across = half_up(abs(u)) + half_up(abs(v)) + stand.beyond
        whole = across + abs(stand.top - end.z) + abs(stand.top - stand.panel)
        cost = self.project.settings.leg_weight * whole
        at = (across, stand.top, stand.end.x, stand.end.y)
        return Arc(stand.end.thing, cost, whole, Split(across, across), at)

    # --- three ways to solve it ------------------------------------------------------------

    def by_networkx(self) -> dict[tuple[str, str], int]:
        """The weighed cost from every outlet to every frame it reaches."""
        return {
            (outlet, frame): self.far[frame][outlet]
            for frame in self.project.frames
            for outlet in self.ends
            if outlet in self.far[frame]
        }

    def by_scipy(self) -> dict[tuple[str, str], int]:
        """The same by compiled search."""
        names: dict[str | int, int] = {}
        least: dict[tuple[int, int], int] = {}
        for start, arcs in self.arcs.items():
            for arc in arcs:
                pair = (names.setdefault(start, len(names)), names.setdefault(arc.goal, len(names)))
                least[pair] = min(arc.weighed, least.get(pair, arc.weighed))
        frames = [f for f in self.project.frames if f in names]
        if not frames:
            return {}
        start_goal = np.array(list(least)).T
        costs = np.array(list(least.values()), dtype=float)
        matrix = csr_array((costs, (start_goal[1], start_goal[0])), shape=(len(names),) * 2)
        far = dijkstra(matrix, indices=[names[f] for f in frames])
        return {
            (outlet, frame): int(far[k, names[outlet]])
            for k, frame in enumerate(frames)
            for outlet in self.ends
            if outlet in names and math.isfinite(far[k, names[outlet]])
        }

    def by_trying_all(self, most: int) -> dict[tuple[str, str], int] | None:
        """The least over every simple path; None where that takes more than `most` steps."""
        least: dict[tuple[str, str], int] = {}
        steps = 0
        for outlet in self.ends:
            stack: list[tuple[str | int, int, frozenset[str | int]]] = [(outlet, 0, frozenset())]
            while stack:
                at, so_far, seen = stack.pop()
                steps += 1
                if steps > most:
                    return None
                if at in self.project.frames:
                    pair = (outlet, str(at))
                    least[pair] = min(so_far, least.get(pair, so_far))
                for arc in self.arcs.get(at, ()):
                    if arc.goal not in seen:
                        stack.append((arc.goal, so_far + arc.weighed, seen | {at}))
        return least

    # --- the ways themselves ---------------------------------------------------------------

    @cached_property
    def far(self) -> dict[str, dict[str | int, int]]:
        """The weighed cost from every node to each frame, by networkx."""
        back = nx.DiGraph()
        back.add_nodes_from(self.stands)
        for start, arcs in self.arcs.items():
            for arc in arcs:
                known = back.get_edge_data(arc.goal, start)
                if known is None or arc.weighed < known["weight"]:
                    back.add_edge(arc.goal, start, weight=arc.weighed)
        return {i: nx.single_source_dijkstra_path_length(back, i) for i in self.stands}

    def _tight(self, frame: str, node: str | int) -> list[Arc]:
        """The arcs that best ways from a node to a frame begin with."""
        far = self.far[frame]
        arcs = self.arcs[node]
        return [a for a in arcs if a.goal in far and a.weighed + far[a.goal] == far[node]]

    def ways(self, outlet: str, frame: str) -> Ways | None:
        """The best ways from an outlet to a frame; None where there is none."""
        if outlet not in self.far[frame]:
            return None
        tight = self._tight(frame, outlet)
        leg = min(a.leg for a in tight)
        splits = {
            a.split.plus(rest)
            for a in tight
            if a.leg == leg
            for rest in self._splits(frame, a.goal)
        }
        length = self.far[frame][outlet] % BIG + self.stands[frame].dressing
        return Ways(length, frozenset(splits), leg[0])

    def told_ways(
        self, outlet: str, frame: str, via: frozenset[str], never: frozenset[str], most: int
    ) -> Ways | None:
        """The best of all ways without a place twice that use some part of every `via` and none
        of a `never`, by trying them. Raises TooMany beyond so many steps."""
        far, stretches = self.far[frame], self.pathways.stretches
        best: tuple[int, tuple[int, ...]] | None = None
        splits: set[Split] = set()
        steps = 0

        def on(arc: Arc) -> str:
            return stretches[arc.piece[0]].thing if arc.piece else ""

        stack: list[Trial] = [(outlet, 0, NONE, (), frozenset((outlet,)), frozenset())]
        while stack:
            at, cost, split, leg, seen, things = stack.pop()
            steps += 1
            if steps > most:
                raise TooMany
            if at == frame:
                if via <= things and (best is None or (cost, leg) <= best):
                    splits = splits | {split} if best == (cost, leg) else {split}
                    best = cost, leg
                continue
            for arc in self.arcs.get(at, ()):
                again = arc.goal in seen or (arc.piece and arc.piece in seen)
                so_far = cost + arc.weighed
                if again or on(arc) in never or arc.goal not in far:
                    continue
                if best is not None and so_far + far[arc.goal] > best[0]:
                    continue
                after = seen | {arc.goal} | ({arc.piece} if arc.piece else set())
                stack.append(
                    (
                        arc.goal,
                        so_far,
                        split.plus(arc.split),
                        leg or arc.leg,
                        after,
                        things | {on(arc)},
                    )
                )
        if best is None:
            return None
        length = best[0] % BIG + self.stands[frame].dressing
        return Ways(length, frozenset(splits), best[1][0])

    def backbone_ways(self, start: str, goal: str) -> Ways | None:
        """The best ways from one frame or demarcation point to another."""
        weight, one, far = self.project.settings.leg_weight, self.stands[start], self.far[goal]
        found: list[tuple[int, Split]] = []
        for leg in self.frame_legs[start]:
            at = self._group[leg.node]
            across, down = leg.across + one.beyond, one.down(leg.point[2])
            if at in far:
                cost = (across + down) * (weight * BIG + 1) + far[at]
                own = Split(across, across)
                found += [(cost, own.plus(rest)) for rest in self._splits(goal, at)]
        straight = self._one_leg_between(one, self.stands[goal])
        if straight is not None:
            own = Split(straight[0], straight[0])
            found.append((sum(straight) * (weight * BIG + 1), own))
        if not found:
            return None
        least = min(found)[0]
        dressing = one.dressing + self.stands[goal].dressing
        return Ways(least % BIG + dressing, frozenset(a for c, a in found if c == least), 0)

    def _one_leg_between(self, one: Stand, other: Stand) -> tuple[int, int] | None:
        """In one space, by one leg over the higher of both ladders: across and upright."""
        a, b = one.end, other.end
        if a.space is None or b.space is None or a.space.id != b.space.id:
            return None
        u, v = square_to(a.axis, b.x - a.x, b.y - a.y)
        too_far = abs(u) + abs(v) > self.project.settings.reach_mm + GRACE_MM
        if too_far or barred(a, u, v, self.closed[a.ground or ""]):
            return None
        top = max(one.top, other.top)
        across = half_up(abs(u)) + half_up(abs(v)) + one.beyond + other.beyond
        return across, abs(top - one.panel) + abs(top - other.panel)

    def _splits(self, frame: str, node: str | int) -> frozenset[Split]:
        """How the lengths of best ways from a node to a frame may split."""
        known = self._known.setdefault(frame, {frame: frozenset({NONE})})
        stack = [node]
        while stack:
            at = stack[-1]
            tight = [] if at in known else self._tight(frame, at)
            missing = [a.goal for a in tight if a.goal not in known]
            if missing:
                stack += missing
                continue
            if at not in known:
                known[at] = frozenset(a.split.plus(rest) for a in tight for rest in known[a.goal])
            stack.pop()
        return known[node]

    @cached_property
    def _known(self) -> dict[str, dict[str | int, frozenset[Split]]]:
        return {}
