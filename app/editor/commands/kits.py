"""Kits: a named set of things at relative places, made from a selection and stamped anew.

A kit's origin lies at (0, 0). Its x runs along the wall of the thing it was made about, if that
has one, so that a stamp can be turned to another wall.
"""

from collections.abc import Iterable, Sequence
from typing import Any, cast

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.attached import attached_to
from app.editor.commands.copying import fresh, fresh_ids
from app.editor.commands.moving import middle_of, placed
from app.editor.commands.numbering import Retired, none_retired, numbered, with_number
from app.editor.commands.outlets import NEW, Standing, need_floor
from app.editor.commands.ports import port_ids
from app.editor.commands.shapes import outline_points, transformed
from app.editor.wording import counted, number
from app.geometry.similarity import HALF_MDEG, Similarity, about, normal_mdeg, to_mm
from app.model.entities import (
    FURTHEST_MM,
    AccessPoint,
    Break,
    DropOut,
    Entity,
    Frame,
    Kit,
    Outlet,
    Pathway,
    Penetration,
    Point,
    Port,
    Space,
    WalkedLength,
)
from app.model.ids import Source, counting_source, new_id, random_characters
from app.model.kept import MOST_KIT_THINGS, KitThing
from app.model.project import Patch, Project, adding, changing
from app.model.vocabulary import State

KIT_TYPES = (Outlet, Frame, Space, Pathway, AccessPoint, DropOut, Break, Penetration)
KIT_FLOOR = "floor"
"""What stands for the floor within a kit."""


def things_for_kit(project: Project, ids: Iterable[str]) -> list[Entity]:
    """What of a selection goes into a kit, with all that sits on its pathways.

    Raises InputProblem where that is nothing, too much, or on several floors.
    """
    chosen = [t for t in placed(project, ids) if isinstance(t, KIT_TYPES)]
    pathways = {t.id for t in chosen if isinstance(t, Pathway)}
    every = {t.id: t for t in (*chosen, *attached_to(project, pathways))}
    things: list[Entity] = [
        t for t in every.values() if isinstance(t, KIT_TYPES) and _is_whole(t, pathways)
    ]
    if not things:
        raise InputProblem(
            "Select outlets, frames, rooms or pathways for a kit; risers, ducts and demarcation "
            "points stay where they are, boxes and drop-outs go with their pathways."
        )
    if len({cast(Any, t).floor for t in things}) > 1:
        raise InputProblem("A kit holds things of one floor; select those of one.")
    if len(things) > MOST_KIT_THINGS:
        raise InputProblem(f"A kit holds at most {MOST_KIT_THINGS:,} things.")
    return things


def _is_whole(thing: Entity, pathways: set[str]) -> bool:
    match thing:
        case AccessPoint():
            return thing.pathway in pathways
        case DropOut() | Break():
            return thing.pathway_a in pathways and thing.pathway_b in pathways
        case WalkedLength():
            return False  # what was walked here says nothing of another place
    return True


def usual_origin(things: Sequence[Entity]) -> tuple[Point, int]:
    """Where a kit is taken hold of, and the direction of its wall there: its first outlet or
    frame, else its middle."""
    for thing in things:
        if isinstance(thing, Outlet | Frame):
            return (thing.x_mm, thing.y_mm), thing.rotation_mdeg
    x, y = middle_of(things)
    return (to_mm(x), to_mm(y)), 0


def make_kit(
    project: Project,
    ids: Iterable[str],
    *,
    name: str,
    note: str = "",
    origin: tuple[Point, int] | None = None,
    source: Source = random_characters,
) -> Patch:
    """A kit of the things, under a name that no other has.

    `origin` is the point by which it is held and the direction that becomes its x; None: the
    usual one. Numbers, tests, lengths and places at frames outside are not kept.
    """
    things = things_for_kit(project, ids)
    name = _free_name(project, name)
    at, along_mdeg = usual_origin(things) if origin is None else origin
    made = kit_things(things, at, along_mdeg)
    kit_id = new_id("kit", project.kits, source)
    kit = Kit(id=kit_id, name=name, things=cast(tuple[KitThing, ...], made), note=note.strip())
    return adding(f"Make the kit “{name}” of {counted(things)}", [kit])


def kit_things(things: Sequence[Entity], at: Point, along_mdeg: int) -> tuple[Entity, ...]:
    """The things as they lie in a kit: about (0, 0), turned back, under ids of the kit's own."""
    own, empty = counting_source(), Project()
    new_ids = fresh_ids(empty, things, set(), own)
    ports: set[str] = set()
    turn = about(at, turn_mdeg=normal_mdeg(-along_mdeg))
    by = Similarity(turn_mdeg=turn.turn_mdeg, dx=turn.dx - at[0], dy=turn.dy - at[1])
    return tuple(
        _bare(transformed(fresh(t, new_ids, KIT_FLOOR, ports, own), by), new_ids) for t in things
    )


