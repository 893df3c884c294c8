"""The rooms: area, outlets required and placed by kind, ports, frames; and the lines of clients'
lists that no space answers to."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from app.checks.served import space_area_m2
from app.design.design import Design
from app.model.entities import OutletKind, RoomLine, Space
from app.model.project import Project
from app.model.rooms import (
    LineRoom,
    Match,
    left_of,
    lines_in_order,
    rooms_of_lines,
    waiting,
)
from app.model.vocabulary import State
from app.sheets.table import Cell, Column, ColumnKind, Row, Table
from app.sheets.words import word

KEY = "spaces"
C = ColumnKind.COUNT
COLUMNS: tuple[Column, ...] = (
    Column("number", "Number", width=10),
    Column("name", "Space", width=24),
    Column("floor", "Floor", width=10),
    Column("use", "Use", width=16),
    Column("area", "Area", ColumnKind.AREA, 9, total=True),
    Column("area_listed", "Area by the list", ColumnKind.AREA, 9, total=True),
    Column("ceiling", "Ceiling", width=11),
    Column("ceiling_height", "Ceiling height", ColumnKind.LENGTH, 10),
    Column("required", "Required", C, 9, total=True),
    Column("placed_required", "Of those placed", C, 9, total=True),
    Column("difference", "Difference", C, 10, total=True),
    Column("missing", "Missing", C, 8, total=True),
    Column("placed", "Placed in all", C, 8, total=True),
    Column("left", "Left to place", width=26),
    Column("list", "Client's list", width=22),
    Column("ports", "Ports", C, 7, total=True),
    Column("frames", "Frames", width=14),
    Column("longest", "Longest run", ColumnKind.LENGTH, 11),
    Column("note", "Note", width=30),
)
"""After these come three for every kind that anybody asks for: required, placed, difference."""


@dataclass
class _Held:
    """What a space holds."""

    placed: int = 0
    ports: int = 0
    frames: dict[str, None] = field(default_factory=dict)
    longest_mm: int = 0


@dataclass(frozen=True)
class _Lists:
    """Clients' lists as they stand beside the spaces."""

    rooms: Mapping[str, LineRoom]
    of_space: Mapping[str, list[RoomLine]]
    kinds: tuple[OutletKind, ...]


def spaces_table(design: Design) -> Table:
    """All spaces in the project's order, then the lines of lists without one."""
    project = design.project
    spaces, lists = project.spaces, _lists(design)
    held = _held(design, project.outlets)
    rows = [_space(design, s, held.get(s.id, _Held()), lists) for s in spaces.values()]
    alone = [line for line in lines_in_order(project) if lists.rooms[line.id].space is None]
    rows += [_line(project, line, lists) for line in alone]
    return Table(
        key=KEY,
        title="Spaces",
        columns=columns_of(lists.kinds),
        ids=(*spaces, *(line.id for line in alone)),
        rows=tuple(rows),
        units=project.settings.units,
        note=_note(project, alone) if project.room_lines else "",
    )


def space_row(design: Design, row_id: str) -> Row | None:
    """The row of one space, or of a line without one; None where it is not there."""
    project = design.project
    line = project.room_lines.get(row_id)
    if line is not None:
        lists = _lists(design)
        return _line(project, line, lists) if lists.rooms[row_id].space is None else None
    space = project.spaces.get(row_id)
    if space is None:
        return None
    own = [o for o, s in design.space_of.items() if s == row_id]
    return _space(design, space, _held(design, own).get(row_id, _Held()), _lists(design))


def asked_kinds(design: Design) -> tuple[OutletKind, ...]:
    """The kinds of outlet that anybody asks for, in the project's order."""
    project = design.project
    asked = {kind for counts in design.required.values() for kind in counts}
    asked |= {r.kind for line in project.room_lines.values() for r in line.required}
    return tuple(k for k in project.outlet_kinds.values() if k.id in asked)


def columns_of(kinds: Iterable[OutletKind]) -> tuple[Column, ...]:
    """The columns of the table, with three for each of the kinds."""
    out = list(COLUMNS)
    taken: set[str] = set()
    for kind in kinds:
        key = _slug(kind.name, taken)
        out += [
            Column(f"required_{key}", f"{kind.name}: required", C, 9, total=True),
            Column(f"placed_{key}", f"{kind.name}: placed", C, 9, total=True),
            Column(f"difference_{key}", f"{kind.name}: difference", C, 9, total=True),
        ]
    return tuple(out)


def _slug(name: str, taken: set[str]) -> str:
    plain = "".join(c if c.isalnum() else " " for c in name.casefold())
    base = slug = "_".join(plain.split()) or "kind"
    again = 1
    while slug in taken:
        again += 1
        slug = f"{base}_{again}"
    taken.add(slug)
    return slug


