"""Patterns, lists of numbers and panels in the window: what is said while one types."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.editor.commands.number_samples import next_outlet_words
from app.editor.commands.states import set_state
from app.editor.tools.number_line import ALREADY
from app.model.project import changing
from app.model.vocabulary import State
from app.ui.dialogs.number_list import NumberListDialog
from app.ui.dialogs.panels import PanelsDialog
from app.ui.dialogs.pattern import PatternDialog
from app.ui.dialogs.settings import SettingsDialog
from app.ui.fields.editors import LineEditor
from app.ui.number_actions import NumberActions
from app.ui.session import Session
from app.ui.tool_line import ToolLine
from app.ui.workspace import Workspace

FRAME = "frame-00000001"


def typed(editor: object, text: str) -> None:
    """Type into the line of an editor, without leaving it."""
    assert isinstance(editor, LineEditor)
    editor.line.clear()
    editor.line.insert(text)
    editor.line.textEdited.emit(text)


def test_the_settings_show_what_a_pattern_gives_while_it_is_typed(
    session: Session, qtbot: QtBot
) -> None:
    dialog = SettingsDialog(session)
    qtbot.addWidget(dialog)
    dialog.show_group("Numbers")
    assert dialog.sample("outlet_pattern").startswith("next 0-04, 0-05, 0-06")
    typed(dialog.editor("outlet_pattern"), "N{nnn}")
    assert dialog.sample("outlet_pattern") == "next N001, N002, N003"
    typed(dialog.editor("outlet_pattern"), "{flor}")
    assert "means nothing" in dialog.sample("outlet_pattern")
    assert dialog.sample("cable_pattern") == "such as T1-A01, T1-A02, T1-A03"
    typed(dialog.editor("cable_pattern"), "{frame}")
    assert "one number" in dialog.sample("cable_pattern")
    assert session.project.settings.cable_pattern == "{frame}-{panel}{port}"


def test_the_line_of_the_outlet_tool_shows_the_next_three(
    session: Session, qtbot: QtBot, dressed: QApplication
) -> None:
    workspace = Workspace(session)
    qtbot.addWidget(workspace)
    workspace.take_tool("outlet")
    line: ToolLine = workspace.tool_line
    assert line.sample_text == "next 0-04, 0-05, 0-06"
    typed(line.editor("number_pattern"), "{room}-{nn}")
    assert line.sample_text == "next 0.01-01, 0.01-02, 0.01-03 in room 0.01"
    typed(line.editor("number_pattern"), "{room")
    assert "a brace is open" in line.sample_text
    workspace.take_tool("pathway")
    assert line.sample_text == ""


def test_a_pattern_is_asked_for_with_its_words(session: Session, qtbot: QtBot) -> None:
    floor = next(iter(session.project.floors))
    dialog = PatternDialog(
        "Renumber",
        "",
        "Renumber",
        lambda text: next_outlet_words(session.project, text, floor_id=floor),
        text="{floor}-{nn}",
    )
    qtbot.addWidget(dialog)
    dialog.line.selectAll()
    qtbot.keyClicks(dialog.line, "A{n}")
    assert dialog.told == "next A1, A2, A3"
    assert dialog.pattern == "A{n}"


def test_a_list_is_looked_at_line_by_line(session: Session, qtbot: QtBot) -> None:
    order = tuple(session.project.outlets)
    dialog = NumberListDialog(session, order, text="X1\nX2\n0-002\nX4")
    qtbot.addWidget(dialog)
    cells = [
        [dialog.lines.item(row, column).text() for column in range(4)]
        for row in range(dialog.lines.rowCount())
    ]
    assert cells == [
        ["4", "", "X4", "the list goes to 3 outlets; select more rows, or none"],
        ["1", "0-001", "X1", "fits"],
        ["2", "0-002", "X2", "fits"],
        ["3", "0-003", "0-002", "fits"],
    ]
    dialog.accept()
    assert [o.number for o in session.project.outlets.values()] == ["X1", "X2", "0-002"]
    assert dialog.text.toPlainText() == "X4"
    assert dialog.isVisible() or dialog.result() == 0
    session.undo()
    assert [o.number for o in session.project.outlets.values()] == ["0-001", "0-002", "0-003"]


def test_cable_numbers_go_to_the_runs_as_their_table_is_sorted(
    session: Session, qtbot: QtBot, dressed: QApplication
) -> None:
    workspace = Workspace(session)
    qtbot.addWidget(workspace)
    view = workspace.drawer.open_table("runs")
    view.sort_by("outlet", descending=True)
    rows = view.rows_to_fill()
    dialog = NumberListDialog(session, rows, text="K1\nK2\n", cables=True)
    qtbot.addWidget(dialog)
    assert dialog.lines.item(0, 1).text().startswith("0-003, port ")
    dialog.accept()
    numbers = {
        o.number: [p.cable_number for p in o.ports] for o in session.project.outlets.values()
    }
    assert sorted(numbers["0-003"]) == ["K1", "K2"]
    assert numbers["0-001"] == ["", ""]


@pytest.mark.parametrize("count", [1, 3])
def test_panels_are_added_edited_and_removed(session: Session, qtbot: QtBot, count: int) -> None:
    dialog = PanelsDialog(session, FRAME)
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.panel is None
    dialog.count.setValue(count)
    qtbot.mouseClick(dialog.more, Qt.MouseButton.LeftButton)
    assert [p.name for p in session.project.frames[FRAME].panels] == list("ABC")[:count]
    assert dialog.panel is not None
    dialog.form.editor("port_count").edited.emit(48)
    assert session.project.frames[FRAME].panels[-1].port_count == 48
    assert "48 × " in dialog.items.item(count - 1).text()
    qtbot.mouseClick(dialog.away, Qt.MouseButton.LeftButton)
    assert len(session.project.frames[FRAME].panels) == count - 1


def test_the_bottom_line_says_what_numbering_a_room_has_done(
    session: Session, qtbot: QtBot
) -> None:
    workspace = Workspace(session)
    qtbot.addWidget(workspace)
    actions = NumberActions(workspace, workspace)
    session.select([list(session.project.outlets)[1]])
    actions.room_clockwise()
    assert workspace.bottom.message == "3 outlets numbered clockwise."
    actions.room_clockwise()
    assert workspace.bottom.message == ALREADY


def test_the_bottom_line_says_what_giving_and_taking_back_have_done(
    session: Session, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    workspace = Workspace(session)
    qtbot.addWidget(workspace)
    actions = NumberActions(workspace, workspace)
    runs = sum(len(o.ports) for o in session.project.outlets.values())
    actions.give()
    assert workspace.bottom.message == f"{runs} runs have got panel ports."
    first = next(iter(session.project.outlets.values()))
    session.select([first.id])
    actions.take_back()
    assert workspace.bottom.message == f"{len(first.ports)} runs have given back their panel ports."
    session.do(lambda: set_state(session.project, [first.id], State.EXISTING))
    frame = session.project.frames[FRAME]
    standing = tuple(replace(p, state=State.EXISTING) for p in frame.panels)
    session.commit(changing("Panels", [(frame, replace(frame, panels=standing))]))
    said: list[str] = []
    monkeypatch.setattr("app.ui.session.say", lambda _p, text: said.append(text))
    actions.enter()
    assert said == []
    assert workspace.bottom.message == f"{len(first.ports)} runs have got panel ports."
