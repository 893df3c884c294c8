"""Single points of lines and outlines: moved, put in, taken out; the ends of a riser."""

from collections.abc import Sequence

from msgspec.structs import replace

from app.editor.asking import InputProblem, Outcome
from app.editor.commands.attached import with_followers
from app.editor.wording import capital, name_of
from app.geometry.along_lines import place_on
from app.geometry.polygons import is_flat, is_simple
from app.geometry.similarity import to_mm
from app.model.entities import (
    Entity,
    OutdoorDuct,
    Pathway,
    Point,
    Riser,
    ServingZone,
    Space,
    Vertex,
)
from app.model.project import Patch, Project, changing

LEAST_CORNERS = 3
LEAST_VERTICES = 2
Line = Pathway | OutdoorDuct


def line_of(project: Project, thing_id: str) -> Line:
    """The pathway or outdoor duct. Raises InputProblem for anything else."""
    thing = project.get(thing_id)
    if not isinstance(thing, Pathway | OutdoorDuct):
        raise InputProblem("Only pathways and outdoor ducts have points along them.")
    return thing


def move_vertex(
    project: Project,
    line_id: str,
    index: int,
    *,
    to: Point,
    height_mm: int | None = None,
) -> Outcome:
    """Move one point of a line; a vertical piece at that point moves as one."""
    line = line_of(project, line_id)
    old = line.vertices[index]
    together = _same_place(line.vertices, index) if height_mm is None else {index}
    vertices = tuple(
        (*to, v[2] if height_mm is None else height_mm) if i in together else v
        for i, v in enumerate(line.vertices)
    )
    if vertices[index] == old:
        return Patch(f"Move a point of {name_of(line)}", ())
    return set_vertices(project, line, f"Move a point of {name_of(line)}", vertices)


def _same_place(vertices: Sequence[Vertex], index: int) -> set[int]:
    """The run of neighbouring vertices that stand over one another with this one."""
    at = vertices[index][:2]
    first = last = index
    while first > 0 and vertices[first - 1][:2] == at:
        first -= 1
    while last < len(vertices) - 1 and vertices[last + 1][:2] == at:
        last += 1
    return set(range(first, last + 1))


def insert_vertex(project: Project, line_id: str, *, at: Point) -> Outcome:
    """Put a point into the piece that is nearest, at the height the piece has there."""
    line = line_of(project, line_id)
    flat = [(x, y) for x, y, _ in line.vertices]
    place = place_on(flat, at)
    a, b = line.vertices[place.piece], line.vertices[place.piece + 1]
    height = to_mm(a[2] + place.ratio * (b[2] - a[2]))
    new = (to_mm(place.x), to_mm(place.y), height)
    if new in (a, b):
        raise InputProblem(f"There is a point of {name_of(line)} here already.")
    vertices = (*line.vertices[: place.piece + 1], new, *line.vertices[place.piece + 1 :])
    return set_vertices(project, line, f"Add a point to {name_of(line)}", vertices)


def delete_vertex(project: Project, line_id: str, index: int) -> Outcome:
    """Take a point out; its neighbours are joined straight."""
    line = line_of(project, line_id)
    if len(line.vertices) <= LEAST_VERTICES:
        raise InputProblem(f"{capital(name_of(line))} needs its two ends; delete it whole instead.")
    vertices = (*line.vertices[:index], *line.vertices[index + 1 :])
    return set_vertices(project, line, f"Delete a point of {name_of(line)}", vertices)


def extend_line(project: Project, line_id: str, more: Sequence[Vertex], *, at_end: bool) -> Outcome:
    """Go on from an end of a line; `more` leads away from it."""
    line = line_of(project, line_id)
    vertices = (*line.vertices, *more) if at_end else (*reversed(more), *line.vertices)
    return set_vertices(project, line, f"Continue {name_of(line)}", vertices)


def set_vertices(project: Project, line: Line, label: str, vertices: Sequence[Vertex]) -> Outcome:
    """The line with other vertices; points that fall on their neighbour are dropped."""
    kept = without_repeats(vertices)
    if len(kept) < LEAST_VERTICES:
        raise InputProblem(f"{capital(name_of(line))} would have no length.")
    return with_followers(project, label, [(line, replace(line, vertices=kept))])


