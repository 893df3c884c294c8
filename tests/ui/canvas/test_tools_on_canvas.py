"""Tools in the hand, by real mouse and key events."""

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.design import Design
from app.model.entities import Frame, Outlet
from app.ui.canvas import CanvasView
from tests.ui.canvas.building import GROUND
from tests.ui.canvas.conftest import MakeView, walls

LEFT = Qt.MouseButton.LeftButton
NO_SNAP = Qt.KeyboardModifier.AltModifier


def spot(view: CanvasView, x_mm: float, y_mm: float) -> QPoint:
    at = view.camera.to_screen(x_mm, y_mm)
    return QPoint(round(at.x()), round(at.y()))


def click(view: CanvasView, x_mm: float, y_mm: float) -> None:
    at = spot(view, x_mm, y_mm)
    QTest.mouseMove(view, at)
    QApplication.processEvents()
    QTest.mouseClick(view, LEFT, NO_SNAP, at)
    QApplication.processEvents()


def move(view: CanvasView, x_mm: float, y_mm: float) -> None:
    QTest.mouseMove(view, spot(view, x_mm, y_mm))
    view.bench.flush()


def mm_per_px(view: CanvasView) -> float:
    return 1 / view.camera.px_per_mm


def test_an_outlet_is_placed_where_one_clicks(view: CanvasView, qtbot: QtBot) -> None:
    project = view._document.project
    with qtbot.waitSignal(view.tool_changed) as told:
        view.set_tool("outlet")
    assert told.args == ["outlet"]
    click(view, 9_000, 3_000)
    after = view._document.project
    (new,) = [o for o in after.outlets.values() if o.id not in project.outlets]
    assert new.floor == GROUND
    assert abs(new.x_mm - 9_000) <= 2 * mm_per_px(view)
    assert abs(new.y_mm - 3_000) <= 2 * mm_per_px(view)
    assert view.tool == "outlet"


def test_the_hint_follows_the_tool(view: CanvasView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.hint_changed) as told:
        view.set_tool("pathway")
    assert told.args == [view.hint]
    assert "Click" in view.hint


def test_the_pointer_is_told_in_millimetres(view: CanvasView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.pointer_moved) as told:
        move(view, 15_000, -2_000)
    assert abs(told.args[0] - 15_000) <= 2 * mm_per_px(view)
    assert abs(told.args[1] + 2_000) <= 2 * mm_per_px(view)


def test_a_pathway_is_drawn_by_clicks_and_ended_by_enter(view: CanvasView) -> None:
    before = view._document.project.pathways
    view.set_tool("pathway")
    click(view, 2_000, 9_500)
    click(view, 10_000, 9_500)
    click(view, 10_000, 12_000)
    QTest.keyClick(view, Qt.Key.Key_Return)
    (new,) = [p for i, p in view._document.project.pathways.items() if i not in before]
    assert len(new.vertices) == 3


def test_a_typed_length_is_exact(view: CanvasView) -> None:
    before = view._document.project.pathways
    view.set_tool("pathway")
    click(view, 2_000, 9_500)
    move(view, 9_000, 9_500)
    QTest.keyClicks(view, "4.5")
    assert view.bench.entry == "4.5"
    QTest.keyClick(view, Qt.Key.Key_Return)
    assert view.bench.entry == ""
    QTest.keyClick(view, Qt.Key.Key_Return)
    (new,) = [p for i, p in view._document.project.pathways.items() if i not in before]
    (x0, y0, _), (x1, y1, _) = new.vertices
    assert (x1 - x0, y1 - y0) == (4_500, 0)


def test_letters_stay_shortcuts_until_something_is_typed(view: CanvasView) -> None:
    view.set_tool("outlet")
    QTest.keyClicks(view, "m")
    assert view.bench.entry == ""
    view.set_tool("pathway")
    click(view, 2_000, 9_500)
    QTest.keyClicks(view, "4m")
    assert view.bench.entry == "4m"
    QTest.keyClick(view, Qt.Key.Key_Backspace)
    assert view.bench.entry == "4"


def test_escape_drops_what_was_begun_then_the_tool(view: CanvasView) -> None:
    project = view._document.project
    view.set_tool("pathway")
    click(view, 2_000, 9_500)
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert view.tool == "pathway"
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert view.tool == "select"
    assert view._document.project is project


def test_the_draft_is_painted_and_taken_away(view: CanvasView) -> None:
    view.set_tool("space")
    empty = view.grab().toImage()
    click(view, 2_000, 9_500)
    move(view, 6_000, 12_000)
    assert view.grab().toImage() != empty
    assert view.bench.overlay.lines
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert not view.bench.overlay.lines


