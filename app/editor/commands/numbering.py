"""Numbers of things: given by a pattern when they are made, and never given again.

A number once given is not given again: the next one is beyond the highest in use, never in a
gap. `retired` gives the numbers of removed things of a type; the document keeps that record.
"""

import re
from bisect import bisect_left
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

import msgspec
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.patterns import (
    Pattern,
    Split,
    cable_pattern,
    outlet_pattern,
    place_letter,
    wants_panel,
)
from app.editor.commands.rooms import rooms_of
from app.model.entities import (
    AccessPoint,
    Candidate,
    Demarcation,
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
)
from app.model.project import Project
from app.model.vocabulary import AccessKind, FrameKind, PathwayKind

Retired = Callable[[type[msgspec.Struct]], Collection[str]]


def none_retired(_of_type: type[msgspec.Struct]) -> Collection[str]:
    """Where nothing has ever been removed."""
    return ()


PATHWAY_LETTERS = {
    PathwayKind.LADDER: "L",
    PathwayKind.TRAY: "T",
    PathwayKind.BASKET: "B",
    PathwayKind.HOOKS: "H",
    PathwayKind.SURFACE_RACEWAY: "SR",
    PathwayKind.CONDUIT: "C",
    PathwayKind.UNDERFLOOR_DUCT: "UD",
    PathwayKind.IN_FLOOR_DUCT: "FD",
}


def numbers_in_use(project: Project, entity_type: type[Entity]) -> frozenset[str]:
    """The numbers, or names, that things of a type have now."""
    own = entity_type.__struct_fields__
    field = next((f for f in ("number", "name") if f in own), None)
    if field is None:
        return frozenset()
    return frozenset(getattr(thing, field) for thing in project.table(entity_type).values())


def cable_numbers_in_use(project: Project) -> set[str]:
    """The numbers that cables have now."""
    return {p.cable_number for o in project.outlets.values() for p in o.ports if p.cable_number}


def next_numbers(
    pattern: str,
    count: int,
    *,
    in_use: Iterable[str],
    retired: Collection[str] = (),
    floor: Floor | None = None,
) -> tuple[str, ...]:
    """`count` numbers beyond all in use: `{floor}-{nn}` -> 2-07, 2-08 …

    `{floor}` is the floor's name, `{nn}` a counter of at least two digits. Raises InputProblem.
    """
    split = outlet_pattern(pattern).split({} if floor is None else {"floor": floor.name})
    return Beyond((*in_use, *retired)).take(split, count)


class Beyond:
    """Gives numbers beyond the highest of those known, and remembers what it gave."""

    def __init__(self, known: Iterable[str]) -> None:
        self._known = sorted(set(known))
        self._highest: dict[tuple[str, str], int] = {}
        self._given: set[str] = set()

    def take(self, split: Split, count: int) -> tuple[str, ...]:
        """The next numbers of a pattern.

        Two patterns may come to one number (room 2 and 11, room 21 and 1): it is given once.
        """
        key = (split.before, split.after)
        last = self._highest.get(key)
        if last is None:
            last = self._highest_known(split)
        taken: list[str] = []
        while len(taken) < count:
            last += 1
            number = split.number(last)
            if number not in self._given:
                taken.append(number)
        self._highest[key] = last
        self._given.update(taken)
        return tuple(taken)

    def _highest_known(self, split: Split) -> int:
        shape = re.compile(r"(\d{1,12})" + re.escape(split.after), re.ASCII)
        begin, highest = len(split.before), 0
        for index in range(bisect_left(self._known, split.before), len(self._known)):
            number = self._known[index]
            if not number.startswith(split.before):
                break
            match = shape.fullmatch(number, begin)
            if match is not None:
                highest = max(highest, int(match.group(1)))
        return highest


def pattern_of(thing: Entity, for_outlets: str) -> str | None:
    """The pattern by which a thing of this sort is numbered; None where it has no number."""
    match thing:
        case Outlet():
            return for_outlets
        case Pathway():
            return f"{PATHWAY_LETTERS[thing.kind]}-{{nn}}"
        case Riser():
            return "R{n}"
        case OutdoorDuct():
            return "D{n}"
        case AccessPoint():
            return "PB-{nn}" if thing.kind is AccessKind.PULL_BOX else "IN-{nn}"
        case Frame():
            return "M{n}" if thing.kind is FrameKind.MAIN else "{floor}-F{n}"
        case Candidate():
            return "C{n}"
        case Demarcation():
            return "DP{n}"
        case Penetration():
            return "FS-{nn}"
    return None


def pattern_in_force(project: Project, typed: str | None) -> str:
    """The pattern of outlet numbers: the one typed into a tool, else that of the settings."""
    return typed or project.settings.outlet_pattern


def splits_of(
    project: Project, things: Sequence[Entity], patterns: Sequence[str | None]
) -> list[Split | None]:
    """The pattern of each thing with its words filled in, None where it has none."""
    parsed = [None if p is None else outlet_pattern(p) for p in patterns]
    rooms: Mapping[str, Space] = {}
    if any(p is not None and "room" in p.words for p in parsed):
        own = [t for t in things if isinstance(t, Space)]
        outlets = [t for t in things if isinstance(t, Outlet)]
        rooms = rooms_of(project, outlets, also=own)
    return [
        None if p is None else p.split(words_at(project, t, rooms.get(t.id)))
        for t, p in zip(things, parsed, strict=True)
    ]


