"""Plates: the outlets and their ports as columns, the one pass over them in Python."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from app.geometry.rounding import grid_axis
from app.model.entities import CableType, Floor, Outlet, OutletKind, Port
from app.model.ports import own_state
from app.model.project import Project, floors_from_below
from app.model.settings import Settings
from app.model.vocabulary import State, WayDown
from app.routing.belonging import Belonging, build_belonging, zones_of
from app.routing.ground import Rooms, spaces_at
from app.routing.places import Ends
from app.routing.results import BoolArray, CodeArray, IndexArray, IntArray

NO_CEILING_MM = 2**40
FROM_ABOVE = frozenset({WayDown.SERVICE_POLE, WayDown.CEILING})
"""What comes down these ways comes from pathways over the floor, never from under it."""
"""No pathway is too high."""
STAYS, LEAVES, COMES = 0, 1, 2
"""What a cable counts as in a pathway: what stays, what is to remove, what is future."""


@dataclass(frozen=True, eq=False)
class World:
    """What the columns of outlets are made from, besides the outlets."""

    settings: Settings
    floors: Mapping[str, Floor]
    floor_index: Mapping[str, int]
    below: Mapping[str, int]
    """Floor id to the index of the floor below in its building, -1 for the lowest."""
    rooms: Mapping[str, Rooms]
    axis: Mapping[str, tuple[float, float]]
    """Grid axis by the id of a floor or of a space."""
    space_number: Mapping[str, int]
    """Space id to its number in order of ids."""
    ceiling_mm: Mapping[str, int]
    kinds: Mapping[str, OutletKind]
    cable_index: Mapping[str, int]
    cable_slack: Sequence[int]
    cable_limit: Sequence[int]
    frame_index: Mapping[str, int]
    belonging: Belonging


@dataclass(frozen=True, eq=False)
class Plates:
    """Columns of outlets and, in the same order, of their ports (`first` finds them).

    `space` is the id of an outlet's space, None outside all; `room` its number, -1. Of ports:
    `limit`, `slack` (both ends), `added`, `replaced` (-1: not replaced), `fixed` (frame number
    or -1), `rule` (which frames may serve it otherwise, as `Belonging` counts them), `cable`
    (number of the type), `sort` (STAYS, LEAVES, COMES), `counted`, `estimated` (it lies there,
    but nobody knows how long it is).
    """

    ids: tuple[str, ...]
    floor: IndexArray
    space: tuple[str | None, ...]
    room: IndexArray
    ends: Ends
    first: IntArray
    port_ids: tuple[str, ...]
    of: IntArray
    limit: IntArray
    slack: IntArray
    added: IntArray
    replaced: IntArray
    fixed: IndexArray
    rule: IntArray
    cable: IndexArray
    sort: CodeArray
    counted: BoolArray
    estimated: BoolArray


def cable_types_in_order(project: Project) -> tuple[CableType, ...]:
    """The cable types by id: their numbers in columns."""
    return tuple(sorted(project.cable_types.values(), key=lambda c: c.id))


def build_world(
    project: Project,
    floor_index: Mapping[str, int],
    rooms: Mapping[str, Rooms],
    frame_index: Mapping[str, int],
) -> World:
    """Everything the columns need, looked up once."""
    below: dict[str, int] = {}
    for building in project.buildings:
        floors = floors_from_below(project, building)
        lower = -1
        for floor in floors:
            below[floor.id] = lower
            lower = floor_index[floor.id]
    axis = {f.id: grid_axis(f.grid_angle_mdeg) for f in project.floors.values()}
    ceiling: dict[str, int] = {}
    for space in project.spaces.values():
        angle = space.grid_angle_mdeg
        axis[space.id] = axis[space.floor] if angle is None else grid_axis(angle)
        if space.ceiling_height_mm is not None:
            ceiling[space.id] = space.ceiling_height_mm
    cables = cable_types_in_order(project)
    return World(
        settings=project.settings,
        floors=project.floors,
        floor_index=floor_index,
        below=below,
        rooms=rooms,
        axis=axis,
        space_number={s: k for k, s in enumerate(sorted(project.spaces))},
        ceiling_mm=ceiling,
        kinds=project.outlet_kinds,
        cable_index={c.id: i for i, c in enumerate(cables)},
        cable_slack=[c.frame_slack_mm for c in cables],
        cable_limit=[c.limit_mm for c in cables],
        frame_index=frame_index,
        belonging=build_belonging(project, frame_index),
    )


def find_spaces(rooms: Mapping[str, Rooms], outlets: Sequence[Outlet]) -> list[str | None]:
    """The id of each outlet's space, None outside all."""
    found: list[str | None] = [None] * len(outlets)
    rows_on: dict[str, list[int]] = {}
    for row, outlet in enumerate(outlets):
        rows_on.setdefault(outlet.floor, []).append(row)
    for floor, rows in rows_on.items():
        on_floor = rooms[floor]
        xy = np.array([(outlets[r].x_mm, outlets[r].y_mm) for r in rows], dtype=np.float64)
        for row, number in zip(rows, spaces_at(on_floor, xy).tolist(), strict=True):
            found[row] = on_floor.ids[number] if number >= 0 else None
    return found


