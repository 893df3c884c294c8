"""Penetrations: where they are proposed, how they follow, what becomes of them with their way."""

import pytest
from msgspec.structs import replace

from app.editor.asking import InputProblem, Question
from app.editor.commands.copying import copy_things
from app.editor.commands.deleting import delete_things
from app.editor.commands.fields import set_fields
from app.editor.commands.joining import split_pathway
from app.editor.commands.moving import move_things, rotate_things
from app.editor.commands.penetrations import (
    Opening,
    accept_proposed,
    add_penetration,
    proposed,
    wall_crossings,
)
from app.editor.commands.vertices import move_riser_end, move_vertex
from app.model.entities import Pathway, Space
from app.model.integrity import check_patch
from app.model.project import adding, changing
from app.model.vocabulary import Crossed, PathwayKind, State
from tests.editor.scripted import Script
from tests.editor.small_building import (
    BREAK,
    CONDUIT,
    GROUND,
    RISER,
    RULES,
    TRAY,
    UPPER,
    building,
    source,
)


def _with_one(at=(6_000, 2_000), **opening):
    project = building()
    patch = add_penetration(
        project,
        through_id=CONDUIT,
        floor_id=GROUND,
        at=at,
        opening=Opening(**opening),
        source=source(),
    )
    [change] = patch.changes
    return project.apply(patch), change.after


def _done(project, outcome):
    assert not isinstance(outcome, Question)
    check_patch(project.apply(outcome), outcome)
    return project.apply(outcome)


def test_one_is_sized_as_its_conduit_turned_across_it_and_numbered():
    _, made = _with_one()
    assert (made.bore_mm, made.width_mm, made.count) == (27.0, None, 1)
    assert made.rotation_mdeg == 90_000  # the conduit runs along x
    assert made.crossed is Crossed.WALL
    assert made.number == "FS-01"


def test_a_tray_has_an_opening_a_little_larger_than_itself():
    project = building()
    patch = add_penetration(project, through_id=TRAY, floor_id=GROUND, at=(6_000, 5_000))
    made = patch.changes[0].after
    assert (made.bore_mm, made.width_mm, made.depth_mm) == (None, 350.0, 110.0)


def test_typed_sleeves_rating_and_barrier_go_before_the_size_of_the_way():
    _, made = _with_one(bore_mm=53.0, count=2, rating="EI 60", barrier="sealant")
    assert (made.bore_mm, made.count, made.rating, made.barrier) == (53.0, 2, "EI 60", "sealant")


def test_a_second_one_in_the_same_place_is_refused():
    project, _ = _with_one()
    with pytest.raises(InputProblem, match="already"):
        add_penetration(project, through_id=CONDUIT, floor_id=GROUND, at=(6_200, 2_000))


def test_it_keeps_its_place_on_a_moved_pathway_and_slides_when_pulled_off():
    project, made = _with_one()
    moved = _done(project, move_things(project, [CONDUIT], dx_mm=0, dy_mm=500))
    assert (moved.penetrations[made.id].x_mm, moved.penetrations[made.id].y_mm) == (6_000, 2_500)
    pulled = _done(project, move_things(project, [made.id], dx_mm=300, dy_mm=900))
    assert (pulled.penetrations[made.id].x_mm, pulled.penetrations[made.id].y_mm) == (6_300, 2_000)


def test_it_turns_with_its_pathway():
    project, made = _with_one()
    project = _done(project, delete_things(project, [BREAK]))
    turned = _done(project, rotate_things(project, [CONDUIT], turn_mdeg=90_000))
    assert turned.penetrations[made.id].rotation_mdeg % 180_000 == 0
    assert turned.penetrations[made.id].x_mm == 6_500


def test_a_bent_pathway_takes_it_along_on_its_own_piece():
    project, made = _with_one()
    bent = _done(project, move_vertex(project, CONDUIT, 1, to=(12_000, 13_000)))
    after = bent.penetrations[made.id]
    assert after.rotation_mdeg == 135_000
    assert (after.x_mm, after.y_mm) == (6_000, 7_000)


def test_a_new_one_goes_with_its_pathway_and_an_existing_hole_stays_open():
    project, made = _with_one()
    assert made.id not in _done(project, delete_things(project, [CONDUIT])).penetrations
    there = replace(made, state=State.EXISTING)
    project = project.apply(changing("", [(made, there)]))
    left = _done(project, delete_things(project, [CONDUIT])).penetrations[made.id]
    assert left.through is None


