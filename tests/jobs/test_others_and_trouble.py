"""Opening and saving where others have the file, and where nothing can be written."""

import os
import shutil
from dataclasses import replace

import msgspec
import pytest

from app.editor.document import EditNotKept
from app.jobs import FileChanged, new_project, open_project
from app.jobs import save_project as save_job
from app.jobs import saving as saving_module
from app.model.entities import Plan
from app.model.ids import counting_source
from app.model.project import Project, adding
from app.storage import bounds
from app.storage import lock as lock_module
from app.storage.failures import SaveFailed, UnreadableProject
from app.storage.journal import LINES_NAME
from app.storage.lock import Locked, is_held, take_lock
from app.storage.project_file import SavedProject, load_project, save_project
from tests.jobs.hall import HALL, crash, hall_name, opened, rename, save


def test_a_file_open_elsewhere_is_not_opened_unless_by_force(path, state):
    document = opened(path, state)
    rename(document, "A")
    with pytest.raises(Locked):
        open_project(path, state=state)
    second = open_project(path, state=state, by_force=True)
    assert second.recovered == ()
    second.document().close()
    assert hall_name(document) == "A"


def test_saving_over_a_file_that_is_open_elsewhere_is_refused(path, state, tmp_path):
    other = tmp_path / "other.drawcord"
    shutil.copyfile(path, other)
    lock = take_lock(other)
    document = opened(path, state)
    before = other.read_bytes()
    with pytest.raises(SaveFailed, match="Save under another name"):
        save(document, other)
    assert other.read_bytes() == before
    lock.release()


def test_a_file_that_somebody_changed_meanwhile_is_not_overwritten_unasked(path, state):
    document = opened(path, state)
    rename(document, "A")
    theirs = SavedProject(project=Project([msgspec.structs.replace(HALL, name="Theirs" * 5)]))
    save_project(path, theirs)
    with pytest.raises(FileChanged, match="changed by somebody else"):
        save(document, path)
    assert load_project(path).project == theirs.project
    file = save_job(document.to_save(), path, was=document.file, overwrite=True)
    document.saved(file)
    assert load_project(path).project == document.project


def test_a_failed_save_leaves_the_document_unsaved_and_its_lock_held(path, state, monkeypatch):
    document = opened(path, state)
    rename(document, "A")

    def failing(*_args, **_kwargs):
        raise SaveFailed("no room")

    monkeypatch.setattr(saving_module, "write_project", failing)
    with pytest.raises(SaveFailed):
        save(document, path)
    assert not document.is_saved
    assert is_held(path)
    with pytest.raises(SaveFailed):
        save_job(document.to_save(), path.with_name("new.drawcord"), was=document.file)
    assert not is_held(path.with_name("new.drawcord"))
    crash(document)
    assert hall_name(opened(path, state)) == "A"


# --- folders that cannot be written -----------------------------------------------------------


def test_a_read_only_folder_can_be_opened_from(path, state, monkeypatch):
    system_open = os.open

    def denied(name, flags, *args):
        if str(name).endswith("a.drawcord.lock"):
            raise PermissionError(13, "Permission denied")
        return system_open(name, flags, *args)

    monkeypatch.setattr(lock_module.os, "open", denied)
    again = open_project(path, state=state)
    assert again.file.lock is None
    assert "you may not write there" in again.notes[0]
    document = again.document()
    rename(document, "A")
    crash(document)
    monkeypatch.undo()
    assert hall_name(opened(path, state)) == "A"


def test_without_a_state_folder_one_works_and_is_told(path, tmp_path):
    (tmp_path / "file").write_bytes(b"")
    again = open_project(path, state=tmp_path / "file" / "state")
    assert any("not safe from a crash" in note for note in again.notes)
    document = again.document()
    assert document.journal_problem is not None
    rename(document, "A")
    save(document, path)
    assert load_project(path).project == document.project


def test_a_damaged_file_is_kept_as_it_was_found(path, state):
    saved = load_project(path)
    project = new_project(source=counting_source())
    floor = next(iter(project.floors))
    plan = Plan(
        id="plan-00000001",
        floor=floor,
        name="A",
        source_name="a.dxf",
        source_sha256="0" * 64,
        drawing_sha256="1" * 64,
        mm_per_unit=1.0,
    )
    save_project(path, replace(saved, project=project.apply(adding("x", [plan]))))
    before = path.read_bytes()
    again = open_project(path, state=state)
    assert "is missing or damaged" in again.notes[0]
    kept = next((state / "set-aside").iterdir())
    assert kept.read_bytes() == before
    assert str(kept) in again.notes[-1]


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"nonsense" * 100])
def test_a_file_that_cannot_be_opened_is_not_left_locked(path, state, content):
    path.write_bytes(content)
    with pytest.raises(UnreadableProject):
        open_project(path, state=state)
    assert not is_held(path)
    with pytest.raises(UnreadableProject, match="There is no file"):
        open_project(path.with_name("none.drawcord"), state=state)
    assert [p.name for p in path.parent.iterdir()] == [path.name]


def test_a_journal_never_grows_beyond_what_is_read_and_saving_begins_a_new_one(
    path, state, monkeypatch
):
    document = opened(path, state)
    rename(document, "A")
    size = (document._journal.folder / LINES_NAME).stat().st_size
    monkeypatch.setattr(bounds, "LARGEST_JOURNAL_BYTES", size + 10)
    with pytest.raises(EditNotKept, match="the file would be too large"):
        rename(document, "B")
    assert hall_name(document) == "A"
    save(document, path)
    rename(document, "B")
    crash(document)
    assert hall_name(opened(path, state)) == "B"
