"""What a state looks like is told without colour, for every kind of thing, and by the legend."""

import math
from itertools import combinations

import pytest

from app.drawing.primitives import Line, Polyline, bounds
from app.drawing.states import (
    RELOCATED,
    ghost_symbol,
    look_label,
    look_name,
    look_names,
    relocation_arrow,
)
from app.drawing.symbols import outlet_symbol, riser_symbol, thing_symbol
from app.model.entities import Break, Frame, OldPlace, Outlet
from app.model.vocabulary import State


def without_ink(primitives):
    """What of a drawing is left where all inks are one."""
    left = []
    for p in primitives:
        stroke = getattr(p, "stroke", None)
        weight = None if stroke is None else (stroke.width_mm, stroke.dashes_mm)
        left.append((type(p).__name__, weight, bounds([p])))
    return tuple(left)


@pytest.mark.parametrize(
    "drawn",
    [
        lambda name: outlet_symbol("camera", ports=2, state=name),
        lambda name: thing_symbol("frame_main", state=name),
        lambda name: thing_symbol("pull_box", state=name),
        lambda name: riser_symbol("sleeves", direction="up", state=name),
    ],
)
def test_any_two_looks_differ_where_all_inks_are_one(drawn):
    for one, other in combinations(look_names(), 2):
        assert without_ink(drawn(one)) != without_ink(drawn(other)), (one, other)


def test_the_legend_has_words_for_every_look():
    labels = [look_label(name) for name in look_names()]
    assert len(set(labels)) == len(labels) == len(State) + 1
    assert all(labels)


def test_the_look_of_a_thing_is_that_of_its_state():
    frame = Frame(id="frame-00000001", floor="floor-00000001", name="T1", x_mm=0, y_mm=0)
    assert look_name(frame) == "new"
    outlet = Outlet(
        id="outlet-00000001",
        floor="floor-00000001",
        kind="outlet-kind-00000001",
        x_mm=0,
        y_mm=0,
        ports=(),
        state=State.TO_RELOCATE,
    )
    assert look_name(outlet) == "to_relocate"
    was_at = OldPlace(floor="floor-00000001", x_mm=5, y_mm=5)
    moved = Outlet(**{f: getattr(outlet, f) for f in outlet.__struct_fields__} | {"was_at": was_at})
    assert look_name(moved) == RELOCATED
    apart = Break(
        id="break-00000001",
        floor="floor-00000001",
        pathway_a="pathway-00000001",
        pathway_b="pathway-00000002",
        x_mm=0,
        y_mm=0,
    )
    assert look_name(apart) == "new"


def test_the_old_place_is_thin_and_crossed():
    ghost = ghost_symbol("data")
    assert len([p for p in ghost if isinstance(p, Line)]) == 2
    bold = outlet_symbol("data")[0].stroke.width_mm
    assert ghost[0].stroke.width_mm < bold / 2


@pytest.mark.parametrize("new", [(4000.0, 0.0), (-3000.0, 3000.0), (10.0, -9000.0)])
def test_the_arrow_points_from_the_old_place_to_the_new_clear_of_both(new):
    size = 400.0
    line, head = relocation_arrow((0.0, 0.0), new, size=size)
    assert isinstance(head, Polyline)
    assert head.points[1] == line.end
    for end, place in ((line.start, (0.0, 0.0)), (line.end, new)):
        assert math.dist(end, place) == pytest.approx(0.62 * size)
    assert math.dist(line.start, line.end) == pytest.approx(math.dist((0, 0), new) - 1.24 * size)
    for wing in (head.points[0], head.points[2]):
        assert math.dist(wing, new) > math.dist(line.end, new)


def test_there_is_no_arrow_between_places_that_touch():
    assert relocation_arrow((0.0, 0.0), (300.0, 0.0), size=400.0) == ()
    assert relocation_arrow((0.0, 0.0), (0.0, 0.0), size=400.0) == ()
