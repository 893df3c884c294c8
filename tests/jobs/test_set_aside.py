"""What was set aside: never overwritten, never in the way, and opened as a project again."""

from pathlib import Path

import msgspec
import pytest

from app.editor.document import Document
from app.jobs import open_project, open_set_aside
from app.model.entities import Building
from app.model.project import Project, adding, changing
from app.storage import recovery
from app.storage.failures import UnreadableProject
from app.storage.journal import LINES_NAME
from app.storage.project_file import SavedProject, save_project
from app.storage.recovery import (
    FoundJournal,
    journals_set_aside,
    put_away,
    set_aside,
    set_aside_copy,
)
from tests.jobs.hall import HALL

ANNEX = Building(id="building-000000zz", name="Annex")


def renamed(name: str) -> Building:
    return msgspec.structs.replace(HALL, name=name)


def left_by_a_crash(path: Path, state: Path) -> Document:
    """Two edits, of which only the second fits once somebody else has renamed the hall."""
    document = open_project(path, state=state).document()
    document.commit(changing("Rename", [(HALL, renamed("Shed"))]))
    document.commit(adding("Add the annex", [ANNEX]))
    document.close(keep_unsaved=True)
    return document


def one_set_aside(path: Path, state: Path) -> FoundJournal:
    left_by_a_crash(path, state)
    save_project(path, SavedProject(project=Project([renamed("Theirs")])))
    open_project(path, state=state).let_go()
    (found,) = journals_set_aside(state)
    return found


@pytest.fixture
def one_second(monkeypatch):
    """All happens within one second, by the clock."""
    monkeypatch.setattr(recovery.time, "strftime", lambda *_: "20261125-083000")


def test_names_are_never_taken_twice(tmp_path, state, one_second):
    for content in (b"first", b"second", b"third"):
        folder = tmp_path / "journal-00000001"
        folder.mkdir()
        (folder / LINES_NAME).write_bytes(content)
        kept = set_aside(state, folder, "why")
        assert (kept / LINES_NAME).read_bytes() == content
        file = tmp_path / "a.drawcord"
        file.write_bytes(content)
        assert set_aside_copy(state, file).read_bytes() == content
    names = sorted(p.name for p in (state / "set-aside").iterdir())
    assert names == [
        "a-20261125-083000-2.drawcord",
        "a-20261125-083000-3.drawcord",
        "a-20261125-083000.drawcord",
        "journal-00000001-20261125-083000",
        "journal-00000001-20261125-083000-2",
        "journal-00000001-20261125-083000-3",
    ]


def test_what_cannot_be_set_aside_keeps_no_project_from_opening(path, state):
    left_by_a_crash(path, state)
    save_project(path, SavedProject(project=Project([renamed("Theirs")])))
    unreadable = state / "journals" / "journal-0000000x"
    (unreadable / "plans").mkdir(parents=True)
    (unreadable / LINES_NAME).write_bytes(b"garbage\n")
    (state / "set-aside").write_bytes(b"a file where the folder should be")
    opened = open_project(path, state=state)
    assert opened.project.buildings[HALL.id].name == "Theirs"
    assert any("2 unsaved edits" in note for note in opened.notes)
    opened.let_go()
    left = list((state / "journals").iterdir())
    assert len(left) == 2, "both stay where they were"


def test_edits_of_a_file_are_made_again_on_a_copy_as_far_as_they_fit(path, state):
    aside = one_set_aside(path, state)
    assert "does not continue the file" in aside.reason
    before = path.read_bytes()
    opened = open_set_aside(aside, state=state)
    assert "1 of 2 edits" in opened.notes[0]
    document = opened.document()
    assert document.path is None
    names = {b.name for b in document.project.buildings.values()}
    assert names == {"Theirs", "Annex"}
    assert document.undo_label == "Add the annex"
    document.undo()
    assert ANNEX.id not in document.project.buildings
    document.close()
    assert path.read_bytes() == before
    assert len(journals_set_aside(state)) == 1


def test_edits_of_which_none_fits_are_kept_and_it_is_said(path, state):
    aside = one_set_aside(path, state)
    other = [renamed("Theirs"), msgspec.structs.replace(ANNEX, name="Their annex")]
    save_project(path, SavedProject(project=Project(other)))
    with pytest.raises(UnreadableProject, match="None of the 2 edits fits"):
        open_set_aside(aside, state=state)
    path.unlink()
    with pytest.raises(UnreadableProject, match="There is no file"):
        open_set_aside(aside, state=state)
    assert len(journals_set_aside(state)) == 1


def test_what_is_put_away_is_offered_no_more_and_still_there(path, state):
    aside = one_set_aside(path, state)
    kept = put_away(state, aside)
    assert journals_set_aside(state) == ()
    assert (kept / LINES_NAME).read_bytes()
