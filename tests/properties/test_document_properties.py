"""Random edits with undo and redo: the project stays sound, and file and journal agree with it."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.editor.document import Document
from app.editor.plan_shelf import PlanShelf
from app.jobs import open_project, save_project
from app.model.integrity import check_project
from app.model.project import Project
from app.storage.history import EntryKind, decode_entry
from app.storage.journal import LINES_NAME, start_journal
from app.storage.journal_lines import read_journal
from app.storage.packed import pack_source
from app.storage.project_file import SavedProject, load_project
from app.storage.project_file import save_project as write_project
from app.storage.project_json import NO_MARK
from app.storage.recovery import replay
from tests.effort import examples
from tests.properties.random_edits import RandomEdits

PLAN = pack_source(b"a plan")
STEPS = 60


def by_id(project: Project) -> dict[str, object]:
    return {e.id: e for e in project.entities()}


def edits_of(seed: int) -> RandomEdits:
    return RandomEdits(seed, plan_hashes=(PLAN.sha256,))


def wander(document: Document, edits: RandomEdits, steps: int) -> list[Project]:
    """Edit, undo and redo at random; gives every state that was passed."""
    chance = random.Random(steps)
    passed = [document.project]
    for _ in range(steps):
        turn = chance.random()
        if turn < 0.2 and document.undo_label is not None:
            document.undo()
        elif turn < 0.35 and document.redo_label is not None:
            document.redo()
        else:
            document.commit(edits.patch(document.project))
        passed.append(document.project)
    return passed


def shelf() -> PlanShelf:
    return PlanShelf({PLAN.sha256: PLAN}, {PLAN.sha256: b"a plan"})


@given(st.integers(0, 10_000))
@settings(max_examples=examples(2), deadline=None)
def test_undoing_everything_gives_the_first_project_and_redoing_the_last(seed):
    edits = edits_of(seed)
    document = Document(edits.starting_project(), plans=shelf())
    first = by_id(document.project)
    wander(document, edits, STEPS)
    check_project(document.project)
    last = by_id(document.project)
    steps = 0
    while document.undo() is not None:
        steps += 1
    assert by_id(document.project) == first
    check_project(document.project)
    for _ in range(steps):
        document.redo()
    assert by_id(document.project) == last


@given(st.integers(0, 10_000))
@settings(max_examples=examples(2), deadline=None)
def test_the_history_replayed_forwards_and_backwards_meets_every_state(seed):
    edits = edits_of(seed)
    document = Document(edits.starting_project(), plans=shelf())
    passed = wander(document, edits, STEPS)
    entries = [decode_entry(line) for line in document.to_save().history]
    assert [e.number for e in entries] == list(range(1, STEPS + 1))
    assert {e.kind for e in entries} == {EntryKind.EDIT, EntryKind.UNDO, EntryKind.REDO}
    forwards = replay(passed[0], entries)
    assert forwards.refused == ()
    assert forwards.project == document.project
    state = document.project
    for entry, before in zip(reversed(entries), reversed(passed[:-1]), strict=True):
        state = state.apply(entry.patch.inverse())
        assert state == before


@pytest.mark.parametrize("seed", range(4))
def test_journal_and_file_give_the_same_project_again(tmp_path, seed):
    edits = edits_of(seed)
    start = edits.starting_project()
    path, state = tmp_path / "a.drawcord", tmp_path / "state"
    write_project(
        path,
        SavedProject(
            project=start,
            plan_sources={PLAN.sha256: PLAN},
            plan_drawings={PLAN.sha256: b"a plan"},
        ),
    )
    document = open_project(path, state=state).document()
    wander(document, edits, STEPS)
    half_way = document.project
    document.saved(save_project(document.to_save(), path, was=document.file))
    assert load_project(path).project == half_way
    wander(document, edits, STEPS)
    last, history = document.project, document.to_save().history
    document.close(keep_unsaved=True)
    again = open_project(path, state=state)
    assert again.project == last
    assert again.history == history
    document = again.document()
    document.saved(save_project(document.to_save(), path, was=document.file))
    document.close()
    loaded = load_project(path)
    assert loaded.project == last
    assert loaded.history == history


def test_the_journal_of_a_new_project_replays_to_it(tmp_path):
    edits = edits_of(11)
    start = edits.starting_project()
    journal = start_journal(tmp_path, path=None, base=start)
    document = Document(start, plans=shelf(), journal=journal, mark=NO_MARK)
    wander(document, edits, STEPS)
    content = read_journal((journal.folder / LINES_NAME).read_bytes())
    assert replay(start, content.entries).project == document.project
    assert content.lines == document.to_save().history
    document.close()


def test_any_one_byte_changed_in_a_history_line_is_noticed_by_the_journal(tmp_path):
    edits = edits_of(12)
    start = edits.starting_project()
    journal = start_journal(tmp_path, path=None, base=start)
    document = Document(start, plans=shelf(), journal=journal)
    wander(document, edits, 12)
    data = (journal.folder / LINES_NAME).read_bytes()
    document.close()
    first = data.index(b"\n") + 1
    chance = random.Random(1)
    for _ in range(300):
        at = chance.randrange(first, len(data))
        hurt = data[:at] + bytes([data[at] ^ chance.randrange(1, 256)]) + data[at + 1 :]
        content = read_journal(hurt)
        assert content.damaged or content.torn
        whole = data[first:at].count(b"\n")
        assert len(content.entries) <= 12
        assert [e.number for e in content.entries] == list(range(1, whole + 1))
