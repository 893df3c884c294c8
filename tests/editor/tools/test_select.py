import pytest

from app.editor.tools.tool import Key
from app.model.entities import Pathway
from app.model.project import Project
from app.model.vocabulary import PathwayKind
from tests.editor.scripted import Script
from tests.editor.small_building import (
    BOX,
    DROP_OUT,
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
)


def _at(s: Script, thing_id: str) -> tuple[int, int]:
    thing = s.project.get(thing_id)
    return thing.x_mm, thing.y_mm


# --- clicks -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("at", "thing"),
    [
        ((1_000, 30), OUTLET_1),
        ((1_000, 160), OUTLET_1),  # the triangle lies in the room
        ((18_100, 5_050), MAIN),
        ((15_000, 8_000), PLACE),
        ((16_000, 5_500), RISER),
        ((8_000, 5_000), DROP_OUT),
        ((4_000, 2_000), BOX),
        ((4_000, 5_040), TRAY),
        ((8_000, 7_000), HOOKS),
        ((6_000, 9_000), HALL),  # its side
        ((4_500, 3_000), OFFICE),
    ],
)
def test_a_click_selects_what_lies_under_it(at, thing):
    s = Script()
    s.click(*at)
    assert s.selection.ids == (thing,)
    assert s.untouched


def test_shift_and_ctrl_add_and_take_away():
    s = Script()
    s.click(1_000, 30)
    s.click(3_000, 30, shift=True)
    assert s.selection.ids == (OUTLET_1, OUTLET_2)
    s.click(1_000, 30, ctrl=True)
    assert s.selection.ids == (OUTLET_2,)
    s.click(-9_000, -9_000, shift=True)
    assert s.selection.ids == (OUTLET_2,)
    s.click(-9_000, -9_000)
    assert s.selection.ids == ()


def test_a_double_click_opens():
    s = Script()
    assert s.double_click(4_000, 5_040).opens == TRAY
    assert s.double_click(-9_000, -9_000).opens is None
    assert s.untouched


# --- the rectangle ----------------------------------------------------------------------------


