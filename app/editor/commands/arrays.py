"""Arrays: a selection again and again, in rows and columns or around a point.

Every copy is reckoned from the first, then rounded, so that spacings do not add up errors.
"""

from collections.abc import Iterable

from app.editor.asking import InputProblem
from app.editor.commands.copying import copies_by
from app.editor.commands.moving import middle_of, placed
from app.editor.commands.numbering import Retired, none_retired
from app.editor.wording import counted
from app.geometry.similarity import WHOLE_MDEG, Similarity, about, shift, unit_vector
from app.model.ids import Source, random_characters
from app.model.project import Patch, Project

MOST_EACH_WAY = 200
LEAST_AROUND = 2


def grid_movements(
    *, rows: int, columns: int, row_mm: int, column_mm: int, grid_mdeg: int = 0
) -> list[Similarity]:
    """From the first to every other of an array; columns run along the grid, rows across it."""
    if not (1 <= rows <= MOST_EACH_WAY and 1 <= columns <= MOST_EACH_WAY):
        raise InputProblem(f"Rows and columns are from 1 to {MOST_EACH_WAY}.")
    if rows * columns == 1:
        raise InputProblem("One row of one is what stands already; type more of them.")
    if (rows > 1 and row_mm == 0) or (columns > 1 and column_mm == 0):
        raise InputProblem("The spacing is 0, so that all would lie in one place; type another.")
    cos, sin = unit_vector(grid_mdeg)
    return [
        shift(
            column * column_mm * cos - row * row_mm * sin,
            column * column_mm * sin + row * row_mm * cos,
        )
        for row in range(rows)
        for column in range(columns)
        if row or column
    ]


def around_movements(
    *,
    count: int,
    centre: tuple[float, float],
    middle: tuple[float, float],
    span_mdeg: int = WHOLE_MDEG,
    turned: bool = True,
) -> list[Similarity]:
    """From the first to every other of `count` about a point.

    A whole turn is shared by all; of a lesser span the first and the last stand at its ends.
    `turned`: each turns with its place; else they stay as the first, moved by their `middle`.
    """
    if not LEAST_AROUND <= count <= MOST_EACH_WAY:
        raise InputProblem(f"Around a point go from {LEAST_AROUND} to {MOST_EACH_WAY}.")
    if span_mdeg == 0:
        raise InputProblem("The angle is 0, so that all would lie in one place; type another.")
    whole = abs(span_mdeg) >= WHOLE_MDEG
    steps = count if whole else count - 1
    made = []
    for k in range(1, count):
        angle = round(k * span_mdeg / steps)
        by = about(centre, turn_mdeg=angle)
        if not turned:
            x, y = by.at(*middle)
            by = shift(x - middle[0], y - middle[1])
        made.append(by)
    return made


def array_grid(
    project: Project,
    ids: Iterable[str],
    *,
    rows: int,
    columns: int,
    row_mm: int,
    column_mm: int,
    grid_mdeg: int = 0,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """The things in rows and columns; what stands is the first of them."""
    movements = grid_movements(
        rows=rows, columns=columns, row_mm=row_mm, column_mm=column_mm, grid_mdeg=grid_mdeg
    )
    things = placed(project, ids)
    label = f"Array of {counted(things)}, {rows} × {columns}"
    every = [t.id for t in things]
    return copies_by(project, every, movements, label, retired=retired, source=source)


def array_around(
    project: Project,
    ids: Iterable[str],
    *,
    count: int,
    centre: tuple[float, float],
    span_mdeg: int = WHOLE_MDEG,
    turned: bool = True,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """The things around a point; what stands is the first of them."""
    things = placed(project, ids)
    movements = around_movements(
        count=count, centre=centre, middle=middle_of(things), span_mdeg=span_mdeg, turned=turned
    )
    label = f"Array of {counted(things)}, {count} around a point"
    every = [t.id for t in things]
    return copies_by(project, every, movements, label, retired=retired, source=source)