def without_repeats(vertices: Sequence[Vertex]) -> tuple[Vertex, ...]:
    """The vertices, each different from the one before it."""
    return tuple(v for i, v in enumerate(vertices) if i == 0 or v != vertices[i - 1])


def set_pathway_height(project: Project, ids: Sequence[str], *, height_mm: int) -> Outcome:
    """All vertices of pathways at one height; vertical pieces vanish."""
    pairs: list[tuple[Entity, Entity]] = []
    for thing_id in ids:
        line = line_of(project, thing_id)
        level = without_repeats([(x, y, height_mm) for x, y, _ in line.vertices])
        if len(level) < LEAST_VERTICES:
            raise InputProblem(f"{capital(name_of(line))} is upright and has no one height.")
        pairs.append((line, replace(line, vertices=level)))
    one = name_of(pairs[0][0]) if len(pairs) == 1 else f"{len(pairs)} pathways"
    return with_followers(project, f"Set the height of {one}", pairs)


# --- corners of spaces ----------------------------------------------------------------------


def _space(project: Project, space_id: str) -> Space | ServingZone:
    thing = project.get(space_id)
    if not isinstance(thing, Space | ServingZone):
        raise InputProblem("Only spaces and serving zones have corners.")
    return thing


def move_corner(project: Project, space_id: str, index: int, *, to: Point) -> Patch:
    space = _space(project, space_id)
    outline = (*space.outline[:index], to, *space.outline[index + 1 :])
    return _outlined(space, f"Move a corner of {name_of(space)}", outline)


def move_wall(project: Project, space_id: str, index: int, *, dx_mm: int, dy_mm: int) -> Patch:
    """Shift the side from corner `index` to the next one."""
    space = _space(project, space_id)
    both = {index, (index + 1) % len(space.outline)}
    outline = tuple(
        (x + dx_mm, y + dy_mm) if i in both else (x, y) for i, (x, y) in enumerate(space.outline)
    )
    return _outlined(space, f"Move a side of {name_of(space)}", outline)


def insert_corner(project: Project, space_id: str, *, at: Point) -> Patch:
    """Put a corner into the side that is nearest."""
    space = _space(project, space_id)
    place = place_on((*space.outline, space.outline[0]), at)
    new = (to_mm(place.x), to_mm(place.y))
    if new in space.outline:
        raise InputProblem(f"There is a corner of {name_of(space)} here already.")
    outline = (*space.outline[: place.piece + 1], new, *space.outline[place.piece + 1 :])
    return _outlined(space, f"Add a corner to {name_of(space)}", outline)


def delete_corner(project: Project, space_id: str, index: int) -> Patch:
    space = _space(project, space_id)
    outline = (*space.outline[:index], *space.outline[index + 1 :])
    return _outlined(space, f"Delete a corner of {name_of(space)}", outline)


def _outlined(space: Space | ServingZone, label: str, outline: tuple[Point, ...]) -> Patch:
    problem = outline_problem(outline)
    if problem is not None:
        raise InputProblem(f"{capital(name_of(space))}: {problem}")
    return changing(label, [(space, replace(space, outline=outline))])


def outline_problem(outline: Sequence[Point]) -> str | None:
    """Why these corners make no space, in words; None where they do."""
    if len(set(outline)) < LEAST_CORNERS:
        return "an outline needs at least three different corners."
    if is_flat(outline):
        return "all corners lie on one line."
    if not is_simple(outline):
        return "its outline would cross or touch itself."
    return None


# --- risers ---------------------------------------------------------------------------------


def move_riser_end(project: Project, riser_id: str, *, upper: bool, to: Point) -> Outcome:
    """Move one end; what marks the slabs that the riser passes goes along."""
    riser = project.get(riser_id)
    if not isinstance(riser, Riser):
        raise InputProblem("Only risers have a lower and an upper end.")
    after = replace(riser, upper=to) if upper else replace(riser, lower=to)
    label = f"Move the {'upper' if upper else 'lower'} end of {name_of(riser)}"
    return with_followers(project, label, [(riser, after)])
