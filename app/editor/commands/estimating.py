"""A first count before any drawing: outlets as they were typed, spread over their rooms."""

from collections.abc import Iterable, Mapping, Sequence
from typing import cast

import msgspec
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.client_list import list_named
from app.editor.commands.numbering import Retired, none_retired
from app.editor.commands.outlets import NEW, Standing, place_outlets
from app.editor.commands.spreading import DoorsIn, no_doors, spread
from app.editor.room_lists.typed_counts import Understood
from app.editor.wording import number
from app.model.building import ClientList, Requirement, RoomLine
from app.model.ids import Source, new_id, random_characters
from app.model.project import AnyEntity, Change, Patch, Project
from app.model.rooms import number_key

TYPED = "Typed in"
"""The list that keeps what was typed for rooms that are not drawn yet."""


class Estimate(msgspec.Struct, frozen=True, kw_only=True):
    """The patch of an estimate, the outlets it places, and how many it only asks for."""

    patch: Patch
    placed: tuple[str, ...]
    only_required: int


def estimate(
    project: Project,
    understood: Sequence[Understood],
    *,
    pattern: str | None = None,
    standing: Standing = NEW,
    doors_in: DoorsIn = no_doors,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Estimate:
    """Spread what was typed over its rooms, off their doors; for a room without an outline it
    becomes what is asked for there, and waits. One patch. Raises InputProblem, naming what is not
    understood."""
    wrong = next((u.problem for u in understood if u.problem), "")
    if wrong or not understood:
        raise InputProblem(wrong or "Type what goes where, for example: 24 desks in 2.04.")
    changes: list[Change] = []
    now = project
    for space_id, counts in _by_space(understood).items():
        space = project.spaces[space_id]
        patch = place_outlets(
            now,
            spread(now, space, counts, doors=doors_in(space)),
            floor_id=space.floor,
            kind_id=next(iter(counts)),
            pattern=pattern,
            standing=standing,
            retired=retired,
            source=source,
        )
        changes += patch.changes
        now = now.apply(patch)
    placed = tuple(c.id for c in changes)
    waiting = [u for u in understood if u.space is None]
    changes += _asked(project, waiting, source)
    asked = sum(u.count for u in waiting)
    return Estimate(
        patch=Patch(_label(len(placed), asked), tuple(changes)), placed=placed, only_required=asked
    )


def _label(placed: int, asked: int) -> str:
    told = [f"spread {number(placed, 'outlet')}"] if placed else []
    told += [f"ask for {number(asked, 'outlet')}"] if asked else []
    text = " and ".join(told)
    return text[:1].upper() + text[1:]


def _by_space(understood: Iterable[Understood]) -> Mapping[str, dict[str, int]]:
    found: dict[str, dict[str, int]] = {}
    for item in understood:
        if item.space is not None and item.kind is not None:
            counts = found.setdefault(item.space, {})
            counts[item.kind] = counts.get(item.kind, 0) + item.count
    return found


def _asked(project: Project, waiting: Sequence[Understood], source: Source) -> Iterable[Change]:
    """The lines that ask for what is typed of rooms that are not drawn."""
    lines = dict(project.room_lines)
    touched: dict[str, None] = {}
    typed = list_named(project, TYPED)
    new_list = typed is None and any(u.line is None for u in waiting)
    if typed is None:
        typed = ClientList(id=new_id("client-list", project.client_lists, source), name=TYPED)
    made: dict[str, str] = {}
    for item in waiting:
        line_id = item.line or made.get(number_key(item.room))
        if line_id is None:
            line_id = new_id("room-line", lines, source)
            own = [r.line for r in lines.values() if r.client_list == typed.id]
            lines[line_id] = RoomLine(
                id=line_id,
                client_list=typed.id,
                line=max(own, default=0) + 1,
                number=item.room[:200],
            )
            made[number_key(item.room)] = line_id
        if item.kind is not None:
            lines[line_id] = _with(lines[line_id], item.kind, item.count)
        touched[line_id] = None
    if new_list:
        yield Change(typed.id, None, typed)
    for line_id in touched:
        before = project.room_lines.get(line_id)
        yield Change(line_id, cast(AnyEntity | None, before), lines[line_id])


def _with(line: RoomLine, kind: str, count: int) -> RoomLine:
    counts = {r.kind: r.count for r in line.required}
    counts[kind] = counts.get(kind, 0) + count
    return replace(line, required=tuple(Requirement(kind=k, count=n) for k, n in counts.items()))
