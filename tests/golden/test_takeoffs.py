"""The takeoffs of the samples, held against kept files that are read as a diff.

Where a change of them is meant: `DRAWCORD_REWRITE_GOLDEN=1 python -m pytest tests/golden`, and
look at what `git diff` says before it is committed.
"""

import os
from pathlib import Path

import pytest

from app.design import Design, evaluate
from app.exports.csv_file import csv_bytes
from app.resource_files import sample_path
from app.sheets.runs_table import runs_table
from app.sheets.takeoff_tables import takeoff_tables
from app.storage.project_file import load_project
from app.takeoff.takeoff import take_off

KEPT = Path(__file__).parent / "kept"
REWRITES = os.environ.get("DRAWCORD_REWRITE_GOLDEN") == "1"
TABLES = ("bill", "cable", "boxes", "backbone_cable", "frames", "pathways", "supports", "risers")


@pytest.fixture(scope="module", params=["ferry-terminal", "small-office"])
def sample(request: pytest.FixtureRequest) -> tuple[str, Design]:
    name = request.param
    return name, evaluate(load_project(sample_path(f"{name}.drawcord")).project)


def held(name: str, content: bytes) -> None:
    """The content is what the kept file says, line by line."""
    path = KEPT / name
    if REWRITES:
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(content)
    assert content.decode("utf-8").splitlines() == path.read_text(encoding="utf-8").splitlines()


def test_the_parts_of_a_takeoff(sample: tuple[str, Design]) -> None:
    name, design = sample
    tables = {t.key: t for t in takeoff_tables(design, take_off(design))}
    kept = {path.stem.removeprefix(f"{name}-") for path in KEPT.glob(f"{name}-*.csv")} - {"runs"}
    assert REWRITES or kept == tables.keys() & set(TABLES)
    for key in sorted(tables.keys() & set(TABLES)):
        held(f"{name}-{key}.csv", csv_bytes(tables[key]))


def test_the_runs(sample: tuple[str, Design]) -> None:
    name, design = sample
    held(f"{name}-runs.csv", csv_bytes(runs_table(design)))
