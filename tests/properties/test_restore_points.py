"""Returning to a restore point gives its project again, whatever was edited in between."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.editor.document import Document
from app.jobs import open_project, save_project
from app.jobs.restore_points import making, returning, state_of
from app.model.integrity import check_project
from app.storage.project_file import SavedProject
from app.storage.project_file import save_project as write_project
from app.storage.states import without_points
from tests.effort import examples
from tests.properties.random_edits import RandomEdits
from tests.properties.test_document_properties import PLAN, edits_of, shelf, wander

STEPS = 25


def point_of(document: Document, name: str) -> object:
    return next(p for p in document.project.restore_points.values() if p.name == name)


def return_home(document: Document, edits: RandomEdits, name: str) -> None:
    """Return to a point and undo it, and hold both against what stood before."""
    home = state_of(point_of(document, name), document.plans.sources)
    before = document.project
    points = dict(before.restore_points)
    if without_points(before) == home:
        return
    retired = document.to_save().retired
    document.commit(returning(before, point_of(document, name), document.plans.sources))
    assert without_points(document.project) == home
    assert document.project.restore_points == points
    check_project(document.project)
    still = document.to_save().retired
    assert all(set(numbers) <= set(still[tag]) for tag, numbers in retired.items())
    document.undo()
    assert document.project == before
    assert document.to_save().retired == retired
    document.redo()


@given(st.integers(0, 10_000))
@settings(max_examples=examples(3), deadline=None)
def test_returning_gives_the_projects_of_the_points_and_undo_the_one_before(seed):
    edits = edits_of(seed)
    document = Document(edits.starting_project(), plans=shelf())
    chance, names, kept = random.Random(seed), [], {}
    for turn in range(4):
        wander(document, edits, STEPS)
        name = f"point {seed} {turn}"
        if any(p.name == name for p in document.project.restore_points.values()):
            continue
        kept[name] = without_points(document.project)
        document.commit(making(document, name=name))
        names.append(name)
    wander(document, edits, STEPS)
    there = {p.name: p for p in document.project.restore_points.values()}
    # A random edit may have removed, renamed or rewritten a point like any other thing.
    sound = [n for n in names if n in there and there[n].state_sha256 != PLAN.sha256]
    for name in chance.sample(sound, len(sound)):
        assert state_of(there[name], document.plans.sources) == kept[name]
        return_home(document, edits, name)


@pytest.mark.parametrize("seed", range(3))
def test_file_and_journal_keep_the_points_and_their_states(tmp_path, seed):
    edits = edits_of(seed)
    path, state = tmp_path / "a.drawcord", tmp_path / "state"
    start = SavedProject(
        project=edits.starting_project(),
        plan_sources={PLAN.sha256: PLAN},
        plan_drawings={PLAN.sha256: b"a plan"},
    )
    write_project(path, start)
    document = open_project(path, state=state).document()
    document.commit(making(document, name="one"))
    one = without_points(document.project)
    for _ in range(5):
        document.commit(edits.patch(document.project))
    document.saved(save_project(document.to_save(), path, was=document.file))
    document.commit(making(document, name="two"))
    two = without_points(document.project)
    document.close(keep_unsaved=True)

    again = open_project(path, state=state)
    assert len(again.recovered) == 1
    document = again.document()
    kept = document.plans.sources
    assert state_of(point_of(document, "one"), kept) == one
    assert state_of(point_of(document, "two"), kept) == two
    document.saved(save_project(document.to_save(), path, was=document.file))
    document.close()
    last = open_project(path, state=state)
    assert state_of(point_of(last.document(), "two"), last.plan_sources) == two
    assert last.notes == ()
