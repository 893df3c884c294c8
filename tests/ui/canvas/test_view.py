"""The canvas by real events: pan, zoom, fit, floors, drop, and what it says when empty."""

import dataclasses

import msgspec
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDropEvent, QImage, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.drawing.plan_drawing import PlanDrawing, PlanText
from app.model.entities import Floor
from app.model.project import Project, adding, changing
from app.model.vocabulary import ScaledBy
from app.ui import palette
from app.ui.canvas import CanvasView
from tests.ui.canvas.building import GROUND, UPPER, floors, kinds, plan, small_office
from tests.ui.canvas.conftest import MakeView, walls

LEFT, MIDDLE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton


def turn_wheel(view: CanvasView, at: QPoint, notches: int) -> None:
    where = QPointF(at)
    event = QWheelEvent(
        where,
        QPointF(view.mapToGlobal(at)),
        QPoint(),
        QPoint(0, notches * 120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view, event)


def picture(view: CanvasView) -> QImage:
    return view.grab().toImage()


def count(image: QImage, role: str) -> int:
    """How many pixels have the colour of a role."""
    wanted = QColor(getattr(palette.current(), role)).rgb()
    return sum(
        image.pixel(x, y) == wanted for x in range(image.width()) for y in range(image.height())
    )


def wall_contrast(view: CanvasView) -> float:
    """The greatest contrast to the paper across the wall at x = 6 m."""
    image = picture(view)
    at = view.camera.to_screen(6_000, 2_500)
    colours = {
        image.pixelColor(round(at.x()) + dx, round(at.y())).name() for dx in (-2, -1, 0, 1, 2)
    }
    return max(palette.contrast_ratio(c, palette.current().sheet) for c in colours)


def test_it_opens_on_the_first_floor_whole(view: CanvasView) -> None:
    assert view.floor_id == GROUND
    x0, y0, x1, y1 = view.camera.visible()
    assert x0 < 0
    assert x1 > 26_500
    assert y0 < 0
    assert y1 > 8_600


def test_the_whole_floor_is_shown_with_the_title_beside_its_plan(make_view: MakeView) -> None:
    def titled(*at: tuple[float, float]) -> PlanDrawing:
        texts = tuple(PlanText(text="Title", position=p, height=300, width=3_000) for p in at)
        drawing = walls()
        layer = dataclasses.replace(drawing.layers[0], texts=texts)
        return dataclasses.replace(drawing, layers=(layer,))

    project = small_office().apply(adding("A plan", [plan()]))
    plain = make_view(project, drawing=walls(), size=(900, 300)).camera.visible()
    below, far = (12_000.0, -3_500.0), (12_000.0, -40_000.0)
    with_title = make_view(project, drawing=titled(below), size=(900, 300)).camera.visible()
    assert with_title[1] < below[1] - 300
    assert make_view(project, drawing=titled(far), size=(900, 300)).camera.visible() == plain


def test_the_wheel_zooms_to_the_cursor(view: CanvasView, qtbot: QtBot) -> None:
    at = QPoint(700, 400)
    before = view.camera.to_model(at.x(), at.y())
    scale = view.camera.px_per_mm
    with qtbot.waitSignal(view.scale_changed):
        turn_wheel(view, at, 3)
    assert view.camera.px_per_mm == pytest.approx(2 * scale)
    after = view.camera.to_screen(*before)
    assert after.x() == pytest.approx(at.x(), abs=1)
    assert after.y() == pytest.approx(at.y(), abs=1)
    turn_wheel(view, at, -3)
    assert view.camera.px_per_mm == pytest.approx(scale)


def drag(view: CanvasView, button: Qt.MouseButton, by: QPoint) -> None:
    start = QPoint(400, 300)
    QTest.mousePress(view, button, pos=start)
    QTest.mouseMove(view, start + by / 2)
    QTest.mouseMove(view, start + by)
    QTest.mouseRelease(view, button, pos=start + by)


@pytest.mark.parametrize("way", ["middle", "space"])
def test_the_paper_is_dragged(view: CanvasView, way: str) -> None:
    point = (5_000.0, 2_000.0)
    before = view.camera.to_screen(*point)
    if way == "space":
        QTest.keyPress(view, Qt.Key.Key_Space)
        drag(view, LEFT, QPoint(80, -40))
        QTest.keyRelease(view, Qt.Key.Key_Space)
    else:
        drag(view, MIDDLE, QPoint(80, -40))
    moved = view.camera.to_screen(*point) - before
    assert (moved.x(), moved.y()) == pytest.approx((80, -40), abs=1)


def test_space_does_not_stay_down(view: CanvasView) -> None:
    QTest.keyPress(view, Qt.Key.Key_Space)
    assert view.cursor().shape() == Qt.CursorShape.OpenHandCursor
    QTest.keyRelease(view, Qt.Key.Key_Space)
    assert view.cursor().shape() == Qt.CursorShape.ArrowCursor


def test_arrows_move_the_paper_while_nothing_is_selected(view: CanvasView) -> None:
    before = view.camera.x_mm
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert view.camera.x_mm > before


def test_home_shows_the_whole_floor(view: CanvasView) -> None:
    whole = view.camera
    view.zoom_by(5)
    view.pan_by(300, 100)
    QTest.keyClick(view, Qt.Key.Key_Home)
    assert view.camera == whole


def test_every_floor_is_found_as_it_was_left(view: CanvasView) -> None:
    view.zoom_by(3)
    view.pan_by(50, 20)
    here = view.camera
    view.set_floor(UPPER)
    assert view.camera != here
    view.set_floor(GROUND)
    assert view.camera.px_per_mm == pytest.approx(here.px_per_mm)
    assert (view.camera.x_mm, view.camera.y_mm) == pytest.approx((here.x_mm, here.y_mm), abs=50)


def test_zoom_to_goes_to_the_floor_of_the_thing(view: CanvasView, qtbot: QtBot) -> None:
    with qtbot.waitSignal(view.floor_changed) as told:
        view.zoom_to(["frame-00000001"])
    assert told.args == [UPPER]
    at = view.camera.to_screen(2_500, 9_000)
    assert at.x() == pytest.approx(view.width() / 2, abs=1)
    assert at.y() == pytest.approx(view.height() / 2, abs=1)


@pytest.mark.parametrize(("width", "height"), [(840, 380), (840, 620), (1_900, 900)])
def test_zoom_to_one_thing_shows_the_room_it_stands_in(
    view: CanvasView, width: int, height: int
) -> None:
    view.resize(width, height)
    view.zoom_to(["frame-00000001"])
    shown_m = min(view.width(), view.height()) / view.camera.px_per_mm / 1_000
    assert 10 <= shown_m <= 25


def test_zoom_to_a_riser_stays_on_a_floor_that_it_joins(view: CanvasView) -> None:
    view.set_floor(UPPER)
    view.zoom_to(["riser-00000001"])
    assert view.floor_id == UPPER


def test_a_removed_floor_is_left(view: CanvasView) -> None:
    empty = Floor(id="floor-00000009", building="building-00000001", name="9", level_mm=9_000)
    view._document.commit(adding("Add a floor", [empty]))
    view.set_floor(empty.id)
    view._document.undo()
    assert view.floor_id == GROUND


def test_files_let_go_over_the_canvas_are_told(view: CanvasView, qtbot: QtBot) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile("/plans/ground.dxf")])
    event = QDropEvent(
        QPointF(100, 100),
        Qt.DropAction.CopyAction,
        data,
        LEFT,
        Qt.KeyboardModifier.NoModifier,
    )
    with qtbot.waitSignal(view.files_dropped) as told:
        view.dropEvent(event)
    assert told.args == [["/plans/ground.dxf"]]


