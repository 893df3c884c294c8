"""Entities become the lines, areas and texts that the DXF reference describes."""

from __future__ import annotations

import math
from collections.abc import Callable

import ezdxf
import numpy as np
import pytest
from ezdxf.document import Drawing
from ezdxf.math import Matrix44

from app.drawing.plan_drawing import INK, PlanDrawing, PlanLayer
from app.plans.imported import ImportedPlan

Reader = Callable[[Drawing], ImportedPlan]


def codes(plan: ImportedPlan) -> dict[str, int]:
    return {note.code: note.count for note in plan.report}


def all_segments(drawing: PlanDrawing) -> np.ndarray:
    """All lines in the file's own coordinates."""
    return np.tile(drawing.origin, 2) + np.concatenate([layer.segments for layer in drawing.layers])


def length(layer: PlanLayer) -> float:
    s = layer.segments
    return float(np.hypot(s[:, 2] - s[:, 0], s[:, 3] - s[:, 1]).sum())


def test_a_line_keeps_its_ends_exactly(new_doc: Drawing, read_doc: Reader) -> None:
    new_doc.modelspace().add_line((0.1, 0.2), (30000.3, 12000.7))
    drawing = read_doc(new_doc).drawing
    assert drawing.origin == (0.0, 0.0)
    assert all_segments(drawing).tolist() == [[0.1, 0.2, 30000.3, 12000.7]]


def test_far_away_origins_lose_no_precision(new_doc: Drawing, read_doc: Reader) -> None:
    x, y = 500_123_456.125, 4_649_776_123.5
    msp = new_doc.modelspace()
    msp.add_lwpolyline(
        [(x, y), (x + 12000.25, y), (x + 12000.25, y + 8000.5), (x, y + 8000.5)], close=True
    )
    drawing = read_doc(new_doc).drawing
    local = drawing.layer("0").segments
    assert np.abs(local).max() < 20_000
    assert local[0, 2] - local[0, 0] == 12000.25
    back = local[:, :2] + np.array(drawing.origin)
    assert back[0].tolist() == [x, y]


def test_arcs_stay_within_tolerance_and_keep_their_centre(
    new_doc: Drawing, read_doc: Reader
) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (50_000, 0))
    msp.add_arc((10_000, 5_000), radius=900, start_angle=350, end_angle=80)
    layer = read_doc(new_doc).drawing.layer("0")
    assert layer.arcs.shape == (1, 5)
    assert layer.arcs[0].tolist() == pytest.approx([10_000, 5_000, 900, 350, 90])
    chords = layer.segments[1:]
    radii = np.hypot(chords[:, 0] - 10_000, chords[:, 1] - 5_000)
    assert radii == pytest.approx(np.full(len(chords), 900.0))
    middles = (chords[:, :2] + chords[:, 2:]) / 2
    sagitta = 900 - np.hypot(middles[:, 0] - 10_000, middles[:, 1] - 5_000)
    assert sagitta.max() <= 50_000 * 1e-5 + 1e-9
    start = (10_000 + 900 * math.cos(math.radians(350)), 5_000 + 900 * math.sin(math.radians(350)))
    assert chords[0, :2] == pytest.approx(start)
    assert chords[-1, 2:] == pytest.approx(
        (10_000 + 900 * math.cos(math.radians(80)), 5_000 + 900 * math.sin(math.radians(80)))
    )


def test_mirrored_arcs_turn_the_other_way(new_doc: Drawing, read_doc: Reader) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (10_000, 0))
    msp.add_arc((-2_000, 0), 900, 0, 90, dxfattribs={"extrusion": (0, 0, -1)})
    arc = read_doc(new_doc).drawing.layer("0").arcs[0]
    # Seen from above, x is turned over: centre 2,000 and the arc from 90 to 180 degrees.
    assert arc.tolist() == pytest.approx([2_000, 0, 900, 90, 90])


