"""The tools for walked lengths and serving zones, by pointer and keys."""

import pytest
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.deleting import delete_things
from app.editor.commands.vertices import delete_corner, insert_corner, move_corner, move_wall
from app.editor.commands.zones import add_zone
from app.editor.tools.tool import Key
from app.model.project import Patch, Project, changing
from app.model.vocabulary import State
from tests.editor.scripted import Script
from tests.editor.small_building import GROUND, MAIN, RISER, SECOND, TRAY, building


def typed(script: Script, text: str) -> None:
    for letter in text:
        assert script.hand.character(letter), letter
    script.last = script.hand.key(Key.ENTER)


def test_a_click_and_what_was_walked_make_a_length():
    s = Script("walked")
    assert s.click(5_000, 5_060).message is None
    typed(s, "+4 round the duct")
    made = next(iter(s.project.walked_lengths.values()))
    assert (made.along, made.x_mm, made.y_mm) == (TRAY, 5_000, 5_000)
    assert (made.added_mm, made.reason) == (4_000, "round the duct")
    assert s.selection.ids == () or s.selection.ids == (made.id,)
    s.document.undo()
    assert s.project == s.first


def test_a_riser_is_taken_before_the_pathway_that_meets_it():
    s = Script("walked")
    s.click(16_050, 5_450)
    typed(s, "+1.5 round the beam")
    assert next(iter(s.project.walked_lengths.values())).along == RISER


def test_a_length_without_a_reason_is_asked_for_and_what_was_typed_stays():
    s = Script("walked")
    s.click(5_000, 5_000)
    typed(s, "+4")
    assert s.last.message is not None
    assert "why" in s.last.message
    assert s.hand.entry == "+4"
    assert not s.project.walked_lengths


def test_nothing_is_walked_beside_everything_and_escape_lets_go():
    s = Script("walked")
    assert s.click(2_000, 8_500).message is not None
    s.click(5_000, 5_000)
    s.hand.key(Key.ESCAPE)
    assert not s.hand.takes("+")
    assert s.project == s.first


def zone_of(project: Project):
    return next(iter(project.serving_zones.values()))


def test_a_zone_is_drawn_by_a_drag_for_the_nearest_frame():
    s = Script("zone")
    s.press(7_000, 1_000)
    s.move(12_000, 8_000)
    s.release(12_000, 8_000)
    zone = zone_of(s.project)
    assert (zone.floor, zone.frame, zone.name) == (GROUND, MAIN, "M1")
    assert s.selection.ids == (zone.id,)
    t = Script("zone", zone_frame=SECOND)
    t.press(7_000, 1_000)
    t.move(12_000, 8_000)
    t.release(12_000, 8_000)
    assert zone_of(t.project).frame == SECOND


def test_the_nearest_frame_is_one_that_is_in_use():
    s = Script("zone")
    main = s.project.frames[MAIN]
    s.document.commit(changing("Later", [(main, replace(main, state=State.FUTURE))]))
    s.press(7_000, 1_000)
    s.move(12_000, 8_000)
    s.release(12_000, 8_000)
    assert zone_of(s.project).frame == SECOND


def test_its_corners_and_sides_are_edited_and_it_is_moved_and_hit_by_its_edge():
    s = Script("zone")
    s.press(7_000, 1_000)
    s.move(12_000, 8_000)
    s.release(12_000, 8_000)
    zone = zone_of(s.project)
    corners = set(zone.outline)
    s.take("select")
    s.selection.set(())
    s.click(9_000, 1_020)
    assert s.selection.ids == (zone.id,)
    after = s.project.apply(move_corner(s.project, zone.id, 0, to=(6_500, 500)))
    assert (6_500, 500) in zone_of(after).outline
    after = s.project.apply(move_wall(s.project, zone.id, 0, dx_mm=0, dy_mm=-300))
    assert set(zone_of(after).outline) != corners
    after = after.apply(insert_corner(after, zone.id, at=(9_000, 8_000)))
    assert len(zone_of(after).outline) == 5
    after = after.apply(delete_corner(after, zone.id, 0))
    assert len(zone_of(after).outline) == 4


def test_a_zone_goes_with_its_frame_and_wants_one_to_begin_with():
    s = Script("zone")
    s.press(7_000, 1_000)
    s.move(12_000, 8_000)
    s.release(12_000, 8_000)
    gone = delete_things(s.project, [MAIN])
    assert isinstance(gone, Patch)
    assert not s.project.apply(gone).serving_zones
    bare = Project(
        e
        for e in building().entities()
        if e.id.split("-")[0] in ("building", "floor") or e.id in ("site", "settings")
    )
    with pytest.raises(InputProblem, match="frame"):
        add_zone(bare, [(0, 0), (9, 0), (9, 9)], floor_id=GROUND)
