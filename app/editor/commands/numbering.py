"""Numbers of things: the next free ones by a pattern, and renumbering.

A number once given is not given again: the next one is beyond the highest in use, never in a
gap. `retired` gives the numbers of removed things of a type; the document keeps that record.
"""

import re
from collections.abc import Callable, Collection, Iterable, Sequence

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.shapes import anchor_of
from app.editor.wording import counted
from app.geometry.similarity import unit_vector
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
    Riser,
)
from app.model.project import Patch, Project, changing
from app.model.vocabulary import AccessKind, FrameKind, PathwayKind

_COUNTER = re.compile(r"\{(n+)\}")
_WORDS = re.compile(r"\{([a-z]+)\}")
ROW_MM = 2_000
"""Things whose places differ by less than this stand in one row when they are numbered."""
LONGEST_NUMBER = 200

Retired = Callable[[type[Entity]], Collection[str]]


def none_retired(_entity_type: type[Entity]) -> Collection[str]:
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
    before, width, after = _split(pattern, floor)
    shape = re.compile(re.escape(before) + r"(\d{1,12})" + re.escape(after), re.ASCII)
    matches = (shape.fullmatch(n) for n in (*in_use, *retired))
    highest = max((int(m.group(1)) for m in matches if m is not None), default=0)
    return tuple(f"{before}{highest + i + 1:0{width}d}{after}" for i in range(count))


def _split(pattern: str, floor: Floor | None) -> tuple[str, int, str]:
    counters = _COUNTER.findall(pattern)
    if len(counters) != 1:
        raise InputProblem(
            f"The pattern “{pattern}” needs one counter, such as {{nn}} for two digits."
        )
    filled = pattern.replace("{floor}", "" if floor is None else floor.name)
    before, _, after = filled.partition("{" + counters[0] + "}")
    left = _WORDS.search(before + after)
    if left is not None:
        raise InputProblem(
            f"“{left.group()}” in a pattern means nothing; use {{floor}} and {{nn}}."
        )
    if len(filled) > LONGEST_NUMBER:
        raise InputProblem("That pattern is too long for a number.")
    return before, len(counters[0]), after


def pattern_of(thing: Entity, outlet_pattern: str) -> str | None:
    """The pattern by which a thing of this sort is numbered; None where it has no number."""
    match thing:
        case Outlet():
            return outlet_pattern
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
    return None


def numbered(
    project: Project,
    things: Sequence[Entity],
    outlet_pattern: str,
    *,
    retired: Retired = none_retired,
) -> list[Entity]:
    """New things with their numbers; each pattern counts on from what is in use."""
    groups: dict[tuple[type[Entity], str, str], list[int]] = {}
    for index, thing in enumerate(things):
        pattern = pattern_of(thing, outlet_pattern)
        if pattern is not None:
            key = (type(thing), pattern, getattr(thing, "floor", ""))
            groups.setdefault(key, []).append(index)
    out = list(things)
    used = {t: set(numbers_in_use(project, t)) for t, _, _ in groups}
    for (entity_type, pattern, floor_id), members in groups.items():
        floor = project.floors.get(floor_id)
        taken = used[entity_type]
        numbers = next_numbers(
            pattern, len(members), in_use=taken, retired=retired(entity_type), floor=floor
        )
        taken.update(numbers)
        for index, number in zip(members, numbers, strict=True):
            out[index] = _with_number(things[index], number)
    return out


def _with_number(thing: Entity, number: str) -> Entity:
    field = "number" if hasattr(thing, "number") else "name"
    return replace(thing, **{field: number})


def renumber(
    project: Project,
    ids: Sequence[str],
    pattern: str,
    *,
    retired: Retired = none_retired,
) -> Patch:
    """Give things new numbers row by row, from the top left of each floor.

    Their own old numbers count as free, those of all others and the retired ones do not.
    """
    things = [t for i in ids if (t := project.get(i)) is not None and pattern_of(t, pattern)]
    if not things:
        raise InputProblem("Select outlets, pathways or other things that carry a number first.")
    chosen = {t.id for t in things}
    free: dict[tuple[type[Entity], tuple[str, int, str]], list[str]] = {}
    pairs: list[tuple[Entity, Entity]] = []
    for thing in sorted(things, key=lambda t: _reading_order(project, t)):
        floor = project.floors.get(getattr(thing, "floor", ""))
        key = (type(thing), _split(pattern, floor))
        if key not in free:
            others = project.table(type(thing)).values()
            taken = {_number_of(o) for o in others if o.id not in chosen} | set(
                retired(type(thing))
            )
            free[key] = _free_numbers(key[1], len(things), taken)
        pairs.append((thing, _with_number(thing, free[key].pop(0))))
    return changing(f"Renumber {counted(things)}", pairs)


def _free_numbers(split: tuple[str, int, str], count: int, taken: Collection[str]) -> list[str]:
    """The first numbers of a pattern that nobody has."""
    before, width, after = split
    every = (f"{before}{i:0{width}d}{after}" for i in range(1, count + len(taken) + 1))
    return [n for n in every if n not in taken]


def _number_of(thing: Entity) -> str:
    return str(getattr(thing, "number", "") or getattr(thing, "name", ""))


def _reading_order(project: Project, thing: Entity) -> tuple[int, int, float, str]:
    """By floor, then rows from the top along the floor's grid, then from the left."""
    floor = project.floors.get(getattr(thing, "floor", ""))
    level, angle = (0, 0) if floor is None else (floor.level_mm, floor.grid_angle_mdeg)
    x, y = anchor_of(thing) or (0, 0)
    cos, sin = unit_vector(angle)
    return level, -round((y * cos - x * sin) / ROW_MM), x * cos + y * sin, thing.id
