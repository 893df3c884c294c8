"""Numbers of outlets and names of rooms: who gives way to whom."""

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QRectF
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.drawing.plan_drawing import PlanDrawing, PlanLayer, PlanText
from app.model.entities import Space
from app.model.project import Project
from app.model.vocabulary import SpaceUse
from app.ui.canvas import CanvasView, overlay_painter
from app.ui.canvas.label_painter import box_on_screen
from app.ui.canvas.label_placer import PlacedLabel
from tests.ui.canvas.building import GROUND, drawing_of, floors, kinds, outlet, plan
from tests.ui.canvas.conftest import MakeView, walls

ROOM = Space(
    id="space-00000001",
    floor=GROUND,
    outline=((0, 0), (12_000, 0), (12_000, 7_500), (0, 7_500)),
    number="0.01",
    name="Waiting hall",
    use=SpaceUse.OFFICE,
)


def placed(view: CanvasView) -> dict[str, PlacedLabel]:
    view.grab()
    floor = view._floor._floor
    assert floor is not None
    assert floor._placed is not None
    return {p.label.key: p for p in floor._placed.placed}


@pytest.mark.parametrize("count", [9, 14, 28])
def test_numbers_of_more_outlets_stand_as_long_as_there_is_room(
    make_view: MakeView, count: int
) -> None:
    """At one scale, along one wall 24 m long; 28 outlets stand 30 pixels apart."""
    step = 24_000 / count
    outlets = [outlet(i + 1, round(step * (i + 0.5)), (i % 3) * 2_500) for i in range(count)]
    view = make_view(Project([*floors(), *kinds(), plan(), *outlets]), drawing=walls())
    labels = placed(view)
    assert [o.id for o in outlets if o.id not in labels] == []


def written(*texts: tuple[str, float, float], height_mm: float = 250.0) -> PlanDrawing:
    """A plan with these texts at these places."""
    bare = drawing_of(np.array([(0, 0, 24_000, 0), (0, 7_500, 24_000, 7_500)], dtype=np.float64))
    [layer] = bare.layers
    found = tuple(
        PlanText(
            text=text, position=(x, y), height=height_mm, rotation_deg=0.0, width=height_mm * 4
        )
        for text, x, y in texts
    )
    own = PlanLayer(
        name="words",
        texts=found,
        segments=layer.segments,
        segment_colours=layer.segment_colours,
        segment_weights=layer.segment_weights,
        segment_dashes=layer.segment_dashes,
    )
    return PlanDrawing(
        origin=bare.origin,
        layers=(own,),
        colours=bare.colours,
        lineweights_mm=bare.lineweights_mm,
        dash_patterns=bare.dash_patterns,
        bounds=bare.bounds,
        raw_bounds=bare.raw_bounds,
    )


def room_lines(make_view: MakeView, drawing: PlanDrawing, room: Space = ROOM) -> tuple[str, ...]:
    view = make_view(Project([*floors(), *kinds(), plan(), room]), drawing=drawing)
    label = placed(view).get(room.id)
    return () if label is None else label.label.text


def test_a_room_that_the_plan_names_is_not_named_twice(make_view: MakeView) -> None:
    in_full = written(("0.01", 2_000, 5_000), ("WAITING\nHall", 2_000, 4_500))
    assert room_lines(make_view, in_full) == ()
    assert room_lines(make_view, written(("0.01", 2_000, 5_000))) == ("Waiting hall", "90.0 m²")
    next_door = written(("0.01 Waiting hall", 15_000, 5_000))
    assert room_lines(make_view, next_door) == ("0.01", "Waiting hall", "90.0 m²")


def test_a_text_too_small_to_be_read_names_nothing(make_view: MakeView) -> None:
    tiny = written(("0.01 Waiting hall", 2_000, 5_000), height_mm=40.0)
    assert room_lines(make_view, tiny) == ("0.01", "Waiting hall", "90.0 m²")


def test_a_room_without_a_name_keeps_its_area(make_view: MakeView) -> None:
    bare = replace(ROOM, number="", name="")
    assert room_lines(make_view, written(("Hall", 2_000, 5_000)), bare) == ("90.0 m²",)


def test_the_count_of_a_fill_lies_beside_the_label_of_the_room(
    make_view: MakeView, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = make_view(Project([*floors(), *kinds(), plan(), ROOM]), drawing=walls())
    label = box_on_screen(view.camera, placed(view)[ROOM.id])
    assert label is not None
    view.set_tool("fill")
    at = label.center().toPoint() + QPoint(-8, 12)  # where the tag would stand over the label
    QTest.mouseMove(view, at + QPoint(3, 0))
    QTest.mouseMove(view, at)
    view.bench.flush()
    QApplication.processEvents()
    [tag] = view.bench.overlay.tags
    assert "outlet" in tag.text
    boxes: list[QRectF] = []
    real = overlay_painter._free_box

    def kept(wanted: QRectF, taken: list[QRectF]) -> QRectF:
        assert any(wanted.intersects(t) for t in taken)
        boxes.append(real(wanted, taken))
        return boxes[-1]

    monkeypatch.setattr(overlay_painter, "_free_box", kept)
    view.grab()
    assert boxes
    assert not any(box.intersects(label) for box in boxes)