def test_ellipses_and_circles_have_their_perimeter(new_doc: Drawing, read_doc: Reader) -> None:
    msp = new_doc.modelspace()
    msp.add_circle((0, 0), 4_000, dxfattribs={"layer": "C"})
    msp.add_ellipse((0, 0), (4_000, 0), 0.5, dxfattribs={"layer": "E"})
    drawing = read_doc(new_doc).drawing
    assert length(drawing.layer("C")) == pytest.approx(2 * math.pi * 4_000, rel=1e-4)
    # Source: the perimeter of an ellipse is 4 a E(e), here with e^2 = 3/4; E = 1.2110560276
    # (Abramowitz and Stegun, table 17.1).
    assert length(drawing.layer("E")) == pytest.approx(4 * 4_000 * 1.2110560276, rel=1e-4)
    assert len(drawing.layer("C").arcs) == 1
    assert len(drawing.layer("E").arcs) == 0


def test_polyline_bulges_are_arcs_and_closed_ones_outlines(
    new_doc: Drawing, read_doc: Reader
) -> None:
    # A stadium: two straights of 6,000 and two half circles of radius 2,000 (bulge 1).
    points = [(0, 0, 0), (6_000, 0, 1), (6_000, 4_000, 0), (0, 4_000, 1)]
    new_doc.modelspace().add_lwpolyline(points, format="xyb", close=True)
    layer = read_doc(new_doc).drawing.layer("0")
    assert length(layer) == pytest.approx(12_000 + 4_000 * math.pi, rel=1e-4)
    (outline,) = layer.closed_outlines()
    x, y = outline.T
    area = 0.5 * abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))
    assert area == pytest.approx(6_000 * 4_000 + math.pi * 2_000**2, rel=1e-4)


def test_old_polylines_leave_out_points_that_only_steer(new_doc: Drawing, read_doc: Reader) -> None:
    polyline = new_doc.modelspace().add_polyline2d([(0, 0), (5_000, 9_000), (5_000, 0)])
    polyline.dxf.flags = 4
    polyline.vertices[1].dxf.flags = 16
    assert all_segments(read_doc(new_doc).drawing).tolist() == [[0, 0, 5_000, 0]]


def test_blocks_are_moved_turned_scaled_and_mirrored(new_doc: Drawing, read_doc: Reader) -> None:
    block = new_doc.blocks.new("CHAIR", base_point=(100, 50))
    block.add_lwpolyline([(0, 0), (400, 0), (400, 300)], dxfattribs={"layer": "0"})
    block.add_arc((200, 150), 120, 10, 100)
    msp = new_doc.modelspace()
    attributes = [
        {"rotation": 30, "xscale": 2, "yscale": 2},
        {"rotation": 200, "xscale": -1, "yscale": 1},
        {"rotation": 75, "xscale": 1.5, "yscale": -0.5},
        {"extrusion": (0, 0, -1), "rotation": 20},
    ]
    for number, attribute in enumerate(attributes):
        msp.add_blockref("CHAIR", (1_000 * number, 700), attribute | {"layer": f"L{number}"})
    drawing = read_doc(new_doc).drawing
    for number, reference in enumerate(msp.query("INSERT")):
        m = reference.matrix44()
        expected = [
            (p.x, p.y) for p in m.transform_vertices([(0, 0, 0), (400, 0, 0), (400, 300, 0)])
        ]
        layer = drawing.layer(f"L{number}")
        corners = [layer.segments[0, :2], layer.segments[0, 2:], layer.segments[1, 2:]]
        assert np.array(corners) == pytest.approx(np.array(expected))
        assert len(layer.arcs) == (0 if number == 2 else 1)


def test_nested_blocks_agree_with_the_library(new_doc: Drawing, read_doc: Reader) -> None:
    inner = new_doc.blocks.new("INNER")
    inner.add_line((0, 0), (10, 5))
    middle = new_doc.blocks.new("MIDDLE")
    middle.add_blockref("INNER", (3, 4), {"rotation": 33, "xscale": 2, "yscale": -3})
    outer = new_doc.blocks.new("OUTER")
    outer.add_blockref("MIDDLE", (100, 20), {"rotation": -70})
    reference = new_doc.modelspace().add_blockref("OUTER", (1_000, 1_000), {"rotation": 45})
    m = Matrix44.chain(
        middle.query("INSERT")[0].matrix44(), outer.query("INSERT")[0].matrix44(),
        reference.matrix44(),
    )  # fmt: skip
    start, end = m.transform_vertices([(0, 0, 0), (10, 5, 0)])
    assert all_segments(read_doc(new_doc).drawing)[0] == pytest.approx(
        [start.x, start.y, end.x, end.y]
    )


