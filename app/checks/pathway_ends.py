"""Pathways that end near each other and do not join: a gap, or a conduit met on its side."""

from collections.abc import Sequence

import numpy as np
import shapely

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import length_text, pathway_name
from app.model.entities import AccessPoint, Break, Floor, Pathway, Vertex
from app.model.settings import Settings
from app.model.vocabulary import OPEN_KINDS

GAP = "pathway_gap"
SIDE = "pathway_met_on_its_side"

NEAR_MM = 500
"""A gap no wider than this is taken for a slip of the hand. Evidence: practice."""
NEAR_HEIGHT_MM = 1_000


def check_pathway_ends(
    floor: Floor,
    pathways: Sequence[Pathway],
    access_points: Sequence[AccessPoint],
    breaks: Sequence[Break],
    settings: Settings,
) -> list[Finding]:
    """What is to say of the ends of all pathways of one floor; one finding a pair at most."""
    if len(pathways) < 2:  # noqa: PLR2004
        return []
    lines = np.array([shapely.LineString([v[:2] for v in p.vertices]) for p in pathways])
    ends = [(i, p.vertices[k]) for i, p in enumerate(pathways) for k in (0, -1)]
    points = shapely.points([v[:2] for _, v in ends])
    near = shapely.STRtree(lines).query(points, predicate="dwithin", distance=NEAR_MM)
    kept_apart = {frozenset((b.pathway_a, b.pathway_b)) for b in breaks}
    places = _places(pathways, access_points)
    found: dict[str, Finding] = {}
    for end, other in sorted(zip(near[0].tolist(), near[1].tolist(), strict=True)):
        own, vertex = ends[end]
        pair = frozenset((pathways[own].id, pathways[other].id))
        if own == other or pair in kept_apart:
            continue
        apart_mm = float(shapely.distance(lines[own], lines[other]))
        said = _gap_or_side(
            pathways[own], pathways[other], vertex, apart_mm, places, floor, settings
        )
        if said is not None:
            found.setdefault(said.key, said)
    return list(found.values())


Places = dict[str, list[tuple[int, int]]]


def _places(pathways: Sequence[Pathway], access_points: Sequence[AccessPoint]) -> Places:
    """Where the kinds that cable enters only at places may be entered."""
    places: Places = {
        p.id: [p.vertices[0][:2], p.vertices[-1][:2]] for p in pathways if p.kind not in OPEN_KINDS
    }
    for point in access_points:
        if point.pathway in places:
            places[point.pathway].append((point.x_mm, point.y_mm))
    return places


def _gap_or_side(
    own: Pathway,
    other: Pathway,
    end: Vertex,
    apart_mm: float,
    places: Places,
    floor: Floor,
    settings: Settings,
) -> Finding | None:
    """A gap where the lines do not touch; a side where the end lies on a closed kind."""
    tolerance = settings.join_tolerance_mm
    if apart_mm > tolerance:
        if not _level_near(end, other):
            return None
        gap_mm = _distance_mm(end, other)
        text = (
            f"{pathway_name(own, floor)} ends "
            f"{length_text(gap_mm, settings.units, places=2)} from "
            f"{_lower(pathway_name(other, floor))} and does not join it."
        )
        return _finding(GAP, text, own, other)
    if other.kind in OPEN_KINDS or other.insert_spacing_mm or _distance_mm(end, other) > tolerance:
        return None
    at = np.array(places[other.id])
    if np.hypot(at[:, 0] - end[0], at[:, 1] - end[1]).min() <= tolerance:
        return None
    text = (
        f"{pathway_name(own, floor)} ends on the side of {_lower(pathway_name(other, floor))}, "
        "which is entered only at its ends and boxes; place a box there."
    )
    return _finding(SIDE, text, own, other)


def _finding(rule: str, text: str, own: Pathway, other: Pathway) -> Finding:
    said = finding(
        rule=rule,
        severity=Severity.WARN,
        text=text,
        things=(own.id, other.id),
        floor=own.floor,
    )
    first, second = sorted((own.id, other.id))
    return Finding(
        key=f"{rule}:{first}:{second}",
        rule=said.rule,
        severity=said.severity,
        text=said.text,
        things=said.things,
        floor=said.floor,
        clause=said.clause,
        evidence=said.evidence,
    )


def _lower(name: str) -> str:
    return name[:1].lower() + name[1:]


def _distance_mm(end: Vertex, other: Pathway) -> float:
    line = shapely.LineString([v[:2] for v in other.vertices])
    return float(shapely.distance(shapely.Point(end[:2]), line))


def _level_near(end: Vertex, other: Pathway) -> bool:
    heights = [v[2] for v in other.vertices]
    return min(heights) - NEAR_HEIGHT_MM <= end[2] <= max(heights) + NEAR_HEIGHT_MM
