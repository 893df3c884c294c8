"""Count and order of one office, by hand at the window and headless on what was saved (`practice`).

Office 12.0 × 9.5 m at one outlet per 10 m², two ports each, and one access point of two. By hand:
ceil(114 / 10) = 12 outlets, 24 runs, 26 with the access point. The client's list says 13
outlets: one is missing. With 25 % growth 32.5, so 33, are 2 panels of 24; 12 faceplates and one
surface box; 26 jacks with loaded panels, 52 with unloaded; 52 labels on cables; 26 tests; at 70 %
patched ceil(18.2) = 19 cords at the frame.
"""

import csv
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QFileDialog

from app.__main__ import main
from app.ui.dialogs.client_list import ClientListDialog
from app.ui.dialogs.takeoff import TakeoffDialog
from app.ui.panel.room_views import LeftView
from tests.journeys.conftest import Person
from tests.journeys.exact_hand import (
    CTRL,
    click_at,
    enter,
    pieces,
    put_away,
    save_as,
    set_in_panel,
    set_option,
    set_setting,
)
from tests.journeys.test_the_clients_list import read_list

ROOM = "0.01"
DATA, ACCESS_POINT = "Data outlet, wall", "Access point, ceiling"


def draw_the_office(person: Person) -> None:
    """The room by its corner and size, filled by its use; one access point, a basket, a frame."""
    person.press(Qt.Key.Key_A)
    click_at(person, 0, 0)
    enter(person, "12 by 9.5")
    set_in_panel(person, "number", ROOM)
    person.workspace.canvas.setFocus()
    person.press(Qt.Key.Key_L)
    person.click(6_000, 4_000)
    person.press(Qt.Key.Key_O)
    set_option(person, "outlet_kind", ACCESS_POINT)
    person.click(6_000, 6_500)
    person.press(Qt.Key.Key_P)
    person.click(1_000, 4_750)
    enter(person, "10 east")
    person.press(Qt.Key.Key_Return)
    person.press(Qt.Key.Key_F)
    person.click(10_500, 7_500)
    put_away(person)


def read_the_list(person: Person, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = folder / "rooms.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([["Room", "Name", DATA], [ROOM, "Office", "13"]])

    def take_it(dialog: QDialog) -> None:
        assert isinstance(dialog, ClientListDialog)
        dialog.accept()

    read_list(person, path, take_it, monkeypatch)


def write_takeoff(person: Person, path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, int]:
    """The takeoff by its dialog; gives the pieces of its workbook."""
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_a, **_k: (str(path), ""))

    def write(dialog: QDialog) -> None:
        assert isinstance(dialog, TakeoffDialog)
        dialog.accept()

    person.in_dialog(write)
    person.press(Qt.Key.Key_T, CTRL)
    person.bot.waitUntil(path.exists, timeout=10_000)
    return pieces(path)


def counted(found: dict[str, int]) -> dict[str, int]:
    """What was worked by hand, all sorts of a thing together."""
    words = (
        "Faceplate",
        "Surface box",
        "Jack",
        "Panel",
        "Label on a cable",
        "Test of a link",
        "Cord at the frame",
    )
    return {w: sum(n for item, n in found.items() if item.startswith(w)) for w in words}


BY_HAND = {
    "Faceplate": 12,
    "Surface box": 1,
    "Jack": 52,
    "Panel": 2,
    "Label on a cable": 52,
    "Test of a link": 26,
    "Cord at the frame": 19,
}


def test_an_office_is_counted_and_ordered(
    person: Person,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    person.press(Qt.Key.Key_N, CTRL)
    person.settle(100)
    draw_the_office(person)
    session = person.workspace.session
    (office,) = session.project.spaces.values()
    assert office.outline == ((0, 0), (12_000, 0), (12_000, 9_500), (0, 9_500))
    kinds = {k.id: k.name for k in session.project.outlet_kinds.values()}
    placed = [kinds[o.kind] for o in session.project.outlets.values()]
    assert placed == [DATA] * 12 + [ACCESS_POINT]
    assert (session.design.summary.runs, session.design.summary.no_route) == (26, 0)

    # the list asks for 13: one less stands there, in the table and in the panel
    read_the_list(person, tmp_path, monkeypatch)
    view = person.workspace.drawer.view("spaces")
    assert view.model.rowCount() == 1
    asked = {
        key: view.model.cell(0, view.model.column_index(key))
        for key in ("required", "placed_required", "difference")
    }
    assert asked == {"required": 13, "placed_required": 12, "difference": -1}
    session.select([office.id])
    person.settle(100)
    (left,) = person.workspace.panel.findChildren(LeftView)
    assert left.left.text() == f"1 left in {ROOM}: 1 {DATA}."

    # what is ordered, with unloaded panels and with loaded ones
    written = write_takeoff(person, tmp_path / "unloaded.xlsx", monkeypatch)
    assert counted(written) == BY_HAND
    set_setting(person, "Frames", "panel_kind", "loaded")
    written = write_takeoff(person, tmp_path / "loaded.xlsx", monkeypatch)
    assert counted(written) == BY_HAND | {"Jack": 26}
    session.undo()  # unloaded again

    # the same headless, on what was saved
    saved, book = tmp_path / "office.drawcord", tmp_path / "headless.xlsx"
    save_as(person, saved, monkeypatch)
    assert main(["takeoff", str(saved), "--out", str(book)]) == 0
    assert counted(pieces(book)) == BY_HAND
    capsys.readouterr()
    assert main(["rooms", str(saved)]) == 1  # something is missing
    told = capsys.readouterr().out
    row = next(line for line in told.splitlines() if line.startswith(ROOM))
    assert row.split()[1:5] == ["0", "13", "12", "-1"]
    assert "13 outlets required, 1 not placed." in told
