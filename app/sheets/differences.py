"""What is different between a state that was kept and now: in words, in sums and by room."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.design.design import Design
from app.model.entities import Entity, Outlet, RestorePoint, tag_of
from app.model.project import ENTITY_TYPES, Project
from app.model.vocabulary import Units
from app.routing.results import RunStatus
from app.sheets.changed_fields import what_changed
from app.sheets.table import Cell, Column, ColumnKind, Row, Table, text_of
from app.sheets.things import floor_name, kind_word, mark_of

ADDED, REMOVED, CHANGED = "added", "removed", "changed"
THING_COLUMNS = (
    Column("kind", "Kind", width=18),
    Column("difference", "Since then", width=11),
    Column("thing", "Number or name", width=16),
    Column("floor", "Floor", width=10),
    Column("space", "Space", width=22),
    Column("what", "What changed", width=60),
)
ROOM_COLUMNS = (
    Column("floor", "Floor", width=10),
    Column("space", "Space", width=24),
    Column("outlets_then", "Outlets then", ColumnKind.COUNT, 12),
    Column("outlets_now", "Outlets now", ColumnKind.COUNT, 12),
    Column("ports_then", "Ports then", ColumnKind.COUNT, 11),
    Column("ports_now", "Ports now", ColumnKind.COUNT, 11),
    Column("cable_then", "Cable then", ColumnKind.LENGTH, 12),
    Column("cable_now", "Cable now", ColumnKind.LENGTH, 12),
)
OUTSIDE = "outside every space"


@dataclass(frozen=True, slots=True)
class Sum:
    """One number then and now; `kind` says how it is read."""

    what: str
    then: int
    now: int
    kind: ColumnKind = ColumnKind.COUNT


@dataclass(frozen=True, slots=True, kw_only=True)
class Differences:
    """`things` has a row for each thing that is not as it was, `rooms` for each room that has
    other outlets, ports or metres than then; `sums` are of the whole project."""

    sums: tuple[Sum, ...]
    things: Table
    rooms: Table

    @property
    def any(self) -> bool:
        """Whether anything at all is different."""
        return bool(self.things.rows)


def differences(then: Design, now: Design) -> Differences:
    """What has changed from one design to the other; restore points apart."""
    return Differences(sums=sums_of(then, now), things=_things(then, now), rooms=_rooms(then, now))


def sums_of(then: Design, now: Design) -> tuple[Sum, ...]:
    """The numbers of the whole project, then and now."""

    def both(what: str, count: Callable[[Design], int], kind: ColumnKind = ColumnKind.COUNT) -> Sum:
        return Sum(what, count(then), count(now), kind)

    length = ColumnKind.LENGTH
    return (
        both("Outlets", lambda d: len(d.project.outlets)),
        both("Runs", lambda d: len(d.runs)),
        both("Runs over their limit", lambda d: d.summary.over),
        both("Runs near their limit", lambda d: d.summary.near),
        both("Runs without a route", lambda d: d.summary.no_route),
        both("Cable installed", _installed_mm, length),
        both("Cable cut", lambda d: _total_mm(d, d.runs.cut_mm), length),
        both("Longest run", lambda d: d.summary.longest_mm, length),
        both("Frames", lambda d: len(d.project.frames)),
        both("Pathways", lambda d: len(d.project.pathways)),
        both("Spaces", lambda d: len(d.project.spaces)),
        both("Findings", lambda d: sum(not f.waived for f in d.findings)),
    )


def sum_cells(item: Sum, units: Units) -> tuple[str, str, str]:
    """Then, now and difference as they are read, with a sign before the last."""
    step = item.now - item.then
    sign = "+" if step > 0 else "−" if step < 0 else "±"
    then, now, by = (
        _grouped(text_of(v, item.kind, units)) for v in (item.then, item.now, abs(step))
    )
    unit = Column("", "", item.kind).unit(units)
    tail = f" {unit}" if unit else ""
    return f"{then}{tail}", f"{now}{tail}", f"{sign}{by}{tail}" if step else "same"


def _grouped(number: str) -> str:
    """`32,781.9` for `32781.9`."""
    whole, dot, part = number.partition(".")
    return f"{int(whole):,}{dot}{part}"


def counted_words(differing: Differences) -> str:
    """One sentence: “4 outlets added, 1 outlet and 2 pathways changed.”"""
    said = []
    for difference in (ADDED, REMOVED, CHANGED):
        kinds: dict[str, int] = {}
        for row in differing.things.rows:
            if row[1] == difference:
                kinds[str(row[0])] = kinds.get(str(row[0]), 0) + 1
        if kinds:
            parts = [f"{n} {kind if n == 1 else plural(kind)}" for kind, n in kinds.items()]
            said.append(f"{_listed(parts)} {difference}")
    return f"{'; '.join(said)}." if said else "Nothing is different."


def plural(kind: str) -> str:
    """“boxes”, “outlets”; site card and settings are one each."""
    return kind if kind.endswith("s") else f"{kind}es" if kind.endswith("x") else f"{kind}s"


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


# --- things ---------------------------------------------------------------------------------


def _things(then: Design, now: Design) -> Table:
    found = list(_differing(then.project, now.project))
    rows = tuple(_row(then, now, difference, was, thing) for difference, was, thing in found)
    ids = tuple(_shown(was, thing).id for _, was, thing in found)
    return Table(
        key="differences",
        title="Differences",
        columns=THING_COLUMNS,
        ids=ids,
        rows=rows,
        units=now.project.settings.units,
    )


_Pair = tuple[str, Entity | None, Entity | None]


def _differing(then: Project, now: Project) -> Iterator[_Pair]:
    """What differs, type by type in the model's order: added, then changed, then removed."""
    for entity_type in sorted(ENTITY_TYPES, key=lambda t: t is not Outlet):
        if entity_type is RestorePoint:
            continue
        was, is_now = then.table(entity_type), now.table(entity_type)
        yield from ((ADDED, None, e) for i, e in is_now.items() if i not in was)
        pairs = ((was[i], e) for i, e in is_now.items() if i in was)
        yield from ((CHANGED, old, new) for old, new in pairs if old != new)
        yield from ((REMOVED, e, None) for i, e in was.items() if i not in is_now)


