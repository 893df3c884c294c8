"""The panel speaks of what runs were told and of what was walked, and lets it be changed."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QInputDialog, QLabel, QPushButton
from pytestqt.qtbot import QtBot

from app.editor.commands.telling import pass_here
from app.editor.commands.walked import Said, add_walked
from app.ui.panel.panel import Panel
from app.ui.panel.telling_view import TellingView
from app.ui.panel.walked_view import WalkedView
from app.ui.session import Session
from tests.ui.test_panel import line, panel_of, type_into

BASKET, FRAME = "pathway-00000001", "frame-00000001"


def said_in(view: TellingView | WalkedView | None) -> str:
    assert view is not None
    return " ".join(label.text() for label in view.findChildren(QLabel))


def shown(panel: Panel, kind: type) -> TellingView | WalkedView | None:
    panel.refresh()
    found = panel.findChildren(kind)
    return found[-1] if found else None


def test_what_runs_were_told_is_said_and_taken_back(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    outlets = list(session.project.outlets)
    session.select(outlets[:2])
    view = shown(panel, TellingView)
    assert "may go any way" in said_in(view)
    session.do(lambda: pass_here(session.project, outlets[:1], [BASKET]))
    view = shown(panel, TellingView)
    assert "Passes B-01. Others may go any way." in said_in(view)
    assert isinstance(view, TellingView)
    qtbot.mouseClick(view.links["any_way"], Qt.MouseButton.LeftButton)
    assert not any(p.via for o in session.project.outlets.values() for p in o.ports)


def test_pass_here_takes_the_tool_in_hand(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    session.select(list(session.project.outlets)[:1])
    view = shown(panel, TellingView)
    assert isinstance(view, TellingView)
    with qtbot.waitSignal(panel.tool_asked) as asked:
        qtbot.mouseClick(view.links["never_there"], Qt.MouseButton.LeftButton)
    assert asked.args == ["never_there"]


def test_ports_are_sent_to_a_frame_by_its_name(
    qtbot: QtBot, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel = panel_of(qtbot, session)
    session.select(session.project.outlets)
    view = shown(panel, TellingView)
    assert isinstance(view, TellingView)
    offered: list[str] = []

    def choose(
        _parent: object, _title: str, _label: str, items: list[str], *_: object, **__: object
    ) -> tuple[str, bool]:
        offered.extend(items)
        return items[1], True

    monkeypatch.setattr(QInputDialog, "getItem", choose)
    qtbot.mouseClick(view.links["end_at"], Qt.MouseButton.LeftButton)
    assert offered[0] == "nearest by the rules"
    assert offered[1].startswith("T1, floor")
    assert {p.frame for o in session.project.outlets.values() for p in o.ports} == {FRAME}
    assert "Sent to frame T1 by hand." in said_in(shown(panel, TellingView))


def test_an_added_length_asks_for_its_reason(
    qtbot: QtBot, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel = panel_of(qtbot, session)
    outlet = next(iter(session.project.outlets))
    session.select([outlet])
    panel.refresh()
    monkeypatch.setattr(QInputDialog, "getText", lambda *_, **__: ("", False))
    type_into(qtbot, line(panel, "added_mm"), "4")
    assert session.project.outlets[outlet].ports[0].added_mm == 0
    panel.refresh()
    assert line(panel, "added_mm").text() == "0.00 m"
    monkeypatch.setattr(QInputDialog, "getText", lambda *_, **__: ("round the duct", True))
    type_into(qtbot, line(panel, "added_mm"), "4")
    port = session.project.outlets[outlet].ports[0]
    assert (port.added_mm, port.length_reason) == (4_000, "round the duct")


def test_a_pathway_lists_what_was_walked_on_it(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    floor = session.project.pathways[BASKET].floor
    said = Said(added_mm=4_000, measured_mm=None, reason="round the duct")
    session.select([BASKET])
    assert "as long as it is drawn" in said_in(shown(panel, WalkedView))
    session.do(
        lambda: add_walked(
            session.project, along_id=BASKET, floor_id=floor, at=(9_000, 12_000), said=said
        )
    )
    view = shown(panel, WalkedView)
    assert isinstance(view, WalkedView)
    walked = next(iter(session.project.walked_lengths))
    row = next(b for b in view.findChildren(QPushButton) if "round the duct" in b.text())
    assert row.text() == "+4.00 m round the duct"
    with qtbot.waitSignal(panel.thing_asked) as asked:
        qtbot.mouseClick(row, Qt.MouseButton.LeftButton)
    assert asked.args == [walked]
    session.select([walked])
    panel.refresh()
    assert line(panel, "reason").text() == "round the duct"