def test_no_floor_at_all_is_painted_in_words(make_view: MakeView) -> None:
    view = make_view(Project())
    assert view.floor_id is None
    assert count(picture(view), "ink") > 50
    QTest.mouseMove(view, QPoint(100, 100))
    QTest.mouseClick(view, LEFT, pos=QPoint(100, 100))
    QTest.keyClick(view, Qt.Key.Key_Escape)


def test_a_plan_without_scale_says_so(make_view: MakeView) -> None:
    entities = [*floors(), *kinds()]
    scaled = make_view(Project([*entities, plan()]), drawing=walls())
    unscaled = make_view(Project([*entities, plan(scaled_by=ScaledBy.NOT_SCALED)]), drawing=walls())
    assert count(picture(scaled), "over") == 0
    assert count(picture(unscaled), "over") > 100


def test_the_plan_is_drawn_in_the_ink_of_the_paper(make_view: MakeView) -> None:
    project = Project([*floors(), *kinds(), plan(dim_percent=0)])
    view = make_view(project, drawing=walls())
    assert wall_contrast(view) > 2.0


def test_a_hidden_layer_goes_and_comes_back(make_view: MakeView, qtbot: QtBot) -> None:
    shown = plan(dim_percent=0)
    view = make_view(Project([*floors(), *kinds(), shown]), drawing=walls())
    document = view._document
    hidden = msgspec.structs.replace(shown, hidden_layers=("walls",))
    document.commit(changing("Hide a layer", [(shown, hidden)]))
    picture(view)
    qtbot.waitUntil(lambda: picture(view) is not None and view.is_settled)
    assert wall_contrast(view) == pytest.approx(1.0)
    document.undo()
    picture(view)
    qtbot.waitUntil(lambda: view.is_settled)
    assert wall_contrast(view) > 2.0


