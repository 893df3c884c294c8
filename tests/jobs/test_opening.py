"""Opening, saving and coming back after a crash."""

import os
import shutil
import time

import msgspec

from app.editor.document import Document
from app.jobs import begin_project, new_project, open_project, recover_unsaved
from app.model.entities import Building, Plan
from app.model.ids import counting_source
from app.model.project import Project, adding
from app.storage.journal import LINES_NAME
from app.storage.journal_lines import ENTRY, framed
from app.storage.lock import is_held
from app.storage.packed import sha256_of
from app.storage.project_file import SavedProject, load_project, save_project
from app.storage.recovery import abandoned_journals, journals_set_aside, unsaved_projects
from tests.jobs.hall import HALL, crash, hall_name, opened, rename, save


def test_a_clean_close_leaves_nothing_behind(path, state):
    document = opened(path, state)
    rename(document, "Shed")
    assert not document.is_saved
    save(document, path)
    assert document.is_saved
    document.close()
    assert list((state / "journals").iterdir()) == []
    assert [p.name for p in path.parent.iterdir()] == [path.name]
    assert hall_name(opened(path, state)) == "Shed"


def test_unsaved_edits_come_back_and_can_be_undone_and_redone(path, state):
    document = opened(path, state)
    rename(document, "A", "B", "C")
    document.undo()
    crash(document)
    again = open_project(path, state=state)
    assert "4 edits were recovered" in again.notes[0]
    document = again.document()
    assert hall_name(document) == "B"
    assert not document.is_saved
    assert (document.undo_label, document.redo_label) == ("Rename B", "Rename C")
    document.redo()
    assert hall_name(document) == "C"
    for _ in range(3):
        document.undo()
    assert hall_name(document) == "Hall"
    assert len(document.to_save().history) == 8
    save(document, path)
    document.close()
    assert len(load_project(path).history) == 8


def test_an_undo_of_what_was_saved_comes_back_too(path, state):
    document = opened(path, state)
    rename(document, "A")
    save(document, path)
    document.undo()
    crash(document)
    document = opened(path, state)
    assert hall_name(document) == "Hall"
    assert document.redo_label == "Rename A"
    document.redo()
    assert hall_name(document) == "A"


def test_edits_come_back_after_one_crash_upon_another(path, state):
    for name in "ABCD":
        document = opened(path, state)
        rename(document, name)
        crash(document)
    document = opened(path, state)
    assert hall_name(document) == "D"
    assert len(abandoned_journals(state)) == 0
    document.close()


def test_dropped_edits_do_not_come_back(path, state):
    document = opened(path, state)
    rename(document, "A")
    document.close()
    again = open_project(path, state=state)
    assert again.notes == ()
    assert hall_name(again.document()) == "Hall"


def test_a_file_that_was_moved_finds_its_journal(path, state, tmp_path):
    document = opened(path, state)
    rename(document, "A")
    crash(document)
    moved = tmp_path / "elsewhere.drawcord"
    path.rename(moved)
    assert hall_name(opened(moved, state)) == "A"


def test_a_copy_does_not_take_the_edits_of_its_original(path, state, tmp_path):
    copy = tmp_path / "copy.drawcord"
    shutil.copyfile(path, copy)
    document = opened(path, state)
    rename(document, "A")
    crash(document)
    assert hall_name(opened(copy, state)) == "Hall"
    assert hall_name(opened(path, state)) == "A"


def test_edits_for_another_state_of_the_file_are_set_aside_and_offered(path, state):
    document = opened(path, state)
    rename(document, "A")
    crash(document)
    save_project(path, SavedProject(project=Project([msgspec.structs.replace(HALL, name="New")])))
    again = open_project(path, state=state)
    assert hall_name(again.document()) == "New"
    assert "do not belong to the file" in again.notes[0]
    offered = journals_set_aside(state)
    assert [e.patch.label for e in offered[0].content.entries] == ["Rename A"]


def test_edits_after_one_that_does_not_fit_are_set_aside(path, state):
    document = opened(path, state)
    rename(document, "A", "B")
    folder = document._journal.folder
    crash(document)
    lines = folder / LINES_NAME
    rows = lines.read_bytes().split(b"\n")
    strange = rows[1][11:].replace(b'"Hall"', b'"Barn"')
    rows[1] = framed(ENTRY, strange).rstrip(b"\n")
    lines.write_bytes(b"\n".join(rows))
    again = open_project(path, state=state)
    assert hall_name(again.document()) == "Hall"
    assert "2 more edits in the journal could not be made again" in again.notes[0]
    assert len(journals_set_aside(state)[0].content.entries) == 2


