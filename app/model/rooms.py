"""Which room a line of a client's list speaks of, and what every room is asked to have.

A line belongs to the space that a person has set for it, else to the one with its number. Numbers
are compared folded: case, white space and the kind of dash do not matter, and a comma is a point,
so that `0.07`, `0.07 ` and `0,07` are one room; zeros do matter: `0.7` is another. A floor that
the line names narrows the search; one that the project does not have is passed over.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from enum import StrEnum

import msgspec

from app.model.building import RoomLine, Space
from app.model.project import Project

_DASHES = str.maketrans(dict.fromkeys("‐‑‒–—−", "-") | {",": "."})
_FLOOR_WORDS = frozenset({"floor", "level", "storey", "story", "fl", "lvl"})
_ORDINAL = re.compile(r"^([-+]?\d+)(st|nd|rd|th)?$")


class Match(StrEnum):
    """How a line was brought together with a space, or why it was not."""

    HAND = "hand"
    NUMBER = "number"
    NO_NUMBER = "no_number"
    NO_ROOM = "no_room"
    SEVERAL = "several"
    AGAIN = "again"


class LineRoom(msgspec.Struct, frozen=True, kw_only=True):
    """The space of a line, if any. `also`: the spaces that share its number, or the earlier line
    of its list that has the room already."""

    match: Match
    space: str | None = None
    also: tuple[str, ...] = ()


Required = Mapping[str, Mapping[str, int]]
"""By space and kind of outlet, how many are asked for. A kind that nobody speaks of is missing."""


def number_key(number: str) -> str:
    """A room's number as it is compared."""
    plain = unicodedata.normalize("NFKC", number).casefold().translate(_DASHES)
    return "".join(plain.split()).rstrip(".")


def floor_key(name: str) -> str:
    """A floor's name as it is compared: “Level 1”, “1st floor” and “1” are one floor."""
    plain = unicodedata.normalize("NFKC", name).casefold().translate(_DASHES)
    words = [w for w in plain.replace(".", " ").split() if w not in _FLOOR_WORDS]
    numbers = (_ORDINAL.match(w) for w in words)
    return " ".join(
        str(int(found.group(1))) if found else word
        for word, found in zip(words, numbers, strict=True)
    )


def lines_in_order(project: Project) -> list[RoomLine]:
    """All lines of all clients' lists, each list from its first line on."""
    return sorted(project.room_lines.values(), key=lambda r: (r.client_list, r.line, r.id))


def rooms_of_lines(project: Project) -> dict[str, LineRoom]:
    """By line: which space it speaks of, or why none.

    Of two lines of a list with one number the first has the room; the other waits until
    somebody says which room it is. What a person has set stands beside what numbers say.
    """
    if not project.room_lines:
        return {}
    spaces = _by_number(project.spaces.values())
    floors: dict[str, set[str]] = {}
    for floor in project.floors.values():
        floors.setdefault(floor_key(floor.name), set()).add(floor.id)
    found: dict[str, LineRoom] = {}
    first: dict[tuple[str, str], str] = {}
    for line in lines_in_order(project):
        room = _room(line, spaces, floors)
        if room.match is Match.NUMBER and room.space is not None:
            earlier = first.setdefault((line.client_list, room.space), line.id)
            if earlier != line.id:
                room = LineRoom(match=Match.AGAIN, also=(earlier,))
        found[line.id] = room
    return found


def _by_number(spaces: Iterable[Space]) -> dict[str, list[Space]]:
    found: dict[str, list[Space]] = {}
    for space in spaces:
        key = number_key(space.number)
        if key:
            found.setdefault(key, []).append(space)
    return found


def _room(
    line: RoomLine, spaces: Mapping[str, list[Space]], floors: Mapping[str, set[str]]
) -> LineRoom:
    if line.space is not None:
        return LineRoom(match=Match.HAND, space=line.space)
    key = number_key(line.number)
    if not key:
        return LineRoom(match=Match.NO_NUMBER)
    here = spaces.get(key, [])
    named = floors.get(floor_key(line.floor_name)) if line.floor_name else None
    if named is not None:
        here = [s for s in here if s.floor in named]
    if not here:
        return LineRoom(match=Match.NO_ROOM)
    if len(here) > 1:
        return LineRoom(match=Match.SEVERAL, also=tuple(sorted(s.id for s in here)))
    return LineRoom(match=Match.NUMBER, space=here[0].id)


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """What is asked for: by space and kind, and how many outlets in rooms that are not drawn."""

    by_space: Required
    elsewhere: int


def asked_for(project: Project) -> Asked:
    """What every space is asked to have, where anybody asks.

    A line of a client's list wins over what is set at the space, for the kinds that it speaks
    of; an empty cell says nothing, a 0 says none. Lines of several lists, and several lines that
    were set to one room, add up.
    """
    rooms = rooms_of_lines(project)
    listed: dict[str, dict[str, int]] = {}
    elsewhere = 0
    for line in lines_in_order(project):
        room = rooms[line.id]
        if room.space is None:
            elsewhere += waiting(line, room)
        elif line.required:
            _count(listed.setdefault(room.space, {}), line)
    found: dict[str, dict[str, int]] = {}
    for space_id, space in project.spaces.items():
        own: dict[str, int] = {}
        if space.required:
            _count(own, space)
        asked = own | listed.get(space_id, {})
        if asked:
            found[space_id] = asked
    return Asked(by_space=found, elsewhere=elsewhere)


def waiting(line: RoomLine, room: LineRoom) -> int:
    """How many outlets a line asks for in a room that is not drawn, or not known.

    A line whose number an earlier one has is not counted: it may say the same again.
    """
    if room.space is not None or room.match is Match.AGAIN:
        return 0
    return sum(item.count for item in line.required)


def _count(into: dict[str, int], asking: Space | RoomLine) -> None:
    for item in asking.required:
        into[item.kind] = into.get(item.kind, 0) + item.count


def required_in(project: Project, space: Space) -> dict[str, int]:
    """What one space is asked to have, by kind; nothing where nobody asks."""
    own: dict[str, int] = {}
    listed: dict[str, int] = {}
    _count(own, space)
    for line in lines_of(project, space.id):
        _count(listed, line)
    return own | listed


def left_of(asked: Mapping[str, int], placed: Mapping[str, int]) -> dict[str, int]:
    """By kind, how many outlets are asked for and not placed."""
    return {k: n - placed.get(k, 0) for k, n in asked.items() if n > placed.get(k, 0)}


def lines_of(project: Project, space_id: str) -> list[RoomLine]:
    """The lines of clients' lists that speak of a space."""
    rooms = rooms_of_lines(project)
    return [r for r in lines_in_order(project) if rooms[r.id].space == space_id]
