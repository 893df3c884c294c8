"""Risers that join nothing: cable can enter them on fewer than two floors."""

from collections.abc import Collection, Mapping, Sequence

import shapely

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import length_text, pathway_name, riser_name
from app.model.entities import Floor, Pathway, Point, Riser
from app.model.settings import Settings

RULE = "riser_joins_nothing"


def check_riser_joined(
    riser: Riser,
    points: Mapping[str, Point],
    met: Collection[str],
    floors: Mapping[str, Floor],
    pathways: Sequence[Pathway],
    settings: Settings,
) -> list[Finding]:
    """A finding where something comes to a riser on fewer than two of the floors it passes.

    `points`: floor id to the riser's point on it, from the lowest. `met`: the ids of the floors
    on which a pathway, an outdoor duct, a frame or a demarcation point comes to it.
    """
    if len(met) > 1:
        return []
    lonely = [floor for floor in points if floor not in met]
    told = ", ".join(_nearest(floors[f], points[f], pathways, settings) for f in lonely)
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


def _away_mm(pathway: Pathway, point: Point) -> float:
    line = shapely.LineString([v[:2] for v in pathway.vertices])
    return float(line.distance(shapely.Point(point)))


def _nearest(floor: Floor, point: Point, pathways: Sequence[Pathway], settings: Settings) -> str:
    """`floor 2 (basket S2 is 2.3 m away)`."""
    own = [(_away_mm(p, point), p.id, p) for p in pathways if p.floor == floor.id]
    if not own:
        return f"floor {floor.name}"
    away_mm, _, pathway = min(own, key=lambda found: found[:2])
    name = pathway_name(pathway, floor)
    name = name[:1].lower() + name[1:]
    return f"floor {floor.name} ({name} is {length_text(away_mm, settings.units)} away)"
