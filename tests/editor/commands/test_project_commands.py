"""Floors, kinds, plans, records, numbers and fills."""

import math

import pytest
from msgspec.structs import replace

from app.editor.asking import InputProblem, Question
from app.editor.commands.filling import places_in, wanted_in
from app.editor.commands.floors import add_building, add_floor, copy_floor, move_floor
from app.editor.commands.kinds import (
    add_cable_type,
    add_outlet_kind,
    change_outlet_kind,
    copy_kind,
)
from app.editor.commands.numbering import next_numbers
from app.editor.commands.plans import (
    calibrate_plan,
    correct_unit,
    import_plan,
    move_plan,
    remove_plan,
)
from app.editor.commands.records import (
    add_backbone_cable,
    apply_candidate,
    unwaive_finding,
    waive_finding,
)
from app.editor.commands.renumbering import renumber
from app.geometry.polygons import contains
from app.geometry.similarity import about, shift
from app.model.entities import Requirement
from app.model.integrity import check_project
from app.model.project import Patch, Project, changing
from app.model.vocabulary import ScaledBy, SpaceUse
from tests.editor.small_building import (
    CABLE,
    CARRIER,
    CEILING,
    DATA,
    GROUND,
    HALL,
    MAIN,
    OFFICE,
    OUTLET_1,
    OUTLET_2,
    OUTLET_3,
    PLACE,
    PLAN,
    RISER,
    RULES,
    SECOND,
    TRAY,
    UPPER,
    building,
    source,
)


def _done(project: Project, outcome: Patch | Question | None) -> Project:
    assert isinstance(outcome, Patch), outcome
    after = project.apply(outcome)
    check_project(after)
    assert after.apply(outcome.inverse()) == project
    return after


# --- floors -----------------------------------------------------------------------------------


def test_floors_stack_and_refuse_a_level_or_name_twice():
    project = building()
    after = _done(project, add_floor(project, "building-00000001", " 2 ", source=source()))
    made = list(after.floors.values())[-1]
    assert (made.name, made.level_mm) == ("2", 7_200)
    with pytest.raises(InputProblem, match="floor 1 in this building already"):
        add_floor(project, "building-00000001", "1")
    with pytest.raises(InputProblem, match="same level"):
        add_floor(project, "building-00000001", "1a", level_mm=3_600)
    with pytest.raises(InputProblem, match="a name first"):
        add_floor(project, "building-00000001", " ")
    both = _done(project, add_building(project, "Shed", source=source()))
    assert len(both.buildings) == 2


def test_a_copied_floor_has_its_own_numbers_and_leaves_frames_if_asked():
    project = building()
    patch = copy_floor(project, GROUND, "2", level_mm=7_200, leave_out=("frame",), source=source())
    after = _done(project, patch)
    assert patch.label == "Add floor 2 as a copy of 0"
    top = next(f.id for f in after.floors.values() if f.name == "2")
    numbers = [o.number for o in after.outlets.values() if o.floor == top]
    assert numbers == ["2-01", "2-02", "2-03"]
    assert len([s for s in after.spaces.values() if s.floor == top]) == 2
    assert not [f for f in after.frames.values() if f.floor == top]
    assert len(after.risers) == 1


def test_lifting_a_floor_lifts_those_above_it_and_never_onto_another():
    project = building()
    after = _done(project, move_floor(project, GROUND, level_mm=500))
    assert [f.level_mm for f in after.floors.values()] == [500, 4_100]
    alone = move_floor(project, GROUND, level_mm=500, with_floors_above=False)
    assert [f.level_mm for f in _done(project, alone).floors.values()] == [500, 3_600]
    with pytest.raises(InputProblem, match="same level"):
        move_floor(project, GROUND, level_mm=3_600, with_floors_above=False)


# --- kinds ------------------------------------------------------------------------------------


def test_kinds_come_from_the_rules_under_names_of_their_own():
    project = building()
    patch = add_cable_type(project, RULES, "cat6a_u", source=source())
    assert patch.changes[0].after.name == "Cat 6A U/UTP 2"
    after = _done(project, patch)
    patch = add_outlet_kind(after, RULES, "camera_ceiling", source=source())
    assert patch.changes[0].after.ports[0].cable_type == CABLE
    after = _done(after, patch)
    patch = copy_kind(after, DATA, source=source())
    assert patch.changes[0].after.name == "Data outlet, wall 2"
    with pytest.raises(InputProblem, match="cable type first"):
        add_outlet_kind(Project(), RULES, "data")


