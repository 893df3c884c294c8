"""Risers that join nothing: cable can enter them on fewer than two floors."""

import math
from collections.abc import Iterable, Mapping

import shapely

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import length_text, pathway_name, riser_name
from app.geometry.rounding import grid_axis
from app.model.entities import Floor, Frame, Pathway, Point, Riser
from app.model.settings import Settings
from app.model.vocabulary import OPEN_KINDS

RULE = "riser_joins_nothing"


def check_riser_joined(
    riser: Riser,
    points: Mapping[str, Point],
    floors: Mapping[str, Floor],
    pathways: Iterable[Pathway],
    frames: Iterable[Frame],
    settings: Settings,
) -> list[Finding]:
    """A finding where a riser is met on fewer than two of the floors it passes.

    `points`: floor id to the riser's point on it, from the lowest. A pathway meets it within
    the join tolerance, a frame by a leg within the reach.
    """
    laid = list(pathways)
    met = {p.floor for p in laid if p.floor in points and _comes(p, points[p.floor], settings)}
    met |= {
        f.floor
        for f in frames
        if f.floor in points and _near(f, floors[f.floor], points[f.floor], settings)
    }
    if len(met) > 1:
        return []
    lonely = [floor for floor in points if floor not in met]
    told = ", ".join(_nearest(floors[f], points[f], laid, settings) for f in lonely)
    name = riser_name(riser)
    return [
        finding(
            rule=RULE,
            severity=Severity.WARN,
            text=f"{name} joins nothing: no pathway comes to it on {told}; draw stubs.",
            things=(riser.id,),
            floor=riser.lower_floor,
        )
    ]


def _comes(pathway: Pathway, point: Point, settings: Settings) -> bool:
    corners = [v[:2] for v in pathway.vertices]
    ends = corners if pathway.kind in OPEN_KINDS else [corners[0], corners[-1]]
    if any(math.dist(end, point) <= settings.join_tolerance_mm for end in ends):
        return True
    return pathway.kind in OPEN_KINDS and _away_mm(pathway, point) <= settings.join_tolerance_mm


def _near(frame: Frame, floor: Floor, point: Point, settings: Settings) -> bool:
    x, y = (frame.x_mm, frame.y_mm) if frame.entry is None else frame.entry
    cos, sin = grid_axis(floor.grid_angle_mdeg)
    dx, dy = point[0] - x, point[1] - y
    return abs(dx * cos + dy * sin) + abs(dy * cos - dx * sin) <= settings.reach_mm


def _away_mm(pathway: Pathway, point: Point) -> float:
    line = shapely.LineString([v[:2] for v in pathway.vertices])
    return float(line.distance(shapely.Point(point)))


def _nearest(floor: Floor, point: Point, pathways: Iterable[Pathway], settings: Settings) -> str:
    """`floor 2 (basket S2 is 2.3 m away)`."""
    own = [(_away_mm(p, point), p.id, p) for p in pathways if p.floor == floor.id]
    if not own:
        return f"floor {floor.name}"
    away_mm, _, pathway = min(own, key=lambda found: found[:2])
    name = pathway_name(pathway, floor)
    name = name[:1].lower() + name[1:]
    return f"floor {floor.name} ({name} is {length_text(away_mm, settings.units)} away)"
