"""Numbers given anew: row by row, round a room, along a line.

What is printed keeps its number. The old numbers of the things count as free, those of all
others and of removed things do not.
"""

from collections.abc import Collection, Iterable, Sequence
from typing import TypeVar

import shapely

from app.editor.asking import InputProblem
from app.editor.commands.kept_numbers import frames_printed, refuse_frozen, refuse_taken
from app.editor.commands.numbering import (
    Retired,
    none_retired,
    pattern_in_force,
    pattern_of,
    splits_of,
    with_number,
)
from app.editor.commands.patterns import Split
from app.editor.commands.rooms import rooms_of
from app.editor.commands.shapes import anchor_of
from app.editor.wording import counted, mark_of, name_of
from app.geometry.similarity import unit_vector
from app.model.entities import Entity, Frame, Outlet, Space
from app.model.project import Patch, Project, changing

ROW_MM = 2_000
"""Things whose places differ by less than this stand in one row when they are numbered."""
NEAR_LINE_MM = 3_000
"""An outlet further from a drawn line than this is not numbered along it."""
Places = Sequence[tuple[float, float]]
E = TypeVar("E", bound=Entity)


def renumber(
    project: Project,
    ids: Sequence[str],
    pattern: str | None = None,
    *,
    retired: Retired = none_retired,
) -> Patch:
    """Give things new numbers row by row, from the top left of each floor."""
    force = pattern_in_force(project, pattern)
    things = [t for i in ids if (t := project.get(i)) is not None and pattern_of(t, force)]
    if not things:
        raise InputProblem("Select outlets, pathways or other things that carry a number first.")
    in_rows = sorted(things, key=lambda t: _reading_order(project, t))
    return _given_anew(project, in_rows, force, "Renumber", "", retired)


def number_clockwise(
    project: Project,
    space_id: str,
    *,
    start: str | None = None,
    pattern: str | None = None,
    retired: Retired = none_retired,
) -> Patch:
    """Number the outlets of a room clockwise along its walls.

    It begins with the outlet `start`, else with the one nearest the room's lower left corner.
    """
    space = project.spaces.get(space_id)
    if space is None:
        raise InputProblem("Select a room, or the outlet in it to begin with, first.")
    on_floor = [o for o in project.outlets.values() if o.floor == space.floor]
    rooms = rooms_of(project, on_floor)
    inside = [o for o in on_floor if (room := rooms.get(o.id)) is not None and room.id == space.id]
    if not inside:
        raise InputProblem(f"There is no outlet in {name_of(space)} to number.")
    first = next((o for o in inside if o.id == start), None) or _lower_left(project, space, inside)
    in_turn = _clockwise(space, inside, first)
    return _given_anew(
        project,
        in_turn,
        pattern_in_force(project, pattern),
        "Number",
        f" of {space.number or space.name or 'the room'} clockwise",
        retired,
    )


def number_along(
    project: Project,
    floor_id: str,
    line: Places,
    *,
    ids: Collection[str] = (),
    within_mm: int = NEAR_LINE_MM,
    pattern: str | None = None,
    retired: Retired = none_retired,
) -> Patch:
    """Number outlets in the order in which a drawn line passes them.

    They are those among `ids`, or where there are none all on the floor within `within_mm`.
    """
    passed = outlets_along(project, floor_id, line, ids=ids, within_mm=within_mm)
    if not passed:
        raise InputProblem(
            f"No outlet stands within {within_mm / 1000:g} m of that line; draw it nearer to them."
        )
    force = pattern_in_force(project, pattern)
    return _given_anew(project, passed, force, "Number", " along a line", retired)


def outlets_along(
    project: Project,
    floor_id: str,
    line: Places,
    *,
    ids: Collection[str] = (),
    within_mm: int = NEAR_LINE_MM,
) -> list[Outlet]:
    """The outlets that a line passes, in its order; at one place the nearer first."""
    drawn = shapely.LineString(line)
    own = [o for o in project.outlets.values() if o.floor == floor_id and (not ids or o.id in ids)]
    if not own:
        return []
    points = shapely.points([(o.x_mm, o.y_mm) for o in own])
    along, off = shapely.line_locate_point(drawn, points), shapely.distance(drawn, points)
    found = sorted(
        zip(along.tolist(), off.tolist(), own, strict=True), key=lambda f: (*f[:2], f[2].id)
    )
    return [o for _, distance, o in found if ids or distance <= within_mm]