def test_changed_ports_of_a_kind_ask_for_the_outlets_that_stand():
    project = building()
    kind = project.outlet_kinds[DATA]
    _done(project, change_outlet_kind(project, replace(kind, slack_mm=500)))
    asked = change_outlet_kind(
        project, replace(kind, ports=(*kind.ports, kind.ports[0])), source=source()
    )
    assert isinstance(asked, Question)
    assert asked.text.startswith("3 outlets of the kind")
    theirs, only_new, leave = asked.answers
    assert {len(o.ports) for o in _done(project, theirs.patch).outlets.values()} == {3}
    assert {len(o.ports) for o in _done(project, only_new.patch).outlets.values()} == {2}
    assert leave.patch is None


# --- plans ------------------------------------------------------------------------------------


def test_calibrating_scales_about_the_first_point_with_or_without_things():
    project = building()
    asked = calibrate_plan(project, PLAN, (1_000, 0), (3_000, 0), true_mm=4_000)
    assert isinstance(asked, Question)
    along, alone, leave = asked.answers
    only = _done(project, alone.patch)
    assert only.plans[PLAN].mm_per_unit == 2.0
    assert (only.plans[PLAN].x_mm, only.plans[PLAN].y_mm) == (-1_000, 0)
    assert only.plans[PLAN].scaled_by is ScaledBy.CALIBRATED
    assert "4.00 m" in only.plans[PLAN].scale_note
    assert only.outlets == project.outlets
    both = _done(project, along.patch)
    assert (both.outlets[OUTLET_2].x_mm, both.outlets[OUTLET_2].y_mm) == (5_000, 20)
    assert both.pathways[TRAY].vertices[0] == (1_000, 10_000, 3_000)
    assert both.risers[RISER].lower == (31_000, 11_000)
    assert both.risers[RISER].upper == (16_000, 5_500)
    assert both.frames[SECOND] == project.frames[SECOND]
    assert leave.patch is None


def test_the_two_points_are_the_true_distance_apart_afterwards():
    project = building()
    file_a, file_b = (1_234, 5_678), (4_321, 8_765)
    asked = calibrate_plan(project, PLAN, file_a, file_b, true_mm=12_560)
    plan = asked.answers[1].patch.changes[0].after

    def stands(u: float, v: float) -> tuple[float, float]:
        return u * plan.mm_per_unit + plan.x_mm, v * plan.mm_per_unit + plan.y_mm

    assert math.dist(stands(*file_a), stands(*file_b)) == pytest.approx(12_560, abs=1e-6)
    assert math.dist(stands(*file_a), file_a) <= 1


@pytest.mark.parametrize(
    ("second", "true_mm", "words"),
    [((1_000, 0), 4_000, "are one"), ((3_000, 0), 99, "at least 0.1 m")],
)
def test_a_useless_calibration_is_refused(second, true_mm, words):
    with pytest.raises(InputProblem, match=words):
        calibrate_plan(building(), PLAN, (1_000, 0), second, true_mm=true_mm)


def test_a_plan_moves_and_turns_with_or_without_things():
    project = building()
    asked = move_plan(project, PLAN, shift(500, 0))
    along, alone, _ = asked.answers
    assert _done(project, alone.patch).plans[PLAN].x_mm == 500
    assert _done(project, along.patch).outlets[OUTLET_1].x_mm == 1_500
    turned = move_plan(project, PLAN, about((0, 0), turn_mdeg=90_000), verb="Turn")
    after = _done(project, turned.answers[0].patch)
    assert after.plans[PLAN].rotation_mdeg == 90_000
    assert (after.outlets[OUTLET_1].x_mm, after.outlets[OUTLET_1].y_mm) == (-10, 1_000)
    assert after.outlets[OUTLET_1].rotation_mdeg == 90_000
    assert move_plan(project, PLAN, shift(0, 0)) == Patch("Move plan Ground", ())


