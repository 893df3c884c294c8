"""The same building has the same routes, in whatever order it was drawn and on every machine."""

from __future__ import annotations

import hashlib
import os
import random
import subprocess
import sys
from pathlib import Path

import pytest

from app.design import Design, evaluate, parts_of, recalculate, route_of
from app.model.entities import Building, Entity
from app.model.project import Project, adding, changing
from app.model.references import references
from tests.properties.random_buildings import Mode, random_building

ROOT = Path(__file__).resolve().parents[2]


def said_of(design: Design) -> dict[str, object]:
    """Everything a design says of each run, by port."""
    runs = design.runs
    return {
        port: (
            runs.frame_of(row),
            int(runs.status[row]),
            int(runs.reason[row]),
            int(runs.cut_mm[row]),
            parts_of(design, port),
            route_of(design, port),
        )
        for port, row in runs.row_of.items()
    }


def drawn_in_another_order(project: Project, seed: int) -> Design:
    """The design after every thing was added by an edit of its own, in a random order."""
    chance = random.Random(seed)
    built = Project(project.buildings.values())
    settings = changing("Settings", [(built.settings, project.settings)])
    built = built.apply(settings)
    design = evaluate(built)
    waiting: list[Entity] = [
        e
        for e in project.entities()
        if e.id not in ("site", "settings") and not isinstance(e, Building)
    ]
    chance.shuffle(waiting)
    while waiting:
        ready = [e for e in waiting if all(i in built for _, _, i in references(e))]
        some = ready[: chance.choice((1, 2, 5))]
        patch = adding("Add", some)
        built = built.apply(patch)
        design, _ = recalculate(design, built, patch)
        waiting = [e for e in waiting if e not in some]
    return design


@pytest.mark.parametrize("mode", Mode)
def test_the_order_of_edits_changes_no_route(mode):
    for seed in range(8):
        project = random_building(seed, mode)
        assert said_of(drawn_in_another_order(project, seed)) == said_of(evaluate(project)), seed


def digest() -> str:
    """A digest of everything that is said of many runs."""
    whole = [
        sorted(said_of(evaluate(random_building(seed, mode))).items(), key=lambda pair: pair[0])
        for mode in Mode
        for seed in range(15)
    ]
    return hashlib.sha256(repr(whole).encode()).hexdigest()


def test_the_seed_of_hashes_changes_no_route():
    found = set()
    for seed in ("0", "1", "4711"):
        done = subprocess.run(
            [
                sys.executable,
                "-c",
                "from tests.properties.test_same_routes import digest as d\nprint(d())",
            ],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
            timeout=120,
        )
        found.add(done.stdout.strip())
    assert len(found) == 1
    assert len(found.pop()) == 64
