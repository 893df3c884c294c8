"""What the piece that is being drawn crosses, and whether cable can change over there."""

import math
from collections.abc import Iterator
from itertools import pairwise

from app.editor.measures import format_reading
from app.editor.tools.overlay import Marker, MarkerShape, Role, Tag
from app.editor.wording import name_of
from app.geometry.along_lines import crossing, foot_on_piece
from app.geometry.similarity import to_mm
from app.model.entities import Pathway, Vertex
from app.model.project import Project
from app.model.vocabulary import OPEN_KINDS, PathwayKind

Crossing = tuple[tuple[float, float], Pathway, float]
"""The point, the pathway there, and how far it lies above the new piece (mm)."""


def crossed(
    project: Project, floor_id: str, a: Vertex, b: Vertex, *, skip: str | None = None
) -> Iterator[Crossing]:
    """The pathways of a floor that the piece a–b crosses between all ends."""
    tolerance = project.settings.join_tolerance_mm
    for line in project.pathways.values():
        if line.floor != floor_id or line.id == skip:
            continue
        for c, d in pairwise(line.vertices):
            point = crossing(a[:2], b[:2], c[:2], d[:2])
            ends = (a[:2], b[:2], line.vertices[0][:2], line.vertices[-1][:2])
            if point is not None and min(math.dist(point, e) for e in ends) > tolerance:
                yield point, line, _height_at(point, c, d) - _height_at(point, a, b)
                break


def _height_at(point: tuple[float, float], a: Vertex, b: Vertex) -> float:
    return a[2] + foot_on_piece(point, a[:2], b[:2]).ratio * (b[2] - a[2])


def crossing_signs(
    project: Project, kind: PathwayKind, found: Iterator[Crossing]
) -> tuple[tuple[Marker, ...], tuple[Tag, ...]]:
    """A dot where cable can change over; a ring and the reason where it cannot."""
    markers, tags = [], []
    for at, line, above_mm in found:
        reason = _apart(project, kind, line, above_mm)
        role = Role.DRAFT if reason is None else Role.REFUSED
        shape = MarkerShape.DOT if reason is None else MarkerShape.RING
        markers.append(Marker(role=role, at=at, shape=shape))
        if reason is not None:
            tags.append(Tag(role=role, at=at, text=reason))
    return tuple(markers), tuple(tags)


def _apart(project: Project, kind: PathwayKind, line: Pathway, above_mm: float) -> str | None:
    """Why a mere crossing joins nothing, in words; None where it joins."""
    if kind not in OPEN_KINDS or line.kind not in OPEN_KINDS:
        return f"crosses {name_of(line)} and does not join it"
    if abs(above_mm) <= project.settings.same_height_mm:
        return None
    gap = format_reading(to_mm(abs(above_mm)), project.settings.units)
    way = "under" if above_mm > 0 else "over"
    return f"{gap} {way} {name_of(line)}: joined only by a drop-out"
