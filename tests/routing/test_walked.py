"""Lengths that somebody walked or measured: had by what passes, told as parts, no allowance."""

import pytest
from msgspec.structs import replace

from app.design import backbone_parts, evaluate, parts_of, run_of
from app.model.entities import BackboneCable, WalkedLength
from app.model.integrity import check_project
from app.model.project import PatchRefused
from app.model.vocabulary import Serves, Units
from app.routing.results import PartSort
from tests.routing.buildings import Draft, made

PORT = made("port", "o1")
ALLOWANCE = 50


def walked(draft: Draft, along: str, floor: int, x: int, y: int, **more) -> Draft:
    name = f"w{sum(isinstance(t, WalkedLength) for t in draft.things)}"
    return draft.add(
        WalkedLength(
            id=made("walked-length", name),
            floor=made("floor", str(floor)),
            along=made(*along.split()),
            x_mm=x,
            y_mm=y,
            **more,
        )
    )


def hall(line=((0, 12_000, 3_000), (60_000, 12_000, 3_000))) -> Draft:
    """60.95 m from the outlet at (42, 5) to the frame at (2, 15), as worked by hand elsewhere:
    2.55 up, 7 m of leg, 40 m of basket, 3 m of leg, 1.80 and 0.80, slack 3.30, allowance 2.50."""
    draft = Draft(levels=(0,), allowance_permille=ALLOWANCE)
    draft.pathway("b", 0, list(line))
    draft.frame("f", 0, 2_000, 15_000, ladder_height_mm=3_000)
    return draft.outlet("o", 0, 42_000, 5_000)


def length(draft: Draft) -> int:
    return run_of(evaluate(draft.project()), PORT).installed_mm


@pytest.mark.parametrize("turned", [False, True])
def test_what_passes_the_place_has_the_added_length_and_no_allowance_on_it(turned):
    line = ((0, 12_000, 3_000), (60_000, 12_000, 3_000))
    draft = hall(line[::-1] if turned else line)
    assert length(draft) == 60_950
    walked(draft, "pathway b", 0, 20_000, 12_000, added_mm=4_000, reason="round the duct")
    design = evaluate(draft.project())
    assert run_of(design, PORT).installed_mm == 64_950
    added = [p for p in parts_of(design, PORT) if p.sort is PartSort.ADDED]
    assert [(p.name, p.length_mm) for p in added] == [("as walked: +4 m round the duct", 4_000)]


def test_in_us_units_it_is_told_in_feet():
    draft = walked(hall(), "pathway b", 0, 20_000, 12_000, added_mm=3_048, reason="up and over")
    walked(draft, "pathway b", 0, 20_000, 12_000, replaced_mm=61_200)
    draft.things[0] = replace(draft.things[0], units=Units.US)
    names = [p.name for p in parts_of(evaluate(draft.project()), PORT)]
    assert "as walked: +10 ft up and over" in names
    assert "basket B, measured 200.8 ft" in names


def test_what_does_not_pass_the_place_has_nothing_of_it():
    draft = walked(hall(), "pathway b", 0, 50_000, 12_000, added_mm=4_000)
    assert length(draft) == 60_950


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(("at", "expected"), [(42_000, 60_950), (41_999, 64_950), (2_000, 64_950)])
def test_what_joins_at_the_very_place_is_on_the_side_of_the_first_end(turned, at, expected):
    # The first end in (z, x, y) is that at x = 0: a cable that joins at x = 42 has not passed
    # a place there, but it passes one at x = 2, where the frame's leg joins before it.
    line = ((0, 12_000, 3_000), (60_000, 12_000, 3_000))
    draft = walked(hall(line[::-1] if turned else line), "pathway b", 0, at, 12_000, added_mm=4_000)
    assert length(draft) == expected


def test_a_measured_stretch_is_shared_out_among_those_who_join_in_the_middle():
    # 60 m drawn, 75 m measured: 40 m of it are 50 m, without the allowance of 2 m on 40.
    draft = walked(hall(), "pathway b", 0, 30_000, 12_000, replaced_mm=75_000, reason="tape")
    design = evaluate(draft.project())
    assert run_of(design, PORT).installed_mm == 60_950 + 10_000 - 2_000
    part = next(p for p in parts_of(design, PORT) if p.thing == made("pathway", "b"))
    assert (part.name, part.length_mm) == ("basket B, measured 75 m (tape)", 50_000)


def test_where_a_measured_millimetre_costs_more_than_a_leg_the_foot_is_not_the_best():
    # 60 m drawn, 240 m measured: 4 for every millimetre, a leg costs 3. The leg reaches 10 m,
    # 7 of them square to the basket, so that 3 m are cut off the way along: 37 m are 148 m.
    draft = walked(hall(), "pathway b", 0, 30_000, 12_000, replaced_mm=240_000)
    design = evaluate(draft.project())
    parts = {p.name: p.length_mm for p in parts_of(design, PORT)}
    assert parts["leg at the outlet"] == 10_000
    # The frame's leg of 3 m may go as far as 10 m too: 7 m along, and 30 m are left.
    assert parts["leg at the frame"] == 10_000
    assert parts["basket B, measured 240 m"] == 30_000 * 4


def test_the_storey_of_a_riser_above_a_floor_is_measured_from_pathway_to_pathway():
    draft = Draft(levels=(0, 4_000, 8_000), allowance_permille=0, serves=Serves.ANY)
    for floor in (0, 1, 2):
        draft.pathway(f"p{floor}", floor, [(0, 0, 3_000), (9_000, 0, 3_000)])
    draft.riser("r", 0, 2, (0, 0)).frame("f", 2, 9_000, 500, ladder_height_mm=3_000)
    draft.outlet("o", 0, 9_000, 500)
    plain = length(draft)
    walked(draft, "riser r", 1, 0, 0, replaced_mm=5_500)
    assert length(draft) == plain - 4_000 + 5_500
    walked(draft, "riser r", 0, 0, 0, added_mm=700)
    assert length(draft) == plain + 1_500 + 700


def test_of_several_measured_lengths_of_one_stretch_the_longest_counts_and_additions_add_up():
    draft = hall()
    for number, measured in enumerate((66_000, 75_000, 60_000)):
        walked(draft, "pathway b", 0, 10_000 + number, 12_000, replaced_mm=measured)
    for added in (1_000, 500):
        walked(draft, "pathway b", 0, 20_000, 12_000, added_mm=added)
    assert length(draft) == 60_950 + 10_000 - 2_000 + 1_500


def test_a_backbone_cable_has_them_too():
    draft = hall().frame("g", 0, 58_000, 15_000, ladder_height_mm=3_000)
    cable = BackboneCable(
        id=made("backbone-cable", "t"),
        name="T",
        from_id=made("frame", "f"),
        to_id=made("frame", "g"),
        cable_type=made("cable-type", "c"),
    )
    plain = evaluate(draft.add(cable).project()).backbone[cable.id].installed_mm
    walked(draft, "pathway b", 0, 20_000, 12_000, added_mm=4_000, reason="round the duct")
    design = evaluate(draft.project())
    assert design.backbone[cable.id].installed_mm == plain + 4_000
    assert "as walked: +4 m round the duct" in [p.name for p in backbone_parts(design, cable.id)]


@pytest.mark.parametrize("more", [{"added_mm": -1}, {"replaced_mm": 0}])
def test_no_length_is_less_than_nothing(more):
    with pytest.raises(PatchRefused):
        check_project(walked(hall(), "pathway b", 0, 0, 12_000, **more).project())
