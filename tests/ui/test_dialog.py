"""The frame of all dialogs: what Return does, and what it does not."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.ui.dialogs.dialog import Dialog
from app.ui.dialogs.site import SiteDialog
from app.ui.session import Session


def test_return_in_a_field_enters_it_and_the_dialog_stays(session: Session, qtbot: QtBot) -> None:
    dialog = SiteDialog(session)
    qtbot.addWidget(dialog)
    dialog.show()
    first = next(line for line in dialog.findChildren(QLineEdit) if line.isVisible())
    first.setFocus()
    first.selectAll()
    qtbot.keyClicks(first, "Pier")
    qtbot.keyClick(first, Qt.Key.Key_Return)
    assert session.project.site.name == "Pier"
    assert dialog.isVisible()
    dialog._closing.setFocus()
    qtbot.keyClick(dialog._closing, Qt.Key.Key_Return)
    assert not dialog.isVisible()


def test_return_in_a_field_does_what_the_dialog_is_for(dressed: object, qtbot: QtBot) -> None:
    dialog = Dialog("Number", "", None)
    field = QLineEdit(dialog)
    dialog.column.addWidget(field)
    dialog.finish("Number them")
    qtbot.addWidget(dialog)
    dialog.show()
    field.setFocus()
    with qtbot.waitSignal(dialog.accepted):
        qtbot.keyClick(field, Qt.Key.Key_Return)
