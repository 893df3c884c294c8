"""Patches form an algebra: they undo themselves, compose, and refuse what does not fit."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.model.entities import Building
from app.model.integrity import check_project
from app.model.project import Patch, PatchRefused, Project, adding, changing
from tests.properties.random_edits import RandomEdits, every_field

SEEDS = st.integers(min_value=0, max_value=10_000)


def by_id(project: Project) -> dict[str, object]:
    return {e.id: e for e in project.entities()}


@given(SEEDS)
@settings(max_examples=25, deadline=None)
def test_a_patch_and_its_inverse_leave_the_project_as_it_was(seed):
    edits = RandomEdits(seed)
    project = edits.starting_project()
    for _ in range(10):
        patch = edits.patch(project)
        after = project.apply(patch)
        assert by_id(after) != by_id(project)
        assert after.apply(patch.inverse()) == project
        assert patch.inverse().inverse() == patch
        project = after


@given(SEEDS)
@settings(max_examples=25, deadline=None)
def test_squashed_patches_do_what_they_do_one_by_one(seed):
    edits = RandomEdits(seed)
    start = project = edits.starting_project()
    whole = Patch("all", ())
    for _ in range(12):
        patch = edits.patch(project)
        project = project.apply(patch)
        whole = whole.squash(patch)
    assert start.apply(whole) == project
    assert by_id(project.apply(whole.inverse())) == by_id(start)
    assert whole.squash(whole.inverse()).changes == ()


@given(SEEDS)
@settings(max_examples=10, deadline=None)
def test_every_patch_leaves_a_sound_project_and_never_touches_the_one_before(seed):
    edits = RandomEdits(seed)
    project = edits.starting_project()
    check_project(project)
    for _ in range(20):
        before = by_id(project)
        after = project.apply(edits.patch(project))
        check_project(after)
        assert by_id(project) == before
        project = after


def test_the_random_edits_touch_every_field_of_every_kind_of_thing_and_every_setting():
    edits = RandomEdits(7)
    project = edits.starting_project()
    for _ in range(3_000):
        if not edits.untouched():
            break
        project = project.apply(edits.patch(project))
    print(f"{sum(edits.touched.values())} changes over {len(every_field())} fields")
    assert edits.untouched() == frozenset()


def test_a_stale_patch_is_refused():
    hall, shed = (Building(id="building-00000001", name=n) for n in ("Hall", "Shed"))
    project = Project().apply(adding("Add", [hall]))
    rename = changing("Rename", [(hall, shed)])
    project = project.apply(rename)
    with pytest.raises(PatchRefused, match="has changed since"):
        project.apply(rename)