def test_parts_of_a_split_pathway_have_their_own():
    project, made = _with_one()
    patch = split_pathway(project, CONDUIT, at=(5_000, 2_000), source=source())
    after = project.apply(patch)
    new = next(c.id for c in patch.changes if c.before is None)
    assert after.penetrations[made.id].through == new


def test_a_copy_forgets_photograph_and_inspection_and_belongs_to_the_copied_pathway():
    project, made = _with_one()
    seen = replace(made, photograph="IMG 12", inspected_by="A. Client", inspected_on="2026-01-02")
    project = project.apply(changing("", [(made, seen)]))
    patch = copy_things(project, [CONDUIT], dy_mm=500, source=source())
    [copy] = [c.after for c in patch.changes if c.id.startswith("penetration")]
    assert copy.through in [c.id for c in patch.changes]
    assert (copy.photograph, copy.inspected_by, copy.inspected_on) == ("", "", "")
    assert copy.number == "FS-02"


def test_one_by_itself_is_not_copied_without_its_pathway():
    project, made = _with_one()
    with pytest.raises(InputProblem, match="copied by itself"):
        copy_things(project, [made.id])


def test_many_are_given_a_barrier_at_once():
    project = building()
    patch = accept_proposed(project, proposed(project), rating="EI 60")
    project = project.apply(patch)
    after = _done(project, set_fields(project, patch.ids, "barrier", "collar", rules=RULES))
    assert {p.barrier for p in after.penetrations.values()} == {"collar"}


def test_the_number_of_a_removed_one_is_not_given_again():
    script = Script("penetration")
    script.click(6_000, 2_000)
    [first] = script.project.penetrations.values()
    script.document.commit(delete_things(script.project, [first.id]))
    script.click(6_000, 2_000)
    [second] = script.project.penetrations.values()
    assert (first.number, second.number) == ("FS-01", "FS-02")


# --- proposals ----------------------------------------------------------------------------


def _rooms(*outlines):
    return [Space(id=f"space-9000000{i}", floor=GROUND, outline=o) for i, o in enumerate(outlines)]


def _box(x0, y0, x1, y1):
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def _line(*points):
    return Pathway(
        id="pathway-90000000",
        floor=GROUND,
        kind=PathwayKind.BASKET,
        vertices=tuple((x, y, 2_800) for x, y in points),
    )


@pytest.mark.parametrize(
    ("points", "crossings"),
    [
        (((1_000, 1_000), (9_000, 1_000)), [(5_000, 1_000)]),  # through a wall drawn as one line
        (((1_000, 1_000), (4_000, 1_000)), []),  # stays within its room
        (((1_000, 1_000), (5_000, 1_000)), []),  # ends at the wall
        (((1_000, 1_000), (5_150, 1_000)), [(5_000, 1_000)]),  # comes through it by a little
        (((5_000, 500), (5_000, 2_500)), []),  # runs along it
        (((1_000, 1_000), (12_000, 1_000)), [(5_000, 1_000), (10_000, 1_000)]),
        (((1_000, 1_000), (9_000, 1_000), (9_000, 2_000), (1_000, 2_000)),
         [(5_000, 1_000), (5_000, 2_000)]),
    ],
)  # fmt: skip
def test_walls_between_rooms_that_share_a_side(points, crossings):
    rooms = _rooms(_box(0, 0, 5_000, 3_000), _box(5_000, 0, 10_000, 3_000))
    assert wall_crossings(_line(*points), rooms) == crossings


def test_a_wall_with_two_faces_is_crossed_once_in_its_middle():
    rooms = _rooms(_box(0, 0, 5_000, 3_000), _box(5_200, 0, 10_000, 3_000))
    assert wall_crossings(_line((1_000, 1_000), (9_000, 1_000)), rooms) == [(5_100, 1_000)]


def test_a_narrow_room_is_no_wall():
    rooms = _rooms(_box(0, 0, 5_000, 3_000), _box(5_800, 0, 10_000, 3_000))
    found = wall_crossings(_line((1_000, 1_000), (9_000, 1_000)), rooms)
    assert found == [(5_000, 1_000), (5_800, 1_000)]  # 0.8 m apart: two walls