def test_a_torn_last_line_is_ignored_without_a_word(path, state):
    document = opened(path, state)
    rename(document, "A", "B")
    folder = document._journal.folder
    crash(document)
    lines = folder / LINES_NAME
    lines.write_bytes(lines.read_bytes()[:-20])
    again = open_project(path, state=state)
    assert hall_name(again.document()) == "A"
    assert len(again.notes) == 1
    assert "1 edit was recovered" in again.notes[0]


def test_a_journal_without_a_readable_beginning_is_set_aside_whole(path, state):
    document = opened(path, state)
    rename(document, "A")
    folder = document._journal.folder
    crash(document)
    (folder / LINES_NAME).write_bytes(b"garbage\n")
    assert hall_name(opened(path, state)) == "Hall"
    kept = list((state / "set-aside").iterdir())
    assert (kept[0] / LINES_NAME).read_bytes() == b"garbage\n"


def test_half_begun_and_half_removed_journals_are_swept_away_after_an_hour(path, state):
    for name, age_s in ((".journal-a", 7_200), (".journal-b.removed", 7_200), (".journal-c", 1)):
        folder = state / "journals" / name
        folder.mkdir(parents=True)
        (folder / LINES_NAME).write_bytes(b"half")
        then = time.time() - age_s
        os.utime(folder, (then, then))
    opened(path, state).close()
    assert [f.name for f in (state / "journals").iterdir()] == [".journal-c"]


def plan_with(document: Document, original: bytes, drawing: bytes) -> Plan:
    source_sha256, drawing_sha256 = document.plans.add(original, drawing)
    floor = next(iter(document.project.floors), "")
    return Plan(
        id="plan-00000001",
        floor=floor,
        name="A",
        source_name="a.dxf",
        source_sha256=source_sha256,
        drawing_sha256=drawing_sha256,
        mm_per_unit=1.0,
    )


def test_a_plan_lies_beside_the_journal_before_its_edit_is_committed(tmp_path, state):
    path = tmp_path / "b.drawcord"
    save_project(path, SavedProject(project=new_project(source=counting_source())))
    document = opened(path, state)
    document.commit(adding("Import plan", [plan_with(document, b"original", b"drawing")]))
    crash(document)
    again = open_project(path, state=state)
    assert again.plan_drawings == {sha256_of(b"drawing"): b"drawing"}
    document = again.document()
    save(document, path)
    document.close()
    loaded = load_project(path)
    assert loaded.notes == ()
    assert list(loaded.plan_drawings.values()) == [b"drawing"]


def test_a_plan_brought_back_by_undo_after_saving_without_it_is_safe_too(tmp_path, state):
    path = tmp_path / "b.drawcord"
    save_project(path, SavedProject(project=new_project(source=counting_source())))
    document = opened(path, state)
    plan = plan_with(document, b"original", b"drawing")
    document.commit(adding("Import plan", [plan]))
    save(document, path)
    document.close()
    document = opened(path, state)
    document.commit(adding("x", [plan]).inverse("Remove plan"))
    save(document, path)
    assert load_project(path).plan_drawings == {}
    document.undo()
    crash(document)
    again = open_project(path, state=state)
    assert again.plan_drawings == {sha256_of(b"drawing"): b"drawing"}


def test_a_new_project_that_was_never_saved_comes_back(state):
    project = new_project(name="Pier", source=counting_source())
    document = begin_project(SavedProject(project=project), state=state).document()
    annex = Building(id="building-000000zz", name="Annex")
    document.commit(adding("Add building", [annex]))
    document.commit(adding("Import plan", [plan_with(document, b"original", b"drawing")]))
    crash(document)
    left = unsaved_projects(abandoned_journals(state))
    assert len(left) == 1
    again = recover_unsaved(left[0], state=state)
    document = again.document()
    assert document.project.site.name == "Pier"
    assert document.undo_label == "Import plan"
    assert again.plan_drawings == {sha256_of(b"drawing"): b"drawing"}
    assert document.path is None
    crash(document)
    assert len(unsaved_projects(abandoned_journals(state))) == 1


def test_a_new_project_once_saved_is_found_by_its_file(tmp_path, state):
    path = tmp_path / "pier.drawcord"
    document = begin_project(SavedProject(project=Project([HALL])), state=state).document()
    rename(document, "A")
    save(document, path)
    rename(document, "B")
    crash(document)
    assert unsaved_projects(abandoned_journals(state)) == ()
    assert hall_name(opened(path, state)) == "B"


def test_save_as_takes_the_edits_along_and_leaves_the_first_file(path, state, tmp_path):
    other = tmp_path / "other.drawcord"
    document = opened(path, state)
    rename(document, "A")
    save(document, other)
    assert not is_held(path)
    assert is_held(other)
    rename(document, "B")
    crash(document)
    assert hall_name(opened(path, state)) == "Hall"
    assert hall_name(opened(other, state)) == "B"