def test_block_arrays_repeat(new_doc: Drawing, read_doc: Reader) -> None:
    new_doc.blocks.new("SEAT").add_line((0, 0), (1, 0))
    new_doc.modelspace().add_blockref(
        "SEAT",
        (0, 0),
        {
            "row_count": 3,
            "column_count": 4,
            "row_spacing": 20,
            "column_spacing": 10,
            "rotation": 90,
        },
    )
    starts = {tuple(np.round(s[:2], 6)) for s in all_segments(read_doc(new_doc).drawing)}
    assert starts == {(-20.0 * r, 10.0 * c) for r in range(3) for c in range(4)}


def test_layer_zero_and_by_block_take_after_the_reference(
    new_doc: Drawing, read_doc: Reader
) -> None:
    new_doc.layers.add("WALLS", color=1)
    block = new_doc.blocks.new("B")
    block.add_line((0, 0), (1, 0), {"layer": "0", "color": 0})
    block.add_line((0, 0), (0, 1), {"layer": "OWN", "color": 3})
    block.add_line((0, 0), (1, 1), {"layer": "0"})
    new_doc.modelspace().add_blockref("B", (0, 0), {"layer": "WALLS", "color": 5})
    drawing = read_doc(new_doc).drawing
    walls, own = drawing.layer("WALLS"), drawing.layer("OWN")
    # Source: DXF reference, colour index 1 red, 3 green, 5 blue.
    assert [drawing.colours[c] for c in walls.segment_colours] == [0x0000FF, 0xFF0000]
    assert [drawing.colours[c] for c in own.segment_colours] == [0x00FF00]


def test_the_default_pen_is_ink_and_true_colours_are_kept(
    new_doc: Drawing, read_doc: Reader
) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0))
    msp.add_line((0, 1), (9, 1), {"true_color": 0x123456, "lineweight": 50})
    drawing = read_doc(new_doc).drawing
    layer = drawing.layer("0")
    assert [drawing.colours[c] for c in layer.segment_colours] == [INK, 0x123456]
    assert [drawing.lineweights_mm[w] for w in layer.segment_weights] == [0.25, 0.5]


def test_hidden_layers_are_read_and_stay_hidden(new_doc: Drawing, read_doc: Reader) -> None:
    new_doc.layers.add("OFF").off()
    new_doc.layers.add("ICE").freeze()
    block = new_doc.blocks.new("B")
    block.add_line((0, 0), (7, 0), {"layer": "SHOWN"})
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0), {"layer": "SHOWN"})
    msp.add_line((0, 0), (900, 0), {"layer": "OFF"})
    msp.add_line((0, 0), (0, 900), {"layer": "ICE"})
    frozen = msp.add_blockref("B", (0, 50), {"layer": "ICE"})
    frozen.add_attrib("NO", "7", (0, 50), {"layer": "SHOWN"})
    plan = read_doc(new_doc)
    assert not plan.drawing.layer("OFF").is_visible
    assert plan.drawing.layer("ICE").is_frozen
    # What a frozen reference contains is hidden with it, whatever its own layer.
    assert len(plan.drawing.layer("SHOWN").segments) == 1
    assert len(plan.drawing.layer("ICE").segments) == 2
    assert [text.text for text in plan.drawing.layer("ICE").texts] == ["7"]
    assert plan.drawing.raw_bounds == (0, 0, 9, 0)
    assert codes(plan)["hidden-layers"] == 2


def test_linetypes_become_dash_patterns_and_lines_stay_whole(
    new_doc: Drawing, read_doc: Reader
) -> None:
    new_doc.linetypes.add("GRID", pattern=[30, 20, -5, 0, -5], description="dash dot")
    new_doc.header["$LTSCALE"] = 10
    new_doc.modelspace().add_line((0, 0), (1_000, 0), {"linetype": "GRID", "ltscale": 2})
    drawing = read_doc(new_doc).drawing
    layer = drawing.layer("0")
    assert len(layer.segments) == 1
    pattern = drawing.dash_patterns[layer.segment_dashes[0]]
    assert pattern == pytest.approx((400, 100, 0, 100))


