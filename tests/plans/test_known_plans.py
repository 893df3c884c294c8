"""Real plans of other people's buildings, against what is known of each of them.

The plans lie outside the project and are skipped where they are missing. Their known answers
(true units, extents, areas, grid distances) come from the index that comes with them; the lines
are held against the drawing library's own frontend.
"""

from __future__ import annotations

import json
import math
from collections import defaultdict
from collections.abc import Callable, Iterable
from itertools import pairwise
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from ezdxf import recover
from ezdxf.addons.drawing import Frontend, RenderContext
from ezdxf.addons.drawing.backend import Backend
from ezdxf.addons.drawing.config import (
    Configuration,
    HatchPolicy,
    ImagePolicy,
    LinePolicy,
    TextPolicy,
)

from app.drawing.plan_codec import decode_drawing, encode_drawing
from app.drawing.plan_drawing import PlanDrawing
from app.plans.imported import ImportedPlan, PlanImportError
from app.plans.read_plan import read_plan

Find = Callable[[str], Path]
Read = Callable[[str], ImportedPlan]

UNITS = {
    "barcelona/plan.dxf": "m",
    "barcelona/plan_exported.dxf": "mm",
    "jupedsim/ISO-Office.dxf": "m",
    "jupedsim/Gallery.dxf": "m",
    "jupedsim/turns.dxf": "m",
    "kegonsa/A-101_first_floor_20141205.dxf": "in",
    "kegonsa/A-102_second_third_20141205.dxf": "in",
    "park1810/A101_floor_plan_1st.dxf": "in",
    "furnished-office/cad.dxf": "mm",
    "derived/office_L1_R2010_mm.dxf": "mm",
    "derived/office_L1_R12_inch_nounits.dxf": "in",
    "derived/office_L1_R2000_m_roompolys.dxf": "m",
    "derived/duplex_L1_R2007_mm.dxf": "mm",
    "derived/duplex_L2_R2007_mm.dxf": "mm",
}
LYING_HEADERS = (
    "jupedsim/turns.dxf",
    "kegonsa/A-102_second_third_20141205.dxf",
    "park1810/A101_floor_plan_1st.dxf",
)
DAMAGED = (
    "6_closed_loop_with_arcs",
    "MODEL",
    "acad_table_with_blk_ref",
    "bin_dxf_r14",
    "circle_radius_le_0",
    "dimension_in_nested_blocks",
    "dxf_unicode",
    "hatches_2",
    "insert_bricscad_level_1",
    "layout_broken_links",
    "mtext_complex_inline_codes",
    "no_layouts",
    "recover01",
    "recover02",
    "small_r13",
    "text_negative_extrusion",
    "visibility",
    "xclip",
)
REFUSED = ("MODEL", "dxf_unicode", "layout_broken_links")
"""These contain at most one point, and nothing else."""


def outline_areas(drawing: PlanDrawing, layer: str) -> list[float]:
    """The areas of a layer's closed polylines, the greatest first."""
    areas = []
    for outline in drawing.layer(layer).closed_outlines():
        x, y = outline.T
        areas.append(0.5 * abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))))
    return sorted(areas, reverse=True)


def places(drawing: PlanDrawing, word: str) -> list[tuple[float, float]]:
    return [t.position for layer in drawing.layers for t in layer.texts if t.text == word]


def distances(
    one: Iterable[tuple[float, float]], other: Iterable[tuple[float, float]]
) -> list[float]:
    other = list(other)
    return [math.dist(a, b) for a in one for b in other]


@pytest.mark.parametrize(("name", "unit"), UNITS.items())
def test_the_unit_is_the_true_one(name: str, unit: str, read_outside: Read) -> None:
    plan = read_outside(name)
    assert plan.proposals[0].unit == unit
    assert plan.proposals[0].reasons


@pytest.mark.parametrize("name", LYING_HEADERS)
def test_a_header_that_lies_is_contradicted_in_words(name: str, read_outside: Read) -> None:
    plan = read_outside(name)
    claimed = next(p for p in plan.proposals if any("header says" in r for r in p.reasons))
    assert claimed.unit != plan.proposals[0].unit
    assert any("too" in reason for reason in claimed.reasons)


def test_a_shape_without_any_clue_is_unscaled(read_outside: Read) -> None:
    assert read_outside("jupedsim/turns.dxf").is_unscaled


@pytest.mark.parametrize(
    ("name", "width", "height", "tolerance"),
    [
        ("barcelona/plan.dxf", 52.00, 22.75, 0.005),
        ("jupedsim/Gallery.dxf", 45.5, 29.9, 0.05),
    ],
)
def test_extents(
    name: str, width: float, height: float, tolerance: float, read_outside: Read
) -> None:
    bounds = read_outside(name).drawing.bounds
    assert bounds is not None
    assert bounds[2] - bounds[0] == pytest.approx(width, abs=tolerance)
    assert bounds[3] - bounds[1] == pytest.approx(height, abs=tolerance)


