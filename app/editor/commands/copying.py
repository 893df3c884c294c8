"""Copies of things, beside them or on another floor, and things taken to another floor."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any, cast

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.attached import attached_to
from app.editor.commands.moving import placed
from app.editor.commands.numbering import Retired, none_retired, numbered
from app.editor.commands.ports import fresh_ports, port_ids
from app.editor.commands.shapes import outline_points, transformed
from app.editor.wording import counted, mark_of, name_of
from app.geometry.similarity import Similarity, shift
from app.model.entities import (
    FURTHEST_MM,
    AccessPoint,
    Break,
    DropOut,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    Pathway,
    Penetration,
    Port,
    Riser,
    Space,
    WalkedLength,
    tag_of,
)
from app.model.ids import Source, new_id, random_characters
from app.model.project import Patch, Project, adding, changing

MOST_COPIES = 20_000


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

    What sits on copied pathways is copied with them, but not what was walked there.
    Identifiers, tests and lengths of single ports are not. Risers and outdoor ducts have their
    own floors and stay out of a copy to another floor.
    """
    floor = None if floor_id is None else _floor(project, floor_id)
    things = _whole(project, placed(project, ids), floor)
    made = _copies(project, things, [shift(dx_mm, dy_mm)], floor, source)
    where = f" to floor {floor.name}" if floor is not None else ""
    copies = numbered(project, made, pattern, retired=retired)
    return adding(f"Copy {counted(things)}{where}", copies)


def copies_by(
    project: Project,
    ids: Iterable[str],
    movements: Sequence[Similarity],
    label: str,
    *,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """A copy of the things by each of these movements, numbered in their order."""
    things = _whole(project, placed(project, ids), None)
    if len(things) * len(movements) > MOST_COPIES:
        raise InputProblem(
            f"That would be {len(things) * len(movements):,} things; {MOST_COPIES:,} are the most "
            "at once."
        )
    made = _copies(project, things, movements, None, source)
    if any(abs(c) > FURTHEST_MM for t in made for p in outline_points(t) for c in p):
        raise InputProblem("That would put things more than 10 km from the site's zero.")
    return adding(label, numbered(project, made, retired=retired))


def copy_to_floors(
    project: Project,
    ids: Sequence[str],
    floor_ids: Sequence[str],
    *,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """Copies in place on each of the floors, as one patch."""
    if not floor_ids:
        raise InputProblem("Choose a floor first.")
    made = copy_things(project, ids, floor_id=floor_ids[0], retired=retired, source=source)
    for floor in floor_ids[1:]:
        with_those = project.apply(made)
        more = copy_things(with_those, ids, floor_id=floor, retired=retired, source=source)
        made = made.squash(more, made.label)
    if len(floor_ids) == 1:
        return made
    names = ", ".join(project.floors[f].name for f in floor_ids)
    return Patch(f"{made.label.split(' to floor ')[0]} to floors {names}", made.changes)


def _copies(
    project: Project,
    things: Sequence[Entity],
    movements: Sequence[Similarity],
    floor: Floor | None,
    source: Source,
) -> list[Entity]:
    ports, taken = port_ids(project), set[str]()
    made: list[Entity] = []
    for by in movements:
        new_ids = fresh_ids(project, things, taken, source)
        made += [
            transformed(fresh(t, new_ids, None if floor is None else floor.id, ports, source), by)
            for t in things
        ]
    return made


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
    sitting = (t for t in attached_to(project, carriers) if not isinstance(t, WalkedLength))
    every = {t.id: t for t in (*things, *sitting)}
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
    if isinstance(thing, WalkedLength):
        return thing.along in pathways
    if isinstance(thing, Penetration):
        return thing.through is None or thing.through in pathways
    return True


def fresh_ids(
    project: Project, things: Iterable[Entity], taken: set[str], source: Source
) -> dict[str, str]:
    """A new id for each thing; they are added to those that are taken."""
    out: dict[str, str] = {}
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


def fresh(
    thing: Entity,
    new_ids: Mapping[str, str],
    floor_id: str | None,
    ports: set[str],
    source: Source,
) -> Entity:
    """The thing anew: under its new id, on a floor (None: its own), referring to what is new
    beside it, without what belongs to the first alone."""
    fields: dict[str, Any] = {"id": new_ids[thing.id]}
    if floor_id is not None:
        fields["floor"] = floor_id
    match thing:
        case Outlet():
            made = fresh_ports(thing.ports, ports, source)
            fields["ports"] = tuple(_beside(p, new_ids) for p in made)
            fields |= {"number_printed": False, "was_at": None}
        case Frame():
            fields["panels"] = ()
        case AccessPoint():
            fields["pathway"] = new_ids[thing.pathway]
        case DropOut() | Break():
            fields["pathway_a"] = new_ids[thing.pathway_a]
            fields["pathway_b"] = new_ids[thing.pathway_b]
        case Penetration():
            fields |= {"through": new_ids.get(thing.through or ""), **UNINSPECTED}
        case WalkedLength():
            fields["along"] = new_ids[thing.along]
        case Space():
            fields["number"] = ""
    return replace(thing, **fields)


def _beside(port: Port, new_ids: Mapping[str, str]) -> Port:
    """The port sent to what is new beside it, where it was sent to the old."""
    frame = None if port.frame is None else new_ids.get(port.frame, port.frame)
    via, never = (tuple(new_ids.get(i, i) for i in ways) for ways in (port.via, port.never))
    return replace(port, frame=frame, via=via, never=never)


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
