"""The penetrations: a schedule of what passes which wall or floor, and how it is closed."""

from collections.abc import Iterable, Mapping

from app.design.design import Design
from app.geometry.polygons import contains
from app.geometry.similarity import QUARTER_MDEG, unit_vector
from app.model.entities import Penetration, Space
from app.model.project import Project, floors_from_below
from app.model.vocabulary import Crossed
from app.sheets.carriers_table import room_text
from app.sheets.table import Column, ColumnKind, Row, Table
from app.sheets.things import name_of
from app.sheets.words import word
from app.takeoff.naming import opening_size

KEY = "penetrations"
NOTE = (
    "Ratings come from the fire plan, barriers from the tested system's papers; inspection is by "
    "those whom the code names. Cables are those in the pathway there, or as counted by hand."
)
BESIDE_MM = 400.0
"""So far on either side of a wall its rooms are looked up: beyond half a thick wall. practice"""
C = ColumnKind.COUNT
COLUMNS: tuple[Column, ...] = (
    Column("number", "Penetration", width=12),
    Column("crossed", "Passes", width=8),
    Column("floor", "Floor", width=10),
    Column("from", "From", width=16),
    Column("to", "To", width=16),
    Column("rating", "Rating", width=9),
    Column("size", "Sleeves or opening", width=18),
    Column("through", "For", width=14),
    Column("cables", "Cables", C, 8),
    Column("by_hand", "Counted", width=10),
    Column("ratio", "Fill", ColumnKind.RATIO, 8),
    Column("room", "Room left", width=30),
    Column("barrier", "Fire-stop system", width=22),
    Column("photograph", "Photograph", width=14),
    Column("inspected_by", "Inspected by", width=14),
    Column("inspected_on", "On", width=11),
    Column("state", "State", width=11),
    Column("provided_by", "By", width=11),
    Column("note", "Note", width=30),
)


def penetrations_table(design: Design) -> Table:
    """All penetrations in the project's order."""
    project = design.project
    spaces = spaces_by_floor(project)
    every = project.penetrations
    return Table(
        key=KEY,
        title="Penetrations",
        columns=COLUMNS,
        ids=tuple(every),
        rows=tuple(_row(design, p, spaces) for p in every.values()),
        units=project.settings.units,
        note=NOTE,
    )


def penetration_row(design: Design, penetration_id: str) -> Row | None:
    """The row of one penetration, None where it is not there."""
    penetration = design.project.penetrations.get(penetration_id)
    if penetration is None:
        return None
    return _row(design, penetration, spaces_by_floor(design.project))


def spaces_by_floor(project: Project) -> dict[str, list[Space]]:
    """The spaces of each floor."""
    found: dict[str, list[Space]] = {}
    for space in project.spaces.values():
        found.setdefault(space.floor, []).append(space)
    return found


def _row(design: Design, penetration: Penetration, spaces: Mapping[str, Iterable[Space]]) -> Row:
    project, fill = design.project, design.passing.get(penetration.id)
    one, other = rooms_joined(project, penetration, spaces)
    return (
        penetration.number,
        word(penetration.crossed),
        project.floors[penetration.floor].name,
        one,
        other,
        penetration.rating,
        opening_size(penetration),
        "" if penetration.through is None else name_of(project, penetration.through),
        None if fill is None else fill.cables,
        "as routed" if penetration.cables_by_hand is None else "by hand",
        None if fill is None else fill.ratio,
        "" if fill is None else room_text(fill),
        penetration.barrier,
        penetration.photograph,
        penetration.inspected_by,
        penetration.inspected_on,
        word(penetration.state),
        word(penetration.provided_by),
        penetration.note,
    )


def rooms_joined(
    project: Project, penetration: Penetration, spaces: Mapping[str, Iterable[Space]]
) -> tuple[str, str]:
    """What lies on either side: two rooms of a floor, or the room below and the one above."""
    x, y = float(penetration.x_mm), float(penetration.y_mm)
    if penetration.crossed is Crossed.FLOOR:
        below = _floor_below(project, penetration.floor)
        under = "" if below is None else _named_at((x, y), spaces.get(below, ()))
        return under, _named_at((x, y), spaces.get(penetration.floor, ()))
    dx, dy = unit_vector(penetration.rotation_mdeg - QUARTER_MDEG)
    here = spaces.get(penetration.floor, ())
    one = (x - dx * BESIDE_MM, y - dy * BESIDE_MM)
    other = (x + dx * BESIDE_MM, y + dy * BESIDE_MM)
    return _named_at(one, here), _named_at(other, here)


def _floor_below(project: Project, floor_id: str) -> str | None:
    stack = [f.id for f in floors_from_below(project, project.floors[floor_id].building)]
    place = stack.index(floor_id)
    return stack[place - 1] if place else None


def _named_at(at: tuple[float, float], spaces: Iterable[Space]) -> str:
    """The number or name of the room at a point; empty outside all."""
    for space in spaces:
        if contains(space.outline, at) and not any(contains(h, at) for h in space.holes):
            return space.number or space.name or word(space.use)
    return ""