def test_solid_hatches_are_areas_with_holes(new_doc: Drawing, read_doc: Reader) -> None:
    hatch = new_doc.modelspace().add_hatch(color=2, dxfattribs={"layer": "H"})
    hatch.paths.add_polyline_path([(0, 0), (100, 0), (100, 100), (0, 100)], is_closed=True)
    hatch.paths.add_polyline_path(
        [(20, 20), (40, 20), (40, 40), (20, 40)], is_closed=True, flags=16
    )
    drawing = read_doc(new_doc).drawing
    ((rings, colour),) = drawing.layer("H").fills()
    assert [len(ring) for ring in rings] == [4, 4]
    assert drawing.colours[colour] == 0xFFFF00


def test_paper_space_pictures_and_masks_are_reported(new_doc: Drawing, read_doc: Reader) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0))
    image = new_doc.add_image_def("somewhere/else.png", (10, 10))
    msp.add_image(image, (0, 0), (5, 5))
    msp.add_wipeout([(0, 0), (1, 1)])
    new_doc.layout().add_line((0, 0), (1, 1))
    assert codes(read_doc(new_doc)) == {
        "image-skipped": 1,
        "mask-skipped": 1,
        "paper-space": 1,
    }


def test_missing_external_drawings_are_named_and_not_followed(
    new_doc: Drawing, read_doc: Reader
) -> None:
    new_doc.add_xref_def("../other/plan.dxf", "OTHER")
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0))
    msp.add_blockref("OTHER", (0, 0))
    msp.add_blockref("NOWHERE", (0, 0))
    plan = read_doc(new_doc)
    assert codes(plan) == {"external-missing": 1, "block-missing": 1}
    assert "../other/plan.dxf" in plan.report[0].text
    assert "NOWHERE" in plan.report[1].text


def test_clipped_references_show_what_is_inside(new_doc: Drawing, read_doc: Reader) -> None:
    from ezdxf.xclip import XClip

    block = new_doc.blocks.new("WIDE")
    block.add_line((-100, 5), (100, 5))
    block.add_circle((0, 0), 1_000)
    reference = new_doc.modelspace().add_blockref("WIDE", (1_000, 0))
    XClip(reference).set_block_clipping_path([(0, 0), (10, 10)])
    segments = all_segments(read_doc(new_doc).drawing)
    assert len(segments) == 1
    assert sorted(segments[0].tolist()) == pytest.approx([5, 5, 1_000, 1_010])


def test_dimensions_without_a_picture_are_drawn_again(new_doc: Drawing, read_doc: Reader) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (5_000, 0))
    made = msp.add_linear_dim(base=(0, 900), p1=(0, 0), p2=(4_000, 300))
    assert made.dimension.get_geometry_block() is None
    plan = read_doc(new_doc)
    assert codes(plan) == {"dimension-drawn": 1}
    (dimension,) = plan.dimensions
    assert dimension.distance == pytest.approx(4_000)
    assert dimension.stated_number == 4_000
    assert "4000" in [t.text for layer in plan.drawing.layers for t in layer.texts]


@pytest.mark.parametrize("version", ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"])
def test_every_version_reads_alike(version: str, read_doc: Reader) -> None:
    doc = ezdxf.new(version, units=4)
    msp = doc.modelspace()
    msp.add_line((0, 0), (4_000, 0), {"layer": "WÄNDE"})
    msp.add_text("Büro Ø 12", height=200).set_placement((500, 500))
    plan = read_doc(doc)
    assert all_segments(plan.drawing).tolist() == [[0, 0, 4_000, 0]]
    assert [t.text for layer in plan.drawing.layers for t in layer.texts] == ["Büro Ø 12"]
    assert plan.drawing.layer("WÄNDE").is_visible
    assert plan.report == ()


def test_reading_twice_gives_the_same(new_doc: Drawing, read_doc: Reader) -> None:
    from app.drawing.plan_codec import encode_drawing

    hatch = new_doc.modelspace().add_hatch()
    hatch.set_pattern_fill("ANSI31", scale=5)
    hatch.paths.add_polyline_path([(0, 0), (900, 0), (700, 800)], is_closed=True)
    first, second = read_doc(new_doc), read_doc(new_doc)
    assert len(first.drawing.layer("0").hatch_lines) > 10
    assert first.sha256 != ""
    assert encode_drawing(first.drawing) == encode_drawing(second.drawing)
