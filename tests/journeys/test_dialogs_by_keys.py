"""Dialogs answered by keys alone, and a window that changes its colours under open tables."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog

from app.editor.commands.states import set_state
from app.model.vocabulary import State
from app.resource_files import sample_path
from app.ui.dialogs.client_list import ClientListDialog
from app.ui.dialogs.estimate import EstimateDialog
from app.ui.dialogs.proposed_penetrations import ProposedDialog
from app.ui.dialogs.restore_points import RestorePointsDialog
from tests.journeys.conftest import Person
from tests.journeys.test_the_terminal_cured import open_terminal


def keys(person: Person, *pressed: Qt.Key) -> None:
    """To whatever has them."""
    for key in pressed:
        focused = QApplication.focusWidget()
        assert focused is not None
        person.bot.keyClick(focused, key)
        person.settle()


def take_keys(person: Person, dialog: QDialog) -> None:
    """No window manager gives the keys back to a dialog here."""

    def has_them() -> bool:
        dialog.activateWindow()
        focused = QApplication.focusWidget()
        return focused is not None and dialog.isAncestorOf(focused)

    person.bot.waitUntil(has_them)


def action(person: Person, text: str) -> QAction:
    (found,) = [a for _, group in person.window.menus.groups for a in group if text in a.text()]
    return found


def test_a_first_count_is_typed_and_answered_by_keys_alone(person: Person) -> None:
    open_terminal(person)
    session = person.workspace.session
    before = len(session.project.outlets)

    def type_it(dialog: QDialog) -> None:
        assert isinstance(dialog, EstimateDialog)
        person.bot.waitUntil(lambda: QApplication.focusWidget() is dialog.text)
        person.bot.keyClicks(dialog.text, "3 cameras in 2.04")
        person.bot.waitUntil(lambda: dialog._sum.text() == "3 outlets to be spread")
        keys(person, Qt.Key.Key_Tab)
        while QApplication.focusWidget() is not dialog._verb:
            keys(person, Qt.Key.Key_Tab)
        keys(person, Qt.Key.Key_Return)

    person.in_dialog(type_it)
    person.press(Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    person.settle(60)
    assert person.workspace.bottom.message == "3 outlets spread."
    assert len(session.project.outlets) == before + 3


def test_a_restore_point_is_compared_and_returned_to_by_keys(person: Person) -> None:
    open_terminal(person)
    session = person.workspace.session
    some = list(session.project.outlets)[:5]
    session.do(lambda: set_state(session.project, some, State.FUTURE, runs=session.design.runs))
    edited = session.project
    action(person, "Restore points").trigger()
    person.settle(60)
    (dialog,) = person.workspace.findChildren(RestorePointsDialog)
    take_keys(person, dialog)
    assert QApplication.focusWidget() is dialog.points
    keys(person, Qt.Key.Key_Return)
    assert dialog.told.text() == "Since “as sent to client, rev A”: 5 outlets changed."
    assert [dialog.tabs.tabText(n) for n in range(2)] == ["Things: 5", "Rooms: 0"]
    assert not dialog.tabs.isTabEnabled(1)
    take_keys(person, dialog)
    while QApplication.focusWidget() is not dialog.return_button:
        keys(person, Qt.Key.Key_Tab)
    keys(person, Qt.Key.Key_Space)
    assert person.workspace.bottom.message.startswith("The project is as it was at “as sent to")
    assert session.project.outlets[some[0]].state is not State.FUTURE
    assert dialog.stale.isVisible()
    session.undo()
    assert session.project == edited


def test_where_every_crossing_has_its_penetration_it_is_said(person: Person) -> None:
    open_terminal(person)
    project = person.workspace.session.project
    told: list[str] = []

    def look(dialog: QDialog) -> None:
        assert isinstance(dialog, ProposedDialog)
        assert not dialog.chosen()
        told.append(dialog._nothing.text())
        for widget in (*dialog._ticks, dialog.rating, dialog._verb):
            assert widget is not None
            assert not widget.isEnabled()
        assert not dialog.crossings.isVisible()
        dialog.floor.setCurrentIndex(0)
        told.append(dialog._nothing.text())
        dialog.reject()

    person.in_dialog(look)
    person.window.menus.named["propose_penetrations"].trigger()
    floor = person.workspace.floor_id
    here = sum(p.floor == floor for p in project.penetrations.values())
    said = "Every crossing of a wall or a slab{} has its penetration already, {} in all."
    assert told == [
        said.format(" on floor 0", here),
        said.format("", len(project.penetrations)),
    ]


@pytest.mark.usefixtures("as_designed")
def test_colours_change_while_a_list_that_was_read_stands_in_its_table(
    person: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_terminal(person)
    path: Path = sample_path("ferry-terminal-rooms.csv")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_a, **_k: (str(path), ""))

    def read(dialog: QDialog) -> None:
        assert isinstance(dialog, ClientListDialog)
        dialog.accept()

    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    person.in_dialog(read)
    person.press(Qt.Key.Key_I, both)
    person.settle(60)
    lines = len(person.workspace.session.project.room_lines)
    assert lines
    rows = person.workspace.drawer.view("spaces").model.rowCount()
    person.workspace.session.select([next(iter(person.workspace.session.project.room_lines))])
    person.settle(60)
    for scheme in ("dark", "light"):
        person.window.menus.named[f"scheme_{scheme}"].trigger()
        person.settle(200)
        assert person.workspace.drawer.open_key == "spaces"
        assert person.workspace.drawer.view("spaces").model.rowCount() == rows
        person.workspace.session.undo()
        person.settle(60)
        assert not person.workspace.session.project.room_lines
        person.workspace.session.redo()
        person.settle(60)
    assert len(person.workspace.session.project.room_lines) == lines