def test_the_plan_catches_the_pointer(make_view: MakeView, qtbot: QtBot) -> None:
    from app.model.project import Project
    from tests.ui.canvas.building import floors, kinds, plan

    view = make_view(Project([*floors(), *kinds(), plan()]), drawing=walls())
    view.set_tool("outlet")
    hand = view.bench.hand
    assert hand is not None
    qtbot.waitUntil(lambda: bool(hand.catcher.plans.get(GROUND)))
    corner = spot(view, 24_000, 7_500)
    QTest.mouseMove(view, corner + QPoint(4, -3))
    view.bench.flush()
    assert hand.pointer is not None
    assert hand.pointer.at == (24_000, 7_500)
    assert view.bench.overlay.cue is not None


def test_many_moves_in_one_frame_are_taken_in_once(view: CanvasView, qtbot: QtBot) -> None:
    view.set_tool("measure")
    click(view, 2_000, 2_000)
    told: list[tuple[float, float]] = []
    view.pointer_moved.connect(lambda x, y: told.append((x, y)))
    for step in range(40):
        QTest.mouseMove(view, spot(view, 3_000 + step * 100, 2_500), delay=0)
    qtbot.wait(40)
    assert 1 <= len(told) < 20
    assert abs(told[-1][0] - 6_900) <= 2 * mm_per_px(view)


def test_the_floor_is_changed_under_a_tool(view: CanvasView) -> None:
    view.set_tool("outlet")
    view.set_floor("floor-00000002")
    assert view.tool == "outlet"
    click(view, 3_000, 3_000)
    assert any(o.floor == "floor-00000002" for o in view._document.project.outlets.values())


# --- select, move, copy, delete -------------------------------------------------------------


def drag(
    view: CanvasView,
    start: tuple[float, float],
    end: tuple[float, float],
    held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
    *,
    let_go: bool = True,
) -> None:
    a, b = spot(view, *start), spot(view, *end)
    QTest.mouseMove(view, a)
    QTest.mousePress(view, LEFT, held, a)
    for share in (0.3, 0.6, 1.0):
        QTest.mouseMove(view, a + (b - a) * share)
        view.bench.flush()
    if let_go:
        QTest.mouseRelease(view, LEFT, held, b)


FRAME = (2_500, 8_600)


def test_a_click_selects_and_a_click_on_nothing_lets_go(view: CanvasView) -> None:
    click(view, *FRAME)
    assert view._selection.ids == ("frame-00000002",)
    click(view, 13_000, 12_000)
    assert view._selection.ids == ()


def test_what_is_pointed_at_is_shown_before_the_click(view: CanvasView) -> None:
    before = view.grab().toImage()
    move(view, *FRAME)
    assert view.grab().toImage() != before


def test_a_rectangle_selects_what_lies_in_it(view: CanvasView) -> None:
    drag(view, (-1_000, -1_200), (5_500, 1_800))
    assert set(view._selection.ids) == {f"outlet-{i:08d}" for i in (1, 2, 3)}


def test_the_rectangle_is_drawn_while_it_is_pulled(view: CanvasView) -> None:
    drag(view, (-1_000, -1_200), (5_500, 1_800), let_go=False)
    assert view.bench.overlay.areas
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert not view.bench.overlay.areas


def test_a_drag_moves_with_a_preview_and_leaves_the_document_until_let_go(
    view: CanvasView,
) -> None:
    document = view._document
    project = document.project
    drag(view, FRAME, (9_000, 9_600), let_go=False)
    assert document.project is project
    assert view.bench.moving == {"frame-00000002"}
    assert view.bench.preview is not None
    previewed = view.bench.preview.project.frames["frame-00000002"]
    assert abs(previewed.x_mm - 9_000) <= 3 * mm_per_px(view)
    QTest.mouseRelease(view, LEFT, pos=spot(view, 9_000, 9_600))
    moved = document.project.frames["frame-00000002"]
    assert (moved.x_mm, moved.y_mm) == (previewed.x_mm, previewed.y_mm)
    assert view.bench.preview is None
    document.undo()
    assert document.project == project


def test_escape_while_dragging_leaves_everything(view: CanvasView) -> None:
    document = view._document
    project = document.project
    drag(view, FRAME, (9_000, 9_600), let_go=False)
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert view.bench.preview is None
    QTest.mouseRelease(view, LEFT, pos=spot(view, 9_000, 9_600))
    assert document.project is project


def test_an_undo_under_the_hand_takes_the_preview_away(view: CanvasView) -> None:
    document = view._document
    click(view, *FRAME)
    QTest.keyClick(view, Qt.Key.Key_Right)
    at = document.project.frames["frame-00000002"]
    told: list[object] = []
    view.preview_changed.connect(told.append)
    drag(view, (at.x_mm, at.y_mm), (9_000, 9_600), let_go=False)
    assert view.bench.preview is not None
    assert told[-1] is view.bench.preview
    document.undo()
    assert view.bench.preview is None
    assert view.bench.moving == frozenset()
    assert view.bench.lines == []
    assert told[-1] is None