def test_a_second_plan_lies_on_top_and_its_unit_can_be_corrected():
    project = building()
    model = project.plans[PLAN]
    other = replace(model, name="Ceiling", floor=UPPER)
    after = _done(project, import_plan(project, replace(other, floor=GROUND), source=source()))
    assert [p.order for p in after.plans.values()] == [0, 1]
    asked = correct_unit(project, PLAN, mm_per_unit=25.4, unit_name="inch")
    only = _done(project, asked.answers[1].patch)
    assert only.plans[PLAN].mm_per_unit == 25.4
    assert only.plans[PLAN].scaled_by is ScaledBy.USER_UNIT
    assert PLAN not in _done(project, remove_plan(project, PLAN))
    with pytest.raises(InputProblem, match="no longer"):
        remove_plan(project, "plan-99999999")


# --- records ----------------------------------------------------------------------------------


def test_a_finding_is_waived_by_somebody_for_a_reason_and_can_speak_again():
    project = building()
    patch = waive_finding(
        project, "leg:outlet-00000002", reason="short", by="B. Site", source=source()
    )
    after = _done(project, patch)
    assert len(after.waivers) == 2
    again = _done(after, unwaive_finding(after, "leg:outlet-00000002"))
    assert again == project
    with pytest.raises(InputProblem, match="write both"):
        waive_finding(project, "x:y", reason=" ", by="B")
    with pytest.raises(InputProblem, match="waived already"):
        waive_finding(project, f"run_length:{OUTLET_1}", reason="a", by="b")


def test_a_marked_place_becomes_a_frame():
    project = building()
    after = _done(project, apply_candidate(project, PLACE, source=source()))
    made = list(after.frames.values())[-1]
    assert (made.x_mm, made.y_mm, made.name) == (15_000, 8_000, "0-F1")
    assert PLACE not in after


def test_backbone_cable_joins_frames_and_carriers():
    project = building()
    patch = add_backbone_cable(project, CARRIER, MAIN, cable_type=CABLE, source=source())
    made = patch.changes[0].after
    assert (made.name, made.slack_from_mm) == ("BB-02", 3_000)
    _done(project, patch)
    with pytest.raises(InputProblem, match="two frames"):
        add_backbone_cable(project, MAIN, MAIN, cable_type=CABLE)
    with pytest.raises(InputProblem, match="two frames"):
        add_backbone_cable(project, MAIN, OUTLET_1, cable_type=CABLE)


# --- numbers ----------------------------------------------------------------------------------


def test_numbers_count_on_beyond_the_highest_and_grow():
    assert next_numbers("A-{nnn}", 2, in_use=["A-007", "B-100", "A-x"]) == ("A-008", "A-009")
    assert next_numbers("{nn}", 1, in_use=["99"]) == ("100",)
    assert next_numbers("{nn}", 1, in_use=[], retired=["12"]) == ("13",)


def test_renumbering_goes_row_by_row_from_the_top_left():
    project = building()
    patch = renumber(project, [OUTLET_1, OUTLET_2, OUTLET_3], "{floor}.{nnn}")
    after = _done(project, patch)
    assert [after.outlets[i].number for i in (OUTLET_3, OUTLET_1, OUTLET_2)] == [
        "0.001",
        "0.002",
        "0.003",
    ]
    partly = _done(project, renumber(project, [OUTLET_2], "{floor}-{nn}"))
    assert partly.outlets[OUTLET_2].number == "0-02"
    taken = _done(project, renumber(project, [OUTLET_3], "{floor}-{nn}"))
    assert taken.outlets[OUTLET_3].number == "0-03"
    with pytest.raises(InputProblem, match="carry a number"):
        renumber(project, [OFFICE], "{nn}")


# --- fills ------------------------------------------------------------------------------------
# Source: practice; an enclosed office has two outlets up to 15 m², then one for every 10 m²
# (TIA-569, one work area for every 10 m²).


@pytest.mark.parametrize(
    ("wide", "deep", "count"), [(3_000, 4_000, 2), (5_000, 3_000, 2), (6_000, 4_000, 3)]
)
def test_an_office_wants_outlets_by_its_area(wide: int, deep: int, count: int):
    project = building()
    outline = ((0, 20_000), (wide, 20_000), (wide, 20_000 + deep), (0, 20_000 + deep))
    space = replace(project.spaces[OFFICE], outline=outline)
    wanted = wanted_in(project, RULES, space)
    assert [(w.kind.id, w.count) for w in wanted] == [(DATA, count)]


