"""The dialog of restore points, on a small project."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication, QDialog, QMessageBox

from app.model.project import changing
from app.ui.dialogs.restore_points import NewPointDialog, RestorePointsDialog


@pytest.fixture
def dialog(dressed, qtbot, session):
    made = RestorePointsDialog(session)
    qtbot.addWidget(made)
    made.show()
    return made


def answer(qtbot, name):
    """Type a name into the dialog that opens next, and press its button."""

    def look_for_it():
        shown = QApplication.activeModalWidget()
        if not isinstance(shown, NewPointDialog) or not shown.isVisible():
            QTimer.singleShot(20, look_for_it)
            return
        qtbot.keyClicks(shown.name, name)
        qtbot.keyClick(shown.name, Qt.Key.Key_Return)

    QTimer.singleShot(20, look_for_it)


def make(dialog, qtbot, name):
    answer(qtbot, name)
    qtbot.mouseClick(dialog.make_button, Qt.MouseButton.LeftButton)


def move_one(session):
    outlet = next(iter(session.project.outlets.values()))
    session.commit(changing("Move", [(outlet, replace(outlet, x_mm=outlet.x_mm + 2_000))]))
    return outlet


def test_without_a_point_there_is_nothing_to_compare(dialog):
    assert dialog.told.text() == "There is no restore point yet."
    assert not dialog.compare_button.isEnabled()
    assert not dialog.return_button.isEnabled()
    assert dialog.make_button.isEnabled()


def test_a_point_is_made_compared_and_returned_to(dialog, qtbot, session):
    make(dialog, qtbot, "as sent, rev A")
    assert dialog.points.count() == 1
    assert dialog.points.item(0).text().startswith("as sent, rev A")
    before = session.project
    outlet = move_one(session)
    qtbot.mouseClick(dialog.compare_button, Qt.MouseButton.LeftButton)
    assert dialog.told.text() == "Since “as sent, rev A”: 1 outlet changed."
    assert dialog.things.model.rowCount() == 1
    asked = []
    dialog.thing_asked.connect(asked.append)
    grid = dialog.things.grid
    spot = grid.visualRect(dialog.things.model.index(0, 0)).center()
    qtbot.mouseClick(grid.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert asked == [outlet.id]
    qtbot.mouseClick(dialog.return_button, Qt.MouseButton.LeftButton)
    assert session.project == before
    assert not dialog.stale.isHidden()
    session.undo()
    assert session.project.outlets[outlet.id].x_mm == outlet.x_mm + 2_000


def test_a_name_given_twice_is_refused_in_words(dialog, qtbot, session, monkeypatch):
    make(dialog, qtbot, "one")
    said = []
    monkeypatch.setattr(QMessageBox, "exec", lambda box: said.append(box.text()))
    make(dialog, qtbot, "ONE")
    assert dialog.points.count() == 1
    assert "already" in said[0]


def test_returning_where_nothing_changed_is_refused_in_words(dialog, qtbot, monkeypatch):
    make(dialog, qtbot, "one")
    said = []
    monkeypatch.setattr(QMessageBox, "exec", lambda box: said.append(box.text()))
    qtbot.mouseClick(dialog.return_button, Qt.MouseButton.LeftButton)
    assert "Nothing has changed since “one”" in said[0]


def test_a_point_is_removed_and_comes_back_by_undo(dialog, qtbot, session):
    make(dialog, qtbot, "one")
    qtbot.mouseClick(dialog.remove_button, Qt.MouseButton.LeftButton)
    assert dialog.points.count() == 0
    session.undo()
    assert dialog.points.count() == 1


def test_the_name_is_wanted_before_anything_is_made(dressed, qtbot):
    asked = NewPointDialog()
    qtbot.addWidget(asked)
    asked.show()
    qtbot.keyClick(asked.name, Qt.Key.Key_Return)
    assert asked.isVisible()
    qtbot.keyClicks(asked.name, "x")
    qtbot.keyClick(asked.name, Qt.Key.Key_Return)
    assert asked.result() == QDialog.DialogCode.Accepted