@pytest.mark.parametrize(
    ("name", "layer", "area"),
    [
        ("jupedsim/ISO-Office.dxf", "walkablearea", 219.45),
        ("jupedsim/Gallery.dxf", "jps-walkablearea", 891.01),
        ("jupedsim/turns.dxf", "jps-walkablearea", 120.0),
    ],
)
def test_walkable_areas(name: str, layer: str, area: float, read_outside: Read) -> None:
    assert outline_areas(read_outside(name).drawing, layer)[0] == pytest.approx(area, abs=0.005)


def test_twelve_cells_of_an_office(read_outside: Read) -> None:
    drawing = read_outside("jupedsim/ISO-Office.dxf").drawing
    assert len(outline_areas(drawing, "jps-distributions")) == 12
    # A missing picture on a frozen layer does not blow up the extents.
    assert drawing.raw_bounds == drawing.bounds


def test_floor_outlines_of_a_furnished_office(read_outside: Read) -> None:
    areas = outline_areas(read_outside("furnished-office/cad.dxf").drawing, "floor")
    expected = [351.7, 282.1, 203.1, 67.6, 54.9, 40.8, 33.1, 17.6, 16.2, 9.4, 8.9, 7.1, 6.4, 5.1]
    assert [area / 1e6 for area in areas] == pytest.approx(expected, abs=0.051)


def test_room_outlines_agree_with_the_published_rooms(
    read_outside: Read, outside_plan: Find
) -> None:
    areas = outline_areas(read_outside("derived/office_L1_R2000_m_roompolys.dxf").drawing, "A-AREA")
    source = outside_plan("derived/Office_A_20110811__Level_1.geojson")
    rooms = [
        feature["properties"]["polygon_area"]
        for feature in json.loads(source.read_text(encoding="utf-8"))["features"]
        if feature["properties"]["kind"] == "room"
    ]
    assert len(rooms) == 60
    assert areas == pytest.approx(sorted(rooms, reverse=True), rel=1e-3, abs=0.02)


def test_one_building_in_three_disguises_has_one_size(read_outside: Read) -> None:
    sizes = []
    for name in ("R2010_mm", "R12_inch_nounits", "R2000_m_roompolys"):
        plan = read_outside(f"derived/office_L1_{name}.dxf")
        x0, y0, x1, y1 = plan.drawing.bounds or (0, 0, 0, 0)
        mm = plan.proposals[0].mm_per_unit
        sizes.append(((x1 - x0) * mm, (y1 - y0) * mm))
    assert sizes[1] == pytest.approx(sizes[0], abs=1)
    assert sizes[2] == pytest.approx(sizes[0], abs=10)


def test_dimensions_agree_with_their_texts(read_outside: Read) -> None:
    plan = read_outside("barcelona/plan_exported.dxf")
    assert sorted(d.stated_number or 0 for d in plan.dimensions) == [
        8320,
        11470,
        13360,
        17170,
        21320,
    ]
    for dimension in plan.dimensions:
        # Millimetres, by the texts; measured between the ends of the dimension line.
        measured = dimension.distance * plan.proposals[0].mm_per_unit
        assert measured == pytest.approx(dimension.stated_number, abs=1)
    assert {note.code for note in plan.report} == {"dimension-drawn"}


def test_grid_distances_of_a_house(read_outside: Read) -> None:
    drawing = read_outside("kegonsa/A-102_second_third_20141205.dxf").drawing
    a, b, j = (places(drawing, letter) for letter in "ABJ")
    # Both storeys lie side by side, 1494.8 in apart; the grid is the same in each.
    assert any(d == pytest.approx(976.7, abs=0.05) for d in distances(a, j))
    assert any(d == pytest.approx(204.2, abs=0.05) for d in distances(a, b))
    assert any(abs(p[0] - q[0]) == pytest.approx(1494.8, abs=0.05) for p in a for q in a)


def test_grid_distances_and_areas_of_a_garage(read_outside: Read) -> None:
    drawing = read_outside("park1810/A101_floor_plan_1st.dxf").drawing
    assert any(
        d == pytest.approx(1422, abs=1)
        for d in distances(places(drawing, "A4"), places(drawing, "A10"))
    )
    assert any(
        d == pytest.approx(960, abs=2)
        for d in distances(places(drawing, "A"), places(drawing, "G"))
    )
    texts = {t.text for layer in drawing.layers for t in layer.texts}
    assert {"8394 SF", "3356 SF", "1272 SF", "298 SF", "145 SF", "48 SF"} <= texts


def test_exploded_dimensions_of_a_garage_agree_with_their_texts(read_outside: Read) -> None:
    plan = read_outside("park1810/A101_floor_plan_1st.dxf")
    assert len(plan.dimensions) >= 20
    for dimension in plan.dimensions:
        # Feet and inches, rounded to the inch by who wrote them.
        measured = dimension.distance * plan.proposals[0].mm_per_unit
        assert measured == pytest.approx(dimension.stated_mm, abs=25.4)


