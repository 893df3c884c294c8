"""Conduit between pull points: not over 30 m, not over two bends of 90°."""

import math
from collections.abc import Sequence
from itertools import pairwise

from app.checks.finding import Finding, Severity, authority, finding
from app.checks.wording import length_text, pathway_name
from app.model.entities import Floor, Pathway, Point, Vertex
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind
from app.standards import RuleSet

LENGTH = "conduit_section_length"
BENDS = "conduit_section_bends"

Section = tuple[float, float]
"""Length in mm, bends together in degrees."""


def conduit_sections(
    vertices: Sequence[Vertex], pull_points: Sequence[Point], *, tolerance_mm: float
) -> list[Section]:
    """The sections between a conduit's ends and the pull points on it.

    A bend within the tolerance of a pull point lies in the box and is not counted.
    """
    along = [0.0]
    for a, b in pairwise(vertices):
        along.append(along[-1] + math.dist(a, b))
    cuts = sorted({0.0, along[-1], *_on_line(vertices, along, pull_points, tolerance_mm)})
    bends = [(at, _turn_deg(*vertices[i : i + 3])) for i, at in enumerate(along[1:-1])]
    sections = []
    for start, end in pairwise(cuts):
        inside = [d for at, d in bends if start + tolerance_mm < at < end - tolerance_mm]
        sections.append((end - start, sum(inside)))
    return sections


def check_conduit(
    pathway: Pathway,
    pull_points: Sequence[Point],
    floor: Floor,
    settings: Settings,
    rules: RuleSet,
) -> list[Finding]:
    """What is to say of a conduit's sections; at most one finding for length, one for bends."""
    if pathway.kind is not PathwayKind.CONDUIT:
        return []
    sections = conduit_sections(
        pathway.vertices, pull_points, tolerance_mm=settings.join_tolerance_mm
    )
    longest = max(length for length, _ in sections)
    most_bent = max(bends for _, bends in sections)
    name = pathway_name(pathway, floor)
    found = []
    if longest > rules.mm("pathways.conduit_section"):
        text = (
            f"{name}: {length_text(longest, settings.units)} between pull points; "
            f"{length_text(rules.mm('pathways.conduit_section'), settings.units, places=0)} "
            "is the most. Put in a pull box."
        )
        found.append(_finding(LENGTH, text, pathway, "pathways.conduit_section", longest, rules))
    if most_bent > rules.number("pathways.conduit_bends") + _BEND_TOLERANCE_DEG:
        text = (
            f"{name}: bends of {most_bent:.0f}° together between pull points; "
            f"{rules.number('pathways.conduit_bends'):.0f}° is the most. Put in a pull box."
        )
        found.append(_finding(BENDS, text, pathway, "pathways.conduit_bends", most_bent, rules))
    return found


_BEND_TOLERANCE_DEG = 1.0
"""Two bends drawn by hand may come to a little over their 90° each."""


def _finding(
    rule: str, text: str, pathway: Pathway, key: str, excess: float, rules: RuleSet
) -> Finding:
    return finding(
        rule=rule,
        severity=Severity.WARN,
        text=text,
        things=(pathway.id,),
        floor=pathway.floor,
        authority=authority(rules, key),
        excess=excess,
    )


def _on_line(
    vertices: Sequence[Vertex],
    along: Sequence[float],
    points: Sequence[Point],
    tolerance_mm: float,
) -> list[float]:
    """Where the points lie along the line; those off it by more than the tolerance are left."""
    found = []
    for x, y in points:
        best: tuple[float, float] | None = None
        for i, (a, b) in enumerate(pairwise(vertices)):
            dx, dy = b[0] - a[0], b[1] - a[1]
            flat = dx * dx + dy * dy
            t = 0.0 if flat == 0 else ((x - a[0]) * dx + (y - a[1]) * dy) / flat
            t = min(1.0, max(0.0, t))
            off = math.hypot(x - a[0] - t * dx, y - a[1] - t * dy)
            if off <= tolerance_mm and (best is None or off < best[0]):
                best = off, along[i] + t * (along[i + 1] - along[i])
        if best is not None:
            found.append(best[1])
    return found


def _turn_deg(a: Vertex, b: Vertex, c: Vertex) -> float:
    """The angle by which a line turns at b, 0 for straight on."""
    first = [q - p for p, q in zip(a, b, strict=True)]
    second = [q - p for p, q in zip(b, c, strict=True)]
    lengths = math.hypot(*first) * math.hypot(*second)
    cosine = sum(p * q for p, q in zip(first, second, strict=True)) / lengths
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
