"""The file that is open is opened again, and drawings that cannot be decoded."""

from pathlib import Path

import msgspec
import pytest

from app.drawing.plan_codec import encode_drawing
from app.drawing.plan_drawing import PlanDrawing
from app.editor.document import Document
from app.jobs import begin_project, new_project, open_project, unfold_plans
from app.jobs import save_project as save_job
from app.model.entities import Plan
from app.model.ids import counting_source
from app.model.project import adding, changing
from app.progress import Cancelled, Silent
from app.storage.failures import UnreadableProject
from app.storage.lock import Locked, is_held
from app.storage.packed import pack_source, sha256_of
from app.storage.project_file import SavedProject, load_project, save_project
from tests.jobs.hall import HALL


def edited(path: Path, state: Path) -> Document:
    document = open_project(path, state=state).document()
    shed = msgspec.structs.replace(HALL, name="Shed")
    document.commit(changing("Rename", [(HALL, shed)]))
    return document


def test_the_same_file_is_opened_again_without_the_edits_that_were_discarded(path, state):
    left = edited(path, state)
    with pytest.raises(Locked):
        open_project(path, state=state)
    again = open_project(path, state=state, lent=left.lock_of(path))
    assert again.recovered == ()
    assert again.notes == ()
    document = again.document()
    left.close()
    assert document.project.buildings[HALL.id].name == "Hall"
    assert is_held(path), "the document that was left no longer gives the lock back"
    document.saved(save_job(document.to_save(), path, was=document.file))
    document.close()
    assert not is_held(path)
    assert list((state / "journals").iterdir()) == []


def test_where_opening_again_fails_the_document_keeps_its_lock(path, state):
    document = edited(path, state)
    path.write_bytes(b"nonsense")
    with pytest.raises(UnreadableProject):
        open_project(path, state=state, lent=document.lock_of(path))
    assert is_held(path)
    document.close()
    assert not is_held(path)


def test_the_lock_of_another_file_is_not_lent(path, state, tmp_path):
    document = edited(path, state)
    other = tmp_path / "other.drawcord"
    save_project(other, load_project(path))
    assert document.lock_of(other) is None
    second = open_project(other, state=state, lent=document.file.lock).document()
    document.close()
    assert is_held(other)
    second.close()
    assert not is_held(other)


class Stop(Silent):
    def check(self) -> None:
        raise Cancelled


def with_plans(*drawings: bytes) -> SavedProject:
    project = new_project(source=counting_source())
    floor = next(iter(project.floors))
    source = pack_source(b"original")
    plans = [
        Plan(
            id=f"plan-{at:08d}",
            floor=floor,
            name=f"Plan {at}",
            source_name="a.dxf",
            source_sha256=source.sha256,
            drawing_sha256=sha256_of(drawing),
            mm_per_unit=1.0,
        )
        for at, drawing in enumerate(drawings)
    ]
    return SavedProject(
        project=project.apply(adding("Import", plans)),
        plan_sources={source.sha256: source},
        plan_drawings={sha256_of(d): d for d in drawings},
    )


GOOD = encode_drawing(
    PlanDrawing(
        origin=(0.0, 0.0),
        layers=(),
        colours=(),
        lineweights_mm=(),
        dash_patterns=((),),
        bounds=None,
        raw_bounds=None,
    )
)


def test_a_drawing_that_cannot_be_decoded_costs_only_itself(path, state):
    save_project(path, with_plans(GOOD, b"no drawing"))
    before = path.read_bytes()
    found = unfold_plans(open_project(path, state=state), state=state)
    assert list(found.drawings) == [sha256_of(GOOD)]
    assert "“Plan 1” cannot be shown" in found.opened.notes[0]
    (kept,) = (state / "set-aside").iterdir()
    assert kept.read_bytes() == before
    document = found.opened.document()
    document.saved(save_job(document.to_save(), path, was=document.file))
    document.close()
    assert set(load_project(path).plan_drawings.values()) == {GOOD, b"no drawing"}


def test_a_project_without_a_file_says_it_too(state):
    found = unfold_plans(begin_project(with_plans(b"no drawing"), state=state), state=state)
    assert found.drawings == {}
    assert "cannot be shown" in found.opened.notes[0]
    found.opened.document().close()


def test_what_is_stopped_while_unfolding_leaves_no_lock_and_no_journal(path, state):
    save_project(path, with_plans(GOOD))
    opened = open_project(path, state=state)
    with pytest.raises(Cancelled):
        unfold_plans(opened, state=state, progress=Stop())
    assert not is_held(path)
    assert list((state / "journals").iterdir()) == []


def test_what_is_stopped_while_unfolding_still_has_the_recovered_edits(path, state):
    save_project(path, with_plans(GOOD))
    document = open_project(path, state=state).document()
    annex = msgspec.structs.replace(HALL, id="building-000000zz")
    document.commit(adding("Add", [annex]))
    document.close(keep_unsaved=True)
    with pytest.raises(Cancelled):
        unfold_plans(open_project(path, state=state), state=state, progress=Stop())
    again = open_project(path, state=state)
    assert len(again.recovered) == 1
    again.let_go()
