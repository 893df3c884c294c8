"""The client's list read in, its misspelt rooms settled, and outlets placed by it."""

import csv
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QFileDialog, QPushButton

from app.ui.dialogs.client_list import ClientListDialog
from app.ui.dialogs.estimate import EstimateDialog
from app.ui.panel.room_views import LeftView, LineView
from tests.journeys.conftest import Person
from tests.journeys.test_the_terminal_cured import open_terminal

pytestmark = pytest.mark.usefixtures("as_designed")

CTRL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
HEADINGS = ["Room no.", "Description", "Level", "Usage", "Area", "Data, wall", "Acces points"]


def written(folder: Path, *rows: list[str], name: str = "rooms.csv") -> Path:
    path = folder / name
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=";").writerows([HEADINGS, *rows])
    return path


def read_list(person: Person, path: Path, does, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_a, **_k: (str(path), ""))
    person.in_dialog(does)
    person.press(Qt.Key.Key_I, CTRL_SHIFT)
    person.settle(60)


def choose_row(person: Person, row_id: str) -> None:
    """Click a row of the table of spaces."""
    view = person.workspace.drawer.view("spaces")
    (slot,) = [s for s in range(view.model.rowCount()) if view.model.row_id(s) == row_id]
    index = view.model.index(slot, 0)
    view.grid.scrollTo(index)
    person.settle()
    at = view.grid.visualRect(index).center()
    person.bot.mouseClick(view.grid.viewport(), Qt.MouseButton.LeftButton, pos=at)
    person.settle(60)


def space_of(person: Person, number: str) -> str:
    spaces = person.workspace.session.project.spaces.values()
    (found,) = [s.id for s in spaces if s.number == number]
    return found


def in_panel(person: Person, kind):
    (view,) = person.workspace.panel.findChildren(kind)
    return view


