"""The dialog of a client's list, and what the panel says of rooms and lines."""

from collections.abc import Iterator

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QApplication, QPushButton

from app.editor.commands.client_list import read_in
from app.editor.document import Document
from app.editor.room_lists.account import account_of
from app.editor.room_lists.made_out import make_out
from app.model.entities import RoomLine, Space
from app.model.project import adding
from app.model.rooms import rooms_of_lines
from app.standards import load_rules
from app.storage.list_rows import ListFile, ListRow, UnreadableList, clean
from app.ui.dialogs.client_list import ClientListDialog, news_words
from app.ui.dialogs.estimate import EstimateDialog
from app.ui.habits import list_habits
from app.ui.panel.room_views import LeftView, LineView
from app.ui.session import Session
from app.ui.words import name_of
from tests.ui.conftest import small_project

OFFICE = "space-0000000a"
KIND = "Data outlet, wall"


@pytest.fixture
def session(dressed: QApplication) -> Iterator[Session]:
    project = small_project()
    floor = next(iter(project.floors))
    outline = ((70_000, 0), (80_000, 0), (80_000, 8_000), (70_000, 8_000))
    room = Space(id=OFFICE, floor=floor, number="0.09", name="Office", outline=outline)
    made = Session(Document(project.apply(adding("", [room]))), rules=load_rules())
    yield made
    made.close()


def listed(*rows: list[str], name: str = "rooms.csv", **more) -> ListFile:
    lines = tuple(ListRow(n, tuple(map(clean, row))) for n, row in enumerate(rows, start=1))
    return ListFile(source_name=name, rows=lines, **more)


ROWS = (["Room", "Name", KIND, "Wardrobes"], ["0,09", "Office", "3", "1"], ["0.O9", "X", "1", ""])


def take(session: Session, *rows: list[str]) -> None:
    read = listed(*rows)
    made = make_out(session.project, read, {})
    account = account_of(session.project, session.rules, read, made.how)
    session.commit(read_in(session.project, account, name="rooms").patch)


def test_a_meaning_belongs_to_one_column(session: Session, qtbot) -> None:
    dialog = ClientListDialog(listed(*ROWS), session)
    qtbot.addWidget(dialog)
    kind = dialog.columns.columns_matched()[2]
    assert session.project.outlet_kinds[kind].name == KIND
    dialog.columns.match(3, kind)
    assert dialog.columns.columns_matched() == ("number", "name", "", kind)
    (first, _) = dialog.account.lines
    assert [r.count for r in first.required] == [1]


def test_nothing_can_be_read_in_where_no_line_is_a_room(session: Session, qtbot) -> None:
    dialog = ClientListDialog(listed(["Room", "Name"]), session)
    qtbot.addWidget(dialog)
    (verb,) = [b for b in dialog.findChildren(QPushButton) if b.text() == "Read in"]
    assert not verb.isEnabled()
    assert dialog.taken is None
    dialog.accept()
    assert not session.project.client_lists


def test_headings_in_another_line_are_made_out_anew(session: Session, qtbot) -> None:
    dialog = ClientListDialog(listed(["Quay", "house"], *ROWS), session)
    qtbot.addWidget(dialog)
    assert dialog.headings_in.value() == 2
    dialog.headings_in.setValue(1)
    assert dialog.columns.columns_matched() == ("", "", "", "")
    dialog.headings_in.setValue(0)
    assert len(dialog.account.above) == 0
    dialog.headings_in.setValue(2)
    assert len(dialog.account.lines) == 2


def test_what_was_matched_is_a_habit_in_the_next_project(session: Session, qtbot) -> None:
    dialog = ClientListDialog(listed(*ROWS), session)
    qtbot.addWidget(dialog)
    access = next(k for k in session.project.outlet_kinds.values() if k.symbol == "access_point")
    dialog.columns.match(3, access.id)
    dialog.accept()
    assert len(session.project.room_lines) == 2
    assert list_habits()["wardrobe"] == access.name
    fresh = Session(Document(small_project()), rules=load_rules())
    again = ClientListDialog(listed(*ROWS, name="other.csv"), fresh)
    qtbot.addWidget(again)
    means = again.columns.columns_matched()[3]
    assert fresh.project.outlet_kinds[means].name == access.name
    fresh.close()


