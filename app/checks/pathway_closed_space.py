"""Pathways and risers in spaces closed to cable: lift shaft, stair, void, no-cable zone."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from app.checks.finding import PLAIN, Finding, Severity, authority, finding
from app.checks.wording import pathway_name, riser_name, space_name
from app.model.entities import Floor, Pathway, Point, Riser, Space
from app.model.vocabulary import SpaceUse
from app.routing.ground import SKIN_MM, is_closed, polygon_of
from app.standards import RuleSet

PATHWAY = "pathway_in_closed_space"
RISER = "riser_in_closed_space"


@dataclass(frozen=True, eq=False)
class ClosedSpaces:
    """The closed spaces of one floor by id, and a tree of their shapes without their edge."""

    spaces: tuple[Space, ...]
    tree: shapely.STRtree

    def crossed(self, line: shapely.Geometry) -> tuple[Space, ...]:
        """The spaces that a line or point comes into."""
        hits = self.tree.query(line, predicate="intersects")
        return tuple(self.spaces[k] for k in np.sort(hits).tolist())


def closed_spaces(spaces: Iterable[Space]) -> ClosedSpaces:
    """The closed ones of a floor's spaces; outdoors, pathways are at home."""
    closed = sorted(
        (s for s in spaces if is_closed(s) and s.use is not SpaceUse.OUTSIDE), key=lambda s: s.id
    )
    shapes = [polygon_of(s).buffer(-SKIN_MM, join_style="mitre") for s in closed]
    return ClosedSpaces(tuple(closed), shapely.STRtree(shapes))


def check_pathways_closed(
    floor: Floor, pathways: Sequence[Pathway], closed: ClosedSpaces, rules: RuleSet
) -> list[Finding]:
    """One finding for each pathway of a floor that runs through closed spaces."""
    if not closed.spaces:
        return []
    found = []
    for pathway in pathways:
        crossed = closed.crossed(shapely.LineString([v[:2] for v in pathway.vertices]))
        if crossed:
            text = f"{pathway_name(pathway, floor)} runs through {_closed(crossed)}; lay it around."
            found.append(_finding(PATHWAY, text, pathway.id, crossed, floor.id, rules))
    return found


def check_riser_closed(
    riser: Riser,
    points: Mapping[str, Point],
    closed: Mapping[str, ClosedSpaces],
    rules: RuleSet,
) -> list[Finding]:
    """A finding where a riser stands in closed spaces; `closed` by floor, as `points` are."""
    crossed = [s for f, at in points.items() for s in closed[f].crossed(shapely.Point(at))]
    if not crossed:
        return []
    text = f"{riser_name(riser)} stands in {_closed(crossed)}; put it elsewhere."
    return [_finding(RISER, text, riser.id, crossed, riser.lower_floor, rules)]


def _closed(spaces: Sequence[Space]) -> str:
    names = list(dict.fromkeys(space_name(s) for s in spaces))
    return f"{', '.join(names)}, which {'is' if len(names) == 1 else 'are'} closed to cable"


def _finding(
    rule: str, text: str, thing: str, crossed: Sequence[Space], floor: str, rules: RuleSet
) -> Finding:
    lift = any(s.use is SpaceUse.LIFT_SHAFT for s in crossed)
    return finding(
        rule=rule,
        severity=Severity.WARN,
        text=text,
        things=(thing, *(s.id for s in crossed)),
        floor=floor,
        authority=authority(rules, "pathways.allowed_in_lift_shaft") if lift else PLAIN,
        excess=len(crossed),
    )
