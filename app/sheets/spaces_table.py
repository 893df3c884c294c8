"""The spaces: area, outlets required and placed, ports, frames."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from app.checks.served import space_area_m2
from app.design.design import Design
from app.model.entities import Space
from app.model.vocabulary import State
from app.sheets.table import Column, ColumnKind, Row, Table
from app.sheets.words import word

KEY = "spaces"
C = ColumnKind.COUNT
COLUMNS: tuple[Column, ...] = (
    Column("number", "Number", width=10),
    Column("name", "Space", width=24),
    Column("floor", "Floor", width=10),
    Column("use", "Use", width=16),
    Column("area", "Area", ColumnKind.AREA, 9, total=True),
    Column("ceiling", "Ceiling", width=11),
    Column("ceiling_height", "Ceiling height", ColumnKind.LENGTH, 10),
    Column("required", "Required", C, 9, total=True),
    Column("placed", "Placed", C, 8, total=True),
    Column("difference", "Difference", C, 10, total=True),
    Column("ports", "Ports", C, 7, total=True),
    Column("frames", "Frames", width=14),
    Column("longest", "Longest run", ColumnKind.LENGTH, 11),
    Column("note", "Note", width=30),
)


@dataclass
class _Held:
    """What a space holds."""

    placed: int = 0
    ports: int = 0
    frames: dict[str, None] = field(default_factory=dict)
    longest_mm: int = 0


def spaces_table(design: Design) -> Table:
    """All spaces in the project's order."""
    spaces = design.project.spaces
    held = _held(design, design.project.outlets)
    return Table(
        key=KEY,
        title="Spaces",
        columns=COLUMNS,
        ids=tuple(spaces),
        rows=tuple(_space(design, s, held.get(s.id, _Held())) for s in spaces.values()),
        units=design.project.settings.units,
    )


def space_row(design: Design, space_id: str) -> Row | None:
    """The row of one space, None where it is not there."""
    space = design.project.spaces.get(space_id)
    if space is None:
        return None
    own = [o for o, s in design.space_of.items() if s == space_id]
    return _space(design, space, _held(design, own).get(space_id, _Held()))


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


def _space(design: Design, space: Space, held: _Held) -> Row:
    settings = design.project.settings
    height = space.ceiling_height_mm
    required = sum(r.count for r in space.required)
    return (
        space.number,
        space.name,
        design.project.floors[space.floor].name,
        word(space.use),
        space_area_m2(space),
        word(space.ceiling),
        settings.ceiling_height_mm if height is None else height,
        required,
        held.placed,
        held.placed - required if space.required else None,
        held.ports,
        ", ".join(held.frames),
        held.longest_mm if held.frames else None,
        space.note,
    )
