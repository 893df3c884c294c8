"""What joins what: where the pathways of one floor, risers and outdoor ducts meet.

An end or vertex that lies on another pathway within the tolerance joins it where both may be
entered; a mere crossing joins only open kinds at the same height; a drop-out joins what
crosses at different heights; a break keeps apart what would join by itself.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely

from app.geometry.segment_tree import search_tree, segment_lines
from app.model.entities import Break, DropOut
from app.routing.results import FloatArray, IndexArray
from app.routing.stretches import NOISE_DIGITS, Entry, Place, Stretches

BREAK_ROUNDING_MM = 2
"""A break is stored in whole millimetres; the crossing it marks need not lie on one."""

Cut = tuple[int, float]
"""A stretch and a share of it."""


@dataclass(frozen=True, slots=True)
class Join:
    """Two cuts that are one place, or two places one above the other."""

    one: Cut
    other: Cut


@dataclass(frozen=True, slots=True)
class Meeting:
    """A pathway or duct that comes to a riser's point on a floor."""

    riser: str
    floor: int
    cut: Cut


@dataclass(frozen=True, slots=True)
class Seeker:
    """A point in plan that asks what lies there."""

    x: int
    y: int
    thing: int
    cuts: tuple[Cut, ...]
    """Where its own thing may be joined here; two for the ends of an upright stretch."""


@dataclass(eq=False)
class FloorPlan:
    """The stretches of one floor, ready to be asked what lies at a point."""

    stretches: Stretches
    rows: IndexArray
    places: Mapping[int, tuple[Place, ...]]
    tolerance_mm: int
    tree: shapely.STRtree = field(init=False)

    def __post_init__(self) -> None:
        start, end = self.stretches.start[self.rows], self.stretches.end[self.rows]
        self.tree = search_tree(segment_lines(start, end))

    def at(self, points: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int, float, float]]:
        """(point, stretch, share, distance in plan) of every stretch within the tolerance."""
        if not points or not len(self.rows):
            return
        xy = np.array(points, dtype=np.float64)
        reach = float(self.tolerance_mm) + 1.0
        boxes = shapely.box(xy[:, 0] - reach, xy[:, 1] - reach, xy[:, 0] + reach, xy[:, 1] + reach)
        which, local = self.tree.query(boxes)
        rows = self.rows[local]
        share, away = nearest_shares(self.stretches, rows, xy[which])
        near = away <= self.tolerance_mm
        yield from zip(
            which[near].tolist(),
            rows[near].tolist(),
            share[near].tolist(),
            away[near].tolist(),
            strict=True,
        )