def test_what_stands_is_taken_off_and_a_list_beats_the_use():
    project = building()
    wanted = wanted_in(project, RULES, project.spaces[OFFICE])
    assert [(w.kind.id, w.count) for w in wanted] == [(DATA, 1)]
    listed = replace(
        project.spaces[OFFICE],
        required=(Requirement(kind=CEILING, count=2), Requirement(kind=DATA, count=2)),
    )
    asked = project.apply(changing("Ask", [(project.spaces[OFFICE], listed)]))
    wanted = wanted_in(asked, RULES, listed)
    assert [(w.kind.id, w.count) for w in wanted] == [(CEILING, 2)]


def test_a_kind_under_the_house_s_own_name_counts_as_what_it_is():
    project = building()
    kind = project.outlet_kinds[DATA]
    renamed = project.apply(changing("Rename", [(kind, replace(kind, name="Wall socket"))]))
    wanted = wanted_in(renamed, RULES, renamed.spaces[OFFICE])
    assert [(w.kind.id, w.count) for w in wanted] == [(DATA, 1)]
    other = replace(kind, name="Wall socket", ports=kind.ports[:1])
    single = project.apply(changing("One port", [(kind, other)]))
    (want,) = wanted_in(single, RULES, single.spaces[OFFICE], source=source())
    assert want.kind.id not in single.outlet_kinds, "another make is another kind"


def test_in_a_hall_outlets_of_every_kind_count_and_in_an_office_only_its_own():
    project = building()
    outlet = project.outlets[OUTLET_3]
    camera = replace(outlet, kind=CEILING)
    for use, count in ((SpaceUse.HALL, 2), (SpaceUse.OPEN_OFFICE, 14)):
        space = replace(project.spaces[HALL], use=use)
        other = project.apply(changing("Swap", [(outlet, camera)]))
        assert [w.count for w in wanted_in(other, RULES, space)] == [count]


def test_a_meeting_room_brings_kinds_that_the_project_lacks():
    project = building()
    room = replace(project.spaces[HALL], use=SpaceUse.MEETING, floor=UPPER)
    names = {w.kind.name: w.count for w in wanted_in(project, RULES, room, source=source())}
    assert names[RULES.outlet_kinds["meeting"].name] == math.ceil(140 / 12)
    assert names[RULES.outlet_kinds["display"].name] == 1
    assert names[project.outlet_kinds[CEILING].name] == 1


@pytest.mark.parametrize(
    ("use", "words"),
    [(SpaceUse.UNKNOWN, "used for"), (SpaceUse.LIFT_SHAFT, "gets no outlets by rule")],
)
def test_some_uses_are_refused_in_words(use: SpaceUse, words: str):
    project = building()
    with pytest.raises(InputProblem, match=words):
        wanted_in(project, RULES, replace(project.spaces[HALL], use=use))


L_SHAPE = ((0, 0), (12_000, 0), (12_000, 4_000), (5_000, 4_000), (5_000, 9_000), (0, 9_000))


@pytest.mark.parametrize("kind", [DATA, CEILING])
@pytest.mark.parametrize("count", [1, 2, 3, 5, 8, 13, 40])
@pytest.mark.parametrize("grid", [0, 30_000])
def test_places_lie_within_the_space_however_it_is_shaped(kind: str, count: int, grid: int):
    project = building()
    for outline in (L_SHAPE, tuple(reversed(L_SHAPE))):
        space = replace(
            project.spaces[OFFICE],
            outline=outline,
            required=(Requirement(kind=kind, count=count),),
        )
        bare = project.apply(
            changing("Clear", [(o, replace(o, floor=UPPER)) for o in project.outlets.values()])
        )
        asked = bare.apply(changing("Ask", [(bare.spaces[OFFICE], space)]))
        places = places_in(space, wanted_in(asked, RULES, space), grid_mdeg=grid)
        assert len(places) == count
        assert all(contains(outline, (p.x_mm, p.y_mm)) for p in places)
        assert len({(p.x_mm, p.y_mm) for p in places}) == count
