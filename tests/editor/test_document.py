"""The document: one way to change, nothing half done, everybody told once."""

import threading

import msgspec
import pytest

from app.editor import document as document_module
from app.editor.document import Document, DocumentChanged, EditNotKept
from app.editor.history import Stacks
from app.model.entities import Building, Floor, Plan
from app.model.project import PatchRefused, Project, adding, changing, removing
from app.storage.history import EntryKind, decode_entry

HALL = Building(id="building-00000001", name="Hall")
SHED = msgspec.structs.replace(HALL, name="Shed")
GROUND = Floor(id="floor-00000001", building=HALL.id, name="0", level_mm=0)


def document_with_hall() -> Document:
    return Document(Project([HALL, GROUND]))


def what_stands(document: Document) -> tuple[object, ...]:
    history = document.to_save().history
    return (
        document.project,
        document.design,
        document.revision,
        document.undo_label,
        document.redo_label,
        history,
    )


def test_commit_undo_and_redo_go_down_one_path_and_are_told_once_each():
    document = document_with_hall()
    told: list[DocumentChanged] = []
    document.subscribe(told.append)
    document.commit(changing("Rename", [(HALL, SHED)]))
    assert document.project.buildings[HALL.id] == SHED
    assert (document.undo_label, document.redo_label) == ("Rename", None)
    document.undo()
    assert document.project.buildings[HALL.id] == HALL
    assert (document.undo_label, document.redo_label) == (None, "Rename")
    document.redo()
    assert document.project.buildings[HALL.id] == SHED
    assert [c.revision for c in told] == [1, 2, 3]
    kinds = [decode_entry(line).kind for line in document.to_save().history]
    assert kinds == [EntryKind.EDIT, EntryKind.UNDO, EntryKind.REDO]


def test_an_edit_after_an_undo_forgets_what_could_be_redone():
    document = document_with_hall()
    document.commit(changing("Rename", [(HALL, SHED)]))
    document.undo()
    document.commit(changing("Raise", [(GROUND, msgspec.structs.replace(GROUND, level_mm=5))]))
    assert document.redo_label is None
    assert document.redo() is None


def test_nothing_to_undo_and_nothing_to_do_are_no_commits():
    document = document_with_hall()
    assert document.undo() is None
    assert document.commit(changing("Nothing", [(HALL, HALL)])) is None
    assert document.revision == 0


@pytest.mark.parametrize(
    ("patch", "words"),
    [
        (changing("Stale", [(SHED, HALL)]), "has changed since"),
        (removing("Delete", [HALL]), "still refers to"),
        (changing("Wrong type", [(HALL, msgspec.structs.replace(HALL, name=7))]), "Expected `str`"),
        (
            changing("Fraction", [(GROUND, msgspec.structs.replace(GROUND, level_mm=1.5))]),
            "Expected `int`",
        ),
        (
            changing("Too long", [(HALL, msgspec.structs.replace(HALL, name="x" * 201))]),
            "length <= 200",
        ),
        (
            changing("No text", [(HALL, msgspec.structs.replace(HALL, name="\ud800"))]),
            "cannot be kept",
        ),
        (adding("Orphan", [msgspec.structs.replace(GROUND, building="building-zzzzzzzz")]), "is"),
    ],
)
def test_a_refused_patch_leaves_everything_as_it_was(patch, words):
    document = document_with_hall()
    document.commit(changing("Raise", [(GROUND, msgspec.structs.replace(GROUND, level_mm=5))]))
    document.undo()
    before = what_stands(document)
    with pytest.raises(PatchRefused, match=words):
        document.commit(patch)
    assert what_stands(document) == before


def test_a_failure_while_recalculating_leaves_everything_as_it_was(monkeypatch):
    document = document_with_hall()
    before = what_stands(document)

    def broken(*_args):
        raise ZeroDivisionError

    monkeypatch.setattr(document_module, "recalculate", broken)
    with pytest.raises(ZeroDivisionError):
        document.commit(changing("Rename", [(HALL, SHED)]))
    assert what_stands(document) == before


def test_a_list_given_for_a_tuple_is_kept_as_the_tuple_it_will_be_read_as():
    document = document_with_hall()
    plan = Plan(
        id="plan-00000001",
        floor=GROUND.id,
        name="A",
        source_name="a.dxf",
        source_sha256=document.plans.add(b"dxf", b"drawing")[0],
        drawing_sha256=document.plans.add(b"dxf", b"drawing")[1],
        mm_per_unit=1,
        hidden_layers=["A", "B"],
    )
    document.commit(adding("Import plan", [plan]))
    kept = document.project.plans[plan.id]
    assert kept.hidden_layers == ("A", "B")
    assert type(kept.mm_per_unit) is float
    document.commit(changing("Dim", [(kept, msgspec.structs.replace(kept, dim_percent=10))]))
    assert document.undo() is not None


