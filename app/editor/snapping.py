"""Where the pointer is caught: on what is placed, on the plan, and square to the grid."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from itertools import combinations
from typing import Protocol

import msgspec

from app.editor.catches import CatchLine, CatchPoint, catch_lines, catch_points
from app.editor.commands.shapes import PLACED_TYPES, floors_of, things_on
from app.editor.shown_states import ALL_SHOWN, ShownStates
from app.editor.snap_index import FloorIndex
from app.editor.snap_kinds import SnapKind
from app.geometry.along_lines import crossing, foot_on_line, foot_on_piece
from app.geometry.polygons import contains
from app.geometry.similarity import to_mm, unit_vector
from app.geometry.walls import BESIDE_DOOR_MM, Triangle
from app.model.entities import Entity, Floor, Pathway, Space
from app.model.project import Patch, Project

__all__ = [
    "RADIUS_PIXELS",
    "Catcher",
    "PlanSnapper",
    "Snap",
    "SnapKind",
    "SnapWish",
    "Squareness",
]

RADIUS_PIXELS = 8.0
PLAN_SHARE = 5 / 8
"""What only the plan shows catches from nearer than what is placed: this share of the radius."""
AXIS_SHARE = 0.2
"""A drag keeps its axis while it is no further off it than this share of its way."""
ON_ORIGIN_MM = 50.0
"""What is dragged along a line this near to its start follows the line rather than the axis."""
FURTHEST_MM = 5_000.0
"""However far out the view is, nothing catches from further away."""
MOST_CROSSED = 40
ON_AXIS_MM = 1.0
ON_LINES = frozenset({SnapKind.LINE, SnapKind.EDGE, SnapKind.PLAN_LINE})
PLAN_POINTS = frozenset(
    {SnapKind.PLAN_END, SnapKind.PLAN_CROSSING, SnapKind.PLAN_CENTRE, SnapKind.PLAN_MIDDLE}
)
OF_PLAN = PLAN_POINTS | {SnapKind.PLAN_LINE}
QUARTER_MDEG = 90_000

XY = tuple[float, float]
_RANK = {kind: rank for rank, kind in enumerate(SnapKind)}
_RANK_SHARE = 0.03
"""A kind further down the list must be nearer by this share of the radius to win."""


class Snap(msgspec.Struct, frozen=True, kw_only=True):
    """A point that caught the pointer.

    `name` says what it is, for the cue (“end of basket B-03”). `thing` is the id of the placed
    thing, None for the plan and the grid; `other` a second one at a crossing; `index` the
    vertex, corner or piece. `line` is the straight piece that it lies on, where there is one,
    so that an outlet can be turned to its wall.
    """

    kind: SnapKind
    name: str
    x_mm: int
    y_mm: int
    thing: str | None = None
    other: str | None = None
    index: int = 0
    line: tuple[XY, XY] | None = None


class SnapWish(msgspec.Struct, frozen=True, kw_only=True):
    """What should catch the pointer at this moment.

    `square_from` is the point from which lines run square to the grid, with `loose` strictly
    only while Shift is held (otherwise Shift turns square drawing round), and otherwise until
    the pointer clearly leaves the axis; `along_mdeg` a direction fixed by hand instead; `own`
    are points of what is being drawn, with their names; `skip` are things that are being moved
    and must not catch themselves; `carried` is where the pointer is, seen from the point of
    the thing in hand that is to be caught.
    """

    things: bool = True
    plan: bool = True
    square_from: tuple[int, int] | None = None
    along_mdeg: int | None = None
    loose: bool = False
    own: tuple[tuple[tuple[int, int], str], ...] = ()
    skip: frozenset[str] = frozenset()
    carried: XY = (0.0, 0.0)


class Squareness(StrEnum):
    """How lines run square to the grid."""

    NONE = "none"
    KEPT = "kept"
    """Until the pointer clearly leaves the axis."""
    STRICT = "strict"


class PlanSnapper(Protocol):
    """The lines of one visible plan, in the site's axes."""

    def nearest_point(self, at: tuple[float, float], radius_mm: float) -> Snap | None: ...

    def nearest_line(self, at: tuple[float, float], radius_mm: float) -> Snap | None: ...

    def door_leaves(self) -> Sequence[Triangle]: ...


