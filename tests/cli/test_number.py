"""Panels, ports and cable numbers from the command line."""

import shutil
from collections import Counter

import pytest

from app.resource_files import sample_path
from app.storage.lock import take_lock
from app.storage.project_file import load_project
from tests.cli.test_import_and_refusals import refused, run


@pytest.fixture
def terminal(tmp_path, monkeypatch):
    monkeypatch.setenv("DRAWCORD_STATE", str(tmp_path / "state"))
    path = tmp_path / "terminal.drawcord"
    shutil.copyfile(sample_path("ferry-terminal.drawcord"), path)
    return path


def ends(path):
    outlets = load_project(path).project.outlets.values()
    return {p.id: p.ends_at for o in outlets for p in o.ports if p.ends_at is not None}


def test_every_new_run_gets_a_port_of_its_own_and_once(terminal, capsys):
    history = len(load_project(terminal).history)
    status, out, err = run(capsys, "number", terminal)
    assert (status, err) == (0, "")
    assert out.splitlines()[-1] == f"Saved {terminal}"
    given = ends(terminal)
    assert len(set(given.values())) == len(given)
    project = load_project(terminal).project
    names = {f.id: f.name for f in project.frames.values()}
    counts = Counter(names[place.frame] for place in given.values())
    for line in out.splitlines()[:-1]:
        frame, _, told = line.partition(": ")
        assert int(told.split()[0]) == counts[frame]
        assert "A (new)" in told
    assert len(load_project(terminal).history) == history + 1
    again = refused(capsys, "number", terminal)
    assert "has its panel port already" in again
    assert ends(terminal) == given


def test_one_frame_alone(terminal, capsys):
    before = ends(terminal)
    status, out, _ = run(capsys, "number", terminal, "--frame", "m")
    assert status == 0
    assert out.startswith("M: ")
    project = load_project(terminal).project
    after = ends(terminal)
    given = [place for port, place in after.items() if port not in before]
    assert {project.frames[p.frame].name for p in given} == {"M"}
    assert after == before | {port: after[port] for port in after if port not in before}


def test_what_cannot_be_leaves_the_file_as_it_was(terminal, capsys):
    before = terminal.read_bytes()
    assert "the frames are: " in refused(capsys, "number", terminal, "--frame", "Z9")
    lock = take_lock(terminal)
    assert "is open already" in refused(capsys, "number", terminal)
    lock.release()
    assert terminal.read_bytes() == before
