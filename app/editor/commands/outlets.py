"""Outlets made at places: with their ports, their numbers, and the standing of what is drawn."""

from collections.abc import Iterable, Sequence

import msgspec

from app.editor.asking import InputProblem
from app.editor.commands.numbering import Retired, none_retired, numbered
from app.editor.commands.ports import port_ids, ports_of_kind
from app.editor.wording import counted
from app.model.entities import Floor, Outlet, OutletKind, Port
from app.model.ids import Source, counting_source, new_id, random_characters
from app.model.project import Patch, Project, adding
from app.model.vocabulary import ProvidedBy, State

MOST_AT_ONCE = 5_000


class Standing(msgspec.Struct, frozen=True, kw_only=True):
    """The state, phase and provider of what is made; `frame`: where its runs are known to end."""

    state: State = State.NEW
    phase: int = 0
    provided_by: ProvidedBy = ProvidedBy.US
    frame: str | None = None


NEW = Standing()


class OutletPlace(msgspec.Struct, frozen=True, kw_only=True):
    """Where an outlet goes and how it is turned. `kind` None: the kind of the command."""

    x_mm: int
    y_mm: int
    rotation_mdeg: int = 0
    kind: str | None = None


def place_outlets(
    project: Project,
    places: Sequence[OutletPlace],
    *,
    floor_id: str,
    kind_id: str,
    pattern: str | None = None,
    height_mm: int | None = None,
    standing: Standing = NEW,
    new_kinds: Iterable[OutletKind] = (),
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """Outlets with their ports and numbers, in the order of the places.

    `pattern` is that of their numbers where it is not the settings'. `new_kinds` are kinds that
    the places name and the project does not have yet.
    """
    need_floor(project, floor_id)
    if not places:
        raise InputProblem("There is no room for an outlet here.")
    if len(places) > MOST_AT_ONCE:
        raise InputProblem(f"That would be {len(places)} outlets; place them in smaller lots.")
    fresh = tuple(new_kinds)
    kinds = {**project.outlet_kinds, **{k.id: k for k in fresh}}
    made = _made(
        kinds,
        places,
        set(project.outlets),
        port_ids(project),
        source,
        floor_id=floor_id,
        kind_id=kind_id,
        height_mm=height_mm,
        standing=standing,
    )
    outlets = numbered(project, made, pattern, retired=retired)
    return adding(f"Place {counted(outlets)}", (*fresh, *outlets))


def drafted_outlets(
    project: Project,
    places: Sequence[OutletPlace],
    *,
    floor_id: str,
    kind_id: str,
    height_mm: int | None = None,
    standing: Standing = NEW,
    new_kinds: Iterable[OutletKind] = (),
) -> list[Outlet]:
    """Outlets only to be looked at: without numbers, under ids that nothing real has."""
    kinds = {**project.outlet_kinds, **{k.id: k for k in new_kinds}}
    return _made(
        kinds,
        places,
        set(),
        set(),
        _draft_source(),
        floor_id=floor_id,
        kind_id=kind_id,
        height_mm=height_mm,
        standing=standing,
    )


def _draft_source() -> Source:
    """Ids from the far end of the counting ones, which no file and no test begins with."""
    return counting_source(DRAFT_IDS_FROM)


DRAFT_IDS_FROM = 32**8 // 2


def _made(
    kinds: dict[str, OutletKind],
    places: Sequence[OutletPlace],
    taken: set[str],
    ports: set[str],
    source: Source,
    *,
    floor_id: str,
    kind_id: str,
    height_mm: int | None,
    standing: Standing,
) -> list[Outlet]:
    made = []
    for place in places:
        kind = kinds.get(place.kind or kind_id)
        if kind is None:
            raise InputProblem("Choose a kind of outlet first.")
        outlet_id = new_id("outlet", taken, source)
        taken.add(outlet_id)
        made.append(
            Outlet(
                id=outlet_id,
                floor=floor_id,
                kind=kind.id,
                x_mm=place.x_mm,
                y_mm=place.y_mm,
                rotation_mdeg=place.rotation_mdeg,
                height_mm=height_mm,
                ports=_ending_at(standing.frame, ports_of_kind(kind, ports, source)),
                state=standing.state,
                phase=standing.phase,
                provided_by=standing.provided_by,
            )
        )
    return made


def _ending_at(frame: str | None, ports: tuple[Port, ...]) -> tuple[Port, ...]:
    if frame is None:
        return ports
    return tuple(msgspec.structs.replace(port, frame=frame) for port in ports)


def need_floor(project: Project, floor_id: str) -> Floor:
    """The floor. Raises InputProblem where it is gone."""
    floor = project.floors.get(floor_id)
    if floor is None:
        raise InputProblem("That floor is no longer in the project; choose another one.")
    return floor
