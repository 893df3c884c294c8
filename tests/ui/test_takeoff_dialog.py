"""The takeoff on the screen: what must be known first, and every part within reach."""

from msgspec.structs import replace
from PySide6.QtWidgets import QApplication, QToolButton
from pytestqt.qtbot import QtBot

from app.model.project import changing, removing
from app.ui.dialogs.takeoff import TakeoffDialog, tables_of
from app.ui.session import Session
from app.ui.tables.view import TableView


def dialog_of(qtbot: QtBot, session: Session) -> TakeoffDialog:
    dialog = TakeoffDialog(tables_of(session.design, session.rules), session)
    qtbot.addWidget(dialog)
    return dialog


def test_nothing_is_said_where_all_runs_are_within(qtbot: QtBot, session: Session) -> None:
    assert session.design.summary.over == session.design.summary.no_route == 0
    assert dialog_of(qtbot, session).warning.isHidden()


def test_runs_without_a_route_are_told_with_what_that_means(qtbot: QtBot, session: Session) -> None:
    assert session.commit(removing("Remove", list(session.project.pathways.values())))
    lost = session.design.summary.no_route
    assert lost > 0
    dialog = dialog_of(qtbot, session)
    said = dialog.warning.text()
    assert not dialog.warning.isHidden()
    assert f"{lost} runs without a route" in said
    assert "not counted" in said
    assert "hold all the same" not in said


def test_runs_over_their_limit_are_counted(qtbot: QtBot, session: Session) -> None:
    frame = next(iter(session.project.frames.values()))
    assert session.commit(changing("Move", [(frame, replace(frame, y_mm=19_000, x_mm=59_000))]))
    used = {p.cable_type for o in session.project.outlets.values() for p in o.ports}
    pairs = [
        (c, replace(c, limit_mm=20_000))
        for c in session.project.cable_types.values()
        if c.id in used
    ]
    assert session.commit(changing("Limit", pairs))
    over = session.design.summary.over
    assert over > 0
    assert f"{over} runs over their limit" in dialog_of(qtbot, session).warning.text()


def test_every_part_is_in_the_menu_of_a_narrow_dialog(qtbot: QtBot, session: Session) -> None:
    dialog = dialog_of(qtbot, session)
    dialog.resize(500, 400)
    corner = dialog.tabs.cornerWidget()
    assert isinstance(corner, QToolButton)
    menu = corner.menu()
    assert [a.text() for a in menu.actions()] == [
        dialog.tabs.tabText(i) for i in range(dialog.tabs.count())
    ]
    menu.actions()[-1].trigger()
    assert dialog.tabs.currentIndex() == dialog.tabs.count() - 1


def test_every_part_is_read_without_scrolling_sideways(qtbot: QtBot, session: Session) -> None:
    dialog = dialog_of(qtbot, session)
    dialog.resize(1_240, 560)
    dialog.show()
    for index in range(dialog.tabs.count()):
        dialog.tabs.setCurrentIndex(index)
        QApplication.processEvents()
        view = dialog.tabs.widget(index)
        assert isinstance(view, TableView)
        title, grid = dialog.tabs.tabText(index), view.grid
        assert grid.horizontalScrollBar().maximum() == 0, title
        if title not in ("Cautions", "Assumptions"):
            for column in range(view.model.columnCount()):
                wanted = grid.sizeHintForColumn(column)
                assert wanted <= grid.columnWidth(column), f"{title}: {column}"
    last = dialog.tabs.tabBar().tabRect(dialog.tabs.count() - 1)
    assert last.right() <= dialog.tabs.tabBar().width()