class Catcher:
    """Finds what catches the pointer, by an index a floor that follows the project's patches.

    `plans` holds, by floor id, the snappers of the plans in sight there; whoever loads and
    hides plans keeps it up.
    """

    def __init__(self, project: Project) -> None:
        self._project = project
        self._floors: dict[str, FloorIndex] = {}
        self.plans: Mapping[str, Iterable[PlanSnapper]] = {}
        self._shown = ALL_SHOWN

    def door_leaves(self, space: Space) -> tuple[Triangle, ...]:
        """The leaves of doors that the plans in sight show in a space or at its walls."""
        xs, ys = [x for x, _ in space.outline], [y for _, y in space.outline]
        (x0, x1), (y0, y1) = (min(xs), max(xs)), (min(ys), max(ys))
        return tuple(
            leaf
            for plan in self.plans.get(space.floor, ())
            for leaf in plan.door_leaves()
            if any(
                x0 - BESIDE_DOOR_MM <= x <= x1 + BESIDE_DOOR_MM
                and y0 - BESIDE_DOOR_MM <= y <= y1 + BESIDE_DOOR_MM
                for x, y in leaf
            )
        )

    @property
    def shown(self) -> ShownStates:
        """Which states and phases are in sight: nothing else catches."""
        return self._shown

    def show(self, shown: ShownStates) -> None:
        """Let only what is in sight catch."""
        if shown != self._shown:
            self._shown = shown
            self._floors.clear()

    def sees(self, thing: Entity) -> bool:
        """Whether a thing is in sight."""
        return self._shown.shows(self._project, thing)

    def project_changed(self, project: Project, patch: Patch | None) -> None:
        """Follow a patch; None: everything may be different."""
        before, self._project = self._project, project
        far = (Floor,) if self._shown.are_all else (Floor, Pathway)
        if patch is None or any(isinstance(c.before or c.after, far) for c in patch.changes):
            self._floors.clear()
            return
        for change in patch.changes:
            if not isinstance(change.before or change.after, PLACED_TYPES):
                continue
            if change.before is not None:
                for floor_id in floors_of(before, change.before):
                    self._take(floor_id, change.id)
            if change.after is not None:
                for floor_id in floors_of(project, change.after):
                    self._put(floor_id, change.id)

    def _take(self, floor_id: str, thing_id: str) -> None:
        if floor_id in self._floors:
            self._floors[floor_id].take(thing_id)

    def _put(self, floor_id: str, thing_id: str) -> None:
        thing = self._project.get(thing_id)
        if floor_id in self._floors and thing is not None and self.sees(thing):
            points = catch_points(self._project, thing, floor_id)
            self._floors[floor_id].put(thing_id, (*points, *catch_lines(thing)))

    def index(self, floor_id: str) -> FloorIndex:
        """The index of a floor, built when first asked for."""
        if floor_id not in self._floors:
            self._floors[floor_id] = FloorIndex()
            for thing in things_on(self._project, floor_id):
                self._put(floor_id, thing.id)
        return self._floors[floor_id]

    def catch(
        self,
        *,
        floor_id: str,
        wish: SnapWish,
        at: XY,
        radius_mm: float,
        square: Squareness,
        free: bool = False,
    ) -> Snap | None:
        """What catches the pointer at `at`; None where nothing does.

        Lines from `wish.square_from` run along the grid there, as far as `square` says; `free`
        lets no thing and no plan catch.
        """
        radius = min(radius_mm, FURTHEST_MM)
        caught = None if free else self._nearest(floor_id, wish, at, radius)
        fixed, origin = wish.along_mdeg, wish.square_from
        if origin is None or (square is Squareness.NONE and fixed is None):
            return caught
        grid = grid_at(self._project, floor_id, origin)
        directions = (grid, grid + QUARTER_MDEG) if fixed is None else (fixed,)
        axis = _nearest_axis(at, origin, [unit_vector(d) for d in directions])
        if square is Squareness.STRICT or fixed is not None:
            return _squared(caught, origin, axis, at, radius)
        if not _keeps(axis, origin, at, radius) or _slides(caught, origin):
            return caught
        return _squared(None if _is_off(caught, origin, axis) else caught, origin, axis, at, radius)

    def _nearest(self, floor_id: str, wish: SnapWish, at: XY, radius: float) -> Snap | None:
        points, lines = self._near(floor_id, wish, at, radius)
        found = [
            *_own_points(wish),
            *(_of_point(p) for p in points),
            *_crossings(lines, at, radius),
        ]
        plans = tuple(self.plans.get(floor_id, ())) if wish.plan else ()
        found += [s for p in plans if (s := _plan_point(p, at, radius)) is not None]
        best = _best(found, at, radius)
        if best is not None:
            return best
        on_lines = [_on_line(line, at) for line in lines]
        on_lines += [s for p in plans if (s := p.nearest_line(at, radius)) is not None]
        return _best(on_lines, at, radius)

    def _near(
        self, floor_id: str, wish: SnapWish, at: XY, radius: float
    ) -> tuple[list[CatchPoint], list[CatchLine]]:
        if not wish.things or floor_id not in self._project.floors:
            return [], []
        points, lines = self.index(floor_id).near(at, radius)
        return (
            [p for p in points if p.thing not in wish.skip],
            [
                line
                for line in lines
                if line.thing not in wish.skip
                and foot_on_piece(at, line.a, line.b).distance <= radius
            ],
        )


