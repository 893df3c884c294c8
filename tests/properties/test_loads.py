"""Loads of random buildings against a count of the routes as they are drawn, section by section."""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import combinations, pairwise

import pytest
import shapely
from msgspec.structs import replace

from app.design import Design, backbone_route, evaluate, route_of
from app.model.entities import Pathway
from app.model.project import Project
from app.model.vocabulary import State
from tests.properties.random_buildings import Mode, random_building
from tests.routing.buildings import Draft, made

Point3 = tuple[int, int, int]
Interval = tuple[int, int]
LEAST_MM = 5
"""Shorter sections may come of rounded ends."""
OFF_MM = 2
"""A joint within the tolerance is drawn at one of its pathways; a piece beside one is left."""
BUILDINGS = 60


def drawn(design: Design) -> list[tuple[State, float, int, list[tuple[str, Point3, Point3]]]]:
    """State, section of one cable, count and pieces of every cable's route."""
    project, found = design.project, []
    cables = project.cable_types
    for outlet in project.outlets.values():
        for port in outlet.ports:
            state = outlet.state if port.state is None else port.state
            area = math.pi / 4 * cables[port.cable_type].od_mm ** 2
            found.append((state, area, 1, pieces(route_of(design, port.id))))
    for cable in project.backbone_cables.values():
        area = math.pi / 4 * cables[cable.cable_type].od_mm ** 2
        found.append((cable.state, area, cable.count, pieces(backbone_route(design, cable.id))))
    return found


def pieces(lines) -> list[tuple[str, Point3, Point3]]:
    return [(line.thing, a, b) for line in lines if line.thing for a, b in pairwise(line.points)]


def on_stretch(project: Project, thing: str, a: Point3, b: Point3) -> tuple[int, Interval] | None:
    """The stretch of a pathway on which a piece lies, and from where to where along it."""
    pathway = project.pathways.get(thing)
    if pathway is None:
        return None
    level = project.floors[pathway.floor].level_mm
    points = [(x, y, level + h) for x, y, h in pathway.vertices]
    best = None
    for number, (start, end) in enumerate(pairwise(points)):
        long = math.dist(start, end)
        along = [math.dist(start, p) for p in (a, b)]
        off = sum(abs(math.dist(start, p) + math.dist(p, end) - long) for p in (a, b))
        if best is None or off < best[0]:
            best = off, number, (round(min(along)), round(max(along)))
    assert best is not None
    return None if best[0] > OFF_MM else (best[1], best[2])


def greatest_areas(design: Design, states: set[State]) -> dict[str, float]:
    """The greatest section of cable of these states in each pathway, over all its sections."""
    laid: dict[tuple[str, int], list[tuple[Interval, float]]] = defaultdict(list)
    for state, area, count, route in drawn(design):
        for thing, a, b in route if state in states else ():
            place = on_stretch(design.project, thing, a, b)
            if place is not None:
                laid[thing, place[0]].append((place[1], area * count))
    greatest: dict[str, float] = defaultdict(float)
    for (thing, _), intervals in laid.items():
        marks = sorted({mark for (low, high), _ in intervals for mark in (low, high)})
        for low, high in pairwise(marks):
            if high - low >= LEAST_MM:
                here = sum(area for (a, b), area in intervals if a < (low + high) / 2 < b)
                greatest[thing] = max(greatest[thing], here)
    return greatest


def folds_back(pathway: Pathway) -> bool:
    """Whether a pathway lies upon itself somewhere, so that a piece has no one stretch."""
    return any(
        shapely.LineString((a[0][:2], a[1][:2]))
        .intersection(shapely.LineString((b[0][:2], b[1][:2])))
        .length
        > 0
        or holds_middle(a, b)
        or holds_middle(b, a)
        for a, b in combinations(pairwise(pathway.vertices), 2)
    )


def holds_middle(one: tuple[Point3, Point3], other: tuple[Point3, Point3]) -> bool:
    """Whether the middle of another stretch lies on a stretch, in space."""
    middle = tuple((p + q) / 2 for p, q in zip(*other, strict=True))
    return sum(math.dist(end, middle) for end in one) - math.dist(*one) <= OFF_MM


STAYS = {State.EXISTING, State.NEW, State.TO_RELOCATE}


@pytest.mark.parametrize("mode", Mode)
def test_the_load_is_the_greatest_section_that_the_routes_show(mode):
    same = compared = 0
    for seed in range(BUILDINGS):
        design = evaluate(random_building(seed, mode, scale=3))
        for states, field in (
            (STAYS, "area_mm2"),
            (STAYS | {State.TO_REMOVE}, "area_lying_mm2"),
            (STAYS | {State.FUTURE}, "area_future_mm2"),
        ):
            counted = greatest_areas(design, states)
            for thing, pathway in design.project.pathways.items():
                if folds_back(pathway):
                    continue
                load = design.loads.get(thing)
                told = 0.0 if load is None else getattr(load, field)
                compared += counted[thing] > 0
                same += counted[thing] > 0 and told == pytest.approx(counted[thing])
                assert told > counted[thing] - 1e-6, (seed, thing, field)
    assert compared > 300
    assert same > 0.97 * compared, (same, compared)


def test_runs_that_part_where_they_come_in_are_nowhere_side_by_side():
    """A plate with one port to either end of a tray: every section of it holds one cable."""
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (20_000, 0, 3_000)])
    draft.frame("f", 0, 0, 500).frame("g", 0, 20_000, 500).outlet("o", 0, 9_000, 500, ports=2)
    outlet = draft.things.pop()
    ends = (made("frame", "f"), made("frame", "g"))
    ports = tuple(replace(p, frame=f) for p, f in zip(outlet.ports, ends, strict=True))
    draft.add(replace(outlet, ports=ports))
    design = evaluate(draft.project())
    assert design.loads[made("pathway", "a")].cables == 1