def words_at(project: Project, thing: Entity, room: Space | None) -> dict[str, str]:
    """What the words of a pattern say of a thing."""
    floor = project.floors.get(getattr(thing, "floor", ""))
    return place_words(project, floor, room)


def place_words(project: Project, floor: Floor | None, room: Space | None) -> dict[str, str]:
    """What `{building}`, `{floor}` and `{room}` say in a place."""
    building = None if floor is None else project.buildings.get(floor.building)
    return {
        "building": "" if building is None else building.name,
        "floor": "" if floor is None else floor.name,
        "room": "" if room is None else room.number,
    }


def numbered(
    project: Project,
    things: Sequence[Entity],
    typed: str | None = None,
    *,
    retired: Retired = none_retired,
) -> list[Entity]:
    """New things with their numbers; each pattern counts on from what is in use.

    `typed` is the pattern of outlets where another one is wanted than that of the settings.
    Cables get theirs too, where the pattern of cable numbers needs no panel.
    """
    for_outlets = pattern_in_force(project, typed)
    splits = splits_of(project, things, [pattern_of(t, for_outlets) for t in things])
    groups: dict[tuple[type[Entity], Split], list[int]] = {}
    for index, (thing, split) in enumerate(zip(things, splits, strict=True)):
        if split is not None:
            groups.setdefault((type(thing), split), []).append(index)
    out = list(things)
    beyond = {t: Beyond((*numbers_in_use(project, t), *retired(t))) for t in {t for t, _ in groups}}
    for (entity_type, split), members in groups.items():
        numbers = beyond[entity_type].take(split, len(members))
        for index, number in zip(members, numbers, strict=True):
            out[index] = with_number(things[index], number)
    return _with_cables(project, out, retired)


def _with_cables(project: Project, things: list[Entity], retired: Retired) -> list[Entity]:
    """New outlets with numbers on their cables, where those need no panel."""
    outlets = [t for t in things if isinstance(t, Outlet)]
    try:
        pattern = cable_pattern(project.settings.cable_pattern)
    except InputProblem:
        return things  # said where cables are numbered by hand, and by a check
    if wants_panel(pattern) or not outlets:
        return things
    giver = CableNumbers(project, pattern, outlets, retired)

    def with_cables(outlet: Outlet) -> Outlet:
        ports = (giver.given(outlet, i, as_it_ends=p) or p for i, p in enumerate(outlet.ports))
        return replace(outlet, ports=tuple(ports))

    return [with_cables(t) if isinstance(t, Outlet) else t for t in things]


class CableNumbers:
    """Gives cables their numbers by a pattern, each once; the same order gives the same."""

    def __init__(
        self, project: Project, pattern: Pattern, outlets: Sequence[Outlet], retired: Retired
    ) -> None:
        self._project = project
        self._pattern = pattern
        self.taken = cable_numbers_in_use(project)
        self.taken.update(retired(Port))
        self._beyond = Beyond(self.taken)
        wants_room = "room" in pattern.words
        self._rooms = rooms_of(project, outlets) if wants_room else {}

    def given(self, outlet: Outlet, index: int, *, as_it_ends: Port) -> Port | None:
        """A port of an outlet with a number for its cable, the one it has or a new one.

        None where the number is another's, or where something that it names is not there yet,
        such as the panel.
        """
        if as_it_ends.cable_number:
            return as_it_ends
        number = self.number_for(outlet, index, as_it_ends)
        if not number or number in self.taken:
            return None
        self.taken.add(number)
        return replace(as_it_ends, cable_number=number)

    def makes(self, outlet: Outlet, index: int, port: Port) -> bool:
        """Whether everything that a number names is there."""
        return self._values(outlet, index, port) is not None

    def number_for(self, outlet: Outlet, index: int, port: Port) -> str:
        """The number that the pattern makes; empty where something it names is not there yet."""
        values = self._values(outlet, index, port)
        if values is None:
            return ""
        if self._pattern.counter:
            return self._beyond.take(self._pattern.split(values), 1)[0]
        return self._pattern.said(values)

    def _values(self, outlet: Outlet, index: int, port: Port) -> dict[str, str] | None:
        """What the words of the pattern stand for; None where something is not there yet."""
        values = words_at(self._project, outlet, self._rooms.get(outlet.id))
        values["outlet"], values["p"] = outlet.number, place_letter(index)
        if port.ends_at is not None:
            frame = self._project.frames[port.ends_at.frame]
            values |= {
                "frame": frame.name,
                "panel": port.ends_at.panel,
                "port": f"{port.ends_at.port:02d}",
            }
        missing = any(not values.get(w) for w in self._pattern.words if w in _MUST)
        return None if missing else values


_MUST = frozenset({"frame", "panel", "port", "outlet", "p"})


def with_number(thing: Entity, number: str) -> Entity:
    """The thing under another number, or name."""
    field = "number" if hasattr(thing, "number") else "name"
    return replace(thing, **{field: number})
