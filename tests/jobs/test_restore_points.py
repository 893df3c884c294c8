"""Restore points in files: what a kill, damage and a lost plan cost."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.jobs.opening import open_project
from app.jobs.restore_points import (
    compare_file,
    make_in_file,
    making,
    return_in_file,
    returning,
    state_of,
)
from app.model.project import PatchRefused, adding, removing
from app.storage import bounds
from app.storage.failures import SaveFailed
from app.storage.packed import PackedSource, pack_source
from app.storage.project_file import load_project, save_project
from app.storage.states import UnreadableState, pack_state, unpack_state, without_points
from tests.jobs.hall import HALL, crash, hall_name, opened, rename, save
from tests.storage.samples import PLAN_DRAWING, changed_zip, with_plan

CHECKOUT = Path(__file__).resolve().parents[2]
MAKE_AND_WAIT = """
import sys
from pathlib import Path
from app.jobs import open_project
from app.jobs.restore_points import making
document = open_project(Path(sys.argv[1]), state=Path(sys.argv[2])).document()
document.commit(making(document, name="as sent"))
print("made", flush=True)
input()
"""


def only_point(document):
    (point,) = document.project.restore_points.values()
    return point


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such signal here")
def test_a_point_survives_the_kill_right_after_it_was_made(path, state):
    command = [sys.executable, "-c", MAKE_AND_WAIT, str(path), str(state)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=CHECKOUT
    ) as process:
        assert process.stdout.readline() == b"made\n"
        os.kill(process.pid, signal.SIGKILL)
        process.wait(10)
    document = opened(path, state)
    rename(document, "Shed")
    document.commit(returning(document.project, only_point(document), document.plans.sources))
    assert hall_name(document) == HALL.name
    document.close()


def test_a_file_is_made_compared_and_returned_without_a_window(path, state):
    make_in_file(path, "as sent", state=state)
    document = opened(path, state)
    rename(document, "Shed")
    save(document, path)
    document.close()
    _, point, found, notes = compare_file(path, "AS SENT")
    assert point.name == "as sent"
    assert notes == ()
    assert [row[:3] for row in found.things.rows] == [("building", "changed", "Shed")]
    assert found.things.rows[0][5] == "name Hall → Shed"
    return_in_file(path, "as sent", state=state)
    assert load_project(path).project.buildings[HALL.id].name == HALL.name
    document = opened(path, state)
    assert document.undo_label is None
    document.close()


def test_what_is_refused_leaves_the_file_and_no_journal(path, state):
    make_in_file(path, "as sent", state=state)
    before = path.read_bytes()
    with pytest.raises(InputProblem, match="already"):
        make_in_file(path, "As Sent ", state=state)
    with pytest.raises(InputProblem, match="Nothing has changed"):
        return_in_file(path, "as sent", state=state)
    with pytest.raises(InputProblem, match="there are “as sent”"):
        return_in_file(path, "other", state=state)
    assert path.read_bytes() == before
    assert list((state / "journals").glob("journal-*")) == []


@pytest.mark.parametrize("content", [None, b"", b"no zlib", pack_source(b"{}").data])
def test_a_missing_or_damaged_state_costs_only_itself(path, state, content):
    make_in_file(path, "one", state=state)
    document = opened(path, state)
    rename(document, "Shed")
    document.commit(making(document, name="two"))
    save(document, path)
    document.close()
    saved = load_project(path)
    points = {p.name: p for p in saved.project.restore_points.values()}
    entry = f"states/{points['one'].state_sha256}.state"
    path.write_bytes(changed_zip(path.read_bytes(), {entry: content}))
    again = open_project(path, state=state)
    if content is None:
        assert "restore point “one” is missing or damaged" in " ".join(again.notes)
    document = again.document()
    with pytest.raises(UnreadableState, match="“one” cannot be used"):
        state_of(points["one"], document.plans.sources)
    assert state_of(points["two"], document.plans.sources).buildings[HALL.id].name == "Shed"
    rename(document, "Barn")
    save(document, path)
    document.close()


def test_a_state_that_unpacks_to_too_much_or_is_no_project_is_refused(monkeypatch, path):
    whole = pack_state(load_project(path).project)
    monkeypatch.setattr(bounds, "LARGEST_PROJECT_BYTES", 10)
    with pytest.raises(UnreadableState, match="too large"):
        unpack_state(whole)
    monkeypatch.undo()
    with pytest.raises(UnreadableState, match="not the one"):
        unpack_state(PackedSource("0" * 64, whole.data))
    with pytest.raises(UnreadableState):
        unpack_state(pack_source(b'{"format": "something"}'))


def test_a_state_too_large_for_a_file_is_refused_when_saving(monkeypatch, path, state):
    document = opened(path, state)
    document.commit(making(document, name="as sent"))
    monkeypatch.setattr(bounds, "LARGEST_STATE_BYTES", 10)
    with pytest.raises(SaveFailed, match="restore point “as sent”"):
        save(document, path)
    document.close()


def test_a_plan_that_was_removed_comes_back_with_its_drawing(tmp_path, state):
    path = tmp_path / "plan.drawcord"
    save_project(path, with_plan())
    make_in_file(path, "with plan", state=state)
    document = opened(path, state)
    (plan,) = document.project.plans.values()
    document.commit(removing("Remove the plan", [plan]))
    save(document, path)
    document.close()
    saved = load_project(path)
    assert not saved.project.plans
    assert list(saved.plan_drawings.values()) == [PLAN_DRAWING]
    return_in_file(path, "with plan", state=state)
    loaded = load_project(path)
    assert list(loaded.project.plans.values()) == [plan]
    assert loaded.plan_drawings == {plan.drawing_sha256: PLAN_DRAWING}
    assert loaded.notes == ()


def test_undoing_the_making_and_making_it_again_keeps_the_state_safe(path, state):
    document = opened(path, state)
    document.commit(making(document, name="as sent"))
    document.undo()
    save(document, path)
    document.redo()
    crash(document)
    document = opened(path, state)
    kept = state_of(only_point(document), document.plans.sources)
    assert kept == without_points(document.project)
    document.close()


def test_edits_that_a_crash_left_are_kept_when_the_point_cannot_be_made(path, state):
    make_in_file(path, "one", state=state)
    document = opened(path, state)
    rename(document, "Shed")
    crash(document)
    with pytest.raises(InputProblem):
        make_in_file(path, "one", state=state)
    document = opened(path, state)
    assert hall_name(document) == "Shed"
    document.close()


def test_a_point_whose_bytes_nobody_has_is_refused(path, state):
    document = opened(path, state)
    made = making(document, name="as sent").changes[0].after
    point = replace(made, state_sha256="0" * 64)
    with pytest.raises(PatchRefused, match="state that the restore point keeps"):
        document.commit(adding("Make a point", [point]))
    document.close()