def _bare(thing: Entity, new_ids: dict[str, str]) -> Entity:
    """Without number, and without places at frames and ways that are not in the kit."""
    if isinstance(thing, Outlet):
        inside = set(new_ids.values())
        thing = replace(thing, ports=tuple(_within(p, inside) for p in thing.ports))
    if isinstance(thing, Space) or not hasattr(thing, "state"):
        return thing
    thing = cast(Any, with_number(thing, "")) if _is_numbered(thing) else thing
    return cast(Entity, replace(cast(Any, thing), state=State.NEW, **_no_phase(thing)))


def _is_numbered(thing: Entity) -> bool:
    return hasattr(thing, "number") or hasattr(thing, "name")


def _no_phase(thing: Entity) -> dict[str, int]:
    return {"phase": 0} if hasattr(thing, "phase") else {}


def _within(port: Port, inside: set[str]) -> Port:
    return replace(
        port,
        state=None,
        frame=port.frame if port.frame in inside else None,
        via=tuple(w for w in port.via if w in inside),
        never=tuple(w for w in port.never if w in inside),
    )


def _free_name(project: Project, name: str, but: str | None = None) -> str:
    name = name.strip()
    if not name:
        raise InputProblem("Give the kit a name.")
    if any(k.name.casefold() == name.casefold() and k.id != but for k in project.kits.values()):
        raise InputProblem(f"There is a kit “{name}” already; give this one another name.")
    return name


def rename_kit(project: Project, kit_id: str, *, name: str, note: str) -> Patch:
    """Another name or note for a kit."""
    kit = kit_of(project, kit_id)
    after = replace(kit, name=_free_name(project, name, kit.id), note=note.strip())
    return changing(f"Rename the kit “{kit.name}”", [(kit, after)])


def kit_of(project: Project, kit_id: str | None) -> Kit:
    """The kit. Raises InputProblem where it is gone."""
    kit = project.kits.get(kit_id or "")
    if kit is None:
        raise InputProblem("Choose a kit first; make one of a selection under Edit.")
    return kit


def stamp_movement(at: Point, *, turn_mdeg: int = 0, mirrored: bool = False) -> Similarity:
    """From a kit's own axes to the site's; mirrored, left and right of its wall change places."""
    if mirrored:
        turn_mdeg = normal_mdeg(turn_mdeg + HALF_MDEG)
    return Similarity(turn_mdeg=turn_mdeg, mirrored=mirrored, dx=at[0], dy=at[1])


def stamped_things(
    project: Project,
    kit: Kit,
    *,
    floor_id: str,
    by: Similarity,
    standing: Standing = NEW,
    source: Source = random_characters,
) -> list[Entity]:
    """The kit's things as they would stand, without numbers.

    They are as new as what is drawn next; who provides each is the kit's own.
    """
    new_ids = fresh_ids(project, kit.things, set(), source)
    ports = port_ids(project)
    made = [transformed(fresh(t, new_ids, floor_id, ports, source), by) for t in kit.things]
    return [_standing(t, standing) for t in made]


def _standing(thing: Entity, standing: Standing) -> Entity:
    fields: dict[str, Any] = {}
    if hasattr(thing, "state"):
        fields["state"] = standing.state
    if hasattr(thing, "phase"):
        fields["phase"] = standing.phase
    return replace(thing, **fields) if fields else thing


def stamp_kit(
    project: Project,
    kit_id: str,
    *,
    floor_id: str,
    at: Point,
    turn_mdeg: int = 0,
    mirrored: bool = False,
    standing: Standing = NEW,
    pattern: str | None = None,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """A kit stamped on a floor: fresh ids, numbers by the patterns, references kept within."""
    kit = kit_of(project, kit_id)
    floor = need_floor(project, floor_id)
    by = stamp_movement(at, turn_mdeg=turn_mdeg, mirrored=mirrored)
    made = stamped_things(project, kit, floor_id=floor.id, by=by, standing=standing, source=source)
    if any(abs(c) > FURTHEST_MM for t in made for p in outline_points(t) for c in p):
        raise InputProblem("That would put things more than 10 km from the site's zero.")
    things = numbered(project, made, pattern, retired=retired)
    return adding(f"Stamp the kit “{kit.name}” ({number(len(made), 'thing')})", things)