def test_a_rectangle_selects_what_lies_whole_in_it_in_both_directions():
    for a, b in (((500, -300), (3_500, 900)), ((3_500, 900), (500, -300))):
        s = Script()
        s.press(*a)
        s.move((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        s.move(*b)
        assert s.tags == "2 things"
        s.release(*b)
        assert s.selection.ids == (OUTLET_1, OUTLET_2)
        assert s.untouched


def test_with_alt_a_rectangle_selects_what_it_touches():
    s = Script()
    s.drag((9_000, 4_500), (9_500, 5_500))
    assert s.selection.ids == ()
    s.drag((9_000, 4_500), (9_500, 5_500), alt=True)
    assert s.selection.ids == (TRAY,)


def test_spaces_are_caught_only_where_nothing_else_is():
    s = Script()
    s.drag((-500, -500), (21_000, 11_000))
    assert OFFICE not in s.selection.ids
    assert OUTLET_1 in s.selection.ids
    s.floor(UPPER)
    s.drag((-500, -500), (21_000, 11_000))
    assert "frame-00000002" in s.selection.ids


def test_rectangles_add_with_shift_and_turn_with_ctrl():
    s = Script()
    s.click(12_000, 7_060)
    s.drag((500, -300), (1_500, 900), shift=True)
    assert s.selection.ids == (OUTLET_3, OUTLET_1)
    s.drag((500, -300), (3_500, 900), ctrl=True)
    assert s.selection.ids == (OUTLET_3, OUTLET_2)


# --- moving -----------------------------------------------------------------------------------


def test_a_drag_moves_and_shows_where_before_it_does():
    s = Script()
    s.press(12_000, 7_100)
    s.move(12_050, 7_200)
    s.move(13_000, 8_100)
    assert s.untouched
    patch = s.hand.preview_patch()
    assert (patch.changes[0].after.x_mm, patch.changes[0].after.y_mm) == (13_000, 8_000)
    assert "1.41 m" in s.tags
    s.release(13_000, 8_100)
    assert _at(s, OUTLET_3) == (13_000, 8_000)
    assert s.document.undo_label == "Move outlet 0-03"


def test_many_move_together_and_shift_keeps_them_square():
    s = Script()
    s.selection.set((OUTLET_1, OUTLET_3))
    s.drag((12_000, 7_000), (14_000, 7_300), shift=True)
    assert _at(s, OUTLET_3) == (14_000, 7_000)
    assert _at(s, OUTLET_1) == (3_000, 10)


def test_a_dragged_outlet_turns_to_the_wall_it_is_brought_to():
    s = Script()
    s.drag((12_000, 7_000), (6_040, 7_000))
    outlet = s.project.outlets[OUTLET_3]
    assert _at(s, OUTLET_3) == (6_010, 7_000)
    assert outlet.rotation_mdeg == -90_000


def test_ctrl_leaves_a_copy():
    s = Script()
    s.press(12_000, 7_000)
    s.move(12_500, 8_000, ctrl=True)
    s.move(13_000, 8_500, ctrl=True)
    assert s.tags.startswith("copy ")
    s.release(13_000, 8_500, ctrl=True)
    made = s.made()
    assert (made.x_mm, made.y_mm, made.number) == (13_000, 8_500, "0-04")
    assert _at(s, OUTLET_3) == (12_000, 7_000)
    assert s.selection.ids == (made.id,)


def test_a_small_tremble_is_a_click():
    s = Script()
    s.press(12_000, 7_000)
    s.move(12_020, 7_020)
    s.release(12_020, 7_020)
    assert s.untouched
    assert s.selection.ids == (OUTLET_3,)


def test_a_drag_on_the_floor_of_a_space_catches_and_moves_it_only_when_selected():
    s = Script()
    s.drag((4_500, 3_000), (5_000, 3_500))
    assert s.untouched
    s.click(4_500, 3_000)
    s.drag((4_500, 3_000), (4_500, 4_500))
    assert s.project.spaces[OFFICE].outline[0] == (0, 1_500)


def test_a_move_that_loses_a_drop_out_asks_and_does_nothing_until_answered():
    s = Script()
    result = s.drag((8_000, 7_000), (30_000, 7_000))
    assert result.question is not None
    assert s.untouched
    s.answer(1)
    assert s.untouched
    s.drag((8_000, 7_000), (30_000, 7_000))
    s.answer(0)
    assert DROP_OUT not in s.project
    assert s.project.pathways[HOOKS].vertices[0][0] == 30_000


# --- handles ----------------------------------------------------------------------------------


def test_the_points_of_the_one_selected_thing_can_be_pulled():
    s = Script()
    s.click(8_000, 7_000)
    s.drag((8_000, 9_000), (8_500, 9_500))
    assert s.project.pathways[HOOKS].vertices[1] == (8_500, 9_500, 3_600)
    assert s.document.undo_label == "Move a point of hook line H-01"
    assert _at(s, DROP_OUT) == (8_235, 5_000)


def test_a_pulled_end_catches_other_pathways_and_shift_keeps_it_square():
    s = Script()
    s.click(8_000, 7_000)
    s.drag((8_000, 9_000), (10_060, 5_040))
    assert s.project.pathways[HOOKS].vertices[1] == (10_000, 5_000, 3_600)
    s.document.undo()
    s.drag((8_000, 9_000), (8_200, 9_700), shift=True)
    assert s.project.pathways[HOOKS].vertices[1] == (8_000, 9_700, 3_600)


def test_the_middle_of_a_piece_makes_a_new_point():
    s = Script()
    s.click(13_000, 5_000)
    s.drag((13_500, 5_000), (13_500, 6_200))
    assert s.project.pathways[TRAY].vertices[2] == (13_500, 6_200, 3_000)
    assert s.document.undo_label == "Add a point to basket B-01"


def test_a_point_is_put_in_by_insert_and_taken_out_by_delete():
    s = Script()
    s.click(13_000, 5_000)
    s.move(12_000, 5_050)
    s.key(Key.INSERT)
    assert s.project.pathways[TRAY].vertices[2] == (12_000, 5_000, 3_000)
    s.click(12_000, 5_000)
    assert "Delete" in s.hand.hint()
    s.key(Key.DELETE)
    assert s.project == s.first
    assert s.selection.ids == (TRAY,)


def test_sides_and_corners_of_a_space_are_pulled():
    s = Script()
    s.click(4_500, 3_000)
    s.drag((3_000, 4_000), (3_000, 4_500))
    assert s.project.spaces[OFFICE].outline[2:] == ((6_000, 4_500), (0, 4_500))
    s.drag((0, 0), (-500, -400))
    assert s.project.spaces[OFFICE].outline[0] == (-500, -400)
    refused = s.drag((6_000, 4_500), (-2_000, 100))
    assert "cross or touch itself" in (refused.message or "")


def test_a_riser_moves_whole_and_one_end_with_alt():
    s = Script()
    s.click(16_000, 5_500)
    s.drag((16_000, 5_500), (16_500, 6_500))
    assert s.project.risers[RISER].lower == s.project.risers[RISER].upper == (16_500, 6_500)
    s.drag((16_500, 6_500), (16_500, 7_000), alt=True)
    assert s.project.risers[RISER].lower == (16_500, 7_000)
    assert s.project.risers[RISER].upper == (16_500, 6_500)


def test_the_entry_of_a_frame_is_pulled():
    s = Script()
    s.click(18_000, 5_000)
    s.drag((17_000, 5_000), (17_500, 4_200))
    assert s.project.frames[MAIN].entry == (17_500, 4_200)


# --- keys -------------------------------------------------------------------------------------


def test_arrow_keys_nudge_and_a_row_of_nudges_is_one_step_back():
    s = Script()
    s.click(12_000, 7_000)
    for _ in range(3):
        s.key(Key.RIGHT)
    s.key(Key.UP, shift=True)
    s.key(Key.LEFT, ctrl=True)
    assert _at(s, OUTLET_3) == (11_300, 7_010)
    assert s.document.undo_label == "Nudge outlet 0-03"
    s.document.undo()
    assert s.project == s.first


def test_a_typed_step_moves_what_is_selected():
    s = Script()
    assert not s.hand.character("2")
    s.click(12_000, 7_000)
    s.type("2 right 0.5 down")
    assert _at(s, OUTLET_3) == (14_000, 6_500)
    assert "which way" in (s.type("7.25").message or "")


def test_delete_takes_what_is_selected():
    s = Script()
    s.click(8_000, 7_000)
    s.key(Key.DELETE)
    assert HOOKS not in s.project
    assert s.selection.ids == ()
    assert s.key(Key.DELETE).patch is None


def test_esc_leaves_a_drag_then_lets_go_of_the_selection():
    s = Script()
    for held in ((8_000, 7_000), (500, 8_000)):
        s.press(*held)
        s.move(held[0] + 500, held[1] + 500)
        s.move(held[0] + 900, held[1] + 900)
        s.key(Key.ESCAPE)
        assert s.hand.preview_patch() is None
        assert s.overlay.lines == s.overlay.areas == ()
        s.release(held[0] + 900, held[1] + 900)
        assert s.untouched
    s.click(12_000, 7_000)
    s.key(Key.ESCAPE)
    assert s.selection.ids == ()


def test_an_undo_in_the_middle_of_a_drag_leaves_the_drag():
    s = Script()
    s.drag((12_000, 7_000), (13_000, 8_000))
    s.press(13_000, 8_000)
    s.move(13_500, 8_500)
    s.move(14_000, 9_000)
    s.document.undo()
    s.release(14_000, 9_000)
    assert s.project == s.first


def test_a_moved_pathway_is_not_caught_by_its_own_branches():
    project = building()
    branch = Pathway(
        id="pathway-00000009",
        floor=GROUND,
        kind=PathwayKind.HOOKS,
        vertices=((4_000, 8_000, 3_600), (4_000, 5_000, 3_600)),
    )
    s = Script(project=Project([*project.entities(), branch]))
    s.drag((3_960, 5_000), (3_960, 5_060))
    assert s.project.pathways[TRAY].vertices[0] == (1_000, 5_060, 3_000)
    assert s.project.pathways[branch.id].vertices[1] == (4_000, 5_060, 3_600)
