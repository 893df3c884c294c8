"""What of a placed thing can catch the pointer: its points and lines, by name."""

from itertools import pairwise

import msgspec

from app.editor.commands.shapes import flat, riser_point
from app.editor.snap_kinds import SnapKind
from app.editor.wording import mark_of, noun
from app.model.entities import (
    AccessPoint,
    Break,
    Candidate,
    Demarcation,
    DropOut,
    Entity,
    Frame,
    OutdoorDuct,
    Outlet,
    Pathway,
    Penetration,
    Riser,
    ServingZone,
    Space,
    WalkedLength,
)
from app.model.project import Project

XY = tuple[float, float]


class CatchPoint(msgspec.Struct, frozen=True, kw_only=True):
    """A point of a thing; `index` is its vertex or corner, where it has those."""

    kind: SnapKind
    name: str
    at: XY
    thing: str
    index: int = 0


class CatchLine(msgspec.Struct, frozen=True, kw_only=True):
    """A straight piece of a thing; `index` counts the pieces."""

    kind: SnapKind
    name: str
    a: XY
    b: XY
    thing: str
    index: int = 0


def called(thing: Entity) -> str:
    """“basket B-03”, or just “basket”."""
    return f"{noun(thing)} {mark_of(thing)}".strip()


_POINT_KINDS: dict[type[Entity], SnapKind] = {
    Outlet: SnapKind.OUTLET,
    Frame: SnapKind.FRAME,
    Candidate: SnapKind.PLACE,
    Demarcation: SnapKind.DEMARCATION,
    AccessPoint: SnapKind.BOX,
    DropOut: SnapKind.CROSSING,
    Break: SnapKind.CROSSING,
    Penetration: SnapKind.CROSSING,
    WalkedLength: SnapKind.CROSSING,
}


def catch_points(project: Project, thing: Entity, floor_id: str) -> list[CatchPoint]:
    """The points of a thing that can catch the pointer on a floor."""
    name = called(thing)
    match thing:
        case Pathway() | OutdoorDuct():
            return _line_points(thing.id, name, flat(thing.vertices))
        case Riser():
            at = riser_point(project, thing, floor_id)
            return [CatchPoint(kind=SnapKind.RISER, name=name, at=at, thing=thing.id)]
        case Space() | ServingZone():
            corner = f"corner of {name}"
            return [
                CatchPoint(kind=SnapKind.CORNER, name=corner, at=at, thing=thing.id, index=i)
                for i, at in enumerate(thing.outline)
            ]
    kind = _POINT_KINDS.get(type(thing))
    if kind is None:
        return []
    at = (thing.x_mm, thing.y_mm)  # type: ignore[attr-defined]
    points = [CatchPoint(kind=kind, name=name, at=at, thing=thing.id)]
    if isinstance(thing, Frame) and thing.entry is not None:
        entry = f"entry to {name}"
        points.append(
            CatchPoint(kind=SnapKind.ENTRY, name=entry, at=thing.entry, thing=thing.id, index=1)
        )
    return points


def _line_points(thing_id: str, name: str, points: tuple[tuple[int, int], ...]) -> list[CatchPoint]:
    last = len(points) - 1
    return [
        CatchPoint(
            kind=SnapKind.END if i in (0, last) else SnapKind.VERTEX,
            name=f"{'end' if i in (0, last) else 'bend'} of {name}",
            at=at,
            thing=thing_id,
            index=i,
        )
        for i, at in enumerate(points)
    ]


def catch_lines(thing: Entity) -> list[CatchLine]:
    """The straight pieces of a thing that can catch the pointer."""
    name = called(thing)
    if isinstance(thing, Pathway | OutdoorDuct):
        pieces = pairwise(flat(thing.vertices))
        return [
            CatchLine(kind=SnapKind.LINE, name=name, a=a, b=b, thing=thing.id, index=i)
            for i, (a, b) in enumerate(pieces)
            if a != b
        ]
    if isinstance(thing, Space | ServingZone):
        side = f"side of {name}"
        rings = (thing.outline, *getattr(thing, "holes", ()))
        return [
            CatchLine(kind=SnapKind.EDGE, name=side, a=a, b=b, thing=thing.id, index=i)
            for ring in rings
            for i, (a, b) in enumerate(pairwise((*ring, ring[0])))
            if a != b
        ]
    return []