def test_every_wall_and_every_slab_is_proposed_once_and_none_that_has_one():
    project = building()
    found = proposed(project)
    assert [(p.through, p.crossed, p.floor, p.x_mm, p.y_mm) for p in found] == [
        (TRAY, Crossed.WALL, GROUND, 6_000, 5_000),
        (CONDUIT, Crossed.WALL, GROUND, 6_000, 2_000),
        (RISER, Crossed.FLOOR, UPPER, 16_000, 5_500),
    ]
    patch = accept_proposed(project, found, rating="EI 60", source=source())
    after = _done(project, patch)
    assert proposed(after) == []
    assert len({p.number for p in after.penetrations.values()}) == len(found)
    assert {p.rating for p in after.penetrations.values()} == {"EI 60"}


def test_floors_are_proposed_apart():
    project = building()
    assert {p.floor for p in proposed(project, UPPER)} == {UPPER}
    assert len(proposed(project)) == len(proposed(project, UPPER)) + len(proposed(project, GROUND))


def test_what_is_removed_wants_none_and_what_stands_has_one_that_stands():
    project = building()
    conduit = project.pathways[CONDUIT]
    going = project.apply(changing("", [(conduit, replace(conduit, state=State.TO_REMOVE))]))
    assert CONDUIT not in {p.through for p in proposed(going)}
    standing = project.apply(changing("", [(conduit, replace(conduit, state=State.EXISTING))]))
    wanted = [p for p in proposed(standing) if p.through == CONDUIT]
    [change] = accept_proposed(standing, wanted).changes
    assert change.after.state is State.EXISTING


def test_the_slab_of_each_floor_passed_but_the_lowest():
    project = building()
    floors = {p.floor for p in proposed(project) if p.through == RISER}
    assert floors == {UPPER}
    ground = project.floors[GROUND]
    project = project.apply(
        adding("", [replace(ground, id="floor-90000000", name="2", level_mm=7_200)])
    )
    riser = project.risers[RISER]
    taller = replace(riser, upper_floor="floor-90000000")
    project = project.apply(changing("", [(riser, taller)]))
    passed = {p.floor for p in proposed(project) if p.through == RISER}
    assert passed == {UPPER, "floor-90000000"}


# --- the tool -----------------------------------------------------------------------------


def test_a_click_beside_a_wall_is_drawn_to_it_and_the_tool_stays_in_hand():
    script = Script("penetration")
    script.click(6_150, 2_040)
    [made] = script.project.penetrations.values()
    assert (made.x_mm, made.y_mm, made.through) == (6_000, 2_000, CONDUIT)
    assert script.hand.tool.name == "Penetration"
    script.click(3_000, 5_000)
    assert [p.through for p in script.project.penetrations.values()] == [CONDUIT, TRAY]


def test_a_click_on_a_riser_marks_the_floor_in_view():
    script = Script("penetration")
    script.floor(UPPER)
    script.click(16_050, 5_480)
    [made] = script.project.penetrations.values()
    assert (made.crossed, made.floor, made.through) == (Crossed.FLOOR, UPPER, RISER)
    assert (made.x_mm, made.y_mm) == (16_000, 5_500)


def test_a_riser_passes_no_slab_where_it_begins():
    script = Script("penetration")
    assert "begins on this floor" in script.click(16_000, 5_500).message


def test_the_mark_of_a_slab_goes_with_its_riser():
    script = Script("penetration")
    script.floor(UPPER)
    script.click(16_000, 5_500)
    [made] = script.project.penetrations.values()
    patch = move_riser_end(script.project, RISER, upper=True, to=(16_500, 6_000))
    after = _done(script.project, patch).penetrations[made.id]
    assert (after.x_mm, after.y_mm) == (16_500, 6_000)


def test_a_click_on_nothing_says_what_to_do():
    script = Script("penetration")
    assert "pathway" in script.click(15_000, 9_500).message


def test_a_riser_is_taken_in_its_middle_and_its_penetration_by_the_border():
    script = Script("penetration")
    script.floor(UPPER)
    script.click(16_000, 5_500)
    [made] = script.project.penetrations.values()
    script.take("select")
    script.click(16_000, 5_500)
    assert script.selection.ids == (RISER,)
    script.click(16_000 + 0.85 * 12 * 10, 5_500)
    assert script.selection.ids == (made.id,)
