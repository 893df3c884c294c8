"""Copies of things, beside them or on another floor, and things taken to another floor."""

from collections.abc import Collection, Iterable
from typing import Any, cast

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.attached import attached_to
from app.editor.commands.moving import placed
from app.editor.commands.numbering import Retired, none_retired, numbered
from app.editor.commands.ports import fresh_ports, port_ids
from app.editor.commands.shapes import transformed
from app.editor.wording import counted, mark_of, name_of
from app.geometry.similarity import shift
from app.model.entities import (
    AccessPoint,
    Break,
    DropOut,
    Entity,
    Floor,
    OutdoorDuct,
    Outlet,
    Pathway,
    Penetration,
    Riser,
    Space,
    tag_of,
)
from app.model.ids import Source, new_id, random_characters
from app.model.project import Patch, Project, adding, changing


def copy_things(
    project: Project,
    ids: Iterable[str],
    *,
    dx_mm: int = 0,
    dy_mm: int = 0,
    floor_id: str | None = None,
    pattern: str | None = None,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """Copies with ids and numbers of their own, shifted, on the same floor or on `floor_id`.

    What sits on copied pathways is copied with them. Identifiers, tests and lengths of single
    ports are not. Risers and outdoor ducts have their own floors and stay out of a copy to
    another floor.
    """
    floor = None if floor_id is None else _floor(project, floor_id)
    things = _whole(project, placed(project, ids), floor)
    new_ids = _new_ids(project, things, source)
    ports = port_ids(project)
    made = [
        transformed(_copied(t, new_ids, floor, ports, source), shift(dx_mm, dy_mm)) for t in things
    ]
    copies = numbered(project, made, pattern, retired=retired)
    where = f" to floor {floor.name}" if floor is not None else ""
    return adding(f"Copy {counted(things)}{where}", copies)


def _floor(project: Project, floor_id: str) -> Floor:
    floor = project.floors.get(floor_id)
    if floor is None:
        raise InputProblem("That floor is no longer in the project; choose another one.")
    return floor


def _whole(project: Project, things: list[Entity], floor: Floor | None) -> list[Entity]:
    """The things to copy, with what sits on the pathways among them and without orphans."""
    if floor is not None:
        things = [t for t in things if not isinstance(t, Riser | OutdoorDuct)]
    carriers = {t.id for t in things if isinstance(t, Pathway | Riser | OutdoorDuct)}
    every = {t.id: t for t in (*things, *attached_to(project, carriers))}
    kept = [t for t in every.values() if _stands_by_itself(t, carriers)]
    if not kept:
        raise InputProblem(
            "Nothing here can be copied by itself: boxes, drop-outs and keep-aparts go with "
            "their pathways, risers and outdoor ducts stay with their floors."
        )
    return kept


def _stands_by_itself(thing: Entity, pathways: Collection[str]) -> bool:
    if isinstance(thing, AccessPoint):
        return thing.pathway in pathways
    if isinstance(thing, DropOut | Break):
        return thing.pathway_a in pathways and thing.pathway_b in pathways
    if isinstance(thing, Penetration):
        return thing.through is None or thing.through in pathways
    return True


def _new_ids(project: Project, things: list[Entity], source: Source) -> dict[str, str]:
    out: dict[str, str] = {}
    taken: set[str] = set()
    for thing in things:
        made = new_id(tag_of(type(thing).__name__), _Taken(project, taken), source)
        taken.add(made)
        out[thing.id] = made
    return out


UNINSPECTED = {"photograph": "", "inspected_by": "", "inspected_on": ""}
"""What was seen at one opening says nothing of another."""


class _Taken:
    """Ids of the project and those just given."""

    def __init__(self, project: Project, given: set[str]) -> None:
        self._project = project
        self._given = given

    def __contains__(self, entity_id: object) -> bool:
        return entity_id in self._given or entity_id in self._project


def _copied(
    thing: Entity,
    new_ids: dict[str, str],
    floor: Floor | None,
    ports: set[str],
    source: Source,
) -> Entity:
    fields: dict[str, Any] = {"id": new_ids[thing.id]}
    if floor is not None:
        fields["floor"] = floor.id
    match thing:
        case Outlet():
            fields["ports"] = fresh_ports(thing.ports, ports, source)
            fields |= {"number_printed": False, "was_at": None}
        case AccessPoint():
            fields["pathway"] = new_ids[thing.pathway]
        case DropOut() | Break():
            fields["pathway_a"] = new_ids[thing.pathway_a]
            fields["pathway_b"] = new_ids[thing.pathway_b]
        case Penetration():
            fields |= {"through": new_ids.get(thing.through or ""), **UNINSPECTED}
        case Space():
            fields["number"] = ""
    return replace(thing, **fields)


def move_to_floor(project: Project, ids: Iterable[str], floor_id: str) -> Patch:
    """Take things to another floor, in place, with all that sits on the pathways among them."""
    floor = _floor(project, floor_id)
    things = placed(project, ids)
    pathways = {t.id for t in things if isinstance(t, Pathway)}
    every = list({t.id: t for t in (*things, *attached_to(project, pathways))}.values())
    for thing in every:
        if isinstance(thing, Riser | OutdoorDuct):
            raise InputProblem(f"{name_of(thing)} joins floors; change its floors instead.")
        if not _stands_by_itself(thing, pathways):
            mark = name_of(thing) if mark_of(thing) else f"a {counted([thing])}"
            raise InputProblem(
                f"Not everything can go: {mark} belongs to a pathway that stays here."
            )
    pairs = [(t, replace(cast(Any, t), floor=floor.id)) for t in every]
    return changing(f"Take {counted(things)} to floor {floor.name}", pairs)
