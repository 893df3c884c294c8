"""What points to what in a project."""

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Break,
    Candidate,
    ClientList,
    Demarcation,
    DropOut,
    Entity,
    Floor,
    Frame,
    Kit,
    OutdoorDuct,
    Outlet,
    OutletKind,
    Pathway,
    Penetration,
    Plan,
    Port,
    Requirement,
    Riser,
    RoomLine,
    ServingZone,
    Space,
    WalkedLength,
)
from app.model.ids import tag_of_id
from app.model.project import Project

Reference = tuple[str, tuple[str, ...], str]
"""What the reference is called, the tags it may point to, the id."""

LAID = ("pathway", "riser", "outdoor-duct")
"""What cable lies in."""


def _floor(e: Any) -> Iterator[Reference]:
    yield "floor", ("floor",), e.floor


def _outlet(e: Outlet) -> Iterator[Reference]:
    yield from _floor(e)
    yield "kind", ("outlet-kind",), e.kind
    if e.was_at is not None:
        yield "old floor", ("floor",), e.was_at.floor
    for port in e.ports:
        yield from _port(port)


def _port(port: Port) -> Iterator[Reference]:
    yield "cable type", ("cable-type",), port.cable_type
    if port.frame is not None:
        yield "fixed frame", ("frame",), port.frame
    if port.ends_at is not None:
        yield "frame of the panel", ("frame",), port.ends_at.frame
    for way in port.via:
        yield "way to pass", LAID, way
    for way in port.never:
        yield "way never to pass", LAID, way


def _outlet_kind(e: OutletKind) -> Iterator[Reference]:
    for port in e.ports:
        yield "cable type", ("cable-type",), port.cable_type


def _required(required: Iterable[Requirement]) -> Iterator[Reference]:
    for requirement in required:
        yield "required kind", ("outlet-kind",), requirement.kind


def _space(e: Space) -> Iterator[Reference]:
    yield from _floor(e)
    yield from _required(e.required)


def _serving_zone(e: ServingZone) -> Iterator[Reference]:
    yield from _floor(e)
    yield "frame", ("frame",), e.frame


def _client_list(e: ClientList) -> Iterator[Reference]:
    for column in e.columns:
        if tag_of_id(column.means) == "outlet-kind":
            yield "kind of a column", ("outlet-kind",), column.means


def _room_line(e: RoomLine) -> Iterator[Reference]:
    yield "client's list", ("client-list",), e.client_list
    yield from _required(e.required)
    if e.space is not None:
        yield "space", ("space",), e.space


def _walked(e: WalkedLength) -> Iterator[Reference]:
    yield from _floor(e)
    yield "way", LAID, e.along


def _penetration(e: Penetration) -> Iterator[Reference]:
    yield from _floor(e)
    if e.through is not None:
        yield "way through it", LAID, e.through


def _kit(e: Kit) -> Iterator[Reference]:
    for thing in e.things:
        if isinstance(thing, Outlet):
            yield "kind", ("outlet-kind",), thing.kind
            for port in thing.ports:
                yield "cable type", ("cable-type",), port.cable_type
        if isinstance(thing, Frame):
            for panel in thing.panels:
                yield "cable type of a panel", ("cable-type",), panel.cable_type
        if isinstance(thing, Space):
            yield from _required(thing.required)


def _frame(e: Frame) -> Iterator[Reference]:
    yield from _floor(e)
    for panel in e.panels:
        yield "cable type of a panel", ("cable-type",), panel.cable_type


def _backbone(e: BackboneCable) -> Iterator[Reference]:
    yield "one end", ("frame", "demarcation"), e.from_id
    yield "other end", ("frame", "demarcation"), e.to_id
    yield "cable type", ("cable-type",), e.cable_type


def _crossing(e: DropOut | Break) -> Iterator[Reference]:
    yield from _floor(e)
    yield "pathway", ("pathway",), e.pathway_a
    yield "pathway", ("pathway",), e.pathway_b


def _access(e: AccessPoint) -> Iterator[Reference]:
    yield from _floor(e)
    yield "pathway", ("pathway",), e.pathway


def _riser(e: Riser) -> Iterator[Reference]:
    yield "lower floor", ("floor",), e.lower_floor
    yield "upper floor", ("floor",), e.upper_floor


def _duct(e: OutdoorDuct) -> Iterator[Reference]:
    yield "floor at one end", ("floor",), e.from_floor
    yield "floor at the other end", ("floor",), e.to_floor


def _building(e: Floor) -> Iterator[Reference]:
    yield "building", ("building",), e.building


_REFERENCES: dict[type[Entity], Callable[[Any], Iterator[Reference]]] = {
    Floor: _building,
    Plan: _floor,
    Space: _space,
    OutletKind: _outlet_kind,
    Outlet: _outlet,
    Frame: _frame,
    Candidate: _floor,
    Demarcation: _floor,
    BackboneCable: _backbone,
    Pathway: _floor,
    AccessPoint: _access,
    DropOut: _crossing,
    Break: _crossing,
    Riser: _riser,
    OutdoorDuct: _duct,
    ServingZone: _serving_zone,
    ClientList: _client_list,
    RoomLine: _room_line,
    WalkedLength: _walked,
    Penetration: _penetration,
    Kit: _kit,
}


def references(entity: Entity) -> Iterator[Reference]:
    """Everything the entity points to."""
    of_type = _REFERENCES.get(type(entity))
    if of_type is not None:
        yield from of_type(entity)


_REFERRING: dict[str, tuple[type[Entity], ...]] = {
    "building": (Floor,),
    "floor": (
        Plan,
        Space,
        Outlet,
        Frame,
        Candidate,
        Demarcation,
        Pathway,
        AccessPoint,
        DropOut,
        Break,
        Riser,
        OutdoorDuct,
        ServingZone,
        WalkedLength,
        Penetration,
    ),
    "cable-type": (OutletKind, Outlet, Frame, BackboneCable, Kit),
    "outlet-kind": (Outlet, Space, ClientList, RoomLine, Kit),
    "frame": (Outlet, BackboneCable, ServingZone),
    "demarcation": (BackboneCable,),
    "pathway": (AccessPoint, DropOut, Break, Outlet, WalkedLength, Penetration),
    "riser": (Outlet, WalkedLength, Penetration),
    "outdoor-duct": (Outlet, WalkedLength, Penetration),
    "space": (RoomLine,),
    "client-list": (RoomLine,),
}


def referring_to(project: Project, ids: Iterable[str]) -> Iterator[Entity]:
    """The things that point to any of these ids, each once."""
    wanted = set(ids)
    types = dict.fromkeys(t for i in wanted for t in _REFERRING.get(tag_of_id(i), ()))
    for entity_type in types:
        for entity in project.table(entity_type).values():
            if any(i in wanted for _, _, i in references(entity)):
                yield entity
