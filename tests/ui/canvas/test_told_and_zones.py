"""Serving zones, walked lengths and what runs were told are drawn, and in words where there is
room."""

import pytest
from msgspec.structs import replace
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.editor.commands.telling import never_there, pass_here
from app.editor.commands.walked import Said, add_walked
from app.editor.commands.zones import add_zone
from app.model.project import Patch, Project
from app.model.vocabulary import Units
from app.ui.canvas.camera import Camera
from app.ui.canvas.entity_painter import paint_entity, paint_highlight
from app.ui.canvas.floor_labels import ladder_text, place_text
from app.ui.canvas.floor_picture import FloorPicture
from app.ui.canvas.told_painter import paint_told, paint_told_riser, told_ways
from app.ui.palette import DARK, LIGHT
from tests.editor.small_building import (
    CONDUIT,
    GROUND,
    HOOKS,
    MAIN,
    OUTLET_1,
    OUTLET_2,
    RISER,
    TRAY,
    building,
    source,
)


def done(project: Project, patch: object) -> Project:
    assert isinstance(patch, Patch)
    return project.apply(patch)


def drawn_on(palette, draw) -> QImage:
    """What a painter leaves on a sheet of 400 × 200 pixels, 50 mm each."""
    image = QImage(400, 200, QImage.Format.Format_ARGB32)
    image.fill(palette.color("sheet"))
    camera = Camera(width_px=400, height_px=200, x_mm=10_000.0, y_mm=5_000.0, px_per_mm=0.02)
    painter = QPainter(image)
    draw(painter, camera)
    painter.end()
    return image


def inked(palette, image: QImage) -> int:
    ground = palette.color("sheet").rgba()
    return sum(image.pixel(x, y) != ground for x in range(0, 400, 2) for y in range(0, 200, 2))


def test_what_selected_runs_were_told_is_found_by_its_thing():
    project = done(building(), pass_here(building(), [OUTLET_1], [TRAY]))
    project = done(project, never_there(project, [OUTLET_2], [HOOKS, RISER]))
    assert told_ways(project, [OUTLET_1, OUTLET_2, MAIN]) == {
        TRAY: True,
        HOOKS: False,
        RISER: False,
    }
    assert told_ways(project, []) == {}


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_it_is_drawn_light_and_dark(qapp: QApplication, palette):
    project = building()
    for passes in (True, False):
        line = drawn_on(
            palette,
            lambda p, c, passes=passes: paint_told(
                p, c, palette, project.pathways[CONDUIT], passes=passes
            ),
        )
        ring = drawn_on(
            palette,
            lambda p, c, passes=passes: paint_told_riser(
                p, c, palette, (9_000.0, 5_000.0), passes=passes
            ),
        )
        assert inked(palette, line) > 0
        assert inked(palette, ring) > 0


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_zones_and_walked_lengths_are_drawn_and_lit(qapp: QApplication, palette):
    project = building()
    outline = [(7_000, 1_000), (12_000, 1_000), (12_000, 8_000), (7_000, 8_000)]
    project = done(project, add_zone(project, outline, floor_id=GROUND, source=source()))
    said = Said(added_mm=4_000, measured_mm=None, reason="round the duct")
    project = done(
        project, add_walked(project, along_id=TRAY, floor_id=GROUND, at=(5_000, 5_000), said=said)
    )
    picture = FloorPicture(project, None, GROUND)
    (zone,) = picture.zones.values()
    (walked,) = project.walked_lengths.values()
    assert picture.places[walked.id] is walked
    assert place_text(picture, walked, px_per_mm=0.1) == "+4.00 m round the duct"
    assert place_text(picture, walked, px_per_mm=0.01) == "+4.00 m"
    long = replace(walked, reason="round the duct of the kitchen and along the quay wall")
    said = place_text(picture, long, px_per_mm=0.1)
    assert said == "+4.00 m round the duct of the kitchen and along…"
    for thing in (zone, walked):
        plain = drawn_on(
            palette,
            lambda p, c, t=thing: paint_entity(p, c, palette, project, t, GROUND, outlet_px=20),
        )
        lit = drawn_on(
            palette,
            lambda p, c, t=thing: paint_highlight(
                p, c, palette, project, t, GROUND, outlet_px=20, alpha=0.3
            ),
        )
        assert inked(palette, plain) > 0
        assert inked(palette, lit) > 0


def test_a_frame_tells_its_ladder():
    frame = building().frames[MAIN]
    assert ladder_text(frame, Units.METRIC) == ""
    assert ladder_text(replace(frame, ladder_height_mm=2_400), Units.METRIC) == "ladder 2.40 m"