def test_a_plan_without_its_bytes_is_refused():
    document = document_with_hall()
    plan = Plan(
        id="plan-00000001",
        floor=GROUND.id,
        name="A",
        source_name="a.dxf",
        source_sha256="0" * 64,
        drawing_sha256="1" * 64,
        mm_per_unit=1.0,
    )
    with pytest.raises(PatchRefused, match="import the plan again"):
        document.commit(adding("Import plan", [plan]))


def test_a_plan_whose_bytes_were_lost_can_still_be_worked_with():
    plan = Plan(
        id="plan-00000001",
        floor=GROUND.id,
        name="A",
        source_name="a.dxf",
        source_sha256="0" * 64,
        drawing_sha256="1" * 64,
        mm_per_unit=1.0,
    )
    document = Document(Project([HALL, GROUND, plan]))
    document.commit(changing("Dim", [(plan, msgspec.structs.replace(plan, dim_percent=10))]))
    document.commit(removing("Remove plan", list(document.project.plans.values())))
    document.undo()
    document.undo()
    assert document.project.plans == {plan.id: plan}


def test_a_preview_changes_nothing():
    document = document_with_hall()
    before = what_stands(document)
    preview = document.preview(changing("Rename", [(HALL, SHED)]))
    assert preview.project.buildings[HALL.id] == SHED
    assert what_stands(document) == before
    with pytest.raises(PatchRefused):
        document.preview(removing("Delete", [HALL]))


def test_edits_with_one_merge_word_are_undone_as_one():
    document = document_with_hall()
    for name in ("S", "Sh", "She", "Shed"):
        now = document.project.buildings[HALL.id]
        document.commit(
            changing("Name", [(now, msgspec.structs.replace(now, name=name))]), merge="name"
        )
    assert len(document.to_save().history) == 4
    document.undo()
    assert document.project.buildings[HALL.id] == HALL
    assert document.undo_label is None
    document.redo()
    assert document.project.buildings[HALL.id] == SHED


def test_typing_back_to_where_it_began_leaves_nothing_to_undo():
    document = document_with_hall()
    document.commit(changing("Name", [(HALL, SHED)]), merge="name")
    document.commit(changing("Name", [(SHED, HALL)]), merge="name")
    assert document.undo_label is None


def test_a_callback_that_raises_is_reported_and_stops_nobody():
    bugs: list[BaseException] = []
    document = Document(Project([HALL, GROUND]), report_bug=bugs.append)
    told: list[int] = []

    def broken(_changed: DocumentChanged) -> None:
        raise KeyError("slot")

    document.subscribe(broken)
    end = document.subscribe(lambda c: told.append(c.revision))
    assert document.commit(changing("Rename", [(HALL, SHED)])) is not None
    assert told == [1]
    assert [type(b) for b in bugs] == [KeyError]
    end()
    document.undo()
    assert told == [1]


def test_a_commit_within_a_callback_is_told_after_the_one_before_it():
    document = document_with_hall()
    told: list[tuple[str, int]] = []

    def first(changed: DocumentChanged) -> None:
        told.append(("first", changed.revision))
        if changed.revision == 1:
            document.undo()

    document.subscribe(first)
    document.subscribe(lambda c: told.append(("second", c.revision)))
    document.commit(changing("Rename", [(HALL, SHED)]))
    assert told == [("first", 1), ("second", 1), ("first", 2), ("second", 2)]


def test_another_thread_may_not_commit():
    document = document_with_hall()
    caught: list[BaseException] = []

    def work() -> None:
        try:
            document.commit(changing("Rename", [(HALL, SHED)]))
        except RuntimeError as error:
            caught.append(error)

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert len(caught) == 1
    assert document.revision == 0


def test_a_very_long_history_is_taken_back_and_dropped_without_trouble():
    patch = changing("Rename", [(HALL, SHED)])
    stacks = Stacks()
    for _ in range(200_000):
        stacks = stacks.after(EntryKind.EDIT, patch)
    for _ in range(199_999):
        stacks = stacks.after(EntryKind.UNDO, patch)
    assert stacks.undo is not None
    assert stacks.undo.below is None
    del stacks


class FullDisk:
    """Stands for a journal on a full disk."""

    id = "journal-full"
    problem = None

    def write(self, _line: bytes, _number: int) -> None:
        raise OSError(28, "No space left on device")


def test_an_edit_that_the_journal_cannot_keep_is_not_made():
    document = Document(Project([HALL, GROUND]), journal=FullDisk())
    before = what_stands(document)
    with pytest.raises(EditNotKept, match="no space left on the disk"):
        document.commit(changing("Rename", [(HALL, SHED)]))
    assert what_stands(document) == before