def nearest_shares(
    stretches: Stretches, rows: IndexArray, xy: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """For each pair of stretch and point: the nearest share in plan, and the distance."""
    a = stretches.start[rows, :2].astype(np.float64)
    d = (stretches.end[rows, :2] - stretches.start[rows, :2]).astype(np.float64)
    square = d[:, 0] ** 2 + d[:, 1] ** 2
    along = (xy[:, 0] - a[:, 0]) * d[:, 0] + (xy[:, 1] - a[:, 1]) * d[:, 1]
    share = np.clip(along / np.where(square == 0, 1.0, square), 0.0, 1.0)
    ex = xy[:, 0] - a[:, 0] - share * d[:, 0]
    ey = xy[:, 1] - a[:, 1] - share * d[:, 1]
    # Rounded, so that noise decides neither what is within reach nor what is nearer.
    return share, np.round(np.sqrt(ex * ex + ey * ey), NOISE_DIGITS).astype(np.float64)


def vertex_seekers(
    stretches: Stretches, rows: IndexArray, places: Mapping[int, tuple[Place, ...]]
) -> list[Seeker]:
    """The ends and vertices of the pathways of a floor at which they may be joined."""
    found: list[Seeker] = []
    for row in rows.tolist():
        thing = int(stretches.thing[row])
        first = int(stretches.first_of_thing[thing]) == row
        ends = [(row, 0.0), (row, 1.0)] if first else [(row, 1.0)]
        if stretches.entry[row] == Entry.PLACES:
            ends = [end for end in ends if _is_place(stretches, end, places[thing])]
        elif (stretches.start[row, :2] == stretches.end[row, :2]).all():
            x, y, _ = stretches.point(row, 0.0)
            found.append(Seeker(x, y, thing, ((row, 0.0), (row, 1.0))))
        for end in ends:
            x, y, _ = stretches.point(*end)
            found.append(Seeker(x, y, thing, (end,)))
    return found


def _is_place(stretches: Stretches, end: Cut, places: Iterable[Place]) -> bool:
    at = stretches.point(*end)
    return any(stretches.point(p.stretch, p.t) == at for p in places)


def vertex_joins(
    plan: FloorPlan, seekers: Sequence[Seeker], breaks: Mapping[frozenset[str], list[Break]]
) -> list[Join]:
    """Joins of ends and vertices with other pathways; of several the least in height."""
    stretches = plan.stretches
    best: dict[tuple[int, int], tuple[tuple[float, ...], Join]] = {}
    for which, row, share, away in plan.at([(s.x, s.y) for s in seekers]):
        seeker, other = seekers[which], int(stretches.thing[row])
        if other == seeker.thing:
            continue
        for own, there, distance in _pairs(plan, seeker, row, share, away):
            rise = abs(stretches.point(*own)[2] - stretches.point(*there)[2])
            key = (float(rise), distance, float(there[0]), there[1], float(own[0]), own[1])
            pair = (which, other)
            if pair not in best or key < best[pair][0]:
                best[pair] = (key, Join(own, there))
    return [
        join
        for (which, other), (_, join) in best.items()
        if not _is_broken(
            stretches,
            seekers[which].thing,
            other,
            (seekers[which].x, seekers[which].y),
            breaks,
            plan.tolerance_mm,
        )
    ]


def _pairs(
    plan: FloorPlan, seeker: Seeker, row: int, share: float, away: float
) -> Iterator[tuple[Cut, Cut, float]]:
    """Where the seeker and a stretch that lies there may be joined."""
    stretches = plan.stretches
    for there, distance in _enterable(plan, (seeker.x, seeker.y), row, share, away):
        for own in seeker.cuts:
            yield own, _toward(plan, there, own), distance
        if len(seeker.cuts) > 1:
            height = stretches.point(*there)[2]
            own = (seeker.cuts[0][0], _share_at_height(stretches, seeker.cuts[0][0], height))
            yield own, _toward(plan, there, own), distance


def _enterable(
    plan: FloorPlan, at: tuple[int, int], row: int, share: float, away: float
) -> Iterator[tuple[Cut, float]]:
    """The cuts of a stretch within the tolerance of a point where it may be entered."""
    stretches = plan.stretches
    if stretches.entry[row] == Entry.ANYWHERE:
        yield (row, share), away
        return
    for place in plan.places[int(stretches.thing[row])]:
        if place.stretch == row:
            x, y, _ = stretches.point(place.stretch, place.t)
            distance = float(np.hypot(x - at[0], y - at[1]))
            if distance <= plan.tolerance_mm:
                yield (place.stretch, place.t), distance


def _toward(plan: FloorPlan, there: Cut, own: Cut) -> Cut:
    """On an upright open stretch, the cut nearest in height to `own`."""
    stretches, row = plan.stretches, there[0]
    open_there = stretches.entry[row] == Entry.ANYWHERE
    if not open_there or not (stretches.start[row, :2] == stretches.end[row, :2]).all():
        return there
    return row, _share_at_height(stretches, row, stretches.point(*own)[2])


def _share_at_height(stretches: Stretches, row: int, height: int) -> float:
    low, high = float(stretches.start[row, 2]), float(stretches.end[row, 2])
    return min(1.0, max(0.0, (height - low) / (high - low))) if high != low else 0.0


def crossing_joins(
    plan: FloorPlan, breaks: Mapping[frozenset[str], list[Break]], *, same_height_mm: int
) -> list[Join]:
    """Joins of open pathways that cross at the same height in the middle of both."""
    stretches = plan.stretches
    open_rows = plan.rows[stretches.entry[plan.rows] == Entry.ANYWHERE]
    one, other, t, s = _crossings(stretches, open_rows)
    rise = np.abs(_heights(stretches, one, t) - _heights(stretches, other, s))
    tolerance = float(plan.tolerance_mm)
    inner = rise <= same_height_mm
    for rows, shares in ((one, t), (other, s)):
        at = shares * stretches.true_length[rows]
        inner &= (at > tolerance) & (stretches.true_length[rows] - at > tolerance)
    joins: list[Join] = []
    for k in np.flatnonzero(inner).tolist():
        a, b = int(one[k]), int(other[k])
        x, y, _ = stretches.point(a, float(t[k]))
        things = int(stretches.thing[a]), int(stretches.thing[b])
        if not _is_broken(stretches, *things, (x, y), breaks, plan.tolerance_mm):
            joins.append(Join((a, float(t[k])), (b, float(s[k]))))
    return joins


def _crossings(
    stretches: Stretches, rows: IndexArray
) -> tuple[IndexArray, IndexArray, FloatArray, FloatArray]:
    """Pairs of stretches of different things that cross in plan, with the shares of both."""
    lines = segment_lines(stretches.start[rows], stretches.end[rows])
    left, right = search_tree(lines).query(lines)
    apart = stretches.thing[rows[left]] < stretches.thing[rows[right]]
    one, other = rows[left[apart]], rows[right[apart]]
    a = stretches.start[one, :2].astype(np.float64)
    b = stretches.start[other, :2].astype(np.float64)
    da = stretches.end[one, :2] - a
    db = stretches.end[other, :2] - b
    cross = da[:, 0] * db[:, 1] - da[:, 1] * db[:, 0]
    safe = np.where(cross == 0, 1.0, cross)
    gap = b - a
    t = (gap[:, 0] * db[:, 1] - gap[:, 1] * db[:, 0]) / safe
    s = (gap[:, 0] * da[:, 1] - gap[:, 1] * da[:, 0]) / safe
    hit = (cross != 0) & (t >= 0) & (t <= 1) & (s >= 0) & (s <= 1)
    return one[hit], other[hit], t[hit], s[hit]


def _heights(stretches: Stretches, rows: IndexArray, shares: FloatArray) -> FloatArray:
    low = stretches.start[rows, 2].astype(np.float64)
    rise = (stretches.end[rows, 2] - stretches.start[rows, 2]).astype(np.float64)
    heights: FloatArray = np.floor(low + shares * rise + 0.5)
    return heights


def drop_out_joins(plan: FloorPlan, drop_outs: Sequence[DropOut]) -> list[Join]:
    """Joins by drop-outs that lie on both their pathways, at places where both may be entered."""
    stretches = plan.stretches
    here: dict[int, list[tuple[int, float, float]]] = {}
    for which, row, share, away in plan.at([(d.x_mm, d.y_mm) for d in drop_outs]):
        here.setdefault(which, []).append((row, share, away))
    joins: list[Join] = []
    for which, hits in here.items():
        drop = drop_outs[which]
        sides: dict[str, list[tuple[Cut, float]]] = {drop.pathway_a: [], drop.pathway_b: []}
        for row, share, away in hits:
            thing = stretches.things[int(stretches.thing[row])]
            if thing in sides:
                sides[thing] += _enterable(plan, (drop.x_mm, drop.y_mm), row, share, away)
        join = _least_rise(plan, sides[drop.pathway_a], sides[drop.pathway_b])
        joins += [] if join is None else [join]
    return joins


def _least_rise(
    plan: FloorPlan, one: list[tuple[Cut, float]], other: list[tuple[Cut, float]]
) -> Join | None:
    best: tuple[tuple[float, ...], Join] | None = None
    for cut_a, away_a in one:
        for cut_b, away_b in other:
            a = _toward(plan, cut_a, cut_b)
            b = _toward(plan, cut_b, a)
            rise = abs(plan.stretches.point(*a)[2] - plan.stretches.point(*b)[2])
            key = (float(rise), away_a + away_b, float(a[0]), a[1], float(b[0]), b[1])
            if best is None or key < best[0]:
                best = (key, Join(a, b))
    return None if best is None else best[1]


def riser_meetings(
    plan: FloorPlan, floor: int, points: Sequence[tuple[str, int, int]]
) -> list[Meeting]:
    """The pathways that come to risers' points on a floor, each where it is nearest.

    A pathway that drops there, or passes there twice, meets the riser at every height.
    """
    stretches = plan.stretches
    nearest: dict[tuple[str, int], tuple[float, list[Cut]]] = {}
    for which, row, share, away in plan.at([(x, y) for _, x, y in points]):
        riser, x, y = points[which]
        for cut, distance in _enterable(plan, (x, y), row, share, away):
            pair = (riser, int(stretches.thing[row]))
            least, cuts = nearest.get(pair, (distance, []))
            if distance <= least:
                kept = cuts if distance == least else []
                nearest[pair] = (distance, [*kept, *_whole_drop(stretches, cut)])
    return [
        Meeting(riser, floor, cut)
        for (riser, _), (_, cuts) in nearest.items()
        for cut in sorted(cuts)
    ]


def _whole_drop(stretches: Stretches, cut: Cut) -> tuple[Cut, ...]:
    """Both ends of an upright open stretch; any other cut as it is."""
    row = cut[0]
    is_open = stretches.entry[row] == Entry.ANYWHERE
    return ((row, 0.0), (row, 1.0)) if is_open and stretches.upright[row] else (cut,)


def _is_broken(
    stretches: Stretches,
    one: int,
    other: int,
    at: tuple[int, int],
    breaks: Mapping[frozenset[str], list[Break]],
    tolerance_mm: int,
) -> bool:
    """Whether the user keeps these two apart at this place."""
    if not breaks:
        return False
    pair = frozenset((stretches.things[one], stretches.things[other]))
    near = tolerance_mm + BREAK_ROUNDING_MM
    return any(
        (b.x_mm - at[0]) ** 2 + (b.y_mm - at[1]) ** 2 <= near * near for b in breaks.get(pair, ())
    )