def test_stray_content_does_not_count_for_the_plan(read_outside: Read) -> None:
    plan = read_outside("park1810/A101_floor_plan_1st.dxf")
    bounds, raw = plan.drawing.bounds, plan.drawing.raw_bounds
    assert bounds is not None
    assert raw is not None
    # 70 m of building and yard; with the debris of an underlay the file spans 306 m.
    assert (bounds[2] - bounds[0]) * 0.0254 == pytest.approx(70, abs=2)
    assert (raw[3] - raw[1]) * 0.0254 > 300
    assert any(note.code == "stray" for note in plan.report)


@pytest.mark.parametrize("name", UNITS)
def test_nothing_of_a_real_plan_fails_to_draw(name: str, read_outside: Read) -> None:
    found = {note.code for note in read_outside(name).report}
    assert not found & {"entity-failed", "too-much", "bad-coordinates", "recovered", "unsupported"}


@pytest.mark.parametrize("name", UNITS)
def test_drawings_survive_storage(name: str, read_outside: Read) -> None:
    drawing = read_outside(name).drawing
    data = encode_drawing(drawing)
    back = decode_drawing(data)
    assert encode_drawing(back) == data
    assert back.bounds == drawing.bounds
    assert back.segment_count == drawing.segment_count


@pytest.mark.parametrize("name", DAMAGED)
def test_damaged_files_open_or_are_refused_in_words(name: str, outside_plan: Find) -> None:
    path = outside_plan(f"damaged/{name}.dxf")
    if name in REFUSED:
        with pytest.raises(PlanImportError, match=rf"^{name}\.dxf contains no lines .*\.$"):
            read_plan(path)
        return
    plan = read_plan(path)
    assert plan.drawing.raw_bounds is not None
    assert "entity-failed" not in {note.code for note in plan.report}


@pytest.mark.parametrize("name", ["recover01", "recover02"])
def test_files_that_need_recovery_say_so(name: str, outside_plan: Find) -> None:
    plan = read_plan(outside_plan(f"damaged/{name}.dxf"))
    assert plan.report[0].code == "recovered"


class LengthsByLayer(Backend):
    """Adds up what the library's frontend draws."""

    def __init__(self, tolerance: float) -> None:
        super().__init__()
        self.lengths: defaultdict[str, float] = defaultdict(float)
        self.tolerance = tolerance

    def draw_line(self, start, end, properties) -> None:  # type: ignore[no-untyped-def]
        self.lengths[properties.layer.lower()] += start.distance(end)

    def draw_path(self, path, properties) -> None:  # type: ignore[no-untyped-def]
        points = list(path.flattening(self.tolerance))
        for start, end in pairwise(points):
            self.draw_line(start, end, properties)

    def draw_point(self, *arguments) -> None: ...  # type: ignore[no-untyped-def]
    def draw_filled_polygon(self, *arguments) -> None: ...  # type: ignore[no-untyped-def]
    def draw_filled_paths(self, *arguments) -> None: ...  # type: ignore[no-untyped-def]
    def draw_image(self, *arguments) -> None: ...  # type: ignore[no-untyped-def]
    def set_background(self, color) -> None: ...  # type: ignore[no-untyped-def]
    def clear(self) -> None: ...


LEFT_TO_THE_LIBRARY = {
    # It raises AttributeError on the dimensions without a block.
    "barcelona/plan_exported.dxf",
    # It draws the frames of clipped references, which are left out here.
    "damaged/xclip.dxf",
}
WIDE_LINES = {"furnished-office/cad.dxf": {"windows line"}}
"""Layers with wide polylines: the library only fills them, here their middle line is kept too."""


@pytest.mark.parametrize(
    "name",
    [n for n in (*UNITS, *(f"damaged/{d}.dxf" for d in DAMAGED)) if n not in LEFT_TO_THE_LIBRARY],
)
def test_lines_agree_with_the_librarys_frontend(name: str, outside_plan: Find) -> None:
    path = outside_plan(name)
    try:
        drawing = read_plan(path).drawing
    except PlanImportError:
        return
    try:
        doc = ezdxf.readfile(path)
    except ezdxf.DXFStructureError:
        doc, _ = recover.readfile(path)
    x0, y0, x1, y1 = drawing.raw_bounds or (0, 0, 1, 1)
    backend = LengthsByLayer(max(x1 - x0, y1 - y0) * 2e-6)
    plain = Configuration(
        line_policy=LinePolicy.SOLID,
        hatch_policy=HatchPolicy.IGNORE,
        text_policy=TextPolicy.IGNORE,
        image_policy=ImagePolicy.IGNORE,
        pdmode=0,
    )
    Frontend(RenderContext(doc), backend, plain).draw_layout(doc.modelspace())
    for layer in drawing.layers:
        if not layer.is_visible or layer.name in WIDE_LINES.get(name, ()):
            continue
        s = layer.segments
        own = float(np.hypot(s[:, 2] - s[:, 0], s[:, 3] - s[:, 1]).sum())
        # Chords are a little shorter than their curves.
        assert own == pytest.approx(backend.lengths[layer.name.lower()], rel=7e-3, abs=1e-6)