def _plan_point(plan: PlanSnapper, at: XY, radius: float) -> Snap | None:
    """A point of a plan, with the line of it that runs by the pointer."""
    point = plan.nearest_point(at, radius)
    line = None if point is None else plan.nearest_line(at, radius)
    if point is None or line is None:
        return point
    return msgspec.structs.replace(point, line=line.line)


def _own_points(wish: SnapWish) -> Iterator[Snap]:
    for (x, y), name in wish.own:
        yield Snap(kind=SnapKind.START, name=name, x_mm=x, y_mm=y)


def _of_point(point: CatchPoint) -> Snap:
    x, y = point.at
    return Snap(
        kind=point.kind,
        name=point.name,
        x_mm=to_mm(x),
        y_mm=to_mm(y),
        thing=point.thing,
        index=point.index,
    )


def _on_line(line: CatchLine, at: XY) -> Snap:
    foot = foot_on_piece(at, line.a, line.b)
    return Snap(
        kind=line.kind,
        name=line.name,
        x_mm=to_mm(foot.x),
        y_mm=to_mm(foot.y),
        thing=line.thing,
        index=line.index,
        line=(line.a, line.b),
    )


def _crossings(lines: list[CatchLine], at: XY, radius: float) -> Iterator[Snap]:
    """Where pathways near the pointer cross one another."""
    ways = [line for line in lines if line.kind is SnapKind.LINE]
    ways.sort(key=lambda w: (foot_on_piece(at, w.a, w.b).distance, w.thing, w.index))
    for first, second in combinations(ways[:MOST_CROSSED], 2):
        if first.thing == second.thing:
            continue
        point = crossing(first.a, first.b, second.a, second.b)
        if point is not None and math.dist(point, at) <= radius:
            yield Snap(
                kind=SnapKind.CROSSING,
                name=f"crossing of {first.name} and {second.name}",
                x_mm=to_mm(point[0]),
                y_mm=to_mm(point[1]),
                thing=first.thing,
                other=second.thing,
            )


