"""A building five years on, through the window: three outlets added, one removed, one relocated.

The figures are those worked by hand in `tests/published/test_five_years_later.py` (`practice`).
"""

from collections import Counter
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from app.editor.commands.relocating import CORRECT, RELOCATE
from app.model.project import Project, changing
from app.model.vocabulary import State
from app.storage.project_file import SavedProject, save_project
from app.takeoff.lines import Section
from app.takeoff.takeoff import take_off
from tests.journeys.conftest import Person
from tests.published.test_five_years_later import TRAY, M, pieces, small_building

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def opened(person: Person, folder: Path) -> Project:
    project = small_building(measured=True)
    settings = replace(project.settings, outlet_pattern="{nnn}")
    project = project.apply(changing("Pattern", [(project.settings, settings)]))
    path = folder / "house.drawcord"
    save_project(path, SavedProject(project=project))
    person.window.resize(1280, 800)
    person.window.open_path(path)
    person.bot.waitUntil(lambda: person.window.workspace is not None, timeout=10_000)
    person.bot.waitUntil(lambda: person.workspace.canvas.is_settled, timeout=10_000)
    person.workspace.canvas.setFocus()
    return person.workspace.session.project


def answer(person: Person, label: str) -> None:
    canvas = person.workspace.canvas
    (button,) = [b for b in canvas.findChildren(QPushButton) if b.isVisible() and b.text() == label]
    person.push(button)


def relocate(person: Person, outlet: str, *, dx_mm: int) -> None:
    """Drag an outlet by the middle of its triangle and say that it goes to a new place."""
    thing = person.workspace.session.project.outlets[outlet]
    start = (thing.x_mm, thing.y_mm + 300)
    person.drag(start, (start[0] + dx_mm, start[1]))
    answer(person, RELOCATE)


def columns(person: Person, table: str, key: str) -> list[object]:
    model = person.workspace.drawer.open_table(table).model
    index = model.column_index(key)
    assert index is not None
    return [model.cell(slot, index) for slot in range(model.rowCount())]


def test_add_three_remove_one_and_relocate_one(person: Person, tmp_path: Path) -> None:
    before = opened(person, tmp_path)
    workspace, session = person.workspace, person.workspace.session
    assert workspace.legend.button(State.EXISTING).text() == "existing 26"

    person.press(Qt.Key.Key_O)
    for x in (4, 7, 10):
        person.click(x * M, -3 * M)
    person.press(Qt.Key.Key_Escape)
    added = [o for i, o in session.project.outlets.items() if i not in before.outlets]
    assert [o.number for o in added] == ["025", "026", "027"]

    last = before.outlets["outlet-00000024"]
    person.click(last.x_mm, last.y_mm + 300)
    assert session.selection.ids == (last.id,)
    person.press(Qt.Key.Key_E, CTRL)
    person.press(Qt.Key.Key_M)
    assert session.project.outlets[last.id].state is State.TO_REMOVE

    person.press(Qt.Key.Key_Escape)
    relocate(person, "outlet-00000023", dx_mm=20 * M)
    moved = session.project.outlets["outlet-00000023"]
    was = before.outlets["outlet-00000023"]
    assert moved.state is State.TO_RELOCATE
    assert moved.number == "023"
    assert moved.was_at is not None
    assert (moved.was_at.x_mm, moved.was_at.y_mm) == (was.x_mm, was.y_mm)
    assert abs(moved.x_mm - was.x_mm - 20 * M) < 300

    takeoff = take_off(session.design)
    assert sum(line.runs for line in takeoff.cable) == 8
    assert pieces(takeoff, Section.REMOVAL, "Cable to remove") == 4
    work = Counter(columns(person, "runs", "work"))
    assert work == {"stays": 44, "pull": 6, "replace": 2, "remove": 2}

    session.select([TRAY])
    person.settle(100)
    (view,) = [v for v in workspace.panel._views if type(v).__name__ == "FillView"]
    assert view._left.text().endswith(
        "After the work 52 cables, 12.8 %; while the old ones still lie there 56, 13.7 %."
    )

    while session.document.undo_label is not None:
        workspace.canvas.setFocus()
        person.press(Qt.Key.Key_Z, CTRL)
    assert session.project == before


def test_what_was_drawn_wrong_is_corrected_and_esc_changes_nothing(
    person: Person, tmp_path: Path
) -> None:
    before = opened(person, tmp_path)
    session = person.workspace.session
    first = before.outlets["outlet-00000001"]
    start = (first.x_mm, first.y_mm + 300)
    person.drag(start, (start[0], start[1] + 2 * M))
    person.press(Qt.Key.Key_Escape)
    assert session.project == before
    person.drag(start, (start[0], start[1] + 2 * M))
    answer(person, CORRECT)
    after = session.project.outlets[first.id]
    assert (after.state, after.was_at) == (State.EXISTING, None)
    assert after.y_mm > first.y_mm + M


def test_hide_what_exists_and_bring_it_back_from_the_bottom_line(
    person: Person, tmp_path: Path
) -> None:
    before = opened(person, tmp_path)
    workspace, session = person.workspace, person.workspace.session
    first = before.outlets["outlet-00000001"]
    person.push(workspace.legend.button(State.EXISTING))
    person.click(first.x_mm, first.y_mm + 300)
    assert session.selection.ids == ()
    assert columns(person, "outlets", "number") == []
    assert workspace.bottom.hidden.text() == "26 things hidden"
    person.push(workspace.bottom.hidden)
    person.click(first.x_mm, first.y_mm + 300)
    assert session.selection.ids == (first.id,)
    assert len(columns(person, "outlets", "number")) == 24


def test_a_row_of_existing_outlets_is_traced_on_a_known_frame(
    person: Person, tmp_path: Path
) -> None:
    before = opened(person, tmp_path)
    workspace, session = person.workspace, person.workspace.session
    person.press(Qt.Key.Key_W)
    assert workspace.canvas.tool == "row"
    frame = next(iter(before.frames))
    draws = replace(workspace.draws, state=State.EXISTING, frame=frame)
    workspace.tool_line._put(draws)
    workspace.canvas.setFocus()
    person.click(10 * M, -4 * M)
    person.click(30 * M, -4 * M)
    person.press(Qt.Key.Key_Return)
    added = [o for i, o in session.project.outlets.items() if i not in before.outlets]
    assert len(added) > 4
    assert {o.state for o in added} == {State.EXISTING}
    assert {p.frame for o in added for p in o.ports} == {frame}
    assert sum(line.runs for line in take_off(session.design).cable) == 0
