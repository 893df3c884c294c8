"""Backbone cables and the demarcation extension, by the same trees as the runs."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from app.geometry.rounding import to_mm
from app.model.entities import BackboneCable
from app.model.project import Project
from app.routing.ground import Ground, crossing_closed
from app.routing.places import GRACE_MM
from app.routing.results import BackboneRoute, NoRoute, RunStatus
from app.routing.stands import Stands
from app.routing.trees import WEIGH, Sources, Trees


@dataclass(frozen=True, slots=True)
class BackboneWay:
    """How a backbone cable goes: numbers of both stands, and the leg by which it comes to the
    second one; None where one leg joins the two without a pathway. `added` are millimetres
    added as walked, `measured` those of `across` that were measured."""

    start: int
    goal: int
    leg: int | None
    across: int
    upright: int
    added: int = 0
    measured: int = 0


def backbone_ways(
    project: Project,
    grounds: tuple[Ground, ...],
    stands: Stands,
    trees: Trees,
    sources: Sources,
) -> dict[str, BackboneWay | None]:
    """The way of every backbone cable, None where there is none."""
    number = {thing: k for k, thing in enumerate(stands.ids)}
    return {
        cable.id: _way(
            project, grounds, stands, trees, sources, number[cable.from_id], number[cable.to_id]
        )
        for cable in project.backbone_cables.values()
    }


def _way(
    project: Project,
    grounds: tuple[Ground, ...],
    stands: Stands,
    trees: Trees,
    sources: Sources,
    start: int,
    goal: int,
) -> BackboneWay | None:
    weight = project.settings.leg_weight * WEIGH + 1
    best: tuple[float, int] | None = None
    for leg in range(int(sources.legs.first[goal]), int(sources.legs.first[goal + 1])):
        own = float(sources.across[leg] + sources.upright[leg]) * weight
        cost = float(trees.weighed[start, sources.node[leg]]) + own
        if np.isfinite(cost) and (best is None or cost < best[0]):
            best = (cost, leg)
    direct = _one_leg(project, grounds, stands, start, goal)
    if direct is not None and (best is None or sum(direct) * weight <= best[0]):
        return BackboneWay(start, goal, None, *direct)
    if best is None:
        return None
    cost, leg = best
    whole = int(cost % WEIGH)
    node = int(sources.node[leg])
    rise = int(trees.upright[start, node]) + int(sources.upright[leg])
    added, measured = int(trees.added[start, node]), int(trees.measured[start, node])
    return BackboneWay(start, goal, leg, whole - rise - added, rise, added, measured)


def _one_leg(
    project: Project, grounds: tuple[Ground, ...], stands: Stands, start: int, goal: int
) -> tuple[int, int] | None:
    """Across and upright of one leg between two stands of the same space, if it may go so."""
    if stands.space[start] is None or stands.space[start] != stands.space[goal]:
        return None
    ends = stands.ends
    dx, dy = float(ends.x[goal] - ends.x[start]), float(ends.y[goal] - ends.y[start])
    cos, sin = float(ends.cos[start]), float(ends.sin[start])
    u, v = dx * cos + dy * sin, dy * cos - dx * sin
    if abs(u) + abs(v) > project.settings.reach_mm + GRACE_MM:
        return None
    here = np.array([[float(ends.x[start]), float(ends.y[start])]])
    there = np.array([[float(ends.x[goal]), float(ends.y[goal])]])
    ground = grounds[int(stands.floor[start])]
    if all(
        crossing_closed(ground, here, here + np.array([turn]), there)[0]
        for turn in ((u * cos, u * sin), (-v * sin, v * cos))
    ):
        return None
    top = max(int(stands.top[start]), int(stands.top[goal]))
    rise = abs(top - int(stands.panel[start])) + abs(top - int(stands.panel[goal]))
    across = to_mm(abs(u)) + to_mm(abs(v))
    return across + int(stands.beyond[start]) + int(stands.beyond[goal]), rise


def backbone_routes(
    project: Project, stands: Stands, ways: Mapping[str, BackboneWay | None]
) -> dict[str, BackboneRoute]:
    """Lengths and status of every backbone cable."""
    return {
        cable: _route(project, stands, project.backbone_cables[cable], way)
        for cable, way in ways.items()
    }


def _route(
    project: Project, stands: Stands, cable: BackboneCable, way: BackboneWay | None
) -> BackboneRoute:
    settings = project.settings
    kind = project.cable_types[cable.cable_type]
    limit = kind.limit_mm if cable.limit_mm is None else cable.limit_mm
    if way is None:
        none = RunStatus.NO_ROUTE, NoRoute.NOT_JOINED
        return BackboneRoute(*none, 0, 0, 0, 0, 0, 0, 0, limit)
    upright = way.upright + int(stands.dressing[way.start]) + int(stands.dressing[way.goal])
    allowance = (settings.allowance_permille * (way.across - way.measured) + 500) // 1000
    slack = cable.slack_from_mm + cable.slack_to_mm
    drawn = way.across + upright + allowance + slack
    plain = drawn + way.added
    length = max(plain + cable.added_mm, 0) if cable.replaced_mm is None else cable.replaced_mm
    status = RunStatus.WITHIN
    if length > limit:
        status = RunStatus.OVER
    elif limit - length < settings.near_limit_mm:
        status = RunStatus.NEAR
    return BackboneRoute(
        status=status,
        reason=NoRoute.NONE,
        horizontal_mm=way.across,
        vertical_mm=upright,
        allowance_mm=allowance,
        slack_mm=slack,
        added_mm=length - drawn,
        installed_mm=length,
        cut_mm=length + 2 * settings.trim_mm + settings.pull_head_mm,
        limit_mm=limit,
    )
