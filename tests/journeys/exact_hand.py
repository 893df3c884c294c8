"""To the millimetre by hand: zoomed in before a click; and what is typed, chosen and saved."""

import csv
import io
from pathlib import Path

import openpyxl
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QDialog, QFileDialog, QLineEdit

from app.ui.dialogs.settings import SettingsDialog
from app.ui.fields.editors import ChoiceEditor, Editor, LineEditor
from tests.journeys.conftest import Person

CTRL = Qt.KeyboardModifier.ControlModifier
CTRL_SHIFT = CTRL | Qt.KeyboardModifier.ShiftModifier
PX_PER_MM = 1.0
"""From here on a pixel is no more than a millimetre."""
MM = 1_000


def click_at(person: Person, x_m: float, y_m: float) -> None:
    """Zoom in until a pixel is a millimetre, click, and look at the whole floor again."""
    canvas = person.workspace.canvas
    canvas.setFocus()
    while canvas.camera.px_per_mm < PX_PER_MM:
        person.turn_wheel(x_m * MM, y_m * MM, notches=3)
    person.click(x_m * MM, y_m * MM)
    person.press(Qt.Key.Key_0, CTRL)


def enter(person: Person, text: str) -> None:
    """Type what the tool in hand reads, and enter it."""
    person.write(text)
    person.press(Qt.Key.Key_Return)


def put_away(person: Person) -> None:
    """The tool goes, and nothing is chosen."""
    person.press(Qt.Key.Key_Escape)
    person.press(Qt.Key.Key_V)
    person.workspace.session.select(())


def fill_line(person: Person, line: QLineEdit, text: str) -> None:
    """Put other text into a line, as by a click, select all, and typing."""
    person.click_on(line)
    line.setFocus()
    line.selectAll()
    person.bot.keyClicks(line, text)
    person.bot.keyClick(line, Qt.Key.Key_Return)
    person.settle(60)


def choose_in(person: Person, combo: QComboBox, text: str) -> None:
    """Open a list, go to the entry that begins so, and take it."""
    found = combo.findText(text, Qt.MatchFlag.MatchStartsWith)
    assert found >= 0, [combo.itemText(i) for i in range(combo.count())]
    steps = found - combo.currentIndex()
    person.bot.keyClick(combo, Qt.Key.Key_F4)
    for _ in range(abs(steps)):
        person.bot.keyClick(combo.view(), Qt.Key.Key_Down if steps > 0 else Qt.Key.Key_Up)
    person.bot.keyClick(combo.view(), Qt.Key.Key_Return)
    person.settle(60)
    assert combo.currentText().startswith(text)


def set_field(person: Person, editor: Editor, value: str) -> None:
    """Type or choose the value of a field."""
    if isinstance(editor, ChoiceEditor):
        choose_in(person, editor.combo, value)
        return
    assert isinstance(editor, LineEditor)
    fill_line(person, editor.line, value)


def set_in_panel(person: Person, key: str, value: str) -> None:
    """Set a field of what is selected."""
    person.settle(60)
    set_field(person, person.workspace.panel.form_with(key).editor(key), value)


def set_option(person: Person, key: str, value: str) -> None:
    """Set an option of the tool in hand."""
    set_field(person, person.workspace.tool_line.editor(key), value)
    person.workspace.canvas.setFocus()


def set_setting(person: Person, group: str, key: str, value: str) -> None:
    """Set one of the project's settings in their dialog."""

    def set_it(dialog: QDialog) -> None:
        assert isinstance(dialog, SettingsDialog)
        dialog.show_group(group)
        set_field(person, dialog.editor(key), value)
        dialog.accept()

    person.in_dialog(set_it)
    person.press(Qt.Key.Key_Comma, CTRL)
    person.settle(60)


def save_as(person: Person, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Save the project under a name."""
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_a, **_k: (str(path), ""))
    person.press(Qt.Key.Key_S, CTRL_SHIFT)
    person.settle(100)
    assert path.exists()


def pieces(path: Path) -> dict[str, int]:
    """Item and pieces of every line of a takeoff's workbook, all floors and frames together."""
    found: dict[str, int] = {}
    for sheet in openpyxl.load_workbook(path):
        rows = list(sheet.iter_rows(values_only=True))
        heads = next((r for r in rows if r[:2] == ("No.", "Item")), None)
        if heads is None or "Floor" not in heads:
            continue  # the bill sums the lines of the parts by formulas
        count = heads.index("Pieces")
        for row in rows[rows.index(heads) + 1 :]:
            if row[0] and isinstance(row[count], int):
                found[str(row[1])] = found.get(str(row[1]), 0) + row[count]
    return found


def rows_of(text: str) -> list[dict[str, str]]:
    """Rows of a CSV by their headings."""
    return list(csv.DictReader(io.StringIO(text)))
