import pytest
from msgspec.structs import replace

from app.editor.asking import InputProblem, Question
from app.editor.commands.aligning import Side, align_on_line, align_things, distribute
from app.editor.commands.copying import copy_things, move_to_floor
from app.editor.commands.moving import (
    mirror_things,
    move_things,
    nudge_things,
    rotate_things,
    turn_each,
)
from app.editor.commands.vertices import move_vertex
from app.geometry.similarity import normal_mdeg
from app.model.entities import Outlet, Pathway
from app.model.integrity import check_project
from app.model.project import Patch, Project, changing
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind
from tests.editor.small_building import (
    BOX,
    BREAK,
    CONDUIT,
    DROP_OUT,
    DUCT,
    GROUND,
    HALL,
    HOOKS,
    MAIN,
    OFFICE,
    OUTLET_1,
    OUTLET_2,
    OUTLET_3,
    PLACE,
    RISER,
    TRAY,
    UPPER,
    building,
    source,
)


def _done(project: Project, outcome: Patch | Question) -> Project:
    assert isinstance(outcome, Patch), outcome
    after = project.apply(outcome)
    check_project(after)
    assert after.apply(outcome.inverse()) == project
    return after


def _at(project: Project, thing_id: str) -> tuple[int, int]:
    thing = project.get(thing_id)
    return thing.x_mm, thing.y_mm


def test_things_of_all_sorts_move_in_one_patch():
    project = building()
    ids = [OUTLET_1, OUTLET_2, MAIN, OFFICE, RISER, DUCT]
    patch = move_things(project, ids, dx_mm=100, dy_mm=-50)
    after = _done(project, patch)
    assert patch.label == "Move 6 things"
    assert _at(after, OUTLET_1) == (1_100, -40)
    assert after.frames[MAIN].entry == (17_100, 4_950)
    assert after.spaces[OFFICE].outline[2] == (6_100, 3_950)
    assert after.risers[RISER].lower == after.risers[RISER].upper == (16_100, 5_450)
    assert after.outdoor_ducts[DUCT].vertices[0] == (-4_900, 8_950, -800)


def test_what_sits_on_a_moved_pathway_goes_along():
    project = building()
    after = _done(project, move_things(project, [CONDUIT], dx_mm=0, dy_mm=500))
    assert _at(after, BOX) == (4_000, 2_500)
    assert _at(after, BREAK) == (8_000, 2_500)
    after = _done(project, move_things(project, [HOOKS], dx_mm=1_500, dy_mm=0))
    assert _at(after, DROP_OUT) == (9_500, 5_000)
    assert _at(after, BREAK) == (9_500, 2_000)


def test_a_drop_out_that_would_hang_in_the_air_is_asked_about():
    project = building()
    outcome = move_things(project, [HOOKS], dx_mm=20_000, dy_mm=0)
    assert isinstance(outcome, Question)
    assert "drop-out" in outcome.text
    assert "keep-apart" in outcome.text
    remove, leave = outcome.answers
    after = _done(project, remove.patch)
    assert DROP_OUT not in after
    assert BREAK not in after
    assert leave.patch is None


def test_a_drop_out_moved_alone_stays_on_its_crossing():
    project = building()
    outcome = move_things(project, [DROP_OUT], dx_mm=700, dy_mm=300)
    assert isinstance(outcome, Patch)
    assert outcome.changes == ()


def test_a_box_moved_alone_slides_along_its_conduit():
    project = building()
    after = _done(project, move_things(project, [BOX], dx_mm=900, dy_mm=400))
    assert _at(after, BOX) == (4_900, 2_000)


def test_both_pathways_and_what_joins_them_move_as_they_are():
    project = building()
    after = _done(project, move_things(project, [TRAY, HOOKS, CONDUIT], dx_mm=77, dy_mm=-33))
    assert _at(after, DROP_OUT) == (8_077, 4_967)
    assert _at(after, BREAK) == (8_077, 1_967)
    assert _at(after, BOX) == (4_077, 1_967)


def test_nothing_to_move_and_too_far_are_refused_in_words():
    project = building()
    with pytest.raises(InputProblem, match="Select something"):
        move_things(project, ["cable-type-00000001"], dx_mm=1, dy_mm=0)
    with pytest.raises(InputProblem, match="10 km"):
        move_things(project, [OUTLET_1], dx_mm=10_000_000, dy_mm=0)


def test_turning_a_quarter_four_times_gives_the_first_project():
    project = building()
    ids = [OUTLET_1, MAIN, HALL, TRAY, HOOKS, CONDUIT]
    turned = project
    for _ in range(4):
        turned = _done(turned, rotate_things(turned, ids, turn_mdeg=90_000, centre=(3_000, 500)))
    assert turned == project


