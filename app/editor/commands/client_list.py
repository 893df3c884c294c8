"""Clients' lists in the project: reading one in or anew, and saying which room a line means."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import cast

import msgspec
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.room_lists.account import Account, ReadLine
from app.editor.room_lists.fit import misfit
from app.editor.room_lists.plain_words import plain
from app.editor.room_lists.use_words import use_meant
from app.editor.wording import number as so_many
from app.model.building import ClientList, RoomLine
from app.model.ids import Source, new_id, random_characters
from app.model.project import AnyEntity, Change, Patch, Project, changing, removing
from app.model.rooms import floor_key, lines_in_order, number_key, rooms_of_lines
from app.model.vocabulary import SpaceUse
from app.standards import RuleSet

LONGEST_NAME = 200


class News(msgspec.Struct, frozen=True, kw_only=True):
    """What a revision of a list brings: sentences, one a room. A new line without a number, in a
    list of numbered rooms, is no new room and only counted; the account says that it has none."""

    new: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    unnumbered: int = 0

    def __bool__(self) -> bool:
        return bool(self.new or self.gone or self.changed or self.unnumbered)


class ReadIn(msgspec.Struct, frozen=True, kw_only=True):
    """The patch that takes a list into the project, its id, and what it changes. `misfit`: why it
    may be no revision of the list that it takes the place of; to be asked before it is committed.
    """

    patch: Patch
    client_list: str
    news: News
    misfit: str = ""


def list_named(project: Project, name: str) -> ClientList | None:
    """The list of that name, capitals or not."""
    every = project.client_lists.values()
    return next((each for each in every if each.name.casefold() == name.casefold()), None)


def likely_list(project: Project, source_name: str) -> ClientList | None:
    """The list that a file is likely a revision of: the one of its name, else the only one that
    was read from a file."""
    stem = source_name.rpartition(".")[0] or source_name
    read = [each for each in project.client_lists.values() if each.columns]
    return list_named(project, stem) or (read[0] if len(read) == 1 else None)


def read_in(
    project: Project,
    account: Account,
    *,
    name: str,
    source_name: str = "",
    anew: str | None = None,
    today: date | None = None,
    source: Source = random_characters,
) -> ReadIn:
    """Take a list into the project; `anew`: it is a revision of the list with this id.

    Lines of a revision are known again by number and floor, without a number by their name, and
    keep the room that a person has set for them. One patch. Raises InputProblem.
    """
    if not account.lines:
        raise InputProblem("No line of this list is a room; see which columns are read.")
    before = None if anew is None else project.client_lists.get(anew)
    if anew is not None and before is None:
        raise InputProblem("That list is no longer in the project; read it in as a new one.")
    if before is None and list_named(project, name) is not None:
        raise InputProblem(f"There is a list “{name}” already; give this one another name.")
    old = [] if before is None else _lines_of_list(project, before.id)
    entry = ClientList(
        id=new_id("client-list", project.client_lists, source) if before is None else before.id,
        name=(name or source_name)[:LONGEST_NAME],
        source_name=source_name[:LONGEST_NAME],
        read_on="" if today is None else today.isoformat(),
        columns=account.columns,
        note="" if before is None else before.note,
    )
    pairs, gone = _paired(old, account.lines)
    taken = set(project.room_lines)
    changes = [Change(entry.id, before, entry)] if before != entry else []
    for read, was in pairs:
        line_id = new_id("room-line", taken, source) if was is None else was.id
        taken.add(line_id)
        line = _line(read, line_id, entry.id, None if was is None else was.space)
        if line != was:
            changes.append(Change(line_id, was, line))
    changes += removing("", gone).changes
    verb = "Read in" if before is None else "Read anew"
    return ReadIn(
        patch=Patch(f"{verb} the list {entry.name}", tuple(changes)),
        client_list=entry.id,
        news=_news(project, pairs, gone) if before is not None else News(),
        misfit=""
        if before is None
        else misfit(project, before, old, account, kept=len(old) - len(gone)),
    )


def _lines_of_list(project: Project, list_id: str) -> list[RoomLine]:
    return [r for r in lines_in_order(project) if r.client_list == list_id]


def _line(read: ReadLine, line_id: str, list_id: str, space: str | None) -> RoomLine:
    return RoomLine(
        id=line_id,
        client_list=list_id,
        line=read.line,
        number=read.number,
        name=read.name,
        floor_name=read.floor_name,
        use=read.use,
        area_m2=read.area_m2,
        required=read.required,
        space=space,
        note=read.note,
    )


def _keys(lines: Iterable[ReadLine | RoomLine]) -> list[tuple[str, str, str, int]]:
    """What a line is known again by: number and floor, else name, and which of several it is."""
    seen: dict[tuple[str, str, str], int] = {}
    out = []
    for line in lines:
        number = number_key(line.number)
        name = "" if number else " ".join(plain(line.name))
        key = (number, floor_key(line.floor_name), name)
        seen[key] = seen.get(key, -1) + 1
        out.append((*key, seen[key]))
    return out


def _paired(
    old: Sequence[RoomLine], new: Sequence[ReadLine]
) -> tuple[list[tuple[ReadLine, RoomLine | None]], list[RoomLine]]:
    """Every new line with the old one that it continues, and the old ones that are gone."""
    known = dict(zip(_keys(old), old, strict=True))
    pairs = [(line, known.pop(key, None)) for key, line in zip(_keys(new), new, strict=True)]
    return pairs, list(known.values())


def room_words(line: ReadLine | RoomLine) -> str:
    """“2.04 Operations offices”, else the line by its place in the list."""
    text = f"{line.number} {line.name}".strip()
    return text or f"line {line.line}"


def _news(
    project: Project,
    pairs: Sequence[tuple[ReadLine, RoomLine | None]],
    gone: Sequence[RoomLine],
) -> News:
    changed = []
    for read, was in pairs:
        if was is not None:
            told = _differences(project, was, read)
            if told:
                changed.append(f"{room_words(read)}: {', '.join(told)}.")
    new = [read for read, was in pairs if was is None]
    if any(number_key(read.number) for read, _ in pairs):
        new = [read for read in new if number_key(read.number)]
    return News(
        new=tuple(f"{room_words(read)}." for read in new),
        gone=tuple(f"{room_words(line)}." for line in gone),
        changed=tuple(changed),
        unnumbered=sum(was is None for _, was in pairs) - len(new),
    )


def _differences(project: Project, was: RoomLine, read: ReadLine) -> list[str]:
    """What a line says otherwise: counts by kind first, then words and area."""
    before = {r.kind: r.count for r in was.required}
    after = {r.kind: r.count for r in read.required}
    out = []
    for kind in dict.fromkeys((*before, *after)):
        if before.get(kind) != after.get(kind):
            name = project.outlet_kinds[kind].name
            out.append(f"{name} {before.get(kind, 'not said')} → {after.get(kind, 'not said')}")
    for field, called in (("name", "name"), ("floor_name", "floor"), ("use", "use")):
        one, other = getattr(was, field), getattr(read, field)
        if one != other:
            out.append(f"{called} “{one}” → “{other}”")
    if was.area_m2 != read.area_m2:
        areas = ("not said" if a is None else f"{a:g} m²" for a in (was.area_m2, read.area_m2))
        out.append("area " + " → ".join(areas))
    return out


def set_room(project: Project, line_ids: Iterable[str], space_id: str | None) -> Patch:
    """This line is that room; None: as its number says."""
    lines = [project.room_lines[i] for i in line_ids if i in project.room_lines]
    if not lines:
        raise InputProblem("Choose a line of the client's list first.")
    space = None if space_id is None else project.spaces.get(space_id)
    if space_id is not None and space is None:
        raise InputProblem("That room is no longer there; choose another.")
    told = room_words(lines[0]) if len(lines) == 1 else so_many(len(lines), "line")
    where = "what its number says" if space is None else f"{space.number} {space.name}".strip()
    return changing(f"Let {told} be {where}", [(r, replace(r, space=space_id)) for r in lines])


def remove_list(project: Project, list_id: str) -> Patch:
    """Take a list with its lines out of the project."""
    entry = project.client_lists.get(list_id)
    if entry is None:
        raise InputProblem("That list is no longer in the project.")
    gone: list[ClientList | RoomLine] = [*_lines_of_list(project, list_id), entry]
    return removing(f"Take out the list {entry.name}", gone)


def let_go_of_spaces(project: Project, gone: Mapping[str, object]) -> list[Change]:
    """The changes by which lines forget the spaces that are to be deleted."""
    return [
        Change(r.id, cast(AnyEntity, r), replace(r, space=None))
        for r in project.room_lines.values()
        if r.space in gone and r.id not in gone
    ]


def take_names(project: Project, rules: RuleSet) -> Patch:
    """Give rooms without a name or use those of their line; what a room has already stays.

    Raises InputProblem where nothing is to be given.
    """
    rooms, pairs = rooms_of_lines(project), []
    named = {rooms[r.id].space: r for r in reversed(lines_in_order(project))}
    for space in project.spaces.values():
        line = named.get(space.id)
        if line is None:
            continue
        use = use_meant(rules, line.use).use if space.use is SpaceUse.UNKNOWN else None
        after = replace(space, name=space.name or line.name, use=use or space.use)
        pairs.append((space, after))
    patch = changing("", pairs)
    if not patch.changes:
        raise InputProblem("No room lacks a name or use that the client's list has.")
    told = so_many(len(patch.changes), "room")
    return Patch(f"Take names and uses of {told} from the list", patch.changes)