def _given_anew(
    project: Project,
    things: Sequence[Entity],
    pattern: str,
    verb: str,
    how: str,
    retired: Retired,
) -> Patch:
    """New numbers for things in this order; what is printed keeps its own."""
    printed = frames_printed(project) if any(isinstance(t, Frame) for t in things) else ()
    open_ = [t for t in things if t.id not in printed and not is_printed(t)]
    kept = len(things) - len(open_)
    if not open_:
        raise InputProblem(
            f"{_printed(things)} printed and keeps its number; release it first."
            if len(things) == 1
            else f"All {len(things)} are printed and keep their numbers; release them first."
        )
    numbers = new_numbers(project, open_, pattern, retired)
    pairs = [(t, with_number(t, n)) for t, n in zip(open_, numbers, strict=True)]
    refuse_frozen(project, pairs)
    refuse_taken(project, pairs)
    told = f" ({kept} printed keep theirs)" if kept else ""
    return changing(f"{verb} {counted(open_)}{how}{told}", pairs)


def _printed(things: Sequence[Entity]) -> str:
    name = name_of(things[0])
    return f"{name[:1].upper()}{name[1:]} is"


def is_printed(thing: Entity) -> bool:
    """Whether the thing's number stands on paper or on a label."""
    return isinstance(thing, Outlet) and thing.number_printed


def new_numbers(
    project: Project, things: Sequence[Entity], pattern: str, retired: Retired
) -> list[str]:
    """The first numbers of their patterns that nobody else has, in the order of the things."""
    splits = splits_of(
        project, things, [pattern if pattern_of(t, pattern) else None for t in things]
    )
    chosen = {t.id for t in things}
    givers: dict[type[Entity], _Free] = {}
    out = []
    for thing, split in zip(things, splits, strict=True):
        sort = type(thing)
        if sort not in givers:
            others = (mark_of(o) for o in project.table(sort).values() if o.id not in chosen)
            givers[sort] = _Free({*others, *retired(sort)})
        assert split is not None
        out.append(givers[sort].take(split))
    return out


class _Free:
    """Gives the first numbers of patterns that nobody has."""

    def __init__(self, taken: set[str]) -> None:
        self._taken = taken
        self._last: dict[tuple[str, str], int] = {}

    def take(self, split: Split) -> str:
        key = (split.before, split.after)
        count = self._last.get(key, 0) + 1
        while (number := split.number(count)) in self._taken:
            count += 1
        self._last[key] = count
        self._taken.add(number)
        return number


def _clockwise(space: Space, outlets: Iterable[Outlet], first: Outlet) -> list[Outlet]:
    """Outlets by their place on the nearest wall, clockwise from the first one."""
    ring = shapely.LinearRing(space.outline)
    if ring.is_ccw:
        ring = shapely.LinearRing(ring.coords[::-1])
    begin = ring.project(shapely.Point(first.x_mm, first.y_mm))

    def turn(outlet: Outlet) -> tuple[bool, float, float, str]:
        point = shapely.Point(outlet.x_mm, outlet.y_mm)
        along = (ring.project(point) - begin) % ring.length
        return outlet is not first, along, ring.distance(point), outlet.id

    return sorted(outlets, key=turn)


def _lower_left(project: Project, space: Space, outlets: Sequence[Outlet]) -> Outlet:
    """The outlet nearest the lower left corner of the room's box, along its grid."""
    angle = space.grid_angle_mdeg
    cos, sin = unit_vector(project.floors[space.floor].grid_angle_mdeg if angle is None else angle)

    def turned(x: float, y: float) -> tuple[float, float]:
        return x * cos + y * sin, y * cos - x * sin

    corners = [turned(*p) for p in space.outline]
    left, low = min(u for u, _ in corners), min(v for _, v in corners)

    def away(outlet: Outlet) -> tuple[float, str]:
        u, v = turned(outlet.x_mm, outlet.y_mm)
        return (u - left) ** 2 + (v - low) ** 2, outlet.id

    return min(outlets, key=away)


def _reading_order(project: Project, thing: Entity) -> tuple[int, int, float, str]:
    """By floor, then rows from the top along the floor's grid, then from the left."""
    floor = project.floors.get(getattr(thing, "floor", ""))
    level, angle = (0, 0) if floor is None else (floor.level_mm, floor.grid_angle_mdeg)
    x, y = anchor_of(thing) or (0, 0)
    cos, sin = unit_vector(angle)
    return level, -round((y * cos - x * sin) / ROW_MM), x * cos + y * sin, thing.id
