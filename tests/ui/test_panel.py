"""The panel: what is selected is shown, and edited together."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from app.editor.commands.states import set_state
from app.model.entities import BackboneCable, CableType
from app.model.project import adding, changing
from app.model.vocabulary import Medium, State
from app.takeoff.panel_needs import panels_of_frame
from app.ui.dialogs.backbone import BackboneDialog, likely_backbone_cable
from app.ui.fields.editors import ChoiceEditor, LineEditor
from app.ui.panel.panel import Panel
from app.ui.panel.run_view import COMES_OUT, RunView
from app.ui.panel.thing_views import FrameView, panel_words
from app.ui.session import Session
from tests.hand_designs import FRAME, base, design_of, outlet


def panel_of(qtbot: QtBot, session: Session) -> Panel:
    panel = Panel(session)
    qtbot.addWidget(panel)
    panel.resize(320, 700)
    panel.show()
    panel.show_floor(next(iter(session.project.floors)))
    panel.refresh()
    return panel


def line(panel: Panel, key: str) -> QLineEdit:
    editor = panel.form_with(key).editor(key)
    assert isinstance(editor, LineEditor)
    return editor.line


def combo(panel: Panel, key: str) -> QComboBox:
    editor = panel.form_with(key).editor(key)
    assert isinstance(editor, ChoiceEditor)
    return editor.combo


def type_into(qtbot: QtBot, field: QLineEdit, text: str) -> None:
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def test_nothing_selected_speaks_of_the_floor(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    assert line(panel, "level_mm").text() == "0.00 m"
    type_into(qtbot, line(panel, "name"), "Ground")
    assert next(iter(session.project.floors.values())).name == "Ground"


def test_many_show_what_they_share_and_are_edited_together(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    session.select(session.project.outlets)
    panel.refresh()
    assert line(panel, "number").text() == ""
    assert line(panel, "number").placeholderText() == "several"
    assert line(panel, "height_mm").placeholderText() == "as its kind: 0.45 m"
    type_into(qtbot, line(panel, "height_mm"), "1.1")
    assert {o.height_mm for o in session.project.outlets.values()} == {1_100}
    choice = combo(panel, "state")
    choice.setCurrentIndex(choice.findText("existing"))
    choice.activated.emit(choice.currentIndex())
    assert {o.state for o in session.project.outlets.values()} == {State.EXISTING}
    session.undo()
    session.undo()
    assert {o.height_mm for o in session.project.outlets.values()} == {None}


def test_what_has_no_ports_is_shown_among_others_and_alone(qtbot: QtBot, session: Session) -> None:
    first, second, *_ = session.project.outlets.values()
    assert session.commit(changing("Empty", [(first, replace(first, ports=()))]))
    panel = panel_of(qtbot, session)
    session.select([first.id, second.id])
    panel.refresh()
    cables = session.project.cable_types
    assert combo(panel, "cable_type").currentText() == cables[second.ports[0].cable_type].name
    session.select([first.id])
    panel.refresh()
    assert line(panel, "number").text() == first.number
    with pytest.raises(StopIteration):
        panel.form_with("cable_type")


def test_a_length_that_is_none_is_marked_and_nothing_changes(
    qtbot: QtBot, session: Session
) -> None:
    panel = panel_of(qtbot, session)
    session.select(["outlet-00000001"])
    panel.refresh()
    field = line(panel, "height_mm")
    type_into(qtbot, field, "high")
    assert field.property("wrong") is True
    assert "no length" in field.toolTip()
    assert session.document.revision == 0


def test_a_pathway_is_set_to_a_height_with_all_its_points(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    session.select(["pathway-00000001"])
    panel.refresh()
    type_into(qtbot, line(panel, "height_mm"), "2.7 m")
    vertices = session.project.pathways["pathway-00000001"].vertices
    assert {v[2] for v in vertices} == {2_700}


def test_things_of_two_sorts_share_their_common_fields(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    session.select(["outlet-00000001", "pathway-00000001"])
    panel.refresh()
    choice = combo(panel, "provided_by")
    choice.setCurrentIndex(choice.findText("by others"))
    choice.activated.emit(choice.currentIndex())
    assert session.project.outlets["outlet-00000001"].provided_by == "others"
    assert session.project.pathways["pathway-00000001"].provided_by == "others"


def test_a_run_says_its_parts_and_they_add_up(qtbot: QtBot, session: Session) -> None:
    # Worked by hand (practice): wall drop 2.55, leg 7.00, basket 40.00, leg at the frame 3.00,
    # down to the panels 1.80, dressing 0.80, allowance 5 % of 50.00, slack 0.30 and 3.00.
    outlet = session.project.outlets["outlet-00000001"]
    session.commit(changing("Move", [(outlet, replace(outlet, x_mm=42_000))]))
    panel = panel_of(qtbot, session)
    session.select([outlet.id])
    panel.refresh()
    view = panel.findChild(RunView)
    assert view is not None
    lines = view.parts.lines
    total = next(i for i, one in enumerate(lines) if one.total)
    assert lines[total].figure == "60.95 m"
    assert all(one.figure.endswith(" m") for one in lines), "every row says its unit"
    figures = sorted(float(one.figure.removesuffix(" m")) for one in lines[:total])
    assert figures == sorted([2.55, 7.0, 40.0, 3.0, 1.8, 0.8, 2.5, 0.3, 3.0])
    basket = next(one for one in lines if one.thing == "pathway-00000001")
    assert "B-01" in basket.name
    asked: list[str] = []
    panel.thing_asked.connect(asked.append)
    place = lines.index(basket)
    qtbot.mouseClick(
        view.parts, Qt.MouseButton.LeftButton, pos=QPoint(20, int(view.parts._tops()[place]) + 5)
    )
    assert asked == ["pathway-00000001"]


def test_what_comes_out_says_so_at_the_top_and_nothing_of_boxes(
    qtbot: QtBot, session: Session
) -> None:
    outlet, other = list(session.project.outlets)[:2]
    panel = panel_of(qtbot, session)
    session.select([outlet])
    panel.refresh()
    view = panel.findChild(RunView)
    assert view is not None
    assert "cut from the box" in [line.name for line in view.parts.lines]
    assert not panel._subtitle.text().startswith("Data outlet, wall,")

    session.do(lambda: set_state(session.project, [outlet], State.TO_REMOVE))
    panel.refresh()
    assert panel._subtitle.text().startswith("Data outlet, wall, to remove. On floor 0, 0.01")
    assert view._heading.text() == "Run, to remove"
    assert view.headline.endswith(" from frame T1")
    assert view._verdict.text().startswith(COMES_OUT)
    names = [line.name for line in view.parts.lines]
    assert names[-1] == "installed"
    assert not any("box" in name for name in names)
    assert view.parts.isVisible()
    for widget in (view._bar, view._why, view._authority):
        assert not widget.isVisible()

    session.do(lambda: set_state(session.project, [outlet], State.EXISTING))
    panel.refresh()
    assert panel._subtitle.text().startswith("Data outlet, wall, existing. ")
    assert view._heading.text() == "Run, existing"
    assert view._bar.isVisible()
    assert [line.name for line in view.parts.lines][-1] == "installed"
    session.do(lambda: set_state(session.project, [outlet, other], State.FUTURE))
    session.select([outlet, other])
    panel.refresh()
    assert panel._subtitle.text() == "Future. On floor 0. A field edits them all."


def test_ports_have_their_own_runs(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    session.select(["outlet-00000001"])
    panel.refresh()
    view = panel.findChild(RunView)
    assert view is not None
    first = view.port_id
    buttons = view._group.buttons()
    assert len(buttons) == 2
    qtbot.mouseClick(buttons[1], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: panel._chosen_port(panel._things()) != first)


def test_a_frame_tells_ports_panels_and_lengths(qtbot: QtBot, session: Session) -> None:
    panel = panel_of(qtbot, session)
    session.select(["frame-00000001"])
    panel.refresh()
    view = panel.findChild(FrameView)
    assert view is not None
    # 3 outlets of 2 ports; 6 × 1.25 = 7.5, so 8 ports: 1 panel of 24, 18 free (practice).
    assert view._ports.text() == "6 ports of 3 outlets."
    assert "1 panel of 24" in view._panels.text()
    assert "room for 18 more of" in view._panels.text()


def test_the_dialog_of_backbone_cables_begins_with_a_fibre(qtbot: QtBot, session: Session) -> None:
    dialog = BackboneDialog(session)
    qtbot.addWidget(dialog)
    chosen = session.project.cable_types[dialog.cable.currentData()]
    assert chosen.medium is Medium.FIBRE
    copper = next(c.id for c in session.project.cable_types.values() if c.medium is Medium.BALANCED)
    frame = next(iter(session.project.frames.values()))
    other = replace(frame, id="frame-00000002", name="T2", x_mm=50_000)
    pairs = BackboneCable(
        id="backbone-cable-00000001",
        name="B1",
        from_id=frame.id,
        to_id=other.id,
        cable_type=copper,
    )
    assert session.commit(adding("Make", [other, pairs]))
    assert likely_backbone_cable(session.project) == chosen.id, "copper used once decides nothing"


def test_the_panel_counts_panels_as_the_takeoff_does() -> None:
    """Cable types of one sort share panels, and what stands is bought no panel for growth."""
    other = CableType(id="cable-type-00000002", name="Another maker's", category="6A", od_mm=7.2)
    stands = outlet(1, ports=4, state=State.EXISTING)
    for things, said in (
        (
            [outlet(1, ports=4), outlet(2, ports=4, cable=other.id)],
            "1 panel of 24 with 25 % growth",
        ),
        ([stands], "1 panel of 24, as they stand"),
    ):
        design = design_of([*base(), other, *things])
        panels = panels_of_frame(design.project, design.runs, FRAME)
        words = panel_words(panels, design.project.settings)
        assert words.startswith(f"Cat 6A unshielded: {said}; ")
        assert "\n" not in words
