"""The oracle's pathways: what lies where and what joins what, in plain Python.

Written from the rules alone and sharing no code with the router; slow on purpose. A cut is a
stretch's number and a share of it; a node is a cut whose offset is rounded.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from app.model.entities import Floor, Pathway, Riser, WalkedLength
from app.model.project import Project, floors_from_below
from app.model.vocabulary import INSERT_KINDS, OPEN_KINDS

Point3 = tuple[int, int, int]
Cut = tuple[int, float]
Node = tuple[int, int]
BREAK_ROUNDING_MM = 2
NOISE_DIGITS = 6
"""Decimals of a millimetre that count where distances in plan are compared."""


def half_up(value: float) -> int:
    """The nearest whole number, halves upwards."""
    return math.floor(value + 0.5)


def axis_of(angle_mdeg: int) -> tuple[float, float]:
    """Cosine and sine of a grid; a quarter turn is the same grid."""
    angle = angle_mdeg % 90_000
    return (
        (1.0, 0.0)
        if angle == 0
        else (math.cos(math.radians(angle / 1e3)), math.sin(math.radians(angle / 1e3)))
    )


def square_to(axis: tuple[float, float], dx: float, dy: float) -> tuple[float, float]:
    """A way seen along a grid and square to it."""
    return dx * axis[0] + dy * axis[1], dy * axis[0] - dx * axis[1]


@dataclass(frozen=True)
class Stretch:
    """A straight stretch; `floor` None in risers and outdoor ducts; `shut` to horizontal runs."""

    number: int
    thing: str
    floor: str | None
    open: bool
    a: Point3
    b: Point3
    riser: bool = False
    shut: bool = False

    @property
    def true_length(self) -> float:
        return math.dist(self.a, self.b)

    @property
    def length(self) -> int:
        return half_up(self.true_length)

    @property
    def plumb(self) -> bool:
        return self.a[:2] == self.b[:2]

    @property
    def upright(self) -> bool:
        return self.riser or self.plumb

    def real(self, t: float) -> tuple[float, float, float]:
        x, y, z = (p + t * (q - p) for p, q in zip(self.a, self.b, strict=True))
        return x, y, z

    def at(self, t: float) -> Point3:
        x, y, z = self.real(t)
        return half_up(x), half_up(y), half_up(z)

    def node(self, t: float) -> Node:
        return self.number, min(half_up(t * self.true_length), self.length)

    def nearest(self, x: float, y: float) -> tuple[float, float]:
        """The share nearest to a point in plan, and how far away that is."""
        dx, dy = self.b[0] - self.a[0], self.b[1] - self.a[1]
        square = dx * dx + dy * dy
        t = 0.0 if square == 0 else ((x - self.a[0]) * dx + (y - self.a[1]) * dy) / square
        t = min(1.0, max(0.0, t))
        px, py, _ = self.real(t)
        return t, round(math.sqrt((px - x) ** 2 + (py - y) ** 2), NOISE_DIGITS)

    def share_at_height(self, z: float) -> float:
        low, high = self.a[2], self.b[2]
        return 0.0 if low == high else min(1.0, max(0.0, (z - low) / (high - low)))


class Pathways:
    """All stretches of a project, where they may be entered, and their joins."""

    def __init__(self, project: Project, riser_ends: list[tuple[str, str, int]]) -> None:
        self.project = project
        self.tolerance = project.settings.join_tolerance_mm
        self.floors = sorted(project.floors.values(), key=lambda f: (f.level_mm, f.building, f.id))
        self.order = {f.id: k for k, f in enumerate(self.floors)}
        self.stretches: list[Stretch] = []
        self.of_thing: dict[str, list[Stretch]] = {}
        self.places: dict[str, list[Cut]] = {}
        self.duct_ends: list[tuple[str, Cut]] = []
        self.joins: list[tuple[Cut, Cut]] = []
        self.riser_nodes: list[tuple[str, str, int, Cut]] = []
        """Riser, floor, height and cut of every place where something enters a riser."""
        for pathway in sorted(project.pathways.values(), key=lambda p: p.id):
            self._lay_pathway(pathway)
        self._lay_ducts()
        for floor in self.floors:
            self._join_vertices(floor)
            self._join_crossings(floor)
            self._join_drop_outs(floor)
        for riser in sorted(project.risers.values(), key=lambda r: r.id):
            self._lay_riser(riser, riser_ends)
        self.measured: dict[int, int] = {}
        self.added: dict[int, list[tuple[int, int]]] = {}
        """By stretch: what stands for its length; places and what is added there."""
        for walked in project.walked_lengths.values():
            self._lay_walked(walked)

    def on_floor(self, floor: str) -> Iterator[Stretch]:
        return (s for s in self.stretches if s.floor == floor)

    # --- what lies where -------------------------------------------------------------------

    def _lay(
        self,
        thing: str,
        floor: str | None,
        points: list[Point3],
        *,
        opened: bool = False,
        riser: bool = False,
        shut: bool = False,
    ) -> list[Stretch]:
        own = [p for k, p in enumerate(points) if k == 0 or p != points[k - 1]]
        made = [
            Stretch(len(self.stretches) + k, thing, floor, opened, a, b, riser, shut)
            for k, (a, b) in enumerate(pairwise(own))
        ]
        self.stretches += made
        self.of_thing[thing] = made
        if len(made) > 1 and own[0] == own[-1]:
            self.joins.append(((made[0].number, 0.0), (made[-1].number, 1.0)))
        return made

    def _lay_pathway(self, pathway: Pathway) -> None:
        level = self.project.floors[pathway.floor].level_mm
        points = [(x, y, level + h) for x, y, h in pathway.vertices]
        opened = pathway.kind in OPEN_KINDS
        made = self._lay(pathway.id, pathway.floor, points, opened=opened)
        if opened:
            return
        places: list[Cut] = [(made[0].number, 0.0), (made[-1].number, 1.0)]
        for box in self.project.access_points.values():
            if box.pathway == pathway.id:
                near = [(*s.nearest(box.x_mm, box.y_mm), s.number) for s in made]
                away, number, t = min((away, number, t) for t, away, number in near)
                if away <= self.tolerance:
                    places.append((number, t))
        if pathway.kind in INSERT_KINDS and pathway.insert_spacing_mm:
            gone = 0.0
            spacing = pathway.insert_spacing_mm
            for s in made:
                step = math.floor(gone / spacing) + 1
                while step * spacing <= gone + s.true_length:
                    places.append((s.number, min(1.0, (step * spacing - gone) / s.true_length)))
                    step += 1
                gone += s.true_length
        self.places[pathway.id] = places

    def _lay_ducts(self) -> None:
        for duct in sorted(self.project.outdoor_ducts.values(), key=lambda d: d.id):
            first, last = (
                self.project.floors[f].level_mm for f in (duct.from_floor, duct.to_floor)
            )
            levels = [first, *[min(first, last)] * (len(duct.vertices) - 2), last]
            points = [
                (x, y, level + h) for level, (x, y, h) in zip(levels, duct.vertices, strict=True)
            ]
            made = self._lay(duct.id, None, points, shut=not duct.horizontal_allowed)
            self.duct_ends.append((duct.from_floor, (made[0].number, 0.0)))
            self.duct_ends.append((duct.to_floor, (made[-1].number, 1.0)))

    # --- what was walked -------------------------------------------------------------------

    def _lay_walked(self, walked: WalkedLength) -> None:
        own = self.of_thing.get(walked.along, [])
        if not own:
            return
        if walked.along in self.project.risers:
            s, place = self._storey(walked.along, walked.floor, own), 0
        else:
            near = []
            for s in own:
                t, away = s.nearest(walked.x_mm, walked.y_mm)
                middle = tuple(p + q for p, q in zip(s.a, s.b, strict=True))
                near.append((away, s.plumb, middle[2], *middle[:2], s.number, t))
            *_, number, t = min(near)
            s = self.stretches[number]
            place = s.node(t)[1]
        if walked.replaced_mm is not None:
            known = self.measured.get(s.number, 0)
            self.measured[s.number] = max(known, walked.replaced_mm)
        if walked.added_mm:
            self.added.setdefault(s.number, []).append((place, walked.added_mm))

    def _storey(self, riser: str, floor: str, own: list[Stretch]) -> Stretch:
        """From the highest place that something of the floor comes to, to the next above."""
        come = [self.point(cut)[2] for r, f, _, cut in self.riser_nodes if (r, f) == (riser, floor)]
        z = max(come, default=self.project.floors[floor].level_mm)
        below = [s for s in own if s.a[2] <= z]
        return below[-1] if below else own[0]

    def way(self, number: int, one: int, other: int) -> tuple[int, int]:
        """Between two offsets of a stretch: the way along, measured or drawn, and what is added
        on it. What lies at the very place of an added length is on the side of the end that
        comes first in (z, x, y)."""
        s, (low, high) = self.stretches[number], sorted((one, other))
        along = high - low
        if number in self.measured:
            share = self.measured[number]
            ends = [Fraction(at * share, s.length) for at in (low, high)]
            along = math.floor(ends[1] + Fraction(1, 2)) - math.floor(ends[0] + Fraction(1, 2))
        more = 0
        first_is_a = (s.a[2], *s.a[:2]) < (s.b[2], *s.b[:2])
        for place, length in self.added.get(number, ()):
            if first_is_a:
                more += length if low <= min(place, s.length - 1) < high else 0
            else:
                more += length if low < max(place, 1) <= high else 0
        return along, more

    # --- what joins what -------------------------------------------------------------------

    def cuts(self) -> dict[int, set[int]]:
        """The offsets at which each stretch is cut into pieces."""
        found = {s.number: {0, s.length} for s in self.stretches}
        for join in self.joins:
            for cut in join:
                number, offset = self.stretches[cut[0]].node(cut[1])
                found[number].add(offset)
        return found

    def point(self, cut: Cut) -> Point3:
        return self.stretches[cut[0]].at(cut[1])

    def _entered(self, s: Stretch, x: int, y: int) -> list[tuple[Cut, float]]:
        """Where a stretch may be entered within the tolerance of a point in plan."""
        if s.open:
            t, away = s.nearest(x, y)
            return [((s.number, t), away)] if away <= self.tolerance else []
        found = []
        for number, t in self.places.get(s.thing, ()):
            px, py, _ = s.at(t)
            if number == s.number and math.hypot(px - x, py - y) <= self.tolerance:
                found.append(((number, t), math.hypot(px - x, py - y)))
        return found

    def _facing(self, cut: Cut, z: int) -> Cut:
        """On a plumb open stretch the cut nearest in height; any other cut as it is."""
        s = self.stretches[cut[0]]
        return (s.number, s.share_at_height(z)) if s.open and s.plumb else cut

    def _seekers(self, floor: Floor) -> Iterator[tuple[int, int, str, list[Cut]]]:
        """Ends and vertices that may be joined: x, y, thing, its cuts there."""
        for s in self.on_floor(floor.id):
            if s.open and s.plumb:
                yield (*s.a[:2], s.thing, [(s.number, 0.0), (s.number, 1.0)])
            for t in (0.0, 1.0):
                x, y, z = s.at(t)
                made = {self.point(p) for p in self.places.get(s.thing, ())}
                if s.open or (x, y, z) in made:
                    yield x, y, s.thing, [(s.number, t)]
        for end_floor, cut in self.duct_ends:
            if end_floor == floor.id:
                x, y, _ = self.point(cut)
                yield x, y, self.stretches[cut[0]].thing, [cut]

    def _join_vertices(self, floor: Floor) -> None:
        for x, y, thing, cuts in self._seekers(floor):
            best: dict[str, tuple[tuple[float, ...], Cut, Cut]] = {}
            for s in self.on_floor(floor.id):
                if s.thing == thing:
                    continue
                for there, away in self._entered(s, x, y):
                    own = list(cuts)
                    if len(cuts) > 1:
                        own.append(self._facing(cuts[0], self.point(there)[2]))
                    for mine in own:
                        other = self._facing(there, self.point(mine)[2])
                        rise = abs(self.point(mine)[2] - self.point(other)[2])
                        key = (rise, away, *other, *mine)
                        if s.thing not in best or key < best[s.thing][0]:
                            best[s.thing] = (key, mine, other)
            for other_thing, (_, mine, other) in best.items():
                if not self._kept_apart(thing, other_thing, x, y):
                    self.joins.append((mine, other))
        ends = [cut for end_floor, cut in self.duct_ends if end_floor == floor.id]
        for k, one in enumerate(ends):
            for other in ends[k + 1 :]:
                apart = math.dist(self.point(one)[:2], self.point(other)[:2])
                different = self.stretches[one[0]].thing != self.stretches[other[0]].thing
                if different and apart <= self.tolerance:
                    self.joins.append((one, other))

    def _kept_apart(self, one: str, other: str, x: int, y: int) -> bool:
        return any(
            {b.pathway_a, b.pathway_b} == {one, other}
            and math.dist((b.x_mm, b.y_mm), (x, y)) <= self.tolerance + BREAK_ROUNDING_MM
            for b in self.project.breaks.values()
        )

    def _join_crossings(self, floor: Floor) -> None:
        here = [s for s in self.on_floor(floor.id) if s.open and not s.plumb]
        for k, one in enumerate(here):
            for other in here[k + 1 :]:
                if one.thing == other.thing:
                    continue
                shares = crossing(one, other)
                if shares is None:
                    continue
                inner = all(
                    self.tolerance < t * s.true_length
                    and self.tolerance < s.true_length - t * s.true_length
                    for s, t in zip((one, other), shares, strict=True)
                )
                (x, y, z), (_, _, z2) = one.at(shares[0]), other.at(shares[1])
                level = abs(z - z2) <= self.project.settings.same_height_mm
                if inner and level and not self._kept_apart(one.thing, other.thing, x, y):
                    self.joins.append(((one.number, shares[0]), (other.number, shares[1])))

    def _join_drop_outs(self, floor: Floor) -> None:
        for drop in self.project.drop_outs.values():
            if drop.floor != floor.id:
                continue
            sides: list[list[tuple[Cut, float]]] = []
            for thing in (drop.pathway_a, drop.pathway_b):
                own = [s for s in self.of_thing[thing] if s.floor == floor.id]
                sides.append([c for s in own for c in self._entered(s, drop.x_mm, drop.y_mm)])
            found = []
            for cut_a, away_a in sides[0]:
                for cut_b, away_b in sides[1]:
                    a = self._facing(cut_a, self.point(cut_b)[2])
                    b = self._facing(cut_b, self.point(a)[2])
                    rise = abs(self.point(a)[2] - self.point(b)[2])
                    found.append((rise, away_a + away_b, a, b))
            if found:
                self.joins.append(min(found)[2:])

    # --- risers ----------------------------------------------------------------------------

    def _lay_riser(self, riser: Riser, riser_ends: list[tuple[str, str, int]]) -> None:
        """One straight piece, with a node wherever something meets it."""
        met: dict[tuple[int, int], list[Cut]] = {}
        points = riser_points(self.project, riser)
        for floor, (x, y) in points.items():
            come: dict[str, list[tuple[float, Cut]]] = {}
            for s in self.on_floor(floor):
                come.setdefault(s.thing, []).extend(
                    (away, end)
                    for cut, away in self._entered(s, x, y)
                    for end in ([(s.number, 0.0), (s.number, 1.0)] if s.open and s.plumb else [cut])
                )
            cuts = [c for of in come.values() for away, c in of if away == min(of)[0]]
            for end_floor, cut in self.duct_ends:
                near = math.dist(self.point(cut)[:2], (x, y)) <= self.tolerance
                if end_floor == floor and near:
                    cuts.append(cut)
            for cut in cuts:
                met.setdefault((self.point(cut)[2], self.order[floor]), []).append(cut)
            for own, end_floor, z in riser_ends:
                if own == riser.id and end_floor == floor:
                    met.setdefault((z, self.order[floor]), [])
        nodes = sorted(met)
        at = [(*points[self.floors[floor].id], z) for z, floor in nodes]
        if len(set(at)) < 2:
            return
        made = self._lay(riser.id, None, at, riser=True)
        for key, point in zip(nodes, at, strict=True):
            s, t = next((s, t) for s in made for t in (0.0, 1.0) if s.at(t) == point)
            self.riser_nodes.append((riser.id, self.floors[key[1]].id, key[0], (s.number, t)))
            self.joins += [((s.number, t), cut) for cut in met[key]]


def riser_points(project: Project, riser: Riser) -> dict[str, tuple[int, int]]:
    """Where a riser passes each floor of its building between its two ends."""
    low, high = (project.floors[f] for f in (riser.lower_floor, riser.upper_floor))
    points = {}
    for floor in floors_from_below(project, low.building):
        if floor.id in (low.id, high.id) or low.level_mm < floor.level_mm < high.level_mm:
            t = (floor.level_mm - low.level_mm) / (high.level_mm - low.level_mm)
            x, y = (half_up(p + t * (q - p)) for p, q in zip(riser.lower, riser.upper, strict=True))
            points[floor.id] = (x, y)
    return points


def crossing(one: Stretch, other: Stretch) -> tuple[float, float] | None:
    """The shares of two stretches at which they cross in plan; None where they do not."""
    ax, ay, bx, by = *one.a[:2], *other.a[:2]
    dx, dy = one.b[0] - ax, one.b[1] - ay
    ex, ey = other.b[0] - bx, other.b[1] - by
    cross = dx * ey - dy * ex
    if cross == 0:
        return None
    t = ((bx - ax) * ey - (by - ay) * ex) / cross
    s = ((bx - ax) * dy - (by - ay) * dx) / cross
    return (t, s) if 0 <= t <= 1 and 0 <= s <= 1 else None
