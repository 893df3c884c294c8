"""The dialog of walk sheets: what it offers, and the picture of what it will write."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog

from app.editor.document import Document
from app.jobs.walking import read_to_draw
from app.resource_files import sample_path
from app.sheets.page import PAPERS
from app.standards import load_rules
from app.ui.dialogs.walk import WalkDialog
from app.ui.session import Session


@pytest.fixture
def dialog(dressed, qtbot):
    read, drawings = read_to_draw(sample_path("ferry-terminal.drawcord"))
    session = Session(Document(read.project, design=read.design), rules=load_rules())
    floor = next(f.id for f in read.project.floors.values() if f.name == "1")
    made = WalkDialog(session, drawings, floor)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitUntil(lambda: bool(made.pages))
    yield made
    session.close()


def choose(dialog, qtbot, box, data):
    before = dialog.pages
    box.setCurrentIndex(box.findData(data))
    qtbot.waitUntil(lambda: dialog.pages is not before)


def test_it_begins_with_the_floor_in_sight_and_a_picture_of_it(dialog):
    assert {p.group for p in dialog.pages} == {"Floor 1"}
    assert dialog.picture.page is dialog.pages[0]
    assert dialog.picture.accessibleName().startswith("Preview: Floor 1")
    image = dialog.picture.grab().toImage()
    middle = image.width() // 2
    greys = {image.pixelColor(middle, y).lightness() for y in range(0, image.height(), 2)}
    assert min(greys) < 90 < 240 < max(greys)


def test_paper_scale_and_floors_are_drawn_as_they_are_chosen(dialog, qtbot):
    choose(dialog, qtbot, dialog.papers, "A1")
    assert sorted((dialog.pages[0].width_mm, dialog.pages[0].height_mm)) == list(PAPERS["A1"])
    choose(dialog, qtbot, dialog.scales, 100)
    assert len(dialog.pages) > 1
    choose(dialog, qtbot, dialog.floors, None)
    assert {p.group for p in dialog.pages} == {"Floor 0", "Floor 1", "Floor 2"}


def test_one_turns_from_sheet_to_sheet(dialog, qtbot):
    assert not dialog.before.isEnabled()
    qtbot.mouseClick(dialog.after, Qt.MouseButton.LeftButton)
    assert dialog.picture.page is dialog.pages[1]
    assert dialog.before.isEnabled()
    for _ in dialog.pages:
        qtbot.mouseClick(dialog.after, Qt.MouseButton.LeftButton)
    assert dialog.picture.page is dialog.pages[-1]
    assert not dialog.after.isEnabled()


def test_the_file_gets_its_ending(dialog, qtbot, monkeypatch, tmp_path):
    wanted = str(tmp_path / "for tonight")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (wanted, ""))
    qtbot.mouseClick(dialog.write_button, Qt.MouseButton.LeftButton)
    assert dialog.path == tmp_path / "for tonight.pdf"
    assert not dialog.isVisible()


def test_no_file_chosen_leaves_the_dialog_open(dialog, qtbot, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("", ""))
    qtbot.mouseClick(dialog.write_button, Qt.MouseButton.LeftButton)
    assert dialog.isVisible()
    assert dialog.path is None
