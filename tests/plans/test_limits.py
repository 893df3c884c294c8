"""Hostile and hopeless drawings: bounded work, the good part kept, the rest said."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import ezdxf
import numpy as np
import pytest
from ezdxf.document import Drawing

from app.plans import flatten
from app.plans.collector import Collector
from app.plans.flatten import FlatteningFrontend
from app.plans.imported import ImportedPlan
from app.plans.limits import Budget
from app.plans.notes import Notes
from app.plans.pens import PlanContext
from app.progress import Silent

Reader = Callable[[Drawing], ImportedPlan]


def codes(plan: ImportedPlan) -> dict[str, int]:
    return {note.code: note.count for note in plan.report}


def flattened(doc: Drawing, budget: Budget) -> tuple[FlatteningFrontend, Notes]:
    """A document that was never a file, since the library would not write some of these."""
    notes = Notes()
    frontend = FlatteningFrontend(PlanContext(doc), budget, notes, tolerance=0.1)
    frontend.draw_entities(doc.modelspace())
    return frontend, notes


def test_blocks_that_contain_themselves(new_doc: Drawing, read_doc: Reader) -> None:
    for name, other in (("A", "B"), ("B", "C"), ("C", "A")):
        block = new_doc.blocks.new(name)
        block.add_line((0, 0), (1, 1))
        block.add_blockref(other, (1, 0))
    msp = new_doc.modelspace()
    msp.add_blockref("A", (0, 0))
    plan = read_doc(new_doc)
    assert codes(plan)["block-cycle"] == 1
    assert plan.drawing.segment_count == 3


def test_dimensions_that_show_themselves(new_doc: Drawing, read_doc: Reader) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0))
    new_doc.blocks.new("*D9").add_line((0, 0), (1, 1))
    for space in (msp, new_doc.blocks.get("*D9"), new_doc.blocks.get("*D9")):
        dimension = space.add_linear_dim(base=(0, 9), p1=(0, 0), p2=(4, 3)).dimension
        dimension.dxf.geometry = "*D9"
    plan = read_doc(new_doc)
    assert codes(plan)["block-cycle"] == 2
    assert plan.drawing.segment_count == 2


def test_blocks_nested_too_deeply(new_doc: Drawing, read_doc: Reader) -> None:
    for depth in range(60):
        block = new_doc.blocks.new(f"D{depth}")
        block.add_line((0, depth), (1, depth))
        block.add_blockref(f"D{depth + 1}", (0, 0))
    new_doc.blocks.new("D60")
    new_doc.modelspace().add_blockref("D0", (0, 0))
    plan = read_doc(new_doc)
    assert codes(plan)["block-depth"] == 1
    assert plan.drawing.segment_count == 24


def test_a_drawing_that_multiplies_without_end_is_cut(new_doc: Drawing, read_doc: Reader) -> None:
    """Twenty blocks, each ten times in the next: 10^20 lines if all were drawn."""
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (5, 5), {"layer": "GOOD"})
    new_doc.blocks.new("M0").add_line((0, 0), (1, 0))
    for level in range(1, 21):
        block = new_doc.blocks.new(f"M{level}")
        for number in range(10):
            block.add_blockref(f"M{level - 1}", (number, 0))
    msp.add_blockref("M20", (0, 0))
    started = time.perf_counter()
    plan = read_doc(new_doc)
    assert codes(plan)["too-much"] == 1
    assert len(plan.drawing.layer("GOOD").segments) == 1
    assert time.perf_counter() - started < 30


def test_an_array_of_a_billion_references_is_cut(new_doc: Drawing, read_doc: Reader) -> None:
    new_doc.blocks.new("E").add_line((0, 0), (1, 0))
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0))
    msp.add_blockref(
        "E",
        (0, 0),
        {"row_count": 32_000, "column_count": 32_000, "row_spacing": 1, "column_spacing": 1},
    )
    started = time.perf_counter()
    plan = read_doc(new_doc)
    assert codes(plan)["too-much"] == 1
    assert 1 < plan.drawing.segment_count < 4_000_000
    assert time.perf_counter() - started < 60


def test_budgets_count_entities_and_texts(new_doc: Drawing) -> None:
    for number in range(100):
        new_doc.modelspace().add_line((number, 0), (number, 1))
    with pytest.raises(flatten.TooMuch):
        flattened(new_doc, Budget(progress=Silent(), entities=50))
    frontend, _ = flattened(new_doc, Budget(progress=Silent(), entities=100))
    assert len(frontend.plan_collector.geometry().segments) == 100


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 1e300, 1e12])
def test_coordinates_that_are_nowhere_are_dropped_and_counted(
    bad: float, new_doc: Drawing, read_doc: Reader
) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (5_000, 0))
    msp.add_line((0, 0), (bad, 0))
    msp.add_circle((0, bad), 5)
    msp.add_lwpolyline([(0, 0), (10, 0), (bad, 10), (0, 10)], close=True)
    msp.add_lwpolyline([(0, 0), (10, 0), (10, 10), (0, 10)], close=True)
    msp.add_text("here", height=bad).set_placement((0, 0))
    plan = read_doc(new_doc)
    layer = plan.drawing.layer("0")
    assert codes(plan)["bad-coordinates"] >= 3
    assert np.isfinite(layer.segments).all()
    assert plan.drawing.raw_bounds == (0, 0, 5_000, 10)
    # The outline with a bad corner is none; the other is found where its lines now are.
    (outline,) = layer.closed_outlines()
    assert outline.tolist() == [[0, 0], [10, 0], [10, 10], [0, 10]]


def test_scales_of_nothing_and_of_too_much(new_doc: Drawing, read_doc: Reader) -> None:
    new_doc.blocks.new("B").add_circle((3, 4), 5)
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (100, 0))
    for scale in (1e-300, 1e300, math.nan):
        msp.add_blockref("B", (0, 0), {"xscale": scale, "yscale": scale})
    plan = read_doc(new_doc)
    assert plan.drawing.raw_bounds is not None
    assert plan.drawing.raw_bounds[2] == 100


@pytest.mark.parametrize(("scale", "code"), [(0.0001, "hatch-solid"), (0.2, "hatch-dense")])
def test_hatches_with_endless_patterns_do_not_hang(
    scale: float, code: str, new_doc: Drawing, read_doc: Reader
) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (50_000, 0))
    hatch = msp.add_hatch()
    hatch.set_pattern_fill("ANSI31", scale=scale)
    hatch.paths.add_polyline_path([(0, 0), (50_000, 0), (50_000, 30_000)], is_closed=True)
    started = time.perf_counter()
    plan = read_doc(new_doc)
    assert codes(plan) == {code: 1}
    assert len(list(plan.drawing.layer("0").fills())) == (code == "hatch-solid")
    assert time.perf_counter() - started < 10


def test_long_texts_are_cut(new_doc: Drawing, read_doc: Reader) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0))
    msp.add_mtext("word " * 20_000, {"char_height": 2, "width": 50})
    (text,) = (t for layer in read_doc(new_doc).drawing.layers for t in layer.texts)
    assert len(text.text) <= 4_000
    assert text.text.startswith("word word")


def test_what_fails_to_draw_is_counted_and_the_rest_kept(
    new_doc: Drawing, read_doc: Reader
) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0))
    spline = msp.add_spline()
    spline.control_points = [(0, 0), (1, 1)]
    spline.knots = [0, 1]
    plan = read_doc(new_doc)
    assert plan.drawing.segment_count == 1
    assert codes(plan) == {"entity-failed": 1}
    assert "SPLINE" in plan.report[0].text


def test_control_characters_do_not_reach_the_screen(new_doc: Drawing, read_doc: Reader) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (9, 0))
    msp.add_text("A\x07B\udcffC\u202e", height=2)
    (text,) = (t for layer in read_doc(new_doc).drawing.layers for t in layer.texts)
    assert all(character.isprintable() for character in text.text)


def test_curves_take_a_bounded_number_of_chords() -> None:
    collector = Collector(Budget(progress=Silent()), tolerance=1e-12)
    collector.curve((0, 0), (1e9, 0), (0, 1e9), 0, 2 * math.pi, 0)
    assert len(collector.geometry().segments) <= 256


def test_a_missing_layer_table_is_no_obstacle(read_doc: Reader) -> None:
    doc = ezdxf.new("R12")
    doc.modelspace().add_line((0, 0), (9, 0), {"layer": "NOWHERE DEFINED"})
    layer = read_doc(doc).drawing.layer("NOWHERE DEFINED")
    assert layer.is_visible
    assert len(layer.segments) == 1


def test_names_that_cannot_be_stored_are_made_fit(read_doc: Reader) -> None:
    from app.drawing.plan_codec import decode_drawing, encode_drawing
    from app.plans.read_plan import read_plan

    lines = b"0 SECTION 2 ENTITIES 0 LINE 8 W\xcb\x9dX 10 0.0 20 0.0 11 9.0 21 0.0 0 ENDSEC 0 EOF "
    header = b"0 SECTION 2 HEADER 9 $ACADVER 1 AC1021 9 $DWGCODEPAGE 3 ANSI_1250 0 ENDSEC "
    plan = read_plan((header + lines).replace(b" ", b"\n"))
    (layer,) = (layer for layer in plan.drawing.layers if len(layer.segments))
    assert layer.name.startswith("W")
    assert layer.name.isprintable()
    assert decode_drawing(encode_drawing(plan.drawing)).layer(layer.name).segments.tolist()
