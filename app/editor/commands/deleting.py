"""Deleting things with all that refers to them."""

from collections import Counter
from collections.abc import Collection, Iterable
from typing import cast

from msgspec.structs import replace

from app.editor.asking import Answer, InputProblem, Outcome, Question
from app.editor.commands.attached import attached_to
from app.editor.commands.client_list import let_go_of_spaces
from app.editor.commands.kept_numbers import refuse_frozen
from app.editor.commands.shapes import floors_of, outline_points
from app.editor.commands.telling import without_ways
from app.editor.wording import capital, counted, name_of, noun, number
from app.model.entities import (
    Building,
    CableType,
    ClientList,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    OutletKind,
    Pathway,
    Penetration,
    Plan,
    Port,
    Riser,
    RoomLine,
)
from app.model.project import SINGLE_TAGS, AnyEntity, Change, Patch, Project
from app.model.references import referring_to
from app.model.vocabulary import State


def delete_things(project: Project, ids: Iterable[str]) -> Outcome:
    """Delete things and what cannot be without them.

    Boxes, drop-outs, keep-aparts and walked lengths go with their pathway, and so do
    penetrations that are not there yet; an opening that is stays, with nothing in it. Backbone
    cables and serving zones go with their frame, waivers with the thing they speak of; ports
    that were fixed to a frame, or ended on its panels, are set free, but not where that is
    printed, no run is told any more of a pathway that goes, and a relocated outlet forgets the
    floor that it stood on. A floor or building with things
    on it asks first; cable types and outlet kinds in use are refused.
    """
    chosen = [t for i in dict.fromkeys(ids) if (t := project.get(i)) is not None]
    if not chosen or any(t.id in SINGLE_TAGS for t in chosen):
        raise InputProblem("Select something that can be deleted first.")
    for thing in chosen:
        _refuse_in_use(project, thing)
    gone = _with_dependants(project, chosen)
    patch = Patch(_label(chosen, gone), _changes(project, gone))
    on_floors = [t for t in gone.values() if not isinstance(t, Floor | Building)]
    if any(isinstance(t, Floor | Building) for t in chosen) and on_floors:
        return Question(
            text=f"{capital(counted(chosen))} holds {_told(on_floors)}. Delete all of it?",
            answers=(Answer(label="Delete all of it", patch=patch), Answer(label="Keep it")),
        )
    return patch


def _told(things: list[Entity]) -> str:
    return "1 thing" if len(things) == 1 else number(len(things), "thing")


def _label(chosen: list[Entity], gone: dict[str, Entity]) -> str:
    more = [t for t in gone.values() if t.id not in {c.id for c in chosen}]
    named = [t for t in more if not t.id.startswith("waiver")]
    return f"Delete {counted(chosen)}" + (f" with {counted(named)}" if named else "")


def _with_dependants(project: Project, chosen: Iterable[Entity]) -> dict[str, Entity]:
    gone: dict[str, Entity] = {}
    waiting = list(chosen)
    while waiting:
        thing = waiting.pop()
        if thing.id not in gone:
            gone[thing.id] = thing
            waiting.extend(_dependants(project, thing))
    gone.update((w.id, w) for w in _waivers_of(project, gone))
    return {t.id: t for t in project.entities() if t.id in gone}


def _dependants(project: Project, thing: Entity) -> list[Entity]:
    """What cannot be without the thing."""
    if isinstance(thing, Building):
        return [f for f in project.floors.values() if f.building == thing.id]
    if isinstance(thing, Floor):
        return _on_floor(project, thing)
    if isinstance(thing, Pathway | Riser | OutdoorDuct):
        return [t for t in attached_to(project, [thing.id]) if not _stays_open(t)]
    if isinstance(thing, ClientList):
        return [r for r in project.room_lines.values() if r.client_list == thing.id]
    if thing.id in project.frames or thing.id in project.demarcations:
        cables = project.backbone_cables.values()
        zones = project.serving_zones.values()
        return [
            *(c for c in cables if thing.id in (c.from_id, c.to_id)),
            *(z for z in zones if z.frame == thing.id),
        ]
    return []


def _stays_open(thing: Entity) -> bool:
    """A hole in a wall does not go away with its tray."""
    return isinstance(thing, Penetration) and thing.state not in (State.NEW, State.FUTURE)


def _on_floor(project: Project, floor: Floor) -> list[Entity]:
    """All that stands on a floor; risers only where they begin or end on it."""
    risers = project.risers.values()
    ends = [r for r in risers if floor.id in (r.lower_floor, r.upper_floor)]
    others = [
        t
        for t in project.entities()
        if (isinstance(t, Plan) and t.floor == floor.id)
        or (outline_points(t) and t.id not in project.risers and floor.id in floors_of(project, t))
    ]
    return [*ends, *others]


def _waivers_of(project: Project, gone: dict[str, Entity]) -> list[Entity]:
    return [w for w in project.waivers.values() if w.finding.rpartition(":")[2] in gone]


def _refuse_in_use(project: Project, thing: Entity) -> None:
    if not isinstance(thing, CableType | OutletKind):
        return
    uses: Counter[str] = Counter()
    lists: set[str] = set()
    for user in referring_to(project, [thing.id]):
        match user:
            case RoomLine():
                lists.add(user.client_list)
            case ClientList():
                lists.add(user.id)
            case Outlet() if isinstance(thing, CableType):
                uses["port"] += sum(p.cable_type == thing.id for p in user.ports)
            case Frame():
                uses["panel"] += sum(p.cable_type == thing.id for p in user.panels)
            case _:
                uses[noun(user)] += 1
    uses["client's list"] += len(lists)
    told = [number(n, what) for what, n in uses.items() if n]
    if told:
        raise InputProblem(
            f"{capital(name_of(thing))} is used by {' and '.join(told)}; "
            "give those another one first."
        )


def _changes(project: Project, gone: dict[str, Entity]) -> tuple[Change, ...]:
    removed = tuple(Change(t.id, cast(AnyEntity, t), None) for t in gone.values())
    emptied = tuple(
        Change(p.id, p, replace(p, through=None))
        for p in project.penetrations.values()
        if p.through in gone and p.id not in gone
    )
    removed += (*emptied, *let_go_of_spaces(project, gone))
    ends = (Floor, Frame, Pathway, Riser, OutdoorDuct)
    if not any(isinstance(t, ends) for t in gone.values()):
        return removed
    pairs = [
        (o, after)
        for o in project.outlets.values()
        if o.id not in gone and (after := _freed(o, gone.keys())) is not o
    ]
    refuse_frozen(project, pairs)
    return (*removed, *(Change(before.id, before, after) for before, after in pairs))


def _freed(outlet: Outlet, gone: Collection[str]) -> Outlet:
    """The outlet with no port fixed to, or ended at, a frame that goes, or told of a way that
    goes, and without an old place on a floor that goes."""
    ports = tuple(_freed_port(without_ways(p, gone), gone) for p in outlet.ports)
    was_at = outlet.was_at
    if was_at is not None and was_at.floor in gone:
        was_at = None
    changed = ports != outlet.ports or was_at is not outlet.was_at
    return replace(outlet, ports=ports, was_at=was_at) if changed else outlet


def _freed_port(port: Port, gone: Collection[str]) -> Port:
    if port.frame in gone:
        port = replace(port, frame=None)
    if port.ends_at is not None and port.ends_at.frame in gone:
        port = replace(port, ends_at=None)
    return port
