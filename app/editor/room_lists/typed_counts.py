"""“24 desks in 2.04”: counts of outlets for rooms as they are typed, before anything is drawn."""

from __future__ import annotations

import re
from collections.abc import Iterator

import msgspec

from app.editor.room_lists.kind_words import kind_meant
from app.editor.room_lists.plain_words import plain
from app.model.building import RoomLine, Space
from app.model.project import Project
from app.model.rooms import Match, lines_in_order, number_key, rooms_of_lines
from app.model.vocabulary import USES_CLOSED_TO_CABLE

MOST_OF_A_KIND = 2_000
MOST_NAMED = 4
EXAMPLE = "24 desks in 2.04, 3 cameras in the hall"
_APART = re.compile(r"[;\n]|,(?!\d)|\band\s+(?=\d)")
_ITEM = re.compile(
    r"^\s*(?P<count>\d+)\s*[x×]?\s+(?P<what>.+?)(?:\s+(?:in|at|@)\s+(?P<room>.+?))?\s*\.?\s*$", re.I
)
_ROOM_WORDS = frozenset({"room", "the", "space", "rm", "no", "nr"})


class Understood(msgspec.Struct, frozen=True, kw_only=True):
    """One count as it was understood. `problem` says what was not; then the rest may be empty.

    `likely` are all kinds that the word may mean, `kind` the one that is taken. Of the room one is
    known: the `space`, the `line` of a client's list, or only the `room` as it was typed.
    """

    text: str
    count: int = 0
    kind: str | None = None
    likely: tuple[str, ...] = ()
    is_sure: bool = False
    room: str = ""
    space: str | None = None
    line: str | None = None
    problem: str = ""


def understand(project: Project, text: str, *, floor_id: str | None = None) -> list[Understood]:
    """What was typed, count by count. A count without a room belongs to the next room named, and
    after the last one to that; a number on several floors is that of the floor in view."""
    parts = [part.strip() for part in _APART.split(text) if part.strip()]
    found = [_ITEM.match(part) for part in parts]
    rooms = _rooms([f.group("room") if f else None for f in found])
    out = []
    for part, item, room in zip(parts, found, rooms, strict=True):
        if item is None:
            problem = f"“{part}” begins with no count; write, for example, {EXAMPLE}."
            out.append(Understood(text=part, problem=problem))
        else:
            out.append(
                _one(project, part, int(item["count"][:9]), item["what"], room, floor_id=floor_id)
            )
    return out


def _rooms(named: list[str | None]) -> list[str]:
    """The room of each count: the next one that is named, else the last."""
    out: list[str] = []
    following = ""
    for room in reversed(named):
        following = room or following
        out.append(following)
    out.reverse()
    last = ""
    for index, room in enumerate(named):
        last = room or last
        out[index] = out[index] or last
    return out


def _one(
    project: Project, text: str, count: int, what: str, room: str, *, floor_id: str | None
) -> Understood:
    meant = kind_meant(project.outlet_kinds.values(), what)
    kind = meant.kind or next(iter(meant.likely), None)
    space, line, problem = _place(project, room, floor_id)
    if kind is None:
        problem = f"No kind of outlet is called “{what}”; see Project, Outlet kinds."
    elif not 0 < count <= MOST_OF_A_KIND:
        problem = f"“{text}”: write a count from 1 to {MOST_OF_A_KIND:,}."
    return Understood(
        text=text,
        count=count,
        kind=kind,
        likely=meant.likely,
        is_sure=meant.kind is not None,
        room=_bare(room),
        space=None if space is None else space.id,
        line=None if line is None else line.id,
        problem=problem,
    )


def _bare(room: str) -> str:
    """A room without words such as “room” before its number."""
    words = room.split()
    while len(words) > 1 and words[0].casefold() in _ROOM_WORDS:
        words = words[1:]
    return " ".join(words)


def _place(
    project: Project, room: str, floor_id: str | None
) -> tuple[Space | None, RoomLine | None, str]:
    """The space of a room, else its line in a client's list; and what is wrong."""
    name = _bare(room)
    if not name:
        return None, None, f"Say in which room: for example, {EXAMPLE}."
    every = project.spaces.values()
    for spaces in (
        [s for s in every if number_key(s.number) == number_key(name)],
        [s for s in every if s.name and plain(s.name) == plain(name)],
    ):
        here = [s for s in spaces if s.floor == floor_id] or spaces
        if len(here) == 1:
            return here[0], None, ""
        if here:
            return None, None, _several(project, name, here)
    line = next(_lines(project, name), None)
    if line is None and not any(c.isdigit() for c in name):
        # A word alone is part of a name, not the number of a room that is still to be drawn.
        open_ones = (s for s in every if s.use not in USES_CLOSED_TO_CABLE)
        here = [s for s in open_ones if set(plain(name)) <= set(plain(s.name))]
        here = [s for s in here if s.floor == floor_id] or here
        if len(here) == 1:
            return here[0], None, ""
        if here:
            return None, None, _several(project, name, here)
    return None, line, ""


def _several(project: Project, name: str, rooms: list[Space]) -> str:
    told = [f"{s.number or s.name} on {project.floors[s.floor].name}" for s in rooms[:MOST_NAMED]]
    more = f" and {len(rooms) - MOST_NAMED} more" if len(rooms) > MOST_NAMED else ""
    return f"“{name}” may be several rooms ({', '.join(told)}{more}); give a number."


def _lines(project: Project, name: str) -> Iterator[RoomLine]:
    """Lines without a space with this number, or name."""
    rooms = rooms_of_lines(project)
    lines = [r for r in lines_in_order(project) if rooms[r.id].space is None]
    lines = [r for r in lines if rooms[r.id].match is not Match.AGAIN]
    yield from (r for r in lines if number_key(r.number) == number_key(name))
    yield from (r for r in lines if r.name and plain(r.name) == plain(name))