def test_an_edit_of_the_model_draws_no_tile_anew(make_view: MakeView, qtbot: QtBot) -> None:
    project = Project([*small_office().entities(), plan()])
    view = make_view(project, drawing=walls())
    tiles = view._floor.tiles
    qtbot.wait(150)
    drawn: list[object] = []
    tiles.drawn.connect(lambda *args: drawn.append(args))
    outlet = project.outlets["outlet-00000001"]
    moved = msgspec.structs.replace(outlet, x_mm=outlet.x_mm + 700)
    view._document.commit(changing("Move", [(outlet, moved)]))
    picture(view)
    qtbot.wait(150)
    assert drawn == []


def test_a_commit_shows_at_once(view: CanvasView) -> None:
    before = picture(view)
    frame = view._document.project.frames["frame-00000002"]
    moved = msgspec.structs.replace(frame, x_mm=12_000)
    view._document.commit(changing("Move", [(frame, moved)]))
    assert picture(view) != before
    view._document.undo()
    assert picture(view) == before


def test_the_selection_shows(view: CanvasView) -> None:
    before = count(picture(view), "accent")
    view._selection.set(["outlet-00000001", "pathway-00000001"])
    assert count(picture(view), "accent") > before


def test_it_has_a_name_and_shows_that_it_has_the_focus(view: CanvasView) -> None:
    assert view.accessibleName() == "Floor plan"
    words = "Floor 0: 12 outlets, 1 frames, 5 pathways, 6 spaces"
    assert view.accessibleDescription() == words
    view.setFocus()
    edge = picture(view).pixelColor(1, 300)
    assert edge == QColor(palette.current().accent)


def test_a_change_of_palette_repaints_paper_and_plan(make_view: MakeView, qtbot: QtBot) -> None:
    view = make_view(Project([*floors(), *kinds(), plan(dim_percent=0)]), drawing=walls())
    try:
        palette.use(palette.DARK)
        QApplication.processEvents()
        picture(view)
        qtbot.waitUntil(lambda: view.is_settled)
        assert count(picture(view), "sheet") > 100_000
        assert wall_contrast(view) > 2.0
    finally:
        palette.use(palette.LIGHT)


def test_the_floor_below_shines_through_when_asked(make_view: MakeView, qtbot: QtBot) -> None:
    view = make_view(Project([*floors(), *kinds(), plan(dim_percent=0)]), drawing=walls())
    camera = view.camera
    view.set_floor(UPPER)
    view._navigator._set(camera)
    assert wall_contrast(view) == pytest.approx(1.0)
    view.show_ghost(True)
    picture(view)
    qtbot.waitUntil(lambda: picture(view) is not None and view.is_settled)
    ghost = wall_contrast(view)
    assert 1.1 < ghost < 2.0
    assert not view.bench.hand.catcher.plans.get(UPPER)
    view.show_ghost(False)
    picture(view)
    qtbot.waitUntil(lambda: picture(view) is not None and view.is_settled)
    assert wall_contrast(view) == pytest.approx(1.0)


def test_a_plan_keeps_the_colours_of_its_file_when_asked(make_view: MakeView, qtbot: QtBot) -> None:
    drawing = walls()
    red = dataclasses.replace(drawing, colours=(0xC00000,))
    view = make_view(Project([*floors(), *kinds(), plan(dim_percent=0)]), drawing=red)
    at = view.camera.to_screen(6_000, 2_500)

    def is_red() -> bool:
        image = picture(view)
        colours = [image.pixelColor(round(at.x()) + dx, round(at.y())) for dx in (-2, -1, 0, 1, 2)]
        return any(c.red() - c.blue() > 60 for c in colours)

    assert not is_red()
    view.set_plan_ink("file")
    picture(view)
    qtbot.waitUntil(lambda: picture(view) is not None and view.is_settled)
    assert is_red()
