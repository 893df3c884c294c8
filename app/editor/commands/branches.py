"""Branches meet their pathway again after it has moved.

An end of another pathway that lay on a moved one, between its ends, is lengthened or shortened
along its own direction until it lies on it again; so a branch stays square and joined. Where
that would take more than a few times the movement itself, the branch is left as it is.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from msgspec.structs import replace

from app.editor.commands.shapes import flat
from app.geometry.along_lines import crossing, place_on
from app.geometry.similarity import to_mm
from app.model.entities import Entity, Pathway, Vertex
from app.model.project import Project

MOST_TIMES_THE_MOVE = 3.0

XY = tuple[float, float]
Pairs = Mapping[str, tuple[Entity, Entity]]


def branches_of(project: Project, changed: Pairs) -> dict[str, tuple[Entity, Entity]]:
    """The branches of moved pathways, before and after; only those that change."""
    moved = [
        (b, a)
        for b, a in changed.values()
        if isinstance(b, Pathway) and isinstance(a, Pathway) and b.vertices != a.vertices
    ]
    out: dict[str, tuple[Entity, Entity]] = {}
    for branch in project.pathways.values() if moved else ():
        if branch.id in changed:
            continue
        vertices = branch.vertices
        for before, after in moved:
            if before.floor == branch.floor:
                vertices = _met(vertices, before, after, project.settings.join_tolerance_mm)
        if vertices != branch.vertices:
            out[branch.id] = (branch, replace(branch, vertices=vertices))
    return out


def ending_on(project: Project, ids: Iterable[str]) -> frozenset[str]:
    """The pathways that end on any of these pathways, themselves left out."""
    moved = {i: project.pathways[i] for i in ids if i in project.pathways}
    tolerance = project.settings.join_tolerance_mm
    return frozenset(
        branch.id
        for branch in (project.pathways.values() if moved else ())
        if branch.id not in moved
        and any(
            place_on(flat(line.vertices), end[:2]).distance <= tolerance
            for line in moved.values()
            if line.floor == branch.floor
            for end in (branch.vertices[0], branch.vertices[-1])
        )
    )


def _met(
    vertices: tuple[Vertex, ...], before: Pathway, after: Pathway, tolerance: int
) -> tuple[Vertex, ...]:
    """The branch with each of its two ends on the moved pathway, where it lay on it."""
    for at_end in (True, False):
        line = vertices if at_end else tuple(reversed(vertices))
        met = _end_met(line, before, after, tolerance)
        if met is not None:
            vertices = met if at_end else tuple(reversed(met))
    return vertices


def _end_met(
    vertices: tuple[Vertex, ...], before: Pathway, after: Pathway, tolerance: int
) -> tuple[Vertex, ...] | None:
    """The same with its last end on the moved pathway; None where it needs or finds nothing."""
    x, y, _ = vertices[-1]
    old, new = flat(before.vertices), flat(after.vertices)
    if place_on(old, (x, y)).distance > tolerance or place_on(new, (x, y)).distance <= tolerance:
        return None
    if min(math.dist((x, y), end) for end in (old[0], old[-1])) <= tolerance:
        return None
    inner = next((v for v in reversed(vertices) if v[:2] != (x, y)), None)
    if inner is None:
        return None
    point = _meeting((inner[0], inner[1]), (x, y), new)
    if point is None or math.dist(point, (x, y)) > MOST_TIMES_THE_MOVE * _movement(old, new):
        return None
    at = (to_mm(point[0]), to_mm(point[1]))
    if at == inner[:2]:
        return None
    first = len(vertices) - 1
    while vertices[first - 1][:2] == (x, y):  # an upright piece at the end goes along
        first -= 1
    return (*vertices[:first], *((*at, v[2]) for v in vertices[first:]))


def _meeting(inner: XY, end: XY, line: tuple[tuple[int, int], ...]) -> XY | None:
    """Where the endless line from `inner` through `end` meets a pathway, nearest to the end."""
    found = list(_meetings(inner, end, line))
    return min(found, key=lambda p: (math.dist(p, end), p), default=None)


def _meetings(inner: XY, end: XY, line: tuple[tuple[int, int], ...]) -> Iterator[XY]:
    dx, dy = end[0] - inner[0], end[1] - inner[1]
    far = 1e9 / math.hypot(dx, dy)
    beyond = (inner[0] + far * dx, inner[1] + far * dy)
    for a, b in pairwise(line):
        point = crossing(inner, beyond, a, b)
        if point is not None:
            yield point


def _movement(old: tuple[tuple[int, int], ...], new: tuple[tuple[int, int], ...]) -> float:
    """How far a pathway has moved, at most: between the old points and the new line."""
    there = max(place_on(new, p).distance for p in old)
    back = max(place_on(old, p).distance for p in new)
    return max(there, back)