def _lists(design: Design) -> _Lists:
    project = design.project
    rooms = rooms_of_lines(project)
    of_space: dict[str, list[RoomLine]] = {}
    for line in lines_in_order(project):
        space = rooms[line.id].space
        if space is not None:
            of_space.setdefault(space, []).append(line)
    return _Lists(rooms, of_space, asked_kinds(design))


def _held(design: Design, outlet_ids: Iterable[str]) -> dict[str, _Held]:
    """What each space holds of these outlets."""
    project, runs = design.project, design.runs
    held: dict[str, _Held] = {}
    for outlet_id in outlet_ids:
        outlet = project.outlets[outlet_id]
        space = design.space_of.get(outlet.id)
        if space is None or outlet.state is State.TO_REMOVE:
            continue
        own = held.setdefault(space, _Held())
        own.placed += 1
        own.ports += len(outlet.ports)
        for port in outlet.ports:
            row = runs.row_of[port.id]
            frame = runs.frame_of(row)
            if frame is not None:
                own.frames[project.frames[frame].name] = None
                own.longest_mm = max(own.longest_mm, int(runs.installed_mm[row]))
    return held


def counts_in_words(project: Project, counts: Mapping[str, int]) -> str:
    """“2 Desk, 1 Camera”, of counts by kind; empty where there are none."""
    return ", ".join(f"{n} {project.outlet_kinds[kind].name}" for kind, n in counts.items() if n)


def _space(design: Design, space: Space, held: _Held, lists: _Lists) -> Row:
    project = design.project
    height = space.ceiling_height_mm
    asked = design.required.get(space.id, {})
    placed = design.placed.get(space.id, {})
    lines = lists.of_space.get(space.id, [])
    areas = [line.area_m2 for line in lines if line.area_m2 is not None]
    required = sum(asked.values())
    of_those = sum(placed.get(kind, 0) for kind in asked)
    left = left_of(asked, placed)
    return (
        space.number,
        space.name,
        project.floors[space.floor].name,
        word(space.use),
        space_area_m2(space),
        sum(areas) if areas else None,
        word(space.ceiling),
        project.settings.ceiling_height_mm if height is None else height,
        required if asked else None,
        of_those if asked else None,
        of_those - required if asked else None,
        sum(left.values()) if asked else None,
        held.placed,
        counts_in_words(project, left),
        _listed(project, lines, lists),
        held.ports,
        ", ".join(held.frames),
        held.longest_mm if held.frames else None,
        " ".join(n for n in (space.note, *(line.note for line in lines)) if n),
        *_by_kind(lists.kinds, asked, placed),
    )


def _by_kind(
    kinds: Iterable[OutletKind], asked: Mapping[str, int], placed: Mapping[str, int] | None
) -> Iterable[Cell]:
    for kind in kinds:
        count = asked.get(kind.id)
        there = 0 if placed is None else placed.get(kind.id, 0)
        yield count
        yield there if placed is not None and (there or count is not None) else None
        yield None if count is None else there - count


def _listed(project: Project, lines: list[RoomLine], lists: _Lists) -> str:
    """How the space stands in clients' lists."""
    if not project.room_lines:
        return ""
    if not lines:
        return "not in the list"
    told = []
    for line in lines:
        by_hand = lists.rooms[line.id].match is Match.HAND
        told.append(f"line {line.line}" + (", set by hand" if by_hand else ""))
    return "; ".join(told)


def _line(project: Project, line: RoomLine, lists: _Lists) -> Row:
    room = lists.rooms[line.id]
    asked: dict[str, int] = {}
    for item in line.required:
        asked[item.kind] = asked.get(item.kind, 0) + item.count
    counts = waiting(line, room)
    again = room.match is Match.AGAIN
    return (
        line.number,
        line.name,
        line.floor_name,
        line.use,
        None,
        line.area_m2,
        "",
        None,
        None if again else sum(asked.values()),
        None if again or not asked else 0,
        None if again or not asked else -counts,
        None if again or not asked else counts,
        None,
        "" if again else counts_in_words(project, asked),
        f"line {line.line}: {why_no_room(project, room)}",
        None,
        "",
        None,
        line.note,
        *_by_kind(lists.kinds, {} if again else asked, None if again else {}),
    )


def why_no_room(project: Project, room: LineRoom) -> str:
    """Why a line of a client's list has no space."""
    if room.match is Match.NO_NUMBER:
        return "no room number"
    if room.match is Match.SEVERAL:
        floors = (project.floors[project.spaces[s].floor].name for s in room.also)
        return f"several spaces have its number, on floors {', '.join(dict.fromkeys(floors))}"
    if room.match is Match.AGAIN:
        return f"line {project.room_lines[room.also[0]].line} has its number too"
    return "no space has its number"


def _note(project: Project, alone: list[RoomLine]) -> str:
    names = ", ".join(entry.name for entry in project.client_lists.values())
    return f"Client's list: {names}. Lines of it without a space: {len(alone)}."