def _best(found: Iterable[Snap], at: XY, radius: float) -> Snap | None:
    """The nearest within its reach, where a better kind may be a little further away."""
    if radius <= 0:
        return None
    scored = []
    for i, snap in enumerate(found):
        reach = radius * PLAN_SHARE if snap.kind in OF_PLAN else radius
        share = math.dist((snap.x_mm, snap.y_mm), at) / reach
        if share <= 1:
            score = share + _RANK[snap.kind] * _RANK_SHARE
            scored.append((score, snap.x_mm, snap.y_mm, snap.thing or "", i, snap))
    return min(scored)[-1] if scored else None


def _nearest_axis(at: XY, origin: tuple[int, int], axes: Sequence[XY]) -> XY:
    return max(axes, key=lambda a: abs((at[0] - origin[0]) * a[0] + (at[1] - origin[1]) * a[1]))


def _keeps(axis: XY, origin: tuple[int, int], at: XY, radius: float) -> bool:
    """Whether a drag that has come to `at` still goes along the axis."""
    off = math.dist(at, foot_on_line(at, origin, axis))
    return off <= min(radius, AXIS_SHARE * math.dist(at, origin))


def _slides(caught: Snap | None, origin: tuple[int, int]) -> bool:
    """Whether what is dragged goes along the line that it stood at before."""
    if caught is None or caught.line is None:
        return False
    a, b = caught.line
    return a != b and foot_on_piece(origin, a, b).distance <= ON_ORIGIN_MM


def _is_off(caught: Snap | None, origin: tuple[int, int], axis: XY) -> bool:
    """Whether a point of the plan lies beside the axis, where it must not pull along it."""
    if caught is None or caught.kind not in PLAN_POINTS:
        return False
    place = (caught.x_mm, caught.y_mm)
    return math.dist(place, foot_on_line(place, origin, axis)) > ON_AXIS_MM


def _squared(caught: Snap | None, origin: tuple[int, int], axis: XY, at: XY, radius: float) -> Snap:
    """The pointer, or what caught it, brought onto the axis through `origin`."""
    foot = foot_on_line(at, origin, axis)
    plain = Snap(
        kind=SnapKind.SQUARE, name="square to the grid", x_mm=to_mm(foot[0]), y_mm=to_mm(foot[1])
    )
    if caught is None:
        return plain
    place = (caught.x_mm, caught.y_mm)
    on_axis = foot_on_line(place, origin, axis)
    if math.dist(place, on_axis) <= ON_AXIS_MM:
        return caught
    if caught.kind in ON_LINES:
        return _axis_meets(caught, origin, axis, at, radius) or plain
    name = f"in line with {caught.name}"
    return msgspec.structs.replace(plain, name=name, x_mm=to_mm(on_axis[0]), y_mm=to_mm(on_axis[1]))


def _axis_meets(
    caught: Snap, origin: tuple[int, int], axis: XY, at: XY, radius: float
) -> Snap | None:
    """Where the axis meets the line that caught, if that is near the pointer."""
    assert caught.line is not None
    far = 2 * (math.dist(origin, at) + radius)
    ends = [(origin[0] + s * far * axis[0], origin[1] + s * far * axis[1]) for s in (-1, 1)]
    point = crossing(ends[0], ends[1], *caught.line)
    if point is None or math.dist(point, at) > radius:
        return None
    return msgspec.structs.replace(caught, x_mm=to_mm(point[0]), y_mm=to_mm(point[1]))


def grid_at(project: Project, floor_id: str, at: XY) -> int:
    """The grid angle at a place: its space's own, else the floor's."""
    floor = project.floors.get(floor_id)
    for space in project.spaces.values():
        if (
            space.grid_angle_mdeg is not None
            and space.floor == floor_id
            and contains(space.outline, at)
        ):
            return space.grid_angle_mdeg
    return 0 if floor is None else floor.grid_angle_mdeg