def build_plates(world: World, outlets: Iterable[Outlet]) -> Plates:
    """The columns of these outlets, in their order."""
    chosen = list(outlets)
    spaces = find_spaces(world.rooms, chosen)
    places = [_place(world, o, s) for o, s in zip(chosen, spaces, strict=True)]
    ports = [_port(world, o, p) for o in chosen for p in o.ports]
    zones = zones_of(world.belonging, chosen, spaces)
    rules = [
        _rule(world, p, s, zone)
        for o, s, zone in zip(chosen, spaces, zones, strict=True)
        for p in o.ports
    ]
    counts = np.array([len(o.ports) for o in chosen], dtype=np.int64)
    place = np.array(places, dtype=np.float64).reshape(-1, 9)
    port = np.array(ports, dtype=np.int64).reshape(-1, 9)
    whole = place[:, :7].astype(np.int64)
    ends = Ends(
        x=whole[:, 0],
        y=whole[:, 1],
        z=whole[:, 2],
        ground=whole[:, 3].astype(np.int32),
        bottom=whole[:, 4],
        ceiling=whole[:, 5],
        cos=place[:, 7],
        sin=place[:, 8],
    )
    return Plates(
        ids=tuple(o.id for o in chosen),
        floor=whole[:, 6].astype(np.int32),
        space=tuple(spaces),
        room=np.array([_room(world, s) for s in spaces], dtype=np.int32),
        ends=ends,
        first=np.concatenate((np.zeros(1, dtype=np.int64), np.cumsum(counts))),
        port_ids=tuple(p.id for o in chosen for p in o.ports),
        of=np.repeat(np.arange(len(chosen)), counts),
        limit=port[:, 0],
        slack=port[:, 1],
        added=port[:, 2],
        replaced=port[:, 3],
        fixed=port[:, 4].astype(np.int32),
        rule=np.array(rules, dtype=np.int64),
        cable=port[:, 5].astype(np.int32),
        sort=port[:, 6].astype(np.int8),
        counted=port[:, 7].astype(bool),
        estimated=port[:, 8].astype(bool),
    )


def _room(world: World, space: str | None) -> int:
    return -1 if space is None else world.space_number[space]


def _rule(world: World, port: Port, space: str | None, zone: int) -> int:
    belonging = world.belonging
    tenant = 0 if space is None else belonging.tenant_of.get(space, 0)
    return belonging.rule(tenant, port.service, zone)


def height_mm(world: World, outlet: Outlet, space: str | None) -> int:
    """The height of an outlet above its floor: its own, its kind's, else the ceiling's."""
    if outlet.height_mm is not None:
        return outlet.height_mm
    own = world.kinds[outlet.kind].height_mm
    if own is not None:
        return own
    ceiling = world.ceiling_mm.get(space) if space is not None else None
    return world.settings.ceiling_height_mm if ceiling is None else ceiling


def way_down(world: World, outlet: Outlet) -> WayDown:
    return world.kinds[outlet.kind].way_down if outlet.way_down is None else outlet.way_down


def _place(
    world: World, outlet: Outlet, space: str | None
) -> tuple[int, int, int, int, int, int, int, float, float]:
    """x, y, z, ground, bottom, ceiling, floor, cos, sin."""
    floor = world.floors[outlet.floor]
    index = world.floor_index[outlet.floor]
    way = way_down(world, outlet)
    ground = world.below[outlet.floor] if way is WayDown.POKE_THROUGH else index
    bottom = floor.level_mm if way in FROM_ABOVE else -NO_CEILING_MM
    ceiling = floor.level_mm if way is WayDown.RAISED_FLOOR else NO_CEILING_MM
    cos, sin = world.axis[outlet.floor if space is None else space]
    z = floor.level_mm + height_mm(world, outlet, space)
    return outlet.x_mm, outlet.y_mm, z, ground, bottom, ceiling, index, cos, sin


def _port(world: World, outlet: Outlet, port: Port) -> tuple[int, ...]:
    """limit, slack, added, replaced, fixed, cable, sort, counted, estimated."""
    kind = world.kinds[outlet.kind]
    cable = world.cable_index[port.cable_type]
    limit = world.cable_limit[cable] if kind.limit_mm is None else kind.limit_mm
    at_outlet = kind.slack_mm if outlet.slack_mm is None else outlet.slack_mm
    state = own_state(outlet, port)
    test = port.test
    replaced = -1 if port.replaced_mm is None else port.replaced_mm
    lies = state in (State.EXISTING, State.TO_REMOVE)
    if replaced < 0 and lies and test is not None and test.length_mm:
        replaced = test.length_mm
    estimated = lies and replaced < 0
    passed = state is State.EXISTING and test is not None and test.passed
    counted = not (passed or port.spare or state in (State.FUTURE, State.TO_REMOVE))
    fixed = -1 if port.frame is None else world.frame_index[port.frame]
    sort = {State.TO_REMOVE: LEAVES, State.FUTURE: COMES}.get(state, STAYS)
    slack = at_outlet + world.cable_slack[cable]
    return limit, slack, port.added_mm, replaced, fixed, cable, sort, counted, estimated