def test_an_outlet_turns_about_itself_and_mirrors_to_the_other_side():
    project = building()
    after = _done(project, turn_each(project, [OUTLET_1, OUTLET_2], turn_mdeg=90_000))
    assert _at(after, OUTLET_1) == (1_000, 10)
    assert after.outlets[OUTLET_1].rotation_mdeg == 90_000
    mirrored = mirror_things(project, [OUTLET_1, OUTLET_2], axis_mdeg=90_000, centre=(1_500, 0))
    after = _done(project, mirrored)
    assert _at(after, OUTLET_1) == (2_000, 10)
    assert _at(after, OUTLET_2) == (0, 10)
    assert after.outlets[OUTLET_1].rotation_mdeg == 0  # its wall is the same, and so is its room


@pytest.mark.parametrize("axis_mdeg", [0, 30_000, 90_000, 135_000])
@pytest.mark.parametrize("turn", [0, 90_000, 45_000])
def test_a_mirrored_outlet_faces_the_mirrored_room(axis_mdeg, turn):
    project = building()
    outlet = project.outlets[OUTLET_1]
    project = project.apply(changing("", [(outlet, replace(outlet, rotation_mdeg=turn))]))
    mirrored = _done(project, mirror_things(project, [OUTLET_1], axis_mdeg=axis_mdeg))
    facing = turn + 90_000  # the room lies on the left of the wall
    assert mirrored.outlets[OUTLET_1].rotation_mdeg == normal_mdeg(2 * axis_mdeg - facing - 90_000)


@pytest.mark.parametrize(("dx", "dy"), [(0, 0), (1, 0), (0, 1), (1, 1)])
def test_four_quarter_turns_about_the_middle_bring_back_every_millimetre(dx, dy):
    project = building()
    outlet = project.outlets[OUTLET_1]
    odd = replace(outlet, x_mm=outlet.x_mm + dx, y_mm=outlet.y_mm + dy)
    first = project.apply(changing("", [(outlet, odd)] if (dx, dy) != (0, 0) else []))
    for ids in ([OUTLET_1, OUTLET_2], [OUTLET_1, MAIN, HALL], [OUTLET_1, PLACE]):
        turned = first
        for _ in range(4):
            turned = _done(turned, rotate_things(turned, ids, turn_mdeg=90_000))
        assert turned == first


def test_mirroring_twice_gives_the_first_project():
    project = building()
    once = _done(project, mirror_things(project, [OUTLET_1, TRAY, HOOKS, CONDUIT], axis_mdeg=0))
    again = mirror_things(once, [OUTLET_1, TRAY, HOOKS, CONDUIT], axis_mdeg=0)
    assert _done(once, again) == project


def test_a_nudge_follows_the_grid():
    project = building()
    after = _done(
        project,
        nudge_things(project, [OUTLET_1], right=1, up=2, step_mm=100, grid_mdeg=90_000),
    )
    assert _at(after, OUTLET_1) == (800, 110)


@pytest.mark.parametrize(
    ("side", "places"),
    [
        (Side.LEFT, [(1_000, 10), (1_000, 10), (1_000, 7_000)]),
        (Side.RIGHT, [(12_000, 10), (12_000, 10), (12_000, 7_000)]),
        (Side.TOP, [(1_000, 7_000), (3_000, 7_000), (12_000, 7_000)]),
        (Side.BOTTOM, [(1_000, 10), (3_000, 10), (12_000, 10)]),
        (Side.MIDDLE_ACROSS, [(6_500, 10), (6_500, 10), (6_500, 7_000)]),
        (Side.MIDDLE_UP, [(1_000, 3_505), (3_000, 3_505), (12_000, 3_505)]),
    ],
)
def test_things_align_by_a_side(side: Side, places: list[tuple[int, int]]):
    project = building()
    ids = [OUTLET_1, OUTLET_2, OUTLET_3]
    after = _done(project, align_things(project, ids, side))
    assert [_at(after, i) for i in ids] == places


def test_aligning_follows_a_turned_grid():
    project = building()
    after = _done(project, align_things(project, [OUTLET_1, OUTLET_3], Side.LEFT, grid_mdeg=90_000))
    assert [_at(after, i) for i in (OUTLET_1, OUTLET_3)] == [(1_000, 10), (12_000, 10)]


def test_things_line_up_and_are_spaced_evenly():
    project = building()
    moved = _done(project, move_things(project, [OUTLET_3], dx_mm=-1_000, dy_mm=-6_990))
    ids = [OUTLET_1, OUTLET_2, OUTLET_3]
    after = _done(moved, distribute(moved, ids))
    assert [_at(after, i) for i in ids] == [(1_000, 10), (6_000, 10), (11_000, 10)]
    off = _done(after, move_things(after, [OUTLET_2], dx_mm=0, dy_mm=800))
    back = _done(off, align_on_line(off, ids))
    assert back == after
    with pytest.raises(InputProblem, match="at least 3"):
        distribute(project, [OUTLET_1, OUTLET_2])


