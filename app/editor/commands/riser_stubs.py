"""Stubs: short pathways that bring a riser's point to the nearest pathway of each floor."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from app.editor.commands.shapes import flat
from app.geometry.along_lines import place_on
from app.geometry.rounding import grid_axis
from app.geometry.similarity import to_mm
from app.model.entities import Floor, Pathway, Point, Riser, Vertex
from app.model.ids import Source, new_id
from app.model.project import Project, adding
from app.model.vocabulary import OPEN_KINDS, State
from app.routing.riser_joints import riser_points


@dataclass(frozen=True, slots=True)
class Foot:
    """Where a pathway comes nearest to a point: there, and how far along the floor's grid."""

    pathway: Pathway
    at: Vertex
    away_mm: int


def stubs_of(project: Project, riser: Riser, source: Source) -> list[Pathway]:
    """The stubs that a riser wants on the floors it passes; without numbers.

    A floor on which a pathway comes to the riser by itself wants none, nor one on which the
    nearest pathway that may be entered there lies beyond the reach of a leg.
    """
    with_riser = project.apply(adding("", [riser]))
    made: list[Pathway] = []
    for floor_id, point in riser_points(with_riser)[riser.id].items():
        foot = nearest_foot(project, project.floors[floor_id], point)
        tolerance, reach = project.settings.join_tolerance_mm, project.settings.reach_mm
        if foot is not None and tolerance < foot.away_mm <= reach:
            made.append(_stub(project, riser, foot, point, source, made))
    return made


def nearest_foot(project: Project, floor: Floor, point: Point) -> Foot | None:
    """The nearest place on the floor's open pathways, square to its grid; equal: by id."""
    return min(
        _feet(project, floor, point),
        key=lambda foot: (foot.away_mm, foot.pathway.id),
        default=None,
    )


def _feet(project: Project, floor: Floor, point: Point) -> Iterator[Foot]:
    cos, sin = grid_axis(floor.grid_angle_mdeg)
    for pathway in project.pathways.values():
        if pathway.floor != floor.id or pathway.kind not in OPEN_KINDS:
            continue
        if pathway.state is State.TO_REMOVE:
            continue
        place = place_on(flat(pathway.vertices), point)
        low, high = pathway.vertices[place.piece : place.piece + 2]
        height = low[2] + place.ratio * (high[2] - low[2])
        dx, dy = place.x - point[0], place.y - point[1]
        away = abs(dx * cos + dy * sin) + abs(dy * cos - dx * sin)
        yield Foot(pathway, (to_mm(place.x), to_mm(place.y), to_mm(height)), to_mm(away))


def _stub(
    project: Project,
    riser: Riser,
    foot: Foot,
    point: Point,
    source: Source,
    made: list[Pathway],
) -> Pathway:
    """A piece of the pathway's own kind and size, square to the grid."""
    along = foot.pathway
    taken = {*project.pathways, *(p.id for p in made)}
    x, y, height = foot.at
    cos, sin = grid_axis(project.floors[along.floor].grid_angle_mdeg)
    u = (point[0] - x) * cos + (point[1] - y) * sin
    corner = (to_mm(x + u * cos), to_mm(y + u * sin), height)
    ends = [foot.at, corner, (*point, height)]
    near = project.settings.join_tolerance_mm
    if min(math.dist(corner, ends[0]), math.dist(corner, ends[2])) <= near:
        ends = [ends[0], ends[2]]
    return Pathway(
        id=new_id("pathway", taken, source),
        floor=along.floor,
        kind=along.kind,
        vertices=tuple(ends),
        width_mm=along.width_mm,
        depth_mm=along.depth_mm,
        opening_mm2=along.opening_mm2,
        state=riser.state,
        phase=riser.phase,
        provided_by=riser.provided_by,
    )