def test_nothing_of_a_tool_stays_when_the_pointer_has_left(view: CanvasView) -> None:
    view.set_tool("outlet")
    empty = view.grab().toImage()
    move(view, 9_000, 3_000)
    assert view.bench.preview is not None
    QApplication.sendEvent(view, QEvent(QEvent.Type.Leave))
    assert view.bench.preview is None
    assert view.grab().toImage() == empty


def test_what_was_pointed_at_is_forgotten_with_the_tool_and_the_floor(view: CanvasView) -> None:
    for change in (lambda: view.set_tool("outlet"), lambda: view._document.undo()):
        view.set_tool("select")
        click(view, *FRAME)
        QTest.keyClick(view, Qt.Key.Key_Right)
        move(view, 13_000, 12_000)
        move(view, *FRAME)
        assert view._floor.shown.hovered == "frame-00000002"
        change()
        assert view._floor.shown.hovered is None


def test_delete_and_undo(view: CanvasView) -> None:
    document = view._document
    project = document.project
    click(view, *FRAME)
    QTest.keyClick(view, Qt.Key.Key_Delete)
    assert "frame-00000002" not in document.project.frames
    document.undo()
    assert document.project == project


def test_arrows_nudge_what_is_selected(view: CanvasView) -> None:
    camera = view.camera
    click(view, *FRAME)
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert view._document.project.frames["frame-00000002"].x_mm > FRAME[0]
    assert view.camera == camera


def test_a_double_click_asks_to_open(view: CanvasView, qtbot: QtBot) -> None:
    at = spot(view, *FRAME)
    with qtbot.waitSignal(view.edit_requested) as told:
        QTest.mouseClick(view, LEFT, pos=at)
        QTest.mouseDClick(view, LEFT, pos=at)
    assert told.args == ["frame-00000002"]


# --- live lengths -----------------------------------------------------------------------------


def test_lengths_change_under_the_hand(view: CanvasView) -> None:
    document = view._document
    outlet = document.project.outlets["outlet-00000002"]
    port = outlet.ports[0].id
    runs = document.design.runs
    before = int(runs.installed_mm[runs.row_of[port]])
    assert before > 0
    start = (outlet.x_mm, outlet.y_mm + 150)
    drag(view, start, (start[0], start[1] + 2_000), let_go=False)
    assert view.bench.moving == {outlet.id}
    preview = view.bench.preview
    assert preview is not None
    after = int(preview.design.runs.installed_mm[preview.design.runs.row_of[port]])
    assert after != before
    longest = f"{max(before, _longest(document.design, outlet)) / 1000:.1f} m → "
    assert view.bench.lines[0][0].startswith(longest)
    assert document.design.runs is runs
    QTest.mouseRelease(view, LEFT, pos=spot(view, start[0], start[1] + 2_000))
    assert view.bench.lines == []
    runs = document.design.runs
    assert int(runs.installed_mm[runs.row_of[port]]) == after


def _longest(design: Design, outlet: Outlet) -> int:
    return max(int(design.runs.installed_mm[design.runs.row_of[p.id]]) for p in outlet.ports)


def test_the_ways_of_what_is_selected_are_drawn(view: CanvasView) -> None:
    view.show_runs("none")
    view._selection.set(["outlet-00000002"])
    without = view.grab().toImage()
    view.show_runs("selected")
    assert view.grab().toImage() != without


def test_all_ways_are_drawn_when_asked(view: CanvasView, qtbot: QtBot) -> None:
    without = view.grab().toImage()
    view.show_runs("all")
    qtbot.waitUntil(lambda: view.is_settled)
    assert view.grab().toImage() != without
    view.show_runs("selected")
    assert view.grab().toImage() == without


def test_loads_are_shown_when_asked(view: CanvasView) -> None:
    without = view.grab().toImage()
    view.show_fill(True)
    assert view.grab().toImage() != without
    view.show_fill(False)
    assert view.grab().toImage() == without


@pytest.mark.parametrize("times", [0.4, 1, 4, 8])
def test_a_symbol_is_hit_as_far_as_it_is_painted(view: CanvasView, times: float) -> None:
    frame = view._document.project.frames["frame-00000002"]
    outlet = view._document.project.outlets["outlet-00000003"]
    for thing in (frame, outlet):
        view._navigator.close_up((thing.x_mm, thing.y_mm, thing.x_mm, thing.y_mm))
        view.zoom_at(times * 0.04 / view.camera.px_per_mm, view.camera.to_screen(*thing_at(thing)))
        view.grab()
        reach = view._floor.reach_px(thing)
        at = view.camera.to_screen(*thing_at(thing))
        middle = at - QPointF(0, 2 * reach / 3) if thing is outlet else at
        inside = middle + QPointF(0.8 * reach, 0)
        assert view.bench.thing_at(inside, view.camera) == thing.id
        outside = middle + QPointF(max(reach, 10) * 1.2 + 2, -max(reach, 10) * 1.2)
        assert view.bench.thing_at(outside, view.camera) != thing.id


def thing_at(thing: Frame | Outlet) -> tuple[float, float]:
    return float(thing.x_mm), float(thing.y_mm)
