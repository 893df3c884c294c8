"""Numbers of removed things are remembered as long as the project lives."""

import json
import zipfile

import msgspec
import pytest

from app.editor.document import Document
from app.jobs import begin_project, open_project, recover_unsaved, save_project
from app.model.entities import Building, Floor, Outlet, OutletKind, Pathway, Riser
from app.model.project import Project, adding, changing, removing
from app.storage.project_file import SavedProject, load_project
from app.storage.project_file import save_project as write_project
from app.storage.recovery import abandoned_journals, unsaved_projects

HALL = Building(id="building-00000001", name="Hall")
GROUND = Floor(id="floor-00000001", building=HALL.id, name="0", level_mm=0)
KIND = OutletKind(id="outlet-kind-00000001", name="Two ports", ports=())


def outlet(number: int) -> Outlet:
    return Outlet(
        id=f"outlet-{number:08d}",
        floor=GROUND.id,
        kind=KIND.id,
        x_mm=0,
        y_mm=0,
        number=f"0-{number:02d}",
        ports=(),
    )


FIRST, SECOND, THIRD = outlet(1), outlet(2), outlet(3)


@pytest.fixture
def project() -> Project:
    return Project([HALL, GROUND, KIND, FIRST, SECOND, THIRD])


def outlets(document: Document) -> frozenset[str]:
    return document.retired_numbers(Outlet)


def test_the_number_of_a_removed_thing_is_retired_until_its_removal_is_undone(project):
    document = Document(project)
    assert outlets(document) == frozenset()
    document.commit(removing("Remove", [FIRST, THIRD]))
    assert outlets(document) == {"0-01", "0-03"}
    assert document.retired_numbers(Riser) == document.retired_numbers(Pathway) == frozenset()
    document.undo()
    assert outlets(document) == frozenset()
    document.redo()
    assert outlets(document) == {"0-01", "0-03"}


def test_undoing_an_addition_retires_nothing_but_removing_it_does(project):
    document = Document(project)
    fourth = outlet(4)
    document.commit(adding("Add", [fourth]))
    document.undo()
    assert outlets(document) == frozenset()
    document.redo()
    document.commit(removing("Remove", [fourth]))
    document.undo()
    document.undo()
    assert outlets(document) == frozenset()
    document.redo()
    document.redo()
    assert outlets(document) == {"0-04"}


def test_of_two_with_one_number_the_other_stays_retired(project):
    document = Document(project)
    twin = msgspec.structs.replace(SECOND, number=FIRST.number)
    document.commit(changing("Number", [(SECOND, twin)]))
    document.commit(removing("Remove", [FIRST]))
    document.commit(removing("Remove", [twin]))
    document.undo()
    assert outlets(document) == {"0-01"}


def test_they_survive_saving_loading_and_the_loss_of_the_history(project, tmp_path):
    path, state = tmp_path / "a.drawcord", tmp_path / "state"
    write_project(path, SavedProject(project=project))
    document = open_project(path, state=state).document()
    document.commit(removing("Remove", [SECOND]))
    document.saved(save_project(document.to_save(), path, was=document.file))
    document.close()
    with zipfile.ZipFile(path) as archive:
        assert json.loads(archive.read("project.json"))["retired"] == {"outlet": ["0-02"]}
    loaded = load_project(path)
    write_project(path, SavedProject(project=loaded.project, retired=loaded.retired))
    document = open_project(path, state=state).document()
    assert document.to_save().history == ()
    assert outlets(document) == {"0-02"}
    document.close()


def test_they_survive_a_crash_of_a_saved_project(project, tmp_path):
    path, state = tmp_path / "a.drawcord", tmp_path / "state"
    write_project(path, SavedProject(project=project, retired={"outlet": ("0-09",)}))
    document = open_project(path, state=state).document()
    document.commit(removing("Remove", [SECOND]))
    document.close(keep_unsaved=True)
    document = open_project(path, state=state).document()
    assert outlets(document) == {"0-02", "0-09"}
    document.undo()
    assert outlets(document) == {"0-09"}
    document.close()


def test_they_survive_a_crash_of_a_project_without_a_file(project, tmp_path):
    state = tmp_path / "state"
    begun = SavedProject(project=project, retired={"outlet": ("0-09",)})
    document = begin_project(begun, state=state).document()
    document.commit(removing("Remove", [SECOND]))
    document.close(keep_unsaved=True)
    (left,) = unsaved_projects(abandoned_journals(state))
    document = recover_unsaved(left, state=state).document()
    assert outlets(document) == {"0-02", "0-09"}
    document.close()


def test_a_file_from_before_their_record_gives_them_from_its_history(project, tmp_path):
    document = Document(project)
    document.commit(removing("Remove", [FIRST, SECOND]))
    document.undo()
    document.commit(removing("Remove", [THIRD]))
    saved = document.to_save()
    without = SavedProject(
        project=saved.project, history=saved.history, journal_mark=saved.journal_mark
    )
    path = tmp_path / "old.drawcord"
    write_project(path, without)
    with zipfile.ZipFile(path) as archive:
        assert "retired" not in json.loads(archive.read("project.json"))
    assert load_project(path).retired == {"outlet": ("0-03",)}
