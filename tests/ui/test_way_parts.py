"""Where ways down are set for the project, and for a kind of outlet."""

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.model.settings import WAYS
from app.model.vocabulary import ProvidedBy, WayDown, WayPart
from app.model.ways_down import PARTS_OF_WAY
from app.ui.dialogs.catalogue import OutletKindsDialog
from app.ui.dialogs.settings import SettingsDialog
from app.ui.fields.editors import ChoiceEditor
from app.ui.panel.panel import Panel
from app.ui.panel.way_view import WayView
from app.ui.session import Session

LEFT = Qt.MouseButton.LeftButton


def page_of(qtbot: QtBot, session: Session) -> SettingsDialog:
    dialog = SettingsDialog(session)
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.show_group("Ways down")
    return dialog


def test_every_part_of_every_way_has_a_row_as_usual(qtbot: QtBot, session: Session) -> None:
    parts = page_of(qtbot, session).way_parts
    usual = {(r.way, r.part): r.provided_by for r in WAYS}
    for way, found in PARTS_OF_WAY.items():
        for part in found:
            row = parts.row(way, part)
            assert row.belongs.isChecked() == row.by.isEnabled() == ((way, part) in usual)
            assert not row.back.isEnabled()
    assert parts.row(WayDown.WALL_CAVITY, WayPart.STUB).by.combo.currentText() == "by others"
    assert not parts.usual.isEnabled()


def test_ticks_and_providers_reach_the_panel_and_go_back(qtbot: QtBot, session: Session) -> None:
    panel = Panel(session)
    qtbot.addWidget(panel)
    session.select([next(iter(session.project.outlets))])
    panel.refresh()
    (view,) = panel.findChildren(WayView)
    before, said = session.project, view.said
    assert "stub" in said
    parts = page_of(qtbot, session).way_parts
    stub = parts.row(WayDown.WALL_CAVITY, WayPart.STUB)
    box = parts.row(WayDown.WALL_CAVITY, WayPart.BACK_BOX)

    qtbot.keyClick(stub.belongs, Qt.Key.Key_Space)
    box.by.combo.setFocus()
    qtbot.keyClick(box.by.combo, Qt.Key.Key_Down)  # from others to the owner
    assert not stub.by.isEnabled()
    assert stub.back.isEnabled()
    panel.refresh()
    assert view.said.endswith("Single gang back box by the owner.")

    qtbot.mouseClick(stub.back, LEFT)
    assert stub.belongs.isChecked()
    assert stub.by.combo.currentText() == "by others"
    qtbot.mouseClick(parts.usual, LEFT)
    assert session.project.settings.ways == WAYS
    panel.refresh()
    assert view.said == said
    assert session.document.undo_label == "Set the parts of all ways down as usual"
    for _ in range(4):
        session.undo()
    assert session.project == before


def test_a_part_that_is_not_usual_can_be_put_in(qtbot: QtBot, session: Session) -> None:
    parts = page_of(qtbot, session).way_parts
    box = parts.row(WayDown.CEILING, WayPart.BACK_BOX)
    qtbot.keyClick(box.belongs, Qt.Key.Key_Space)
    (rule,) = [r for r in session.project.settings.ways if r.way is WayDown.CEILING]
    assert (rule.part, rule.provided_by) == (WayPart.BACK_BOX, None)
    box.by.combo.setFocus()
    qtbot.keyClick(box.by.combo, Qt.Key.Key_Down)
    (rule,) = [r for r in session.project.settings.ways if r.way is WayDown.CEILING]
    assert rule.provided_by is ProvidedBy.US


def test_a_kind_is_drawn_with_its_way_down(qtbot: QtBot, session: Session) -> None:
    dialog = OutletKindsDialog(session)
    qtbot.addWidget(dialog)
    kind = next(iter(session.project.outlet_kinds))
    dialog.choose(kind)
    assert dialog.way_told.text() == (
        "Drop in the wall cavity 2.55 m. "
        "Single gang back box by others; stub Ø 27 2.40 m by others."
    )
    editor = dialog.fields.editor("way_down")
    assert isinstance(editor, ChoiceEditor)
    editor.combo.setFocus()
    qtbot.keyClick(editor.combo, Qt.Key.Key_B)  # by a service pole
    assert session.project.outlet_kinds[kind].way_down is WayDown.SERVICE_POLE
    assert dialog.section.way is not None
    assert dialog.section.way.way is WayDown.SERVICE_POLE
    assert dialog.way_told.text().endswith("Service pole 2.70 m by us.")
