"""Kits and arrays: made from a selection, stamped turned and mirrored, never by rounding astray."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.arrays import array_around, array_grid
from app.editor.commands.copying import copy_to_floors
from app.editor.commands.kits import (
    make_kit,
    rename_kit,
    stamp_kit,
    stamp_movement,
    stamped_things,
    usual_origin,
)
from app.editor.commands.outlets import Standing
from app.editor.commands.penetrations import add_penetration
from app.editor.commands.shapes import outline_points, transformed
from app.geometry.similarity import Similarity
from app.model.entities import Frame, Outlet, Pathway, Space, WalkedLength
from app.model.ids import counting_source
from app.model.integrity import check_patch, check_project
from app.model.project import adding, changing
from app.model.vocabulary import ProvidedBy, State
from tests.editor.small_building import (
    BOX,
    CONDUIT,
    DROP_OUT,
    GROUND,
    HALL,
    HOOKS,
    MAIN,
    OFFICE,
    OUTLET_1,
    OUTLET_2,
    OUTLET_3,
    RISER,
    TRAY,
    UPPER,
    building,
    source,
)

EVERYTHING = (OFFICE, HALL, OUTLET_1, OUTLET_2, OUTLET_3, MAIN, TRAY, HOOKS, CONDUIT)


def _with_kit(*ids, **more):
    project = building()
    patch = make_kit(project, ids, name="Door", source=source(), **more)
    check_patch(project.apply(patch), patch)
    [change] = patch.changes
    return project.apply(patch), change.after


def _done(project, patch):
    after = project.apply(patch)
    check_patch(after, patch)
    check_project(after)
    return after


def _stamped(project, kit, **more):
    known = {"floor_id": GROUND, "at": (10_000, 8_000), "source": counting_source(5_000)}
    patch = stamp_kit(project, kit.id, **(known | more))
    _done(project, patch)
    return [c.after for c in patch.changes]


def test_a_kit_keeps_what_it_holds_and_forgets_what_is_of_the_first_alone():
    project, kit = _with_kit(OUTLET_1, OUTLET_2)
    first, second = kit.things
    assert (first.x_mm, first.y_mm) == (0, 0)
    assert (second.x_mm, second.y_mm) == (2_000, 0)
    assert (first.number, second.number) == ("", "")
    assert all(p.frame is None and p.label == "" for t in kit.things for p in t.ports)
    assert {t.floor for t in kit.things} == {"floor"}
    assert kit.id in project.kits


def test_its_x_runs_along_the_wall_of_its_first_outlet():
    project = building()
    pairs = [
        (o, replace(o, x_mm=0, y_mm=o.x_mm, rotation_mdeg=90_000))
        for o in (project.outlets[OUTLET_1], project.outlets[OUTLET_2])
    ]
    project = project.apply(changing("", pairs))
    [change] = make_kit(project, [OUTLET_1, OUTLET_2], name="Door").changes
    first, second = change.after.things
    assert (first.rotation_mdeg, second.rotation_mdeg) == (0, 0)
    assert (second.x_mm, second.y_mm) == (2_000, 0)


def test_another_origin_and_direction_may_be_said():
    project = building()
    patch = make_kit(project, [OUTLET_1], name="Door", origin=((0, 0), 90_000))
    [thing] = patch.changes[0].after.things
    assert (thing.x_mm, thing.y_mm, thing.rotation_mdeg) == (10, -1_000, -90_000)
    assert usual_origin([project.spaces[OFFICE]]) == ((3_000, 2_000), 0)


def test_stamps_have_fresh_ids_and_numbers_of_their_own():
    project, kit = _with_kit(OUTLET_1, OUTLET_2)
    one = _stamped(project, kit)
    ports = [p.id for o in project.outlets.values() for p in o.ports]
    assert not set(ports) & {p.id for t in one for p in t.ports}
    assert [t.number for t in one] == ["0-04", "0-05"]
    assert [(t.x_mm, t.y_mm) for t in one] == [(10_000, 8_000), (12_000, 8_000)]


def test_who_provides_what_is_the_kit_s_and_the_state_that_of_what_is_drawn_next():
    project = building()
    outlet = project.outlets[OUTLET_2]
    others = replace(outlet, provided_by=ProvidedBy.OTHERS, state=State.EXISTING, phase=3)
    project = project.apply(changing("", [(outlet, others)]))
    patch = make_kit(project, [OUTLET_1, OUTLET_2], name="Door", source=source())
    project = project.apply(patch)
    kit = patch.changes[0].after
    made = _stamped(project, kit, standing=Standing(state=State.FUTURE, phase=2))
    assert [t.provided_by for t in made] == [ProvidedBy.US, ProvidedBy.OTHERS]
    assert {(t.state, t.phase) for t in made} == {(State.FUTURE, 2)}


def test_what_refers_to_what_within_a_kit_does_so_in_every_stamp():
    project = building()
    opening = add_penetration(project, through_id=CONDUIT, floor_id=GROUND, at=(6_000, 2_000))
    project = project.apply(opening)
    ids = (*EVERYTHING, opening.changes[0].id)
    patch = make_kit(project, ids, name="Bay", source=source())
    project = project.apply(patch)
    kit = patch.changes[0].after
    for floor in (GROUND, UPPER):
        made = {t.id: t for t in _stamped(project, kit, floor_id=floor)}
        of = {type(t).__name__: t for t in made.values()}
        assert {"AccessPoint", "DropOut", "Break", "Penetration"} <= set(of)
        assert made[of["AccessPoint"].pathway].kind == project.pathways[CONDUIT].kind
        assert {of["DropOut"].pathway_a, of["DropOut"].pathway_b} <= set(made)
        assert of["Penetration"].through in made
        frames = {p.frame for t in made.values() if isinstance(t, Outlet) for p in t.ports}
        assert frames - {None} == {of["Frame"].id}  # the one in the kit, not the one outside
        assert {t.floor for t in made.values()} == {floor}


def test_a_length_walked_in_one_place_is_not_that_of_another():
    project = building()
    walked = WalkedLength(
        id="walked-length-00000001",
        floor=GROUND,
        along=CONDUIT,
        x_mm=5_000,
        y_mm=2_000,
        added_mm=4_000,
        reason="round the duct",
    )
    project = project.apply(adding("", [walked]))
    things = make_kit(project, [CONDUIT], name="x").changes[0].after.things
    assert sorted(type(t).__name__ for t in things) == ["AccessPoint", "Pathway"]


@pytest.mark.parametrize(
    ("ids", "said"),
    [((RISER,), "risers"), ((BOX,), "go with"), ((DROP_OUT, TRAY), None), ((), "Select")],
)
def test_what_cannot_be_a_kit_is_refused_in_words(ids, said):
    project = building()
    if said is None:
        assert [type(t).__name__ for t in make_kit(project, ids, name="x").changes[0].after.things]
        return
    with pytest.raises(InputProblem, match=said):
        make_kit(project, ids, name="x")


def test_names_of_kits_are_told_apart():
    project, kit = _with_kit(OUTLET_1)
    with pytest.raises(InputProblem, match="already"):
        make_kit(project, [OUTLET_1], name=" door ")
    with pytest.raises(InputProblem, match="name"):
        make_kit(project, [OUTLET_1], name="  ")
    after = _done(project, rename_kit(project, kit.id, name="Door, double", note="two readers"))
    assert after.kits[kit.id].name == "Door, double"


# --- turned and mirrored ------------------------------------------------------------------

WHOLE = st.integers(-200_000, 200_000)
QUARTER = st.sampled_from([-90_000, 0, 90_000, 180_000])


def _places(things):
    return [
        (outline_points(t), getattr(t, "rotation_mdeg", 0), getattr(t, "entry", None))
        for t in things
    ]


@settings(deadline=None)
@given(x=WHOLE, y=WHOLE, turn=QUARTER)
def test_mirrored_twice_and_turned_four_times_is_the_same(x, y, turn):
    _, kit = _with_kit(*EVERYTHING)
    mirror = stamp_movement((x, y), turn_mdeg=turn, mirrored=True)
    back = Similarity(turn_mdeg=mirror.turn_mdeg, mirrored=True)
    there = [transformed(t, mirror) for t in kit.things]
    home = [transformed(t, Similarity(dx=-x, dy=-y)) for t in there]
    home = [transformed(t, back) for t in home]
    assert _places(home) == _places(kit.things)
    turned = list(kit.things)
    for _ in range(4):
        turned = [transformed(t, Similarity(turn_mdeg=90_000)) for t in turned]
    assert _places(turned) == _places(kit.things)


def test_mirrored_left_and_right_change_places_along_the_wall():
    project, kit = _with_kit(OUTLET_1, OUTLET_2)
    made = _stamped(project, kit, mirrored=True)
    assert [(t.x_mm, t.y_mm, t.rotation_mdeg) for t in made] == [
        (10_000, 8_000, 0),
        (8_000, 8_000, 0),
    ]


def test_turned_to_a_wall_all_goes_along_it():
    project, kit = _with_kit(OUTLET_1, OUTLET_2)
    made = _stamped(project, kit, turn_mdeg=90_000)
    assert [(t.x_mm, t.y_mm, t.rotation_mdeg) for t in made] == [
        (10_000, 8_000, 90_000),
        (10_000, 10_000, 90_000),
    ]


def test_a_mirrored_room_has_its_outlets_within_it_facing_in():
    project, kit = _with_kit(OFFICE, OUTLET_1, origin=((0, 0), 0))
    for turn in (0, 90_000, 180_000):
        by = stamp_movement((0, 0), turn_mdeg=turn, mirrored=True)
        things = stamped_things(project, kit, floor_id=GROUND, by=by)
        [room] = [t for t in things if isinstance(t, Space)]
        [outlet] = [t for t in things if isinstance(t, Outlet)]
        xs, ys = zip(*room.outline, strict=True)
        inward = Similarity(turn_mdeg=outlet.rotation_mdeg).at(0, 100)
        x, y = outlet.x_mm + inward[0], outlet.y_mm + inward[1]
        assert min(xs) < x < max(xs)
        assert min(ys) < y < max(ys)


# --- arrays -------------------------------------------------------------------------------


def test_rows_and_columns_are_reckoned_from_the_first():
    project = building()
    patch = array_grid(
        project, [OUTLET_1], rows=3, columns=4, row_mm=2_000, column_mm=1_500, source=source()
    )
    made = [c.after for c in patch.changes]
    assert [(t.x_mm - 1_000, t.y_mm - 10) for t in made] == [
        (1_500 * c, 2_000 * r) for r in range(3) for c in range(4) if r or c
    ]
    assert [t.number for t in made][:2] == ["0-04", "0-05"]
    _done(project, patch)


def test_a_turned_grid_does_not_add_up_rounding():
    project = building()
    patch = array_grid(
        project, [OUTLET_1], rows=1, columns=101, row_mm=0, column_mm=333, grid_mdeg=30_000
    )
    last = patch.changes[-1].after
    # 33.3 m at 30 degrees: cos 30 = 0.8660254, sin 30 = 0.5
    assert (last.x_mm, last.y_mm) == (1_000 + 28_839, 10 + 16_650)


def test_around_a_point_they_stand_on_its_circle_and_turn_with_it():
    project = building()
    patch = array_around(project, [OUTLET_1], count=4, centre=(3_000, 10), source=source())
    made = [c.after for c in patch.changes]
    assert [(t.x_mm, t.y_mm, t.rotation_mdeg) for t in made] == [
        (3_000, -1_990, 90_000),
        (5_000, 10, 180_000),
        (3_000, 2_010, -90_000),
    ]
    still = array_around(project, [OUTLET_1], count=4, centre=(3_000, 10), turned=False)
    assert {c.after.rotation_mdeg for c in still.changes} == {0}
    assert [(c.after.x_mm, c.after.y_mm) for c in still.changes] == [(t.x_mm, t.y_mm) for t in made]


def test_of_a_lesser_angle_the_last_stands_at_its_end():
    project = building()
    patch = array_around(
        project, [OUTLET_1], count=3, centre=(3_000, 10), span_mdeg=180_000, source=source()
    )
    assert [(c.after.x_mm, c.after.y_mm) for c in patch.changes] == [(3_000, -1_990), (5_000, 10)]


def test_an_array_takes_along_what_sits_on_pathways():
    project = building()
    patch = array_grid(project, [CONDUIT], rows=2, columns=1, row_mm=300, column_mm=0)
    sorts = sorted(type(c.after).__name__ for c in patch.changes)
    assert sorts == ["AccessPoint", "Pathway"]
    _done(project, patch)


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ({"rows": 1, "columns": 1, "row_mm": 1, "column_mm": 1}, "more"),
        ({"rows": 2, "columns": 1, "row_mm": 0, "column_mm": 1}, "spacing"),
        ({"rows": 201, "columns": 1, "row_mm": 1, "column_mm": 1}, "200"),
        ({"rows": 200, "columns": 200, "row_mm": 1, "column_mm": 1}, "20,000"),
        ({"rows": 2, "columns": 1, "row_mm": 9_999_999, "column_mm": 1}, "10 km"),
    ],
)
def test_arrays_that_make_no_sense_are_refused(wanted, said):
    with pytest.raises(InputProblem, match=said):
        array_grid(building(), [OUTLET_1], **wanted)


# --- floors -------------------------------------------------------------------------------


def test_a_typical_floor_is_stamped_on_several_in_one_patch():
    project = building()
    ground = project.floors[GROUND]
    tower = [
        replace(ground, id=f"floor-900000{n:02d}", name=str(n), level_mm=3_600 * n)
        for n in range(3, 13)
    ]
    project = project.apply(adding("", tower))
    ids = (*EVERYTHING, RISER)
    patch = copy_to_floors(project, ids, [f.id for f in tower], source=source())
    after = _done(project, patch)
    for floor in tower:
        own = [o for o in after.outlets.values() if o.floor == floor.id]
        assert [o.number for o in own] == [f"{floor.name}-{n:02d}" for n in (1, 2, 3)]
        assert [(o.x_mm, o.y_mm) for o in own] == [
            (project.outlets[i].x_mm, project.outlets[i].y_mm)
            for i in (OUTLET_1, OUTLET_2, OUTLET_3)
        ]
        [frame] = [f for f in after.frames.values() if f.floor == floor.id]
        assert own[0].ports[0].frame == frame.id  # sent to its own floor's copy of the frame
    assert len(after.risers) == len(project.risers)
    assert after.apply(patch.inverse()) == project
    assert patch.label.endswith("to floors 3, 4, 5, 6, 7, 8, 9, 10, 11, 12")


def test_of_a_kit_nothing_is_left_of_where_it_was_made():
    _, kit = _with_kit(*EVERYTHING)
    frames = [t for t in kit.things if isinstance(t, Frame)]
    pathways = [t for t in kit.things if isinstance(t, Pathway)]
    assert [f.name for f in frames] == [""]
    assert {p.number for p in pathways} == {""}