def _shown(was: Entity | None, thing: Entity | None) -> Entity:
    """The thing as it is now, else as it was."""
    shown = was if thing is None else thing
    assert shown is not None
    return shown


def _row(
    then: Design, now: Design, difference: str, was: Entity | None, thing: Entity | None
) -> Row:
    design, shown = then if thing is None else now, _shown(was, thing)
    what = ""
    if was is not None and thing is not None:
        what = what_changed(then.project, now.project, was, thing)
    return (
        kind_word(tag_of(type(shown).__name__)),
        difference,
        mark_of(shown),
        floor_name(design.project, shown),
        _space_of(design, shown),
        what,
    )


def _space_of(design: Design, thing: Entity) -> str:
    if not isinstance(thing, Outlet):
        return ""
    space_id = design.space_of.get(thing.id)
    space = None if space_id is None else design.project.spaces.get(space_id)
    return "" if space is None else f"{space.number} {space.name}".strip()


# --- rooms ----------------------------------------------------------------------------------


def _rooms(then: Design, now: Design) -> Table:
    was, is_now = _by_room(then), _by_room(now)
    differing = [k for k in dict.fromkeys((*is_now, *was)) if was.get(k) != is_now.get(k)]
    rows = []
    for space_id in differing:
        design = now if space_id is None or space_id in now.project.spaces else then
        floor, name = _room_words(design.project, space_id)
        one, other = was.get(space_id, (0, 0, 0)), is_now.get(space_id, (0, 0, 0))
        cells: list[Cell] = [floor, name]
        for old, new in zip(one, other, strict=True):
            cells += [old, new]
        rows.append(tuple(cells))
    return Table(
        key="differences_by_room",
        title="Rooms that differ",
        columns=ROOM_COLUMNS,
        ids=tuple(s or "" for s in differing),
        rows=tuple(rows),
        units=now.project.settings.units,
    )


def _by_room(design: Design) -> dict[str | None, tuple[int, int, int]]:
    """Outlets, ports and installed millimetres, by space; None: outside all."""
    found: dict[str | None, tuple[int, int, int]] = {}
    runs = design.runs
    for outlet in design.project.outlets.values():
        space_id = design.space_of.get(outlet.id)
        rows = [runs.row_of[p.id] for p in outlet.ports]
        routed = [r for r in rows if runs.status[r] != RunStatus.NO_ROUTE]
        metres = sum(int(runs.installed_mm[r]) for r in routed)
        plates, ports, cable = found.get(space_id, (0, 0, 0))
        found[space_id] = plates + 1, ports + len(rows), cable + metres
    return found


def _room_words(project: Project, space_id: str | None) -> tuple[str, str]:
    if space_id is None:
        return "", OUTSIDE
    space = project.spaces[space_id]
    return project.floors[space.floor].name, f"{space.number} {space.name}".strip()


def _installed_mm(design: Design) -> int:
    return _total_mm(design, design.runs.installed_mm)


def _total_mm(design: Design, lengths: npt.NDArray[np.int64]) -> int:
    return int(lengths[design.runs.status != int(RunStatus.NO_ROUTE)].sum())
