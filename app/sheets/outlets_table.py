"""The outlets: one row a plate."""

from collections.abc import Iterable

from app.design.design import Design
from app.model.entities import Outlet, OutletKind, Space
from app.model.phases import phase_name
from app.model.project import Project
from app.routing.results import RunStatus
from app.sheets.table import Column, ColumnKind, Row, Table
from app.sheets.words import STATUS_WORDS, word

KEY = "outlets"
COLUMNS = (
    Column("number", "Outlet", width=12),
    Column("floor", "Floor", width=10),
    Column("space", "Space", width=22),
    Column("kind", "Kind", width=20),
    Column("height", "Height", ColumnKind.LENGTH, 9),
    Column("way_down", "Way down", width=15),
    Column("ports", "Ports", ColumnKind.COUNT, 7, total=True),
    Column("fixture", "Plate", width=12),
    Column("frame", "Frame", width=12),
    Column("longest", "Longest run", ColumnKind.LENGTH, 12),
    Column("status", "Status", width=10),
    Column("state", "State", width=11),
    Column("phase", "Phase", width=11),
    Column("provided_by", "Provided by", width=11),
    Column("x", "x", ColumnKind.LENGTH, 9),
    Column("y", "y", ColumnKind.LENGTH, 9),
    Column("note", "Note", width=30),
    Column("printed", "Printed", width=9),
)


def outlets_table(design: Design) -> Table:
    """All outlets in the project's order."""
    outlets = design.project.outlets
    return Table(
        key=KEY,
        title="Outlets",
        columns=COLUMNS,
        ids=tuple(outlets),
        rows=tuple(outlet_rows(design, outlets.values())),
        units=design.project.settings.units,
    )


def outlet_row(design: Design, outlet_id: str) -> Row | None:
    """The row of one outlet, None where it is not there."""
    outlet = design.project.outlets.get(outlet_id)
    return None if outlet is None else outlet_rows(design, [outlet])[0]


def outlet_rows(design: Design, outlets: Iterable[Outlet]) -> list[Row]:
    """The rows of these outlets."""
    project = design.project
    found: list[Row] = []
    for outlet in outlets:
        kind = project.outlet_kinds[outlet.kind]
        space_id = design.space_of.get(outlet.id)
        space = None if space_id is None else project.spaces.get(space_id)
        frames, longest_mm, status = _runs_of(design, outlet)
        way = kind.way_down if outlet.way_down is None else outlet.way_down
        found.append(
            (
                outlet.number,
                project.floors[outlet.floor].name,
                "" if space is None else f"{space.number} {space.name}".strip(),
                kind.name,
                outlet_height_mm(project, outlet, kind, space),
                word(way),
                len(outlet.ports),
                word(kind.fixture),
                frames,
                longest_mm,
                status,
                word(outlet.state),
                phase_name(project.settings, outlet.phase),
                word(outlet.provided_by),
                outlet.x_mm,
                outlet.y_mm,
                outlet.note,
                "yes" if outlet.number_printed else "",
            )
        )
    return found


def outlet_height_mm(
    project: Project, outlet: Outlet, kind: OutletKind, space: Space | None
) -> int:
    """The height of an outlet: its own, its kind's, or the ceiling of its space."""
    if outlet.height_mm is not None:
        return outlet.height_mm
    if kind.height_mm is not None:
        return kind.height_mm
    if space is not None and space.ceiling_height_mm is not None:
        return space.ceiling_height_mm
    return project.settings.ceiling_height_mm


def _runs_of(design: Design, outlet: Outlet) -> tuple[str, int | None, str]:
    """The names of the frames, the longest run, and the gravest status of an outlet's runs."""
    runs, frames = design.runs, design.project.frames
    rows = [runs.row_of[p.id] for p in outlet.ports]
    if not rows:
        return "", None, ""
    names = dict.fromkeys(frames[f].name for r in rows if (f := runs.frame_of(r)) is not None)
    gravest = RunStatus(max(int(runs.status[r]) for r in rows))
    longest = max(int(runs.installed_mm[r]) for r in rows)
    return ", ".join(names), longest if names else None, STATUS_WORDS[gravest]
