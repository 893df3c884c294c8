"""Every run of random buildings is the cheapest way on the all-in-one directed graph.

The reference solvers are networkx, scipy and, on small buildings, the trial of every path.
"""

from __future__ import annotations

import os
import random
from collections import Counter

import pytest

from app.design import Design, backbone_parts, evaluate, parts_of
from app.model.project import Project
from app.routing.results import ONLY_CUT, PartSort, RunStatus
from tests.properties.random_buildings import Mode, random_building, small_building
from tests.properties.random_edits import RandomEdits
from tests.routing.oracle_graph import Graph
from tests.routing.oracle_serving import Expected, expected_runs

BUILDINGS = int(os.environ.get("DRAWCORD_RANDOM_BUILDINGS", "150"))
MOST_STEPS = 200_000


def status_of(project: Project, expected: Expected, installed: int) -> RunStatus:
    if expected.frame is None:
        return RunStatus.NO_ROUTE
    if installed > expected.limit:
        return RunStatus.OVER
    near = expected.limit - installed < project.settings.near_limit_mm
    return RunStatus.NEAR if near else RunStatus.WITHIN


def differences(design: Design, counts: Counter[str]) -> list[str]:
    """Where the runs of a design are not what the oracle says, in words."""
    project, runs = design.project, design.runs
    found = []
    for outlet, port, expected in expected_runs(Graph(project)):
        row = runs.row_of[port.id]
        frame, length = runs.frame_of(row), int(runs.installed_mm[row])
        counts["ports"] += 1
        if not expected.known:
            counts["too many ways"] += 1
            continue
        if not expected.sure and frame != expected.frame:
            counts["open who serves"] += 1
            continue
        if frame != expected.frame:
            found.append(f"{port.id} of {outlet.id}: to {frame}, not {expected.frame}")
            continue
        right = status_of(project, expected, length)
        if RunStatus(int(runs.status[row])) is not right:
            found.append(f"{port.id} of {outlet.id}: status {runs.status[row]}")
        counts["told"] += expected.told and expected.frame is not None
        counts["told in vain"] += expected.told and expected.frame is None
        if expected.frame is None:
            counts["no route"] += 1
            continue
        counts["routed"] += 1
        counts["open split"] += len(expected.splits) > 1
        across, upright = int(runs.horizontal_mm[row]), int(runs.vertical_mm[row])
        allowance, permille = int(runs.allowance_mm[row]), project.settings.allowance_permille
        said = (length, across, upright, allowance, int(runs.leg_mm[row]))
        fits = [
            (across, allowance) == (s.across, (permille * s.loose + 500) // 1000)
            and across + upright + s.added == expected.length
            for s in expected.splits
        ]
        counts["added on the way"] += any(s.added for s in expected.splits)
        counts["measured on the way"] += any(s.loose != s.across for s in expected.splits)
        agree = (
            length in expected.installed,
            any(fits),
            runs.leg_mm[row] == expected.leg,
        )
        if not all(agree):
            found.append(f"{port.id} of {outlet.id} to {frame}: {said}, not {expected}")
        found += wrong_parts(design, port.id, row)
    return found


def backbone_differences(design: Design, counts: Counter[str]) -> list[str]:
    """The same for backbone cables, which may use every outdoor duct."""
    project, found = design.project, []
    if not project.backbone_cables:
        return []
    graph = Graph(project, backbone=True)
    for cable in project.backbone_cables.values():
        ways, route = graph.backbone_ways(cable.from_id, cable.to_id), design.backbone[cable.id]
        if (ways is None) is not (route.status is RunStatus.NO_ROUTE):
            found.append(f"{cable.id}: {route.status.name}, not {ways}")
        elif ways is not None:
            counts["backbone"] += 1
            slack = cable.slack_from_mm + cable.slack_to_mm + cable.added_mm
            right = []
            for split in ways.splits:
                base = ways.base(split, project.settings.allowance_permille)
                length = max(0, base + slack) if cable.replaced_mm is None else cable.replaced_mm
                upright = ways.length - split.across - split.added
                right.append((split.across, upright, length))
            if (route.horizontal_mm, route.vertical_mm, route.installed_mm) not in right:
                found.append(f"{cable.id}: {route}, not {ways}")
            parts = backbone_parts(design, cable.id)
            inside = sum(p.length_mm for p in parts if p.sort not in ONLY_CUT)
            if inside != route.installed_mm or sum(p.length_mm for p in parts) != route.cut_mm:
                found.append(f"{cable.id}: parts {inside}, {route}")
    return found


def wrong_parts(design: Design, port: str, row: int) -> list[str]:
    """Where the parts of a run do not add up to its length."""
    runs = design.runs
    parts = parts_of(design, port)
    sums = Counter(dict.fromkeys(PartSort, 0))
    for part in parts:
        sums[part.sort] += part.length_mm
    inside = sum(length for sort, length in sums.items() if sort not in ONLY_CUT)
    pairs = {
        "installed": (inside, runs.installed_mm[row]),
        "cut": (sum(sums.values()), runs.cut_mm[row]),
        "horizontal": (sums[PartSort.HORIZONTAL], runs.horizontal_mm[row]),
        "vertical": (sums[PartSort.VERTICAL], runs.vertical_mm[row]),
        "allowance": (sums[PartSort.ALLOWANCE], runs.allowance_mm[row]),
        "slack": (sums[PartSort.SLACK], runs.slack_mm[row]),
    }
    return [f"{port}: {name} {a} in parts, {b}" for name, (a, b) in pairs.items() if a != b]


@pytest.mark.parametrize("mode", Mode)
def test_networkx_and_scipy_agree_on_the_graph(mode):
    for seed in range(40):
        graph = Graph(random_building(seed, mode))
        assert graph.by_networkx() == graph.by_scipy(), seed


@pytest.mark.parametrize("mode", Mode)
def test_every_simple_path_tried_gives_the_same(mode):
    tried = pairs = 0
    for seed in range(80):
        graph = Graph(small_building(seed, mode))
        least = graph.by_trying_all(MOST_STEPS)
        if least is not None:
            tried += 1
            pairs += len(least)
            assert least == graph.by_networkx() == graph.by_scipy(), seed
    assert tried > 60
    assert pairs > 60


@pytest.mark.parametrize("mode", Mode)
def test_every_run_is_the_cheapest_way(mode):
    counts: Counter[str] = Counter()
    for seed in range(BUILDINGS):
        design = evaluate(random_building(seed, mode))
        found = differences(design, counts) + backbone_differences(design, counts)
        assert not found, f"seed {seed}: {found}"
    print(dict(counts))
    assert counts["routed"] > counts["ports"] * 0.3
    assert counts["added on the way"] > counts["routed"] * 0.02
    assert counts["told"] > counts["routed"] * 0.05
    assert counts["told in vain"] > 10
    assert counts["too many ways"] < counts["told"] * 0.1
    assert counts["measured on the way"] > counts["routed"] * 0.02
    assert counts["open split"] + counts["open who serves"] < counts["routed"] * 0.2


def test_runs_after_random_edits_of_everything_are_the_cheapest_ways():
    counts: Counter[str] = Counter()
    for seed in range(12):
        edits = RandomEdits(seed)
        project = edits.starting_project(scale=2)
        for _ in range(30):
            project = project.apply(edits.patch(project))
        design = evaluate(project)
        found = differences(design, counts) + backbone_differences(design, counts)
        assert not found, f"seed {seed}: {found}"
    assert counts["routed"] > 100


@pytest.mark.parametrize("mode", Mode)
def test_the_order_of_tables_changes_no_run(mode):
    for seed in range(20):
        project = random_building(seed, mode, scale=2)
        things = list(project.entities())
        random.Random(seed).shuffle(things)
        one, other = evaluate(project), evaluate(Project(things))
        assert one.summary == other.summary
        for port, row in one.runs.row_of.items():
            there = other.runs.row_of[port]
            assert one.runs.frame_of(row) == other.runs.frame_of(there), (seed, port)
            assert parts_of(one, port) == parts_of(other, port), (seed, port)
