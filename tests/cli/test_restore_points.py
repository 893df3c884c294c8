"""Restore points from the command line."""

import shutil
from dataclasses import replace as with_fields

import pytest
from msgspec.structs import replace

from app.model.project import changing
from app.resource_files import sample_path
from app.storage.lock import take_lock
from app.storage.project_file import load_project, save_project
from tests.cli.test_import_and_refusals import refused, run


@pytest.fixture
def office(tmp_path, monkeypatch):
    monkeypatch.setenv("DRAWCORD_STATE", str(tmp_path / "state"))
    path = tmp_path / "office.drawcord"
    shutil.copyfile(sample_path("small-office.drawcord"), path)
    return path


def move_one(path) -> str:
    saved = load_project(path)
    outlet = next(iter(saved.project.outlets.values()))
    patch = changing("Move", [(outlet, replace(outlet, x_mm=outlet.x_mm + 3_000))])
    save_project(path, with_fields(saved, project=saved.project.apply(patch)))
    return outlet.number


def test_made_listed_compared_and_returned(office, capsys):
    before = load_project(office).project
    name = "as sent to client, rev A"
    assert "There is no restore point" in said(capsys, office)
    said(capsys, office, "--make", name)
    assert name in said(capsys, office)
    number = move_one(office)
    told = said(capsys, office, "--compare", name)
    assert "1 outlet changed." in told
    line = next(text for text in told.splitlines() if "moved 3.00 m" in text)
    assert number in line
    assert "Cable installed" in told
    said(capsys, office, "--return", name.upper())
    after = load_project(office).project
    assert after.outlets == before.outlets
    assert len(after.restore_points) == 1


@pytest.mark.parametrize("how", ["--compare", "--return"])
def test_an_unknown_name_is_refused_in_one_line(office, capsys, how):
    told = refused(capsys, "restore-points", office, how, "nothing")
    assert told.startswith("drawcord: There is no restore point")


def test_a_file_that_is_open_is_refused(office, capsys):
    lock = take_lock(office)
    assert "is open already" in refused(capsys, "restore-points", office, "--make", "a")
    lock.release()


def test_two_wishes_at_once_are_refused(office, capsys):
    told = refused(capsys, "restore-points", office, "--make", "a", "--compare", "b")
    assert "not allowed with" in told


def said(capsys, office, *words) -> str:
    status, out, err = run(capsys, "restore-points", office, *words)
    assert (status, err) == (0, "")
    return out
