"""A design recalculated after an edit is the design made anew, in every result."""

import os
import random
from dataclasses import fields

import numpy as np
import pytest

from app.design import evaluate, parts_of, recalculate
from app.design.design import Design, DesignChange
from app.model.project import Patch, Project
from app.routing.results import ONLY_CUT, Runs, RunStatus
from tests.properties.random_edits import RandomEdits

RESULTS = tuple(f.name for f in fields(Design) if f.compare)
LEAST_RUNS_ADDED_UP = 200
EDITS_A_BUILDING = 60
BUILDINGS = int(os.environ.get("DRAWCORD_RANDOM_BUILDINGS", "40"))


def assert_same(recalculated: Design, anew: Design, seed: int, patch: Patch) -> None:
    for name in RESULTS:
        one, other = getattr(recalculated, name), getattr(anew, name)
        assert one == other, f"{what_differs(name, one, other)} after {patch.label}, seed {seed}"
    assert recalculated == anew


def what_differs(name: str, one: object, other: object) -> str:
    if not isinstance(one, Runs) or not isinstance(other, Runs):
        return name
    columns = [
        f"{f.name}: {getattr(one, f.name)} and {getattr(other, f.name)}"
        for f in fields(Runs)
        if not np.array_equal(getattr(one, f.name), getattr(other, f.name))
    ]
    return f"{name}: {'; '.join(columns)}"


def assert_told(before: Design, after: Design, change: DesignChange) -> None:
    """What changed is named, unless everything is said to have changed."""
    if change.everything:
        return
    old, new = fills_and_runs(before), fills_and_runs(after)
    for kind, named in (
        ("ports", change.ports),
        ("pathways", change.pathways),
        ("backbone", change.backbone),
    ):
        keys = old[kind].keys() | new[kind].keys()
        changed = {k for k in keys if old[kind].get(k) != new[kind].get(k)}
        assert changed <= named, kind
    if not change.findings:
        assert before.findings == after.findings


def fills_and_runs(design: Design) -> dict[str, dict[str, object]]:
    runs = design.runs
    columns = (runs.installed_mm, runs.cut_mm, runs.status, runs.frame_index, runs.reason)
    rows = zip(*(c.tolist() for c in columns), strict=True)
    return {
        "ports": dict(zip(runs.port_ids, rows, strict=True)),
        "pathways": dict(design.fills),
        "backbone": dict(design.backbone),
    }


def test_recalculate_equals_evaluate():
    """All buildings together change every field of every entity and every setting."""
    edits = RandomEdits(0)
    for seed in range(BUILDINGS):
        edits = edited_building(seed, edits)
    assert edits.untouched() == frozenset()


def edited_building(seed: int, before: RandomEdits) -> RandomEdits:
    """Edit a random building, now and then taking back, and compare after every step."""
    edits = RandomEdits(seed)
    edits.go_on_from(before)
    chance = random.Random(seed)
    project = edits.starting_project()
    design = evaluate(project)
    done: list[Patch] = []
    for _ in range(EDITS_A_BUILDING):
        back = done and chance.random() < 0.2
        patch = done.pop().inverse() if back else edits.patch(project)
        project = project.apply(patch)
        if not back:
            done.append(patch)
        before = design
        design, change = recalculate(design, project, patch)
        assert_same(design, evaluate(project), seed, patch)
        assert_told(before, design, change)
    return edits


def test_parts_add_up():
    """A random building may have no run at all; all of them together have hundreds."""
    added_up = sum(parts_added_up(seed) for seed in range(20, 40))
    assert added_up > LEAST_RUNS_ADDED_UP


def parts_added_up(seed: int) -> int:
    design = evaluate(RandomEdits(seed).starting_project(scale=2))
    runs = design.runs
    routed = [r for r in range(len(runs)) if runs.status[r] != RunStatus.NO_ROUTE]
    for row in routed:
        parts = parts_of(design, runs.port_ids[row])
        inside = sum(p.length_mm for p in parts if p.sort not in ONLY_CUT)
        assert inside == runs.installed_mm[row], runs.port_ids[row]
        assert sum(p.length_mm for p in parts) == runs.cut_mm[row], runs.port_ids[row]
    return len(routed)


@pytest.mark.parametrize("seed", range(30, 33))
def test_the_order_of_tables_changes_no_run(seed):
    project = RandomEdits(seed).starting_project(scale=2)
    things = list(project.entities())
    random.Random(seed).shuffle(things)
    one, other = evaluate(project), evaluate(Project(things))
    assert one.findings == other.findings
    assert one.summary == other.summary
    assert dict(one.fills) == dict(other.fills)
    assert dict(one.backbone) == dict(other.backbone)
    a, b = fills_and_runs(one)["ports"], fills_and_runs(other)["ports"]
    assert a == b
