"""The main window: what is where, and what each way in does."""

from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QLabel, QMenu, QMessageBox, QPushButton, QToolButton
from pytestqt.qtbot import QtBot

from app.editor.commands.floors import add_floor
from app.jobs import open_project
from app.model.project import changing
from app.standards import load_rules
from app.ui import look, project_files, recent
from app.ui.dialogs.set_aside import SetAsideDialog
from app.ui.dialogs.which_floor import WhichFloorDialog
from app.ui.job_steps import Progress
from app.ui.main import CrashReporter
from app.ui.panel.run_view import RunView
from app.ui.samples import standing_samples
from app.ui.window import MainWindow


def give_keys(window: MainWindow, qtbot: QtBot) -> None:
    """No window manager gives the keys to a window here, so it asks until it has them."""

    def asked() -> bool:
        window.raise_()
        window.activateWindow()
        return window.isActiveWindow()

    qtbot.waitUntil(asked, timeout=10_000)


@pytest.fixture
def window(qtbot: QtBot, dressed: QApplication) -> Iterator[MainWindow]:
    made = MainWindow(load_rules())
    qtbot.addWidget(made, before_close_func=lambda w: w._drop_workspace())
    made.show()
    give_keys(made, qtbot)
    yield made
    made._drop_workspace()


@pytest.fixture
def sample(window: MainWindow, qtbot: QtBot) -> MainWindow:
    window.open_sample(standing_samples()[0][0])
    give_keys(window, qtbot)
    qtbot.wait(120)
    return window


def test_it_starts_with_a_page_of_ways_in(window: MainWindow) -> None:
    page = window.start_page
    assert page.isVisible()
    assert {"plan", "project"} <= set(page.doors)
    assert len(page.doors) == 2 + len(standing_samples())
    assert not window.menus.named["undo"].isEnabled()


def test_the_plan_has_the_room(sample: MainWindow) -> None:
    sample.resize(1280, 800)
    QApplication.processEvents()
    workspace = sample.workspace
    assert workspace is not None
    assert workspace.canvas.width() >= 0.60 * 1280
    assert workspace.canvas.height() >= 0.70 * 800


def test_nothing_is_cut_off_at_any_text_size(sample: MainWindow, qtbot: QtBot) -> None:
    sample.change_scheme("dark")
    for _ in range(3):
        sample.change_text(1)
        qtbot.wait(80)
        workspace = sample.workspace
        assert workspace is not None
        for button in workspace.bottom._counts.values():
            assert button.width() >= button.minimumSizeHint().width()
            assert button.geometry().right() <= workspace.bottom.width()
    assert look.em(1) > 16
    sample.change_scheme("light")
    for _ in range(3):
        sample.change_text(-1)


def test_a_tool_letter_works_on_the_plan_and_not_while_typing(
    sample: MainWindow, qtbot: QtBot
) -> None:
    workspace = sample.workspace
    assert workspace is not None
    workspace.canvas.setFocus()
    qtbot.keyClick(workspace.canvas, Qt.Key.Key_P)
    assert workspace.canvas.tool == "pathway"
    qtbot.keyClick(workspace.canvas, Qt.Key.Key_Escape)
    assert workspace.canvas.tool == "select"
    sample.look_here().focus_panel()
    focused = QApplication.focusWidget()
    assert focused is not None
    qtbot.keyClick(focused, Qt.Key.Key_P)
    assert workspace.canvas.tool == "select"
    qtbot.keyClick(focused, Qt.Key.Key_Escape)
    assert workspace.canvas.hasFocus()


