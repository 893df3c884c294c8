"""The selection keeps its order and lets go of what is removed."""

from app.editor.document import Document
from app.editor.selection import Selection
from app.model.entities import Building
from app.model.project import Project, removing

HALL, SHED = (Building(id=f"building-0000000{n}", name=str(n)) for n in (1, 2))


def test_set_toggle_and_clear_tell_once_and_keep_the_order():
    told = []
    selection = Selection()
    selection.subscribe(told.append)
    selection.set(["b", "a", "b"])
    selection.set(("b", "a"))
    selection.toggle(["b", "c"])
    selection.add(["a", "d"])
    selection.clear()
    assert told == [("b", "a"), ("a", "c"), ("a", "c", "d"), ()]


def test_what_an_edit_removes_is_no_longer_selected():
    document = Document(Project([HALL, SHED]))
    selection = Selection(document)
    selection.set([HALL.id, SHED.id])
    document.commit(removing("Delete", [HALL]))
    assert selection.ids == (SHED.id,)
    assert HALL.id not in selection
    assert len(selection) == 1
