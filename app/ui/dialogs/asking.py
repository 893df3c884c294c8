"""One sentence to be read, and one question to be answered by a verb."""

from collections.abc import Sequence

from PySide6.QtWidgets import QMessageBox, QWidget


def say(parent: QWidget | None, sentence: str, *, title: str = "Not done") -> None:
    """One sentence to be read."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Information)
    box.setWindowTitle(title)
    box.setText(sentence)
    box.exec()


def choose(
    parent: QWidget | None, sentence: str, verbs: Sequence[str], *, let_be: str = "Cancel"
) -> int | None:
    """A question answered by one of several verbs, the usual one first; None: it was let be."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle("Drawcord")
    box.setText(sentence)
    buttons = []
    for index, verb in enumerate(verbs):
        role = QMessageBox.ButtonRole.AcceptRole if not index else QMessageBox.ButtonRole.ActionRole
        buttons.append(box.addButton(verb, role))
    box.setEscapeButton(box.addButton(let_be, QMessageBox.ButtonRole.RejectRole))
    box.setDefaultButton(buttons[0])
    box.exec()
    clicked = box.clickedButton()
    return next((i for i, button in enumerate(buttons) if button is clicked), None)
