"""Pathways are drawn at their width, told apart by their hatch, and marked by their state."""

import math
from itertools import pairwise

import pytest
from shapely import LineString

from app.drawing import primitives as pr
from app.drawing.pathway_hatches import beside, hatches, pathway_drawing
from app.drawing.primitives import Line, Polyline
from app.model import vocabulary

STRAIGHT = ((0.0, 0.0), (200.0, 0.0))
BENT = ((0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (180.0, 140.0))


def test_every_kind_of_the_model_and_the_outdoor_duct_have_a_hatch():
    assert set(hatches()) == {k.value for k in vocabulary.PathwayKind} | {"outdoor_duct"}


def test_no_two_kinds_are_drawn_alike():
    drawn = {pathway_drawing(kind, STRAIGHT, width=10, size=24) for kind in hatches()}
    assert len(drawn) == len(hatches())


@pytest.mark.parametrize("kind", ["ladder", "basket", "tray", "conduit", "in_floor_duct"])
def test_a_straight_pathway_is_as_wide_as_it_is(kind):
    box = pr.bounds(pathway_drawing(kind, STRAIGHT, width=10, size=24))
    assert box == pytest.approx((0, -5, 200, 5))


@pytest.mark.parametrize("offset", [4.0, -4.0, 0.0])
def test_edges_agree_with_the_offset_curve_of_shapely(offset):
    expected = LineString(BENT).offset_curve(offset, join_style="mitre", mitre_limit=10)
    assert LineString(beside(BENT, offset)).hausdorff_distance(expected) < 1e-9


def test_a_hairpin_is_cut_instead_of_drawn_to_a_far_corner():
    hairpin = ((0.0, 0.0), (100.0, 0.0), (0.0, 5.0))
    for x, y in beside(hairpin, 4.0) + beside(hairpin, -4.0):
        assert -5 <= x <= 105
        assert -5 <= y <= 10


def test_marks_stay_on_their_piece_and_are_evenly_spaced():
    drawn = pathway_drawing("ladder", STRAIGHT, width=10, size=24)
    rungs = [p for p in drawn if isinstance(p, Polyline) and math.dist(*p.points[:2]) == 10]
    xs = [p.points[0][0] for p in rungs]
    assert len(xs) == int(200 / hatches()["ladder"].period)
    steps = {round(b - a, 9) for a, b in pairwise(xs)}
    assert steps == {hatches()["ladder"].period}
    assert xs[0] == pytest.approx(200 - xs[-1])


def test_what_is_too_short_for_a_mark_has_only_its_edges():
    assert len(pathway_drawing("basket", ((0, 0), (3, 0)), width=10, size=24)) == 2


def test_coinciding_points_draw_nothing_twice():
    doubled = (STRAIGHT[0], STRAIGHT[0], STRAIGHT[1], STRAIGHT[1])
    once = pathway_drawing("tray", STRAIGHT, width=10, size=24)
    assert pathway_drawing("tray", doubled, width=10, size=24) == once
    assert pathway_drawing("tray", ((1.0, 1.0),) * 3, width=10, size=24) == ()


def test_states_differ_without_colour():
    def drawn(state):
        return pathway_drawing("conduit", STRAIGHT, width=10, size=24, state=state)

    new, existing, future = drawn("new"), drawn("existing"), drawn("future")
    assert new[0].stroke.ink == "pathway"
    assert existing[0].stroke.width_mm < new[0].stroke.width_mm
    assert future[0].stroke.dashes_mm
    assert len([p for p in drawn("to_remove") if isinstance(p, Line)]) == 2
    assert len([p for p in drawn("to_relocate") if isinstance(p, Line)]) == 1
