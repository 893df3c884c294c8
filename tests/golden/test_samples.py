"""The samples that travel with the program are what their script makes."""

import subprocess
import sys
from pathlib import Path

import msgspec
import numpy as np
import pytest

from app.drawing.plan_codec import decode_drawing
from app.drawing.plan_drawing import PlanDrawing
from app.drawing.symbols import outlet_symbol_names
from app.model.entities import Entity, Plan, RestorePoint
from app.resource_files import sample_path
from app.storage.packed import unpack_source
from app.storage.project_file import SavedProject, load_project

SAMPLES = ("ferry-terminal.drawcord", "small-office.drawcord")


@pytest.fixture(scope="module")
def made_anew(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("samples")
    command = [sys.executable, str(sample_path("make_samples.py")), str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, done.stderr
    return folder


def things(saved: SavedProject) -> list[Entity]:
    """Everything in the project; the hashes of packed bytes go with the packing library."""
    return [_without_hashes(e) for e in saved.project.entities()]


def _without_hashes(entity: Entity) -> Entity:
    match entity:
        case Plan():
            return msgspec.structs.replace(entity, source_sha256="", drawing_sha256="")
        case RestorePoint():
            return msgspec.structs.replace(entity, state_sha256="", plan_hashes=())
    return entity


def drawings(saved: SavedProject) -> list[PlanDrawing]:
    plans = saved.project.plans.values()
    return [decode_drawing(saved.plan_drawings[p.drawing_sha256]) for p in plans]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_kept_sample_is_what_its_script_makes(made_anew: Path, name: str) -> None:
    kept, made = load_project(sample_path(name)), load_project(made_anew / name)
    assert kept.notes == made.notes == ()
    assert things(kept) == things(made)
    for old, new in zip(drawings(kept), drawings(made), strict=True):
        assert [layer.name for layer in old.layers] == [layer.name for layer in new.layers]
        for one, other in zip(old.layers, new.layers, strict=True):
            assert one.segments.shape == other.segments.shape
            assert np.allclose(one.segments, other.segments, atol=0.01)
            assert [t.text for t in one.texts] == [t.text for t in other.texts]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_kept_sample_carries_the_plans_that_lie_beside_it(name: str) -> None:
    saved = load_project(sample_path(name))
    for plan in saved.project.plans.values():
        beside = sample_path(plan.source_name).read_bytes()
        assert unpack_source(saved.plan_sources[plan.source_sha256]) == beside


@pytest.mark.parametrize("name", SAMPLES)
def test_every_outlet_of_a_sample_has_a_symbol_of_its_own(name: str) -> None:
    kinds = load_project(sample_path(name)).project.outlet_kinds.values()
    assert {k.symbol for k in kinds} <= set(outlet_symbol_names()) - {"generic"}
