"""Which room a line of a client's list may mean, where its number is no room's."""

from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher

import msgspec

from app.editor.commands.client_list import room_words
from app.editor.room_lists.plain_words import plain
from app.geometry.polygons import area_mm2
from app.model.building import RoomLine, Space
from app.model.project import Project
from app.model.rooms import LineRoom, Match, lines_in_order, number_key, rooms_of_lines

MM2_PER_M2 = 1e6
AREA_TOLERANCE_RATIO = 0.1
HALF = 0.5
LIKELY_NUMBER_RATIO = 0.85
MOST_LIKELY = 8
MOST_TOLD = 100
"""Lines; who has more of them reads another column."""
MOST_NAMED = 3
_LOOKS_LIKE = str.maketrans({"o": "0", "l": "1", "i": "1", "s": "5", "b": "8"})
"""Letters that are typed, or read by a scanner, for figures."""


class Likely(msgspec.Struct, frozen=True, kw_only=True):
    """A space that a line may mean, why, and how much speaks for it."""

    space: str
    why: str
    worth: float = 0.0


def likely_rooms(
    project: Project, line_id: str, *, rooms: Mapping[str, LineRoom] | None = None
) -> list[Likely]:
    """Spaces that a line may mean, the likeliest first: a number spelt nearly alike, an equal
    name, a similar area; those that no line has yet go first. `rooms`: those of all lines."""
    line = project.room_lines[line_id]
    rooms = rooms_of_lines(project) if rooms is None else rooms
    taken = {room.space for i, room in rooms.items() if i != line_id}
    also = rooms[line_id].also if rooms[line_id].match is Match.SEVERAL else ()
    likeness = _Likeness(line)
    found = []
    for space in project.spaces.values():
        worth, why = likeness.of(space)
        if space.id in also:
            worth, why = worth + 2, ["its number", *why]
        if worth > 0:
            found.append((space.id in taken, -worth, space.number, space.id, ", ".join(why)))
    return [
        Likely(space=i, why=why, worth=-less) for _, less, _, i, why in sorted(found)[:MOST_LIKELY]
    ]


def misspelt_rooms(project: Project, list_id: str) -> list[str]:
    """A sentence for every line of a list whose number no space has and some space nearly has."""
    rooms = rooms_of_lines(project)
    lines = [
        line
        for line in lines_in_order(project)
        if line.client_list == list_id and rooms[line.id].match is Match.NO_ROOM
    ]
    return [s for line in lines[:MOST_TOLD] for s in _may_be(project, rooms, line)]


def _may_be(project: Project, rooms: Mapping[str, LineRoom], line: RoomLine) -> Iterator[str]:
    """The likeliest room, or those that are likely alike; one that a line has already is none."""
    taken = {room.space for room in rooms.values()}
    likely = [f for f in likely_rooms(project, line.id, rooms=rooms) if f.space not in taken]
    likely = [f for f in likely if f.worth == likely[0].worth]
    if likely:
        spaces = [project.spaces[f.space] for f in likely[:MOST_NAMED]]
        names = " or ".join(f"{s.number} {s.name}".strip() for s in spaces)
        yield f"Line {line.line}: no space is {room_words(line)}; it may be {names}."


class _Likeness:
    """How much a line and a space are alike."""

    def __init__(self, line: RoomLine) -> None:
        self._line = line
        self._number = number_key(line.number)
        self._value = _value(self._number)
        self._name = plain(line.name)
        self._seen = SequenceMatcher(None, "", self._number.translate(_LOOKS_LIKE))

    def of(self, space: Space) -> tuple[float, list[str]]:
        """What it is worth, and what is alike."""
        alike = self._number_alike(number_key(space.number))
        worth, why = alike, [f"number {space.number}"] if alike else []
        if self._name and self._name == plain(space.name):
            worth, why = worth + 1, [*why, "the same name"]
        if self._line.area_m2 and why:
            area = area_mm2(space.outline, space.holes) / MM2_PER_M2
            if abs(area - self._line.area_m2) <= AREA_TOLERANCE_RATIO * self._line.area_m2:
                worth, why = worth + HALF, [*why, f"{area:.0f} m²"]
        return worth, why

    def _number_alike(self, number: str) -> float:
        """1 for the same letters as they look, or for the same value: a workbook that takes 0.10
        for an amount keeps 0.1."""
        if not self._number or not number:
            return 0
        if self._value is not None and self._value == _value(number):
            return 1
        seen = self._seen
        seen.set_seq1(number.translate(_LOOKS_LIKE))
        for ratio in (seen.real_quick_ratio, seen.quick_ratio, seen.ratio):
            alike = ratio()
            if alike < LIKELY_NUMBER_RATIO:
                return 0
        return alike


def _value(number: str) -> str | None:
    """A number with one point without the zeros at its end; None for any other."""
    before, point, after = number.partition(".")
    if not point or not before.isdecimal() or not after.isdecimal():
        return None
    return f"{before}.{after.rstrip('0')}"
