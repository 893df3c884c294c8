"""What a space still wants, and where those outlets go: along the walls or over the area."""

import math
from collections.abc import Iterator, Mapping, Sequence

import msgspec
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.catalogue import find_or_make_kind
from app.editor.commands.outlets import OutletPlace
from app.editor.wording import name_of, words
from app.geometry.polygons import area_mm2, contains, long_side_mm
from app.geometry.similarity import to_mm
from app.geometry.walls import Triangle, Turned, along_walls, over_area
from app.model.entities import Outlet, OutletKind, Space
from app.model.ids import Source, random_characters
from app.model.project import Project
from app.model.rooms import required_in
from app.model.vocabulary import SpaceUse, State, WayDown
from app.standards import RuleSet

ON_THE_FLOOR_OR_CEILING = frozenset(
    {WayDown.CEILING, WayDown.RAISED_FLOOR, WayDown.POKE_THROUGH, WayDown.SERVICE_POLE}
)
ALL_KINDS_COUNT = frozenset({SpaceUse.HALL, SpaceUse.WAITING})
"""Their outlets by area include cameras, signs and access points. Source: practice."""
MM2_PER_M2 = 1e6
MM_PER_M = 1_000


class Wanted(msgspec.Struct, frozen=True, kw_only=True):
    """So many outlets of a kind that a space wants and does not have yet."""

    kind: OutletKind
    count: int


def wanted_in(
    project: Project,
    rules: RuleSet,
    space: Space,
    *,
    source: Source = random_characters,
) -> list[Wanted]:
    """What is missing in a space: by the client's list where there is one, else by its use.

    Kinds that the project does not have yet are made, and stand in the result. Raises
    InputProblem where nothing can be told from the use.
    """
    required = required_in(project, space)
    if required:
        asked = [(project.outlet_kinds[k], n) for k, n in required.items()]
    else:
        asked = _by_use(project, rules, space, source)
    placed = placed_in(project, space)
    if not required and space.use in ALL_KINDS_COUNT:
        placed = {kind.id: sum(placed.values()) for kind, _ in asked}
    missing = ((kind, count - placed.get(kind.id, 0)) for kind, count in asked)
    return [Wanted(kind=kind, count=count) for kind, count in missing if count > 0]


def space_at(project: Project, floor_id: str, at: tuple[float, float]) -> Space | None:
    """The smallest space of a floor in which a point lies."""
    here = [
        s
        for s in project.spaces.values()
        if s.floor == floor_id
        and contains(s.outline, at)
        and not any(contains(hole, at) for hole in s.holes)
    ]
    return min(here, key=lambda s: (area_mm2(s.outline, s.holes), s.id), default=None)


def placed_in(project: Project, space: Space) -> Mapping[str, int]:
    """How many outlets of each kind stand in a space; those to remove do not count."""
    found: dict[str, int] = {}
    for outlet in standing_in(project, space):
        if outlet.state is not State.TO_REMOVE:
            found[outlet.kind] = found.get(outlet.kind, 0) + 1
    return found


def standing_in(project: Project, space: Space) -> list[Outlet]:
    """The outlets of a space: not those in its holes, or in smaller spaces within it."""
    here = [
        o
        for o in project.outlets.values()
        if o.floor == space.floor and _holds(space, (o.x_mm, o.y_mm))
    ]
    if not here:
        return []
    area = area_mm2(space.outline, space.holes)
    inner = [
        s
        for s in project.spaces.values()
        if s.floor == space.floor and s.id != space.id and area_mm2(s.outline, s.holes) < area
    ]
    return [o for o in here if not any(_holds(s, (o.x_mm, o.y_mm)) for s in inner)]


def _holds(space: Space, at: tuple[int, int]) -> bool:
    return contains(space.outline, at) and not any(contains(hole, at) for hole in space.holes)


def _by_use(
    project: Project, rules: RuleSet, space: Space, source: Source
) -> list[tuple[OutletKind, int]]:
    cable = next(iter(project.cable_types), None)
    if cable is None:
        raise InputProblem("Add a cable type first; outlets are cabled with one.")
    counts: dict[str, int] = {}
    for name, count in _names_by_use(rules, space):
        counts[name] = counts.get(name, 0) + count
    return [
        (find_or_make_kind(project, rules, name, cable_type=cable, source=source), count)
        for name, count in counts.items()
        if count > 0
    ]


def _names_by_use(rules: RuleSet, space: Space) -> Iterator[tuple[str, int]]:
    """Kinds as the rules call them, and how many of each; always rounded up."""
    use = rules.space_uses[space.use]
    if space.use is SpaceUse.UNKNOWN:
        raise InputProblem(f"Say first what {name_of(space)} is used for.")
    if use.excluded:
        raise InputProblem(f"A {words(space.use)} gets no outlets by rule; place any by hand.")
    if use.kind:
        by_area = 0
        if use.area_per_outlet_m2 is not None:
            area_m2 = area_mm2(space.outline, space.holes) / MM2_PER_M2
            by_area = math.ceil(area_m2 / use.area_per_outlet_m2)
        yield use.kind, max(by_area, use.least, 1)
    sets = 1
    if space.use is SpaceUse.CORRIDOR:
        every = rules.number("space_uses.corridor_length_per_set") * MM_PER_M
        sets = max(1, math.ceil(long_side_mm(space.outline) / every))
    for name in use.also:
        yield name, sets


def places_in(
    space: Space, wanted: list[Wanted], *, grid_mdeg: int, doors: Sequence[Triangle] = ()
) -> list[OutletPlace]:
    """Where the wanted outlets go: those of ceiling and floor over the area, others at walls.

    At walls they keep off the leaves of doors.
    """
    out: list[OutletPlace] = []
    at_walls: list[str] = []
    for want in wanted:
        if _over_area(want.kind):
            spots = over_area(space.outline, want.count, grid_mdeg=grid_mdeg, holes=space.holes)
            out += [_place(spot, want.kind.id) for spot in spots]
        else:
            at_walls += [want.kind.id] * want.count
    spots = along_walls(space.outline, len(at_walls), keep_off=doors)
    out += [_place(spot, kind) for spot, kind in zip(spots, at_walls, strict=True)]
    return out


def _over_area(kind: OutletKind) -> bool:
    return kind.height_mm is None or kind.way_down in ON_THE_FLOOR_OR_CEILING


def _place(spot: Turned, kind_id: str) -> OutletPlace:
    return OutletPlace(
        x_mm=to_mm(spot.x), y_mm=to_mm(spot.y), rotation_mdeg=spot.rotation_mdeg, kind=kind_id
    )


def with_count(wanted: list[Wanted], count: int) -> list[Wanted]:
    """The same, with another number of the first kind."""
    return [replace(wanted[0], count=count), *wanted[1:]]
