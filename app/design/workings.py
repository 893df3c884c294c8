"""Workings: the stages between a project and its design, each rerun only where it must be.

A stage is rerun when one of its inputs is not the same object as before. Tables that an edit
does not touch stay the same objects, so an edit of outlets leaves network and trees alone.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from app.checks.served import space_area_m2
from app.design.told_runs import taken_told, told_ways, wishes_of
from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Break,
    Building,
    CableType,
    Demarcation,
    DropOut,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    OutletKind,
    Pathway,
    Riser,
    ServingZone,
    Space,
    WalkedLength,
)
from app.model.project import Project
from app.model.settings import Settings
from app.routing.backbone import BackboneWay, backbone_ways
from app.routing.columns import fill_rows
from app.routing.ground import Ground, Rooms, build_grounds, build_rooms
from app.routing.joints import Joints, build_joints, cut_keys_of, floor_order
from app.routing.legs import find_legs
from app.routing.loads import Traffic, backbone_traffic
from app.routing.network import Network, build_network, hold_of
from app.routing.options import FloorFrames, FloorWork, floor_options, frames_by_floor
from app.routing.plates import Plates, World, build_plates, build_world
from app.routing.results import FloatArray, IndexArray, IntArray
from app.routing.run_table import Lengths, Taken, Ways, empty_columns, take_options
from app.routing.serving import NOBODY, serve
from app.routing.stands import Stands, build_stands, frames_in_order, leg_lengths, riser_ends
from app.routing.told import ToldSearch, ToldWay, Wish
from app.routing.trees import Sources, Trees, grow_trees, sources_of

PLACES = (Building, Floor, Space, ServingZone, Settings)
LINES = (Pathway, AccessPoint, DropOut, Break, Riser, OutdoorDuct, WalkedLength)
STANDING = (Frame, Demarcation)
SORTS = (OutletKind, CableType)


@dataclass(frozen=True, eq=False)
class Basis:
    """What does not depend on outlets: floors, rooms, joints, stands, network and trees."""

    rooms: Mapping[str, Rooms]
    world: World
    stands: Stands
    joints: Joints
    grounds: tuple[Ground, ...]
    network: Network
    sources: Sources
    trees: Trees
    backbone_trees: Trees
    space_areas_m2: FloatArray
    """By the number of a space."""
    joint_inputs: tuple[Any, ...]
    search: ToldSearch


@dataclass(frozen=True, eq=False)
class Workings:
    """All stages of one project. By the row of a port: `wishes`, what it was told, and `told`,
    how it goes for that, where it has a route at all."""

    inputs: Mapping[type[Entity], Any]
    base: Basis
    plates: Plates
    on_floors: tuple[FloorFrames, ...]
    floors: tuple[FloorWork, ...]
    columns: IndexArray
    ways: Ways
    lengths: Lengths
    backbone: Mapping[str, BackboneWay | None]
    backbone_traffic: Traffic
    row_of: Mapping[str, int]
    wishes: Mapping[int, Wish]
    told: Mapping[int, ToldWay | None]


def inputs_of(project: Project) -> dict[type[Entity], Any]:
    """The tables that the stages read, to be compared by identity."""
    tables: Sequence[type[Entity]] = (*PLACES, *LINES, *STANDING, *SORTS, BackboneCable)
    found: dict[type[Entity], Any] = {t: project.table(t) for t in tables}
    found[Settings] = project.settings
    return found


def same_inputs(
    old: Mapping[type[Entity], Any], new: Mapping[type[Entity], Any], types: Sequence[type[Entity]]
) -> bool:
    """Whether none of these tables has changed."""
    return all(old[t] is new[t] for t in types)


def work(project: Project, old: Workings | None = None) -> Workings:
    """All stages; those whose inputs are the same objects as in `old` are taken over."""
    inputs = inputs_of(project)
    fixed = (*PLACES, *LINES, *STANDING)
    same_base = old is not None and same_inputs(old.inputs, inputs, (*fixed, *SORTS))
    if old is not None and same_base:
        base = old.base
    else:
        base = _base(project, None if old is None else old, inputs)
    plates = build_plates(base.world, project.outlets.values())
    on_floors = frames_by_floor(project, base.stands, plates, base.world.floor_index)
    floors = tuple(
        floor_work(project, base, plates, np.flatnonzero(plates.floor == index), on)
        for index, on in enumerate(on_floors)
    )
    columns = np.full(len(plates.port_ids), NOBODY, dtype=np.int32)
    ways, lengths = empty_columns(len(plates.port_ids))
    for floor in floors:
        serve(plates, base.stands.keepers, floor.options, project.spaces, columns)
        given = taken(base, plates, floor, columns, np.arange(len(floor.rows)))
        fill_rows(ways, given.ports, given.ways)
        fill_rows(lengths, given.ports, given.lengths)
    wishes = wishes_of(project)
    told = told_again(project, base, plates, floors, ways, wishes, wishes)
    given = taken_told(project, base.network, base.stands, plates, floors, told)
    fill_rows(ways, given.ports, given.ways)
    fill_rows(lengths, given.ports, given.lengths)
    keep = (
        old is not None and old.base is base and same_inputs(old.inputs, inputs, (BackboneCable,))
    )
    if old is not None and keep:
        cables, traffic = old.backbone, old.backbone_traffic
    else:
        cables, traffic = _backbone(project, base)
    return Workings(
        inputs=inputs,
        base=base,
        plates=plates,
        on_floors=on_floors,
        floors=floors,
        columns=columns,
        ways=ways,
        lengths=lengths,
        backbone=cables,
        backbone_traffic=traffic,
        row_of={outlet: row for row, outlet in enumerate(plates.ids)},
        wishes=wishes,
        told=told,
    )


def told_again(
    project: Project,
    base: Basis,
    plates: Plates,
    floors: tuple[FloorWork, ...],
    ways: Ways,
    wishes: Mapping[int, Wish],
    ports: Iterable[int],
) -> dict[int, ToldWay | None]:
    """The ways of those of these ports that were told something."""
    return told_ways(
        project, base.search, base.grounds, base.stands, plates, floors, ways, wishes, ports
    )


def taken(
    base: Basis, plates: Plates, floor: FloorWork, columns: IndexArray, members: IntArray
) -> Taken:
    """What a floor's options give to the ports of some of its outlets."""
    return take_options(
        base.network, plates, floor.legs, floor.holds, floor.options, columns, members
    )