def test_a_list_is_read_settled_placed_by_and_written(
    person: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_terminal(person)
    workspace, session = person.workspace, person.workspace.session
    names = {k.id: k.name for k in session.project.outlet_kinds.values()}
    before = session.design.summary.required
    path = written(
        tmp_path,
        ["2.04", "Operations offices", "2", "office", "225", "15", "1"],
        ["2.O6", "Harbour master, crew", "2", "offcie", "112", "7", "1"],
        ["9.99", "Pilots", "2", "office", "30", "two", "1"],
    )

    def match_and_read(dialog: QDialog) -> None:
        assert isinstance(dialog, ClientListDialog)
        columns = dialog.columns.columns_matched()
        assert columns[:5] == ("number", "name", "floor_name", "use", "area_m2")
        assert columns[6] == ""
        (offer,) = dialog.columns.findChildren(QPushButton)
        assert offer.text() == "Access point?"
        person.bot.mouseClick(offer, Qt.MouseButton.LeftButton)
        assert names[dialog.columns.columns_matched()[6]] == "Access point"
        use = dialog.use_choice("offcie")
        person.bot.keyClick(use, Qt.Key.Key_Down)
        use.activated.emit(use.currentIndex())
        shown = dialog.account_list
        told = [shown.item(row).text() for row in range(shown.count())]
        assert told == [
            "To be looked at: 2 lines",
            "Line 4: “two” under Data, wall is no whole number.",
            "Line 3: no space is 2.O6 Harbour master, crew; it may be 2.06 Harbour master, crew.",
        ]
        dialog.accept()

    read_list(person, path, match_and_read, monkeypatch)
    assert session.document.undo_label == "Read in the list rooms"
    assert workspace.drawer.open_key == "spaces"
    assert session.design.summary.required - before == 16 + 8 + 1

    # 2.O6 is misspelt: its line says which room it may be, and one click settles it
    lines = {r.number: r.id for r in session.project.room_lines.values()}
    assert session.project.room_lines[lines["2.O6"]].use == "office"
    choose_row(person, lines["2.O6"])
    line_view = in_panel(person, LineView)
    assert line_view.why.text() == "No space has its number."
    likely = line_view.likely_links()
    assert likely[0].text() == "2.06 Harbour master, crew"
    person.push(likely[0])
    person.settle(60)
    harbour = space_of(person, "2.06")
    assert session.project.room_lines[lines["2.O6"]].space == harbour
    assert session.design.required[harbour]

    # 2.04: one outlet short of the list, placed by one click into the room
    office = space_of(person, "2.04")
    choose_row(person, office)
    left = in_panel(person, LeftView)
    assert left.left.text() == "1 left in 2.04: 1 Data, wall."
    workspace.go_to((office,))
    person.settle(60)
    person.push(left.one_by_one)
    person.settle(60)
    assert workspace.canvas.tool == "outlet"
    placed = len(session.project.outlets)
    person.bot.mouseMove(workspace.canvas, person.spot(116_000, 24_000))
    person.settle(60)
    assert workspace.canvas.hint.startswith("1 left in 2.04: 1 Data, wall")
    person.click(116_000, 24_000)
    person.settle(60)
    assert len(session.project.outlets) == placed + 1
    assert workspace.canvas.hint == "2.04 has all that is asked for"
    person.click(117_000, 25_000)
    assert len(session.project.outlets) == placed + 1
    assert workspace.bottom.message == "2.04 has all that is asked for."

    # 2.06: what is left is spread at once
    person.press(Qt.Key.Key_Escape)
    choose_row(person, harbour)
    left = in_panel(person, LeftView)
    assert left.left.text() == "1 left in 2.06: 1 Data, wall."
    person.push(left.all_at_once)
    assert len(session.project.outlets) == placed + 2
    assert session.design.summary.required - session.design.summary.required_placed == 1

    out = tmp_path / "result.csv"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_a, **_k: (str(out), ""))
    person.window.menus.named["write_rooms"].trigger()
    person.settle(60)
    rows = {r["number"]: r for r in csv.DictReader(out.read_text(encoding="utf-8").splitlines())}
    assert rows["2.04"]["difference"] == "0"
    assert rows["9.99"]["difference"] == "-1"
    assert "“two” under Data, wall" in rows["9.99"]["note"]

    # a revision: columns are as they were matched, what changed is told, the room stays settled
    path = written(
        tmp_path,
        ["2.04", "Operations offices", "2", "office", "225", "16", "1"],
        ["2.O6", "Harbour master, crew", "2", "office", "112", "7", "1"],
        name="rooms rev B.csv",
    )

    def look_and_read(dialog: QDialog) -> None:
        assert isinstance(dialog, ClientListDialog)
        assert dialog.which.currentText() == "a revision of “rooms”"
        assert names[dialog.columns.columns_matched()[6]] == "Access point"
        shown = dialog.account_list
        told = [shown.item(row).text() for row in range(shown.count())]
        assert told == [
            "Gone: 1 room",
            "9.99 Pilots.",
            "Changed: 1 room",
            "2.04 Operations offices: Data, wall 15 → 16.",
        ]
        dialog.accept()

    read_list(person, path, look_and_read, monkeypatch)
    assert workspace.bottom.message == "rooms rev B.csv read in: 2 rooms; 1 gone, 1 changed."
    assert session.project.room_lines[lines["2.O6"]].space == harbour
    session.undo()
    assert len(session.project.room_lines) == 3


def test_a_first_count_is_typed_and_spread(person: Person) -> None:
    open_terminal(person)
    workspace, session = person.workspace, person.workspace.session
    office = space_of(person, "2.04")
    workspace.go_to((office,))
    before, project = dict(session.project.outlets), session.project

    def type_it(dialog: QDialog) -> None:
        assert isinstance(dialog, EstimateDialog)
        person.bot.keyClicks(dialog.text, "24 desks in 2.04, 3 cameras in 7.77")
        dialog.look_again()
        first, second = dialog.understood()
        assert (first.count, first.space) == (24, office)
        assert (second.room, second.space) == ("7.77", None)
        dialog.accept()

    person.in_dialog(type_it)
    person.press(Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    person.settle(60)
    made = [o for i, o in session.project.outlets.items() if i not in before]
    assert len(made) == 24
    assert {session.design.space_of[o.id] for o in made} == {office}
    assert len({o.number for o in made}) == 24
    assert workspace.bottom.message == (
        "24 outlets spread; 3 outlets only asked for, in rooms not drawn yet."
    )
    session.undo()
    assert session.project == project
