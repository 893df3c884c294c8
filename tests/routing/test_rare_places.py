"""Rare places of joints and legs, each found by comparing random buildings with the oracle."""

import pytest

from app.design import evaluate
from app.model.vocabulary import PathwayKind, Serves, SpaceUse, WayDown
from app.routing.joints import build_joints
from tests.routing.buildings import Draft, made

PORT = made("port", "o1")


def row_of(draft: Draft, port: str = PORT) -> dict[str, int]:
    runs = evaluate(draft.project()).runs
    row = runs.row_of[port]
    names = ("horizontal_mm", "vertical_mm", "leg_mm", "frame_leg_mm", "status")
    return {name: int(getattr(runs, name)[row]) for name in names}


@pytest.mark.parametrize("y", [5_507, 5_519, 5_556, 5_603])
def test_a_vertex_that_lies_exactly_on_a_slope_joins_it_even_without_tolerance(y):
    # The nearest point is computed in floats, whose last bit must not decide.
    draft = Draft(levels=(0,), join_tolerance_mm=0)
    draft.pathway("a", 0, [(9_000, 5_500, 2_500), (9_000, 7_769, 3_000)])
    draft.pathway("b", 0, [(9_000, y, 3_400), (2_000, y, 3_400)])
    assert len(build_joints(draft.project()).link_length) == 1


def test_a_line_that_comes_back_above_itself_joins_another_at_both_heights():
    draft = Draft(levels=(0,))
    line = [(0, 0, 3_000), (4_000, 0, 3_000), (4_000, 4_000, 3_400), (0, 0, 3_400)]
    draft.pathway("a", 0, line).pathway("b", 0, [(0, 0, 2_500), (0, -5_000, 2_500)])
    joints = build_joints(draft.project())
    assert sorted(joints.link_length.tolist()) == [500, 900]


def two_floors(**frame: int | None) -> Draft:
    """An outlet below, a riser, and above a frame that only the riser comes near."""
    draft = Draft(levels=(0, 4_000), serves=Serves.ANY, allowance_permille=0)
    draft.pathway("a", 0, [(0, 0, 3_000), (9_000, 0, 3_000)]).riser("r", 0, 1, (0, 0))
    draft.outlet("o", 0, 9_000, 0, height_mm=3_000)
    return draft.frame("f", 1, 2_000, 0, dressing_mm=0, **frame)


def test_a_frame_enters_a_riser_at_its_own_height_whatever_other_frames_do():
    alone = row_of(two_floors())
    assert alone["vertical_mm"] == 4_000 + (3_000 - 1_200)
    beside = two_floors().frame(
        "g", 1, 9_000, 0, ladder_height_mm=1_300, reserved_tenant="customs", dressing_mm=0
    )
    assert row_of(beside) == alone


def test_of_a_leg_to_the_frame_and_a_way_that_costs_the_same_the_shorter_leg_is_taken():
    draft = Draft(levels=(0,), leg_weight=1, allowance_permille=0)
    draft.space("s", 0, 0, 0, 9_000, 9_000)
    draft.pathway("a", 0, [(1_000, 2_000, 3_000), (5_000, 2_000, 3_000)])
    draft.outlet("o", 0, 1_000, 2_000).frame("f", 0, 5_000, 2_000, ladder_height_mm=3_000)
    found = row_of(draft)
    assert (found["horizontal_mm"], found["leg_mm"]) == (4_000, 0)


def test_an_outlet_in_a_raised_floor_takes_the_highest_place_that_is_low_enough():
    # The plumb tray is joined by another just under the floor: cable comes out there, and
    # does not first go down to its foot.
    draft = Draft(levels=(0,), allowance_permille=0)
    draft.pathway("a", 0, [(4_000, 0, -150), (4_000, 0, 3_000)])
    draft.pathway("b", 0, [(4_000, 0, -60), (9_000, 0, -60)], PathwayKind.CONDUIT)
    draft.frame("f", 0, 9_000, 0, panel_height_mm=1_200, dressing_mm=0)
    draft.outlet("o", 0, 4_000, 0, height_mm=0, way_down=WayDown.RAISED_FLOOR)
    found = row_of(draft)
    assert found["vertical_mm"] == 60 + 60 + 1_200
    assert found["horizontal_mm"] == 5_000


def test_every_vertex_on_a_drop_joins_it_though_a_drop_of_its_own_begins_there():
    # Two drops side by side: the lower vertex of one joins as its upper end does.
    draft = Draft(levels=(0,), join_tolerance_mm=100)
    draft.pathway("a", 0, [(0, 0, 3_000), (0, 0, 2_500), (6_000, 0, 2_500)])
    draft.pathway("b", 0, [(15, 0, 900), (15, 0, 3_000), (0, 9_000, 3_000)])
    stretches = build_joints(draft.project())
    drop = stretches.stretches.things.index(made("pathway", "b"))
    first = stretches.stretches.first_of_thing[drop]
    offsets = stretches.cut_offset[stretches.cut_stretch == first].tolist()
    assert 1_600 in offsets


def test_a_hole_drawn_outside_its_outline_closes_nothing():
    draft = Draft(levels=(0,), allowance_permille=0)
    draft.pathway("a", 0, [(0, 3_000, 3_000), (9_000, 3_000, 3_000)])
    draft.frame("f", 0, 0, 3_000, dressing_mm=0).outlet("o", 0, 8_000, 0)
    before = row_of(draft)
    hole = ((7_000, 1_000), (9_000, 1_000), (9_000, 2_000), (7_000, 2_000))
    shaft = {"use": SpaceUse.LIFT_SHAFT, "holes": (hole,)}
    draft.space("s", 0, 2_000, 8_000, 4_000, 9_000, **shaft)
    assert row_of(draft) == before