def test_the_drawer_opens_closes_and_keeps_its_height(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    drawer = workspace.drawer
    closed = drawer.height()
    qtbot.keyClick(sample, Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    assert drawer.open_key == "outlets"
    assert drawer.view("outlets").model.rowCount() == len(workspace.session.project.outlets)
    workspace.split.setSizes([200, 500])
    high = drawer.height()
    qtbot.keyClick(sample, Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    QApplication.processEvents()
    assert drawer.height() == closed
    qtbot.keyClick(sample, Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
    QApplication.processEvents()
    assert abs(drawer.height() - high) <= 2


def test_a_double_click_in_a_table_goes_to_the_floor(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    view = workspace.drawer.open_table("outlets")
    project = workspace.session.project
    far = next(o for o in project.outlets.values() if o.floor != workspace.floor_id)
    slot = view.model.slot_of(far.id)
    assert slot is not None
    index = view.model.index(slot, 0)
    view.grid.scrollTo(index)
    spot = view.grid.visualRect(index).center()
    qtbot.mouseClick(view.grid.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    qtbot.mouseDClick(view.grid.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert workspace.floor_id == far.floor
    assert workspace.session.selection.ids == (far.id,)


def test_floors_are_stepped_by_keys(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    first = workspace.floor_id
    qtbot.keyClick(sample, Qt.Key.Key_PageUp)
    assert workspace.floor_id != first
    qtbot.keyClick(sample, Qt.Key.Key_PageDown)
    assert workspace.floor_id == first


def test_undo_is_named_and_everything_comes_back(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    session = workspace.session
    before = session.project
    session.select(list(before.outlets)[:2])
    sample.edit().duplicate()
    sample.edit().delete()
    undo = sample.menus.named["undo"]
    qtbot.waitUntil(lambda: "Delete" in undo.text())
    qtbot.keyClick(sample, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(sample, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.project == before
    qtbot.waitUntil(lambda: not undo.isEnabled())


def test_saving_and_opening_again_gives_the_same(
    sample: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "own.drawcord"
    monkeypatch.setattr(
        "app.ui.project_files.QFileDialog.getSaveFileName", lambda *_: (str(path), "")
    )
    workspace = sample.workspace
    assert workspace is not None
    project = workspace.session.project
    assert sample.save()
    assert not sample.isWindowModified()
    assert recent.recent_files()[0] == path
    sample._drop_workspace()
    opened = open_project(path, state=tmp_path / "other")
    assert opened.project == project
    opened.document().close()


def test_what_saving_had_to_leave_out_is_told(
    sample: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "own.drawcord"
    monkeypatch.setattr(
        "app.ui.project_files.QFileDialog.getSaveFileName", lambda *_: (str(path), "")
    )
    told: list[str] = []
    monkeypatch.setattr(
        "app.ui.project_files.say", lambda _parent, sentence, **_more: told.append(sentence)
    )
    workspace = sample.workspace
    assert workspace is not None
    assert sample.save()
    assert told == [], "nothing was left out"
    for outlet in list(workspace.session.project.outlets)[:6]:
        workspace.session.select([outlet])
        sample.edit().delete()
    monkeypatch.setattr("app.storage.bounds.LARGEST_HISTORY_BYTES", 3_000)
    assert sample.save()
    (sentence,) = told
    assert "were left out of the file" in sentence
    assert "The project is whole" in sentence


def test_closing_asks_about_unsaved_edits(
    sample: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    workspace = sample.workspace
    assert workspace is not None
    asked: list[str] = []

    def answer(_parent: object, sentence: str, verbs: list[str]) -> None:
        asked.append(sentence)

    monkeypatch.setattr("app.ui.project_files.choose", answer)
    workspace.session.select(list(workspace.session.project.outlets)[:1])
    sample.edit().delete()
    qtbot.waitUntil(sample.isWindowModified)
    assert not sample.close()
    assert sample.workspace is workspace
    assert "not saved" in asked[0]


def test_a_file_that_is_open_elsewhere_is_told_in_words(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.new_project()
    path = tmp_path / "shared.drawcord"
    monkeypatch.setattr(
        "app.ui.project_files.QFileDialog.getSaveFileName", lambda *_: (str(path), "")
    )
    assert window.save()
    asked: list[str] = []

    def answer(_parent: object, sentence: str, verbs: list[str]) -> int:
        asked.append(sentence)
        return 0

    monkeypatch.setattr("app.ui.project_files.choose", answer)
    other = MainWindow(load_rules())
    other.open_path(path)
    assert "is open already" in asked[0]
    assert other.workspace is not None
    assert other.workspace.session.document.path is None
    other._drop_workspace()
    other.deleteLater()


def test_a_damaged_file_is_refused_in_one_sentence(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "torn.drawcord"
    path.write_bytes(b"PK\x03\x04 and no more")
    said: list[str] = []
    monkeypatch.setattr("app.ui.project_files.say", lambda _p, sentence, **_: said.append(sentence))
    window.open_path(path)
    assert window.workspace is None
    assert len(said) == 1
    assert "torn.drawcord" in said[0]


def test_a_project_let_fall_is_opened(window: MainWindow, tmp_path: Path, qtbot: QtBot) -> None:
    from app.resource_files import sample_path

    path = tmp_path / "fallen.drawcord"
    path.write_bytes(sample_path(standing_samples()[-1][0]).read_bytes())
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    drop = QDropEvent(
        QPointF(20, 20),
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    window.start_page.dropEvent(drop)
    assert window.workspace is not None
    assert window.workspace.session.document.path == path


def test_the_way_of_the_job_leads_to_the_tool(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    button = workspace.job_bar.button("frames")
    assert button.step is not None
    assert button.step.progress is Progress.DONE
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton, pos=QPoint(20, 10))
    assert workspace.canvas.tool == "frame"


def test_a_fault_of_the_program_says_so(window: MainWindow) -> None:
    dialog = CrashReporter(window).dialog("Traceback: details")
    assert isinstance(dialog, QMessageBox)
    assert "journal" in dialog.text()
    assert "details" in dialog.detailedText()
    dialog.deleteLater()


def test_every_menu_entry_has_a_mnemonic_and_no_two_share_a_key(sample: MainWindow) -> None:
    keys: dict[str, str] = {}
    for name, actions in sample.menus.groups:
        for action in actions:
            assert "&" in action.text(), f"{name}: {action.text()}"
            for shortcut in action.shortcuts():
                text = shortcut.toString()
                assert text not in keys, f"{text}: {action.text()} and {keys[text]}"
                keys[text] = action.text()
    first = {text.split(", ")[0] for text in keys if ", " in text}
    assert not first & keys.keys(), "a key that begins another's two never does its own"


def test_the_other_button_selects_and_offers_what_is_done_most(
    sample: MainWindow, qtbot: QtBot
) -> None:
    workspace = sample.workspace
    assert workspace is not None
    canvas, project = workspace.canvas, workspace.session.project
    frame = next(f for f in project.frames.values() if f.floor == workspace.floor_id)
    canvas.zoom_to([frame.id])
    at = canvas.camera.to_screen(frame.x_mm, frame.y_mm).toPoint()
    canvas.customContextMenuRequested.emit(at)
    assert workspace.session.selection.ids == (frame.id,)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    texts = [a.text() for a in menu.actions()]
    assert "&Delete" in texts
    assert all(a.isEnabled() for a in menu.actions())
    menu.close()


def test_the_bottom_line_says_what_was_undone_and_forgets_it(
    sample: MainWindow, qtbot: QtBot
) -> None:
    workspace = sample.workspace
    assert workspace is not None
    session, bottom = workspace.session, workspace.bottom
    session.select(list(session.project.outlets)[:1])
    sample.edit().delete()
    label = session.document.undo_label
    session.undo()
    assert bottom.message == f"Undone: {label}."
    session.redo()
    assert bottom.message == f"Done again: {label}."
    qtbot.wait(20)
    workspace.take_tool("measure")
    assert bottom.message == ""
    workspace.canvas.message.emit("12.3 m")
    assert bottom.message == "12.3 m"
    qtbot.wait(20)
    qtbot.keyClick(workspace.canvas, Qt.Key.Key_Escape)
    assert bottom.message == ""
    session.undo()
    qtbot.wait(20)
    session.select(list(session.project.outlets)[:1])
    sample.edit().delete()
    assert bottom.message == "", "of an edit before"


def test_trouble_with_the_journal_is_always_in_sight(
    sample: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    workspace = sample.workspace
    assert workspace is not None
    bottom = workspace.bottom
    assert bottom.trouble.isHidden()
    journal = workspace.session.document._journal
    assert journal is not None
    journal.problem = OSError(28, "No space left on device")
    qtbot.waitUntil(lambda: not bottom.trouble.isHidden(), timeout=5_000)
    assert "not safe" in bottom.trouble.text()
    asked: list[tuple[str, list[str]]] = []

    def answer(_parent: object, sentence: str, verbs: list[str]) -> int:
        asked.append((sentence, verbs))
        return 0

    monkeypatch.setattr("app.ui.project_files.choose", answer)
    path = tmp_path / "elsewhere.drawcord"
    monkeypatch.setattr(
        "app.ui.project_files.QFileDialog.getSaveFileName", lambda *_: (str(path), "")
    )
    bottom.trouble.click()
    assert asked[0][1] == ["Save as …"]
    assert workspace.session.document.path == path
    assert bottom.trouble.isHidden(), "saving begins a new journal"


def test_going_back_to_the_saved_file(
    sample: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "own.drawcord"
    monkeypatch.setattr(
        "app.ui.project_files.QFileDialog.getSaveFileName", lambda *_: (str(path), "")
    )
    assert sample.save()
    assert sample.workspace is not None
    saved = sample.workspace.session.project
    answers = iter([None, 0, 0, 1])
    monkeypatch.setattr("app.ui.project_files.choose", lambda *_: next(answers))
    monkeypatch.setattr("app.ui.project_files.say", lambda *_, **__: pytest.fail("refused"))

    def edit() -> None:
        assert sample.workspace is not None
        sample.workspace.session.select(list(saved.outlets)[:1])
        sample.edit().delete()

    edit()
    sample.rescue.go_back()
    assert sample.workspace.session.project != saved, "let be"
    whole = path.read_bytes()
    path.write_bytes(b"damaged meanwhile")
    said: list[str] = []
    monkeypatch.setattr("app.ui.project_files.say", lambda _p, sentence, **_: said.append(sentence))
    sample.rescue.go_back()
    assert len(said) == 1
    assert sample.workspace.session.project != saved, "nothing goes where nothing can come"
    path.write_bytes(whole)
    sample.rescue.go_back()
    assert sample.workspace is not None
    assert sample.workspace.session.document.path == path
    assert sample.workspace.session.project == saved
    edit()
    sample.open_path(path)  # the same file again, and “Discard the edits”
    assert sample.workspace is not None
    assert sample.workspace.session.document.path == path
    assert sample.workspace.session.project == saved


def test_every_tool_of_the_hand_is_in_reach(sample: MainWindow) -> None:
    from app.editor.tools.toolbox import TOOLS

    assert sample.workspace is not None
    assert set(sample.workspace.tools.actions_by_key) == set(TOOLS)


def test_a_plan_is_removed_from_its_panel(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    session = workspace.session
    plan = next(p for p in session.project.plans.values() if p.floor == workspace.floor_id)
    session.select([plan.id])
    workspace.panel.refresh()
    remove = next(
        b for b in workspace.panel.findChildren(QPushButton) if b.text() == "Remove this plan"
    )
    remove.click()
    assert plan.id not in session.project.plans
    session.undo()
    assert session.project.plans[plan.id] == plan


def test_copy_and_paste_by_keys_from_floor_to_floor(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    session, control = workspace.session, Qt.KeyboardModifier.ControlModifier
    outlet = next(o for o in session.project.outlets.values() if o.floor == workspace.floor_id)
    session.select([outlet.id])
    workspace.canvas.setFocus()
    qtbot.keyClick(workspace.canvas, Qt.Key.Key_C, control)
    qtbot.keyClick(sample, Qt.Key.Key_PageUp)
    workspace.canvas.setFocus()
    qtbot.keyClick(workspace.canvas, Qt.Key.Key_V, control)
    (pasted,) = session.selection.ids
    there = session.project.outlets[pasted]
    assert there.floor == workspace.floor_id != outlet.floor
    assert (there.x_mm, there.y_mm) == (outlet.x_mm, outlet.y_mm)
    view = workspace.drawer.open_table("outlets")
    view.grid.setFocus()
    session.copied = ()
    qtbot.keyClick(view.grid, Qt.Key.Key_C, control)
    assert session.copied == (), "a table copies its rows"
    assert QApplication.clipboard().text()


def test_edits_set_aside_are_offered_and_opened(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from app.storage.recovery import abandoned_journals, journals_set_aside, set_aside

    assert window.start_page.set_aside.isHidden()
    assert not window.menus.named["set_aside"].isEnabled()
    window.new_project()
    assert window.workspace is not None
    session = window.workspace.session
    building = next(iter(session.project.buildings))
    assert session.commit(add_floor(session.project, building, "Attic"))
    session.document.close(keep_unsaved=True)
    state = tmp_path / "state"
    (journal,) = abandoned_journals(state)
    set_aside(state, journal.folder, "It does not fit.")
    window._drop_workspace()
    window.fill_file_menus()
    assert "(1)" in window.start_page.set_aside.text()
    assert window.menus.named["set_aside"].isEnabled()

    def look(dialog: SetAsideDialog) -> bool:
        assert "It does not fit." in dialog.said.text()
        assert "1 edit," in dialog.journals.item(0).text()
        dialog.open_button.click()
        return True

    said: list[str] = []
    monkeypatch.setattr("app.ui.project_files.say", lambda _p, sentence, **_: said.append(sentence))
    monkeypatch.setattr("app.ui.rescue.show", look)
    window.start_page.set_aside.click()
    assert window.workspace is not None
    assert "Attic" in {f.name for f in window.workspace.session.project.floors.values()}
    window.fill_file_menus()
    if window.menus.named["set_aside"].isEnabled():
        (kept,) = journals_set_aside(state)
        project_files.put_aside_away(window, kept)
    assert journals_set_aside(state) == ()


def test_what_a_crash_left_is_offered_when_started_with_a_file_too(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    from app.ui import main

    window.new_project()
    assert window.workspace is not None
    session = window.workspace.session
    building = next(iter(session.project.buildings))
    assert session.commit(add_floor(session.project, building, "Attic"))
    session.document.close(keep_unsaved=True)
    window._drop_workspace()
    asked: list[str] = []

    def answer(_parent: object, sentence: str, _verbs: object, **_: object) -> None:
        asked.append(sentence)

    monkeypatch.setattr(main, "choose", answer)
    main.begin(window, None, standing_samples()[0][0])
    assert window.workspace is not None
    assert len(asked) == 1
    assert "never saved" in asked[0]


def test_a_small_window_clips_nothing(window: MainWindow, qtbot: QtBot) -> None:
    window.resize(780, 494)
    qtbot.wait(30)
    page = window.start_page
    for door in page.doors.values():
        for label in door.findChildren(QLabel):
            assert label.height() >= label.heightForWidth(label.width()), label.text()
            assert label.geometry().bottom() <= door.height()
    bar = page.area.verticalScrollBar()
    assert page.area.widget().height() <= page.area.viewport().height() + bar.maximum()
    window.open_sample(standing_samples()[0][0])
    assert window.workspace is not None
    qtbot.wait(120)
    drawer = window.workspace.drawer
    assert not drawer.every.isHidden()
    shown = [b for b in drawer.findChildren(QToolButton) if b.isVisible()]
    assert {"Tables", "Which floor? …"} <= {b.text() for b in shown}
    for button in shown:
        assert button.width() >= button.sizeHint().width(), button.text()
    menu = drawer.every.menu()
    menu.actions()[0].trigger()
    assert drawer.open_key == "outlets"
    window.resize(1280, 800)
    qtbot.wait(30)
    assert drawer.every.isHidden()


def test_light_and_dark_keep_selection_table_and_tool(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    floor = next(reversed(workspace.session.project.floors))
    workspace.show_floor(floor)
    outlet = next(o.id for o in workspace.session.project.outlets.values() if o.floor == floor)
    workspace.drawer.open_table("spaces")
    workspace.take_tool("pathway")
    workspace.session.select([outlet])
    sample.change_scheme("dark")
    made = sample.workspace
    assert made is not None
    assert made is not workspace
    assert made.session.selection.ids == (outlet,)
    assert made.drawer.open_key == "spaces"
    assert made.canvas.tool == "pathway"
    assert made.floor_id == floor
    sample.change_scheme("light")


def test_spaces_come_by_number_and_findings_have_room_for_words(
    sample: MainWindow, qtbot: QtBot
) -> None:
    workspace = sample.workspace
    assert workspace is not None
    view = workspace.drawer.open_table("spaces")
    column = view.model.column_index("number")
    assert column is not None
    numbers = [view.model.text(slot, column) for slot in range(view.model.rowCount())]
    head = view.grid.horizontalHeader()
    assert head.sortIndicatorSection() == column
    view.model.sort(column)
    assert numbers == [view.model.text(slot, column) for slot in range(view.model.rowCount())]
    findings = workspace.drawer.open_table("findings")
    qtbot.wait(30)
    index = findings.model.column_index("text")
    assert index is not None
    widths = [findings.grid.columnWidth(i) for i in range(findings.model.columnCount())]
    assert widths[index] == max(widths)
    assert widths[index] >= findings.grid.viewport().width() * 0.4


def test_the_panel_shows_what_letting_go_would_give(sample: MainWindow, qtbot: QtBot) -> None:
    workspace = sample.workspace
    assert workspace is not None
    session = workspace.session
    design, project = session.design, session.project
    outlet = next(
        o
        for o in project.outlets.values()
        if o.ports and design.runs.frame_of(design.runs.row_of[o.ports[0].id])
    )
    session.select([outlet.id])
    workspace.panel.refresh()
    view = workspace.panel.findChild(RunView)
    assert view is not None
    stands = view.headline
    moved = msgspec.structs.replace(outlet, x_mm=outlet.x_mm + 1_000, y_mm=outlet.y_mm + 1_000)
    preview = session.document.preview(changing("Move", [(outlet, moved)]))
    workspace.canvas.preview_changed.emit(preview)
    qtbot.waitUntil(lambda: view.headline != stands)
    row = preview.design.runs.row_of[outlet.ports[0].id]
    metres = int(preview.design.runs.installed_mm[row]) / 1000
    assert view.headline.startswith(f"{metres:.1f} m")
    workspace.canvas.preview_changed.emit(None)
    qtbot.waitUntil(lambda: view.headline == stands)


def test_which_floor_goes_with_its_project(sample: MainWindow, qtbot: QtBot) -> None:
    sample.actions_here().which_floor()
    workspace = sample.workspace
    assert workspace is not None
    dialog = workspace.findChild(WhichFloorDialog)
    assert dialog is not None
    assert dialog.isVisible()
    assert dialog.isWindow()
    before = set(workspace.session.project.frames)
    for row in range(dialog.places.count()):
        dialog.places.setCurrentRow(row)
        answer = dialog.places.answer()
        assert answer is not None
        assert workspace.floor_id == answer.floor
        if answer.thing is not None:
            assert workspace.session.selection.ids == (answer.thing,)
    assert dialog.place_button.isEnabled()
    dialog.place_button.click()
    assert len(workspace.session.project.frames) == len(before) + 1
    dialog.again_button.click()
    assert dialog.again_button.isHidden()
    gone: list[bool] = []
    dialog.destroyed.connect(lambda: gone.append(True))
    sample._drop_workspace()
    qtbot.waitUntil(lambda: bool(gone))
