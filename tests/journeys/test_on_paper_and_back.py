"""The first evening: walk sheets to take along; and back to what was sent."""

from pathlib import Path

import pypdfium2
import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog

from app.ui.dialogs.restore_points import NewPointDialog, RestorePointsDialog
from app.ui.dialogs.walk import WalkDialog
from tests.journeys.conftest import Person
from tests.journeys.test_the_terminal_cured import open_terminal

pytestmark = pytest.mark.usefixtures("as_designed")


def menu_item(person: Person, menu: str, item: str) -> None:
    """Choose something from a menu, as a click on it does."""
    actions = dict(person.window.menus.groups)[menu]
    (action,) = (a for a in actions if a.text().replace("&", "") == item)
    action.trigger()
    person.settle(50)


def test_walk_sheets_are_looked_at_and_written(
    person: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_terminal(person)
    out = tmp_path / "tonight.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out), ""))
    seen: list[int] = []

    def write(dialog: QDialog) -> None:
        assert isinstance(dialog, WalkDialog)
        person.bot.waitUntil(lambda: bool(dialog.pages))
        shown = dialog.pages
        dialog.floors.setCurrentIndex(0)
        person.bot.waitUntil(lambda: dialog.pages is not shown)
        seen.append(len(dialog.pages))
        person.push(dialog.write_button)

    person.in_dialog(write)
    menu_item(person, "File", "Walk sheets …")
    document = pypdfium2.PdfDocument(out)
    assert len(document) == seen[0] > 3
    words = " ".join(p.get_textpage().get_text_range() for p in document)
    numbers = [o.number for o in person.workspace.session.project.outlets.values()]
    assert all(n in words for n in numbers)


def test_a_state_is_named_and_returned_to_in_one_step(person: Person) -> None:
    open_terminal(person)
    session = person.workspace.session
    menu_item(person, "Project", "Restore points …")
    dialog = next(w for w in QApplication.topLevelWidgets() if isinstance(w, RestorePointsDialog))
    as_sent = session.project

    def name_it() -> None:
        shown = QApplication.activeModalWidget()
        if not isinstance(shown, NewPointDialog):
            QTimer.singleShot(20, name_it)
            return
        person.bot.keyClicks(shown.name, "as sent to client, rev A")
        person.bot.keyClick(shown.name, Qt.Key.Key_Return)

    QTimer.singleShot(20, name_it)
    person.push(dialog.make_button)
    session.select(list(session.project.outlets)[:20])
    person.window.edit().delete()
    person.settle()
    assert len(session.project.outlets) == len(as_sent.outlets) - 20
    person.push(dialog.compare_button)
    assert "20 outlets removed" in dialog.told.text()
    person.push(dialog.return_button)
    assert session.project.outlets == as_sent.outlets
    assert session.design.summary.over == 23
    session.undo()
    assert len(session.project.outlets) == len(as_sent.outlets) - 20
    dialog.close()