def test_a_copy_has_ids_numbers_and_ports_of_its_own():
    project = building()
    patch = copy_things(project, [OUTLET_1, OUTLET_3], dx_mm=0, dy_mm=1_000, source=source())
    after = _done(project, patch)
    made = [c.after for c in patch.changes]
    assert [m.number for m in made] == ["0-04", "0-05"]
    assert all(not p.label for m in made for p in m.ports)
    assert made[0].ports[0].frame == MAIN
    assert len({p.id for o in after.outlets.values() for p in o.ports}) == 10


def test_a_copied_pathway_brings_its_boxes_and_joins():
    project = building()
    patch = copy_things(project, [TRAY, HOOKS, CONDUIT], dx_mm=0, dy_mm=0, floor_id=UPPER)
    after = _done(project, patch)
    assert patch.label == "Copy 6 things to floor 1"
    copies = [c.after for c in patch.changes]
    assert {c.floor for c in copies} == {UPPER}
    new_ids = {c.id for c in copies}
    drop_out = next(d for d in after.drop_outs.values() if d.id != DROP_OUT)
    assert {drop_out.pathway_a, drop_out.pathway_b} <= new_ids
    alone = copy_things(project, [HOOKS], dx_mm=500)
    assert len(alone.changes) == 1
    with pytest.raises(InputProblem, match="by itself"):
        copy_things(project, [DROP_OUT])
    with pytest.raises(InputProblem, match="by itself"):
        copy_things(project, [RISER], floor_id=UPPER)


def test_things_can_be_taken_to_another_floor():
    project = building()
    after = _done(project, move_to_floor(project, [CONDUIT, HOOKS, TRAY, OUTLET_1], UPPER))
    assert after.access_points[BOX].floor == UPPER
    with pytest.raises(InputProblem, match="stays here"):
        move_to_floor(project, [CONDUIT], UPPER)
    with pytest.raises(InputProblem, match="joins floors"):
        move_to_floor(project, [RISER], UPPER)


def test_with_no_tolerance_a_turn_keeps_attached_things_on_their_pathways():
    project = building()
    strict = Project(
        replace(e, join_tolerance_mm=2) if isinstance(e, Settings) else e
        for e in project.entities()
    )
    ids = [TRAY, HOOKS, CONDUIT]
    after = _done(strict, rotate_things(strict, ids, turn_mdeg=12_345))
    assert BOX in after
    assert DROP_OUT in after
    assert isinstance(after.outlets[OUTLET_1], Outlet)
    assert after.floors[GROUND] == project.floors[GROUND]


# --- branches ---------------------------------------------------------------------------------


def _with_branch(*vertices: tuple[int, int, int]) -> Project:
    branch = Pathway(
        id="pathway-00000009",
        floor=GROUND,
        kind=PathwayKind.HOOKS,
        number="H-09",
        vertices=vertices,
    )
    return Project([*building().entities(), branch])


@pytest.mark.parametrize(
    ("dx", "dy", "end"),
    [
        (0, 400, (12_000, 5_400)),
        (0, -400, (12_000, 4_600)),
        (500, 0, (12_000, 5_000)),
        (0, 10, (12_000, 5_000)),
    ],
)
def test_a_branch_stays_square_and_meets_its_moved_pathway_again(dx, dy, end):
    project = _with_branch((12_000, 8_000, 3_600), (12_000, 5_000, 3_600), (12_000, 5_000, 3_000))
    after = _done(project, move_things(project, [TRAY], dx_mm=dx, dy_mm=dy))
    branch = after.pathways["pathway-00000009"]
    assert branch.vertices == ((12_000, 8_000, 3_600), (*end, 3_600), (*end, 3_000))


def test_a_branch_is_left_where_it_would_not_meet_or_is_only_end_to_end():
    project = _with_branch((12_000, 8_000, 3_600), (12_000, 5_000, 3_600))
    away = _done(project, move_things(project, [TRAY, HOOKS], dx_mm=-6_000, dy_mm=100))
    assert away.pathways["pathway-00000009"] == project.pathways["pathway-00000009"]
    project = _with_branch((17_000, 8_000, 3_600), (17_000, 5_000, 3_600))
    apart = _done(project, move_things(project, [TRAY], dx_mm=0, dy_mm=400))
    assert apart.pathways["pathway-00000009"] == project.pathways["pathway-00000009"]


def test_a_branch_follows_a_pulled_point_and_moves_whole_with_its_pathway():
    project = _with_branch((4_000, 8_000, 3_600), (4_000, 5_000, 3_600))
    after = _done(project, move_vertex(project, TRAY, 0, to=(1_000, 5_900)))
    assert after.pathways["pathway-00000009"].vertices[1] == (4_000, 5_600, 3_600)
    ids = [TRAY, HOOKS, CONDUIT, "pathway-00000009"]
    whole = _done(project, move_things(project, ids, dx_mm=70, dy_mm=70))
    assert whole.pathways["pathway-00000009"].vertices[1] == (4_070, 5_070, 3_600)