def _base(project: Project, old: Workings | None, inputs: Mapping[type[Entity], Any]) -> Basis:
    keep_rooms = old is not None and same_inputs(old.inputs, inputs, (Floor, Space))
    floors = floor_order(project)
    floor_index = {f.id: i for i, f in enumerate(floors)}
    rooms = (
        old.base.rooms
        if old is not None and keep_rooms
        else build_rooms(floor_index, project.spaces.values())
    )
    frame_index = {f.id: i for i, f in enumerate(frames_in_order(project))}
    world = build_world(project, floor_index, rooms, frame_index)
    stands = build_stands(project, world)
    ends = riser_ends(project, stands, tuple(floor_index))
    settings = project.settings
    key = (ends, settings.join_tolerance_mm, settings.same_height_mm, settings.leg_weight)
    tables = (Building, Floor, *LINES)
    if old is not None and same_inputs(old.inputs, inputs, tables) and old.base.joint_inputs == key:
        joints = old.base.joints
    else:
        joints = build_joints(project, ends)
    if old is not None and old.base.joints is joints and keep_rooms:
        grounds = old.base.grounds
    else:
        grounds = build_grounds(joints, project.spaces.values())
    legs = find_legs(
        joints, grounds, stands.ends, reach_mm=settings.reach_mm, cuts=cut_keys_of(joints)
    )
    network = build_network(joints, legs.stretch, legs.offset)
    sources = sources_of(network, legs, *leg_lengths(stands, legs))
    trees = grow_trees(network, sources, leg_weight=settings.leg_weight, backbone=False)
    backbone_trees = trees
    if network.backbone_only.any():
        backbone_trees = grow_trees(network, sources, leg_weight=settings.leg_weight, backbone=True)
    return Basis(
        rooms=rooms,
        world=world,
        stands=stands,
        joints=joints,
        grounds=grounds,
        network=network,
        sources=sources,
        trees=trees,
        backbone_trees=backbone_trees,
        space_areas_m2=_areas(project, world),
        joint_inputs=key,
        search=ToldSearch(network, sources, settings.leg_weight),
    )


def _areas(project: Project, world: World) -> FloatArray:
    """The areas of all spaces, by their numbers."""
    spaces = (project.spaces[s] for s in world.space_number)
    return np.fromiter(map(space_area_m2, spaces), dtype=np.float64, count=len(project.spaces))


def floor_work(
    project: Project, base: Basis, plates: Plates, rows: IntArray, on: FloorFrames
) -> FloorWork:
    """Legs and options of some outlets of one floor."""
    ends = plates.ends.taken(rows)
    legs = find_legs(
        base.joints,
        base.grounds,
        ends,
        reach_mm=project.settings.reach_mm,
        cuts=base.network.key,
    )
    holds = hold_of(base.network, legs.stretch, legs.offset)
    options = floor_options(
        project, base.network, base.grounds, base.trees, base.stands, plates, legs, holds, rows, on
    )
    return FloorWork(rows, legs, holds, options)


def _backbone(project: Project, base: Basis) -> tuple[Mapping[str, BackboneWay | None], Traffic]:
    trees, sources = base.backbone_trees, base.sources
    ways = backbone_ways(project, base.grounds, base.stands, trees, sources)
    return ways, backbone_traffic(project, base.network, trees, sources, ways)