def test_another_sheet_is_read_and_one_that_cannot_be_is_said(
    session: Session, qtbot, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr("app.ui.dialogs.client_list.say", lambda _p, text: said.append(text))

    def read_sheet(name: str) -> ListFile:
        if name == "C":
            raise UnreadableList("“rooms.xlsx” has no row with anything in it.")
        return listed(["Room", "Floor"], ["1", "0"], sheet=name, sheets=("A", "B", "C"))

    first = listed(*ROWS, sheet="A", sheets=("A", "B", "C"))
    dialog = ClientListDialog(first, session, read_sheet=read_sheet)
    qtbot.addWidget(dialog)
    dialog.sheet.setCurrentText("B")
    dialog.sheet.activated.emit(1)
    assert dialog.columns.columns_matched() == ("number", "floor_name")
    dialog.sheet.setCurrentText("C")
    dialog.sheet.activated.emit(2)
    assert said == ["“rooms.xlsx” has no row with anything in it."]
    assert dialog.sheet.currentText() == "B"


def test_a_revision_without_changes_says_so(session: Session, qtbot) -> None:
    take(session, *ROWS)
    dialog = ClientListDialog(listed(*ROWS), session)
    qtbot.addWidget(dialog)
    assert dialog.account_list.item(0).text() == "Nothing has changed since it was read last."
    assert dialog.taken is not None
    assert news_words(dialog.taken) == ""


def test_a_list_that_does_not_match_asks_before_it_takes_the_place(
    session: Session, qtbot, monkeypatch: pytest.MonkeyPatch
) -> None:
    take(session, *ROWS)
    before, asked, answers = session.project, [], [None, 0]

    def choose(_parent: object, text: str, verbs: list[str]) -> int | None:
        asked.append((text, *verbs))
        return answers.pop(0)

    monkeypatch.setattr("app.ui.dialogs.client_list.choose", choose)
    dialog = ClientListDialog(listed(["Room", "Data points"], ["7", "3"], name="x.csv"), session)
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.which.currentText() == "a revision of “rooms”"
    dialog.accept()
    assert session.project is before
    assert dialog.isVisible()
    (told,) = asked
    assert told[0] == dialog._problem.text()
    assert f"no column is read as “{KIND}”" in told[0]
    assert "2 of the 2 rooms that it has would go" in told[0]
    assert told[1:] == ("Read it as a new list", "Replace the list all the same")
    dialog.accept()
    assert not dialog.isVisible()
    assert [each.name for each in session.project.client_lists.values()] == ["rooms", "x"]
    assert len(session.project.room_lines) == 3
    monkeypatch.setattr("app.ui.dialogs.client_list.choose", lambda *_a: 1)
    again = ClientListDialog(listed(["Room"], ["8"], name="x.csv"), session)
    qtbot.addWidget(again)
    again.accept()
    assert {r.number for r in session.project.room_lines.values()} == {"0,09", "0.O9", "8"}


def test_the_panel_tells_what_is_left_and_where_it_is_said(session: Session, qtbot) -> None:
    view = LeftView(session)
    qtbot.addWidget(view)
    view.show_space(session.project.spaces[OFFICE])
    assert view.isHidden()
    take(session, *ROWS)
    view.show_space(session.project.spaces[OFFICE])
    assert view.left.text() == f"3 left in 0.09: 3 {KIND}."
    assert not view.one_by_one.isHidden()
    with qtbot.waitSignal(view.spread_asked):
        view.all_at_once.click()


def test_a_line_is_set_to_a_likely_room_and_back(session: Session, qtbot) -> None:
    take(session, *ROWS)
    (line,) = [r for r in session.project.room_lines.values() if r.number == "0.O9"]
    view = LineView(session)
    qtbot.addWidget(view)
    view.show()
    view.show_line(line)
    assert view.why.text() == "No space has its number."
    (likely,) = view.likely_links()
    likely.click()
    now = session.project.room_lines[line.id]
    assert now.space == OFFICE
    view.show_line(now)
    assert view.why.text() == "It is 0.09 Office, set by hand."
    assert view.likely_links() == []
    view.choice.setCurrentIndex(0)
    view.choice.activated.emit(0)
    assert session.project.room_lines[line.id].space is None
    assert name_of(session.project, line.id) == "Line 3: 0.O9 X"
    assert isinstance(now, RoomLine)
    assert rooms_of_lines(session.project)[line.id].space is None


def test_a_kind_that_a_word_may_mean_is_chosen(session: Session, qtbot) -> None:
    dialog = EstimateDialog(session, None)
    qtbot.addWidget(dialog)
    dialog.text.setPlainText("4 cameras in 0.09")
    dialog.look_again()
    (item,) = dialog.understood()
    assert not item.is_sure
    other = item.likely[1]
    dialog._chosen[item.text] = other
    dialog.accept()
    assert dialog.made is not None
    kinds = {session.project.outlets[i].kind for i in dialog.made.placed}
    assert kinds == {other}


def test_what_is_not_understood_keeps_the_dialog_open(session: Session, qtbot) -> None:
    dialog = EstimateDialog(session, None)
    qtbot.addWidget(dialog)
    verb = dialog._verb
    assert verb is not None
    assert not verb.isEnabled()
    dialog.text.setPlainText("desks in 0.09")
    dialog.look_again()
    assert not verb.isEnabled()
    dialog.text.setPlainText("2 data outlets in 7.01")
    dialog.look_again()
    assert verb.isEnabled()
    assert verb.text() == "Ask for them"
    assert replace(dialog.understood()[0], text="").room == "7.01"
