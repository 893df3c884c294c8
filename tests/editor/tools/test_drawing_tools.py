import pytest
from msgspec.structs import replace

from app.editor.document import EditNotKept
from app.editor.tools.next_drawn import NextPathway, NextRiser, NextRow
from app.editor.tools.overlay import NOTHING
from app.editor.tools.tool import Key
from app.editor.tools.toolbox import TOOLS
from app.model.project import Project
from app.model.vocabulary import FrameKind, FrameRole, PathwayKind, SpaceUse, State, Units
from tests.editor.scripted import Script
from tests.editor.small_building import (
    CEILING,
    GROUND,
    HALL,
    HOOKS,
    OFFICE,
    TRAY,
    UPPER,
    building,
)

CONDUIT_NEXT = NextPathway(kind=PathwayKind.CONDUIT, bore_mm=27.0)


# --- one click --------------------------------------------------------------------------------


def test_an_outlet_on_a_wall_turns_to_it_and_stands_in_its_room():
    s = Script("outlet")
    s.click(3_500, 3_950)
    made = s.made()
    assert (made.x_mm, made.y_mm) == (3_500, 3_990)
    assert made.rotation_mdeg == 180_000
    assert made.number == "0-04"
    assert s.selection.ids == (made.id,)
    assert s.document.undo_label == "Place outlet 0-04"


def test_an_outlet_clicked_from_the_other_side_of_a_wall_stands_in_the_other_room():
    s = Script("outlet")
    s.click(5_950, 2_500)
    s.click(6_050, 3_000)
    west, east = [o for o in s.project.outlets.values() if o.id not in s.first]
    assert (west.x_mm, west.y_mm, west.rotation_mdeg) == (5_990, 2_500, 90_000)
    assert (east.x_mm, east.y_mm, east.rotation_mdeg) == (6_010, 3_000, -90_000)


def test_an_outlet_in_the_open_is_turned_by_a_typed_angle():
    s = Script("outlet", outlet_kind=CEILING, state=State.FUTURE, phase=3)
    assert "Access point" in s.hand.hint()
    s.type("30°")
    s.click(11_000, 8_500)
    made = s.made()
    assert (made.x_mm, made.y_mm, made.rotation_mdeg) == (11_000, 8_500, 30_000)
    assert (made.kind, made.state, made.phase) == (CEILING, State.FUTURE, 3)
    assert not s.hand.character("n")


def test_a_project_without_kinds_says_so():
    bare = Project(e for e in building().entities() if e.id in (GROUND, "building-00000001"))
    s = Script("outlet", project=bare)
    assert s.click(0, 0).message == "This project has no kind of outlet yet; add one first."
    assert s.untouched


def test_frames_places_and_carriers_take_one_click_each():
    s = Script("frame", frame_kind=FrameKind.MAIN)
    s.click(11_000, 9_000, alt=True)
    assert s.project.frames[s.selection.ids[0]].name == "M2"
    s.take("candidate")
    s.click(12_000, 9_000, alt=True)
    assert s.project.candidates[s.selection.ids[0]].name == "C1"
    s.take("demarcation")
    s.click(13_000, 9_000, alt=True)
    assert s.project.demarcations[s.selection.ids[0]].name == "DP2"
    assert s.overlay.ghosts == ()
    s.move(13_500, 9_000, alt=True)
    assert len(s.overlay.ghosts) == 1


def test_the_first_frame_is_a_main_one_and_the_next_are_not():
    bare = Project(e for e in building().entities() if e.id in (GROUND, "building-00000001"))
    s = Script("frame", project=bare)
    assert "main frame" in s.hand.hint()
    s.click(2_000, 2_000)
    first = s.project.frames[s.selection.ids[0]]
    assert (first.name, first.kind) == ("M1", FrameKind.MAIN)
    assert set(first.roles) == {FrameRole.BUILDING, FrameRole.FLOOR}
    assert "intermediate frame" in s.hand.hint()
    s.click(9_000, 2_000)
    second = s.project.frames[s.selection.ids[0]]
    assert (second.name, second.kind, second.roles) == (
        "0-F1",
        FrameKind.INTERMEDIATE,
        (FrameRole.FLOOR,),
    )
    s.take("select")
    s.document.undo()
    s.document.undo()
    s.context.draws = replace(s.context.draws, frame_kind=FrameKind.INTERMEDIATE)
    s.take("frame")
    s.click(2_000, 2_000)
    assert s.project.frames[s.selection.ids[0]].kind is FrameKind.INTERMEDIATE


# --- rows and fills ---------------------------------------------------------------------------


def test_a_row_has_so_many_outlets_from_end_to_end():
    s = Script("row", row=NextRow(count=4))
    s.click(10_000, 8_000)
    s.move(16_000, 8_300)
    assert "4 outlets" in s.tags
    s.double_click(16_000, 8_300)
    made = [o for o in s.project.outlets.values() if o.id not in s.first]
    assert [(o.x_mm, o.y_mm) for o in made] == [
        (x, 8_000) for x in (10_000, 12_000, 14_000, 16_000)
    ]
    assert [o.number for o in made] == ["0-04", "0-05", "0-06", "0-07"]
    s.document.undo()
    assert s.project == s.first


def test_a_row_at_a_typed_spacing_along_a_wall_turns_to_it():
    s = Script("row")
    s.click(1_000, 3_960)
    s.type("every 1.5 m")
    s.move(5_500, 3_800)
    s.type("4 east")
    s.key(Key.ENTER)
    made = [o for o in s.project.outlets.values() if o.id not in s.first]
    assert [(o.x_mm, o.y_mm, o.rotation_mdeg) for o in made] == [
        (1_000, 3_990, 180_000),
        (2_500, 3_990, 180_000),
        (4_000, 3_990, 180_000),
    ]


@pytest.mark.parametrize(
    ("typed", "words"),
    [("0 outlets", "between 1 and"), ("every 5 mm", "at least 0.1 m"), ("3 apples", "no unit")],
)
def test_a_row_refuses_in_words(typed: str, words: str):
    s = Script("row")
    assert words in (s.type(typed).message or "")
    assert s.hand.entry == typed
    assert s.key(Key.ESCAPE).message is None
    assert s.hand.entry == ""
    assert "two ends" in (s.key(Key.ENTER).message or "")
    assert s.untouched


def test_filling_shows_and_places_what_the_space_still_wants():
    s = Script("fill")
    s.move(11_000, 8_000)
    assert s.tags == "2 outlets"  # a hall of 140 m² wants 3, one for every 60 m²; one stands
    assert len(s.overlay.ghosts) == 2
    s.click(11_000, 8_000)
    assert len(s.selection.ids) == 2
    assert "all the outlets it wants" in (s.click(11_000, 8_000).message or "")
    s.type("5")
    assert "5 outlets" in s.hand.hint()
    s.document.undo()
    s.click(11_000, 8_000)
    assert len(s.project.outlets) == 8
    assert "no space here" in (s.click(-9_000, -9_000).message or "")


def test_filling_makes_kinds_that_are_missing_in_the_same_step():
    project = building()
    meeting = replace(project.spaces[HALL], use=SpaceUse.MEETING)
    project = Project(meeting if e.id == HALL else e for e in project.entities())
    s = Script("fill", project=project)
    s.click(11_000, 8_000)
    assert len(s.project.outlet_kinds) == 4
    assert all(i.startswith("outlet-") and "kind" not in i for i in s.selection.ids)
    s.document.undo()
    assert s.project == s.first


# --- pathways ---------------------------------------------------------------------------------


def test_a_pathway_is_drawn_square_with_its_sizes_and_default_height():
    s = Script("pathway")
    s.click(1_000, 7_000)
    s.click(4_000, 7_050)
    s.click(4_100, 8_500)
    s.key(Key.ENTER)
    made = s.made()
    assert made.vertices == ((1_000, 7_000, 3_000), (4_000, 7_000, 3_000), (4_000, 8_500, 3_000))
    assert (made.width_mm, made.depth_mm, made.bore_mm) == (300.0, 60.0, None)
    assert made.number == "B-02"
    assert s.selection.ids == (made.id,)


def test_shift_draws_freely():
    s = Script("pathway")
    s.click(1_000, 7_000)
    s.double_click(4_000, 8_500, shift=True)
    assert s.made().vertices[-1] == (4_000, 8_500, 3_000)


def test_a_typed_length_goes_towards_the_pointer_and_other_entries_where_they_say():
    s = Script("pathway")
    s.click(1_000, 7_000)
    s.move(2_000, 7_040)
    s.type("2.5")
    s.type("1.5 north")
    s.type("1 right 0.5 up")
    s.type("2 30°")
    s.type("x 9 y 9.5")
    s.type("12'6\" west")
    s.key(Key.ENTER)
    assert [v[:2] for v in s.made().vertices] == [
        (1_000, 7_000),
        (3_500, 7_000),
        (3_500, 8_500),
        (4_500, 9_000),
        (6_232, 10_000),  # 2 m at 30°: 1732 and 1000
        (9_000, 9_500),
        (5_190, 9_500),
    ]


def test_a_typed_direction_holds_until_its_piece_is_drawn():
    s = Script("pathway")
    s.click(1_000, 7_000)
    s.type("45°")
    s.click(2_500, 7_900)
    assert s.overlay.lines[0].points[-1] == (2_200, 8_200)
    s.move(4_000, 8_250)
    assert s.overlay.lines[0].points[-1] == (4_000, 8_200)


def test_heights_make_upright_and_sloped_pieces():
    s = Script("pathway")
    s.click(1_000, 7_000)
    s.type("2 east")
    s.type("height 2.4")
    s.type("1 east")
    s.type("slope 3.1")
    s.type("1 east")
    s.key(Key.ENTER)
    assert s.made().vertices == (
        (1_000, 7_000, 3_000),
        (3_000, 7_000, 3_000),
        (3_000, 7_000, 2_400),
        (4_000, 7_000, 2_400),
        (5_000, 7_000, 3_100),
    )


def test_backspace_takes_points_and_upright_pieces_back():
    s = Script("pathway")
    s.click(1_000, 7_000)
    s.type("2 east")
    s.type("height 2.4")
    s.key(Key.BACKSPACE)
    s.type("2 north")
    s.key(Key.ENTER)
    assert s.made().vertices == (
        (1_000, 7_000, 3_000),
        (3_000, 7_000, 3_000),
        (3_000, 9_000, 3_000),
    )


def test_us_units_are_typed_and_shown():
    project = building()
    settings = replace(project.settings, units=Units.US)
    project = Project(settings if e.id == "settings" else e for e in project.entities())
    s = Script("pathway", project=project)
    s.click(1_000, 7_000)
    s.move(2_219, 7_000)
    assert s.tags.startswith("4' 0\"")
    s.type("10")
    s.key(Key.ENTER)
    assert s.made().vertices[-1][0] == 4_048


def test_a_line_that_begins_at_an_end_of_its_sort_continues_it():
    s = Script("pathway")
    s.click(17_030, 5_020)
    assert "continues basket B-01" in s.hand.hint()
    s.double_click(17_000, 6_500)
    line = s.project.pathways[TRAY]
    assert line.vertices[-1] == (17_000, 6_500, 3_000)
    assert len(s.project.pathways) == 3
    assert s.document.undo_label == "Continue basket B-01"


def test_with_ctrl_a_new_line_begins_at_the_end_and_another_sort_does_too():
    for held, pathway in (({"ctrl": True}, NextPathway()), ({}, CONDUIT_NEXT)):
        s = Script("pathway", pathway=pathway)
        s.click(17_000, 5_000, **held)
        s.double_click(17_000, 6_500)
        assert s.made().vertices[0][:2] == (17_000, 5_000)


def test_joins_are_said_before_they_are_made():
    s = Script("pathway", pathway=CONDUIT_NEXT)
    s.click(3_000, 8_000)
    s.move(3_010, 5_060)
    assert "joins basket B-01" in s.tags
    assert s.overlay.cue is not None
    s.click(3_010, 5_060)
    s.move(3_020, 2_050)
    assert "does not join: conduit C-01 is entered at its ends and boxes" in s.tags
    s.key(Key.ENTER)
    assert s.made().vertices[1][:2] == (3_000, 5_000)
    assert s.made().bore_mm == 27.0
    assert s.made().width_mm is None


def test_crossings_say_whether_cable_can_change_over():
    s = Script("pathway")
    s.click(5_000, 7_000)
    s.move(5_000, 3_000)
    [dot] = [m for m in s.overlay.markers if m.at == (5_000, 5_000)]
    assert dot.role == "draft"  # the same height as the tray
    s.key(Key.ESCAPE)
    s.click(7_000, 7_000)
    s.move(9_000, 7_000)
    assert "0.60 m under hook line H-01: joined only by a drop-out" in s.tags
    s.type("height 3.62")
    s.move(9_010, 7_000)
    assert "hook line" not in s.tags
    s.key(Key.ESCAPE)
    s.click(5_000, 3_000)
    s.move(5_000, 1_000)
    assert "crosses conduit C-01 and does not join it" in s.tags


def test_a_pathway_begun_on_one_floor_waits_there():
    s = Script("pathway")
    s.click(1_000, 7_000)
    s.floor(UPPER)
    assert s.overlay.lines == ()
    assert "begun on floor 0" in (s.click(4_000, 7_000).message or "")
    assert "begun on floor 0" in (s.type("2 east").message or "")
    s.key(Key.ESCAPE)
    s.floor(GROUND)
    s.click(4_000, 7_000)
    s.key(Key.ENTER)
    assert s.made().vertices == ((1_000, 7_000, 3_000), (4_000, 7_000, 3_000))
    assert s.made().floor == GROUND


def test_the_preview_is_the_line_with_the_piece_at_the_pointer():
    s = Script("pathway")
    s.move(1_000, 7_000)
    assert s.hand.preview_patch() is None
    s.click(1_000, 7_000)
    s.move(4_000, 7_050)
    patch = s.hand.preview_patch()
    assert patch.changes[0].after.vertices[-1] == (4_000, 7_000, 3_000)
    assert s.untouched
    s.document.preview(patch)


# --- on pathways ------------------------------------------------------------------------------


def test_a_pull_box_goes_onto_the_conduit_under_the_pointer():
    s = Script("pull_box")
    s.click(6_000, 2_060)
    assert (s.made().x_mm, s.made().y_mm) == (6_000, 2_000)
    assert "anywhere" in (s.click(3_000, 5_000).message or "")
    assert "Click on the conduit" in (s.click(3_000, 8_000).message or "")


def test_drop_outs_and_keep_aparts_go_to_crossings():
    s = Script("break")
    s.move(8_040, 5_030)
    assert s.tags == "basket B-01 and hook line H-01"
    s.click(8_040, 5_030)
    assert (s.made().x_mm, s.made().y_mm) == (8_000, 5_000)
    s.take("drop_out")
    assert "here already" in (s.click(8_000, 5_000).message or "")
    assert "mid-length" in (s.click(8_000, 2_000).message or "")
    assert "two pathways cross" in (s.click(3_000, 5_000).message or "")


def test_a_pathway_is_cut_in_two_where_it_is_clicked():
    s = Script("split")
    s.move(12_000, 5_040)
    assert s.tags == "Split basket B-01"
    s.click(12_000, 5_040)
    assert s.made().vertices == ((12_000, 5_000, 3_000), (17_000, 5_000, 3_000))
    assert s.project.pathways[TRAY].vertices[-1] == (12_000, 5_000, 3_000)
    assert "between its ends" in (s.click(17_000, 5_000).message or "")
    assert "Click on the pathway" in (s.click(11_000, 9_000).message or "")


# --- risers, ducts, spaces --------------------------------------------------------------------


def test_a_riser_goes_straight_up_to_the_floor_above():
    s = Script("riser", riser=NextRiser(stubs=False))
    s.click(14_000, 8_500)
    made = s.made()
    assert (made.lower_floor, made.upper_floor) == (GROUND, UPPER)
    assert made.lower == made.upper == (14_000, 8_500)
    assert (made.count, made.bore_mm, made.number) == (3, 103.0, "R2")
    s.floor(UPPER)
    s.click(13_000, 8_500)
    again = s.project.risers[s.selection.ids[0]]
    assert (again.lower_floor, again.upper_floor) == (GROUND, UPPER)


def test_a_riser_with_its_ends_apart_takes_two_clicks_on_two_floors():
    s = Script("riser", riser=NextRiser(straight_up=False, stubs=False))
    s.click(14_000, 8_500)
    s.floor(UPPER)
    s.move(14_000, 9_000)
    assert s.tags == "ends 0.50 m apart"
    s.click(14_000, 9_000)
    assert (s.made().lower, s.made().upper) == ((14_000, 8_500), (14_000, 9_000))


def test_one_floor_alone_has_no_risers():
    gone = ("1", UPPER)
    keep = (GROUND, "building-00000001")
    bare = Project(e for e in building().entities() if e.id in keep and e.id not in gone)
    s = Script("riser", project=bare)
    assert "add another floor" in s.hand.hint()
    assert "add another floor" in (s.click(0, 0).message or "")
    assert s.untouched


def test_an_outdoor_duct_may_end_on_another_floor():
    s = Script("outdoor_duct", square=False)
    s.click(-5_000, -1_000)
    s.click(-5_000, -4_000)
    s.floor(UPPER)
    s.click(30_000, -4_000)
    s.key(Key.ENTER)
    made = s.made()
    assert (made.from_floor, made.to_floor, len(made.vertices)) == (GROUND, UPPER, 3)
    assert {v[2] for v in made.vertices} == {-800}


def test_a_space_is_closed_by_its_first_corner():
    s = Script("space", space_use=SpaceUse.STORE)
    for at in ((0, 5_000), (5_000, 5_000), (5_000, 9_000), (2_500, 9_000)):
        s.click(*at, alt=True)
    s.click(2_500, 7_000, alt=True)
    s.click(0, 7_000, alt=True)
    s.click(30, 5_040)
    made = s.made()
    assert len(made.outline) == 6
    assert made.use is SpaceUse.STORE
    assert s.selection.ids == (made.id,)


def test_a_rectangle_is_dragged_along_the_grid_or_typed():
    s = Script("space")
    s.drag((0, 12_000), (4_000, 15_000))
    assert s.made().outline == ((0, 12_000), (4_000, 12_000), (4_000, 15_000), (0, 15_000))
    s = Script("space")
    s.click(0, 12_000)
    s.move(-500, 12_500)
    s.type("4.5 by 3.2")
    assert s.made().outline == ((0, 12_000), (-4_500, 12_000), (-4_500, 15_200), (0, 15_200))


def test_a_crossed_outline_is_shown_as_refused_and_not_made():
    s = Script("space", square=False)
    for at in ((0, 12_000), (4_000, 15_000), (4_000, 12_000), (0, 15_000)):
        s.click(*at)
    assert s.overlay.areas[0].role == "refused"
    assert "cross or touch itself" in (s.key(Key.ENTER).message or "")
    assert s.untouched
    s.key(Key.BACKSPACE)
    s.key(Key.ENTER)
    assert len(s.made().outline) == 3


# --- measuring --------------------------------------------------------------------------------


def test_measuring_reads_lengths_and_areas_and_keeps_nothing():
    s = Script("measure")
    s.click(1_000, 7_000)
    s.click(4_000, 7_000)
    s.move(4_000, 8_500)
    assert "of 4.50 m" in s.tags
    assert s.double_click(4_000, 8_500).message == "4.50 m in 2 pieces"
    assert "4.50 m" in s.tags
    for at in ((0, 0), (6_000, 0), (6_000, 4_000), (0, 4_000)):
        s.click(*at)
    assert s.click(0, 0).message == "24.0 m², 20.00 m around"
    assert s.hand.tool.cancel()
    assert s.tags == ""
    assert s.untouched
    assert OFFICE in s.project


def test_a_measure_stays_readable_until_esc_or_the_next_one():
    s = Script("measure")
    s.click(1_000, 7_000)
    s.click(4_000, 7_000)
    assert "3.00 m" in s.tags
    s.click(4_000, 8_500)
    assert "1.50 m" in s.tags
    assert "of 4.50 m" in s.tags
    s.move(9_000, 8_500)
    s.key(Key.ENTER)
    for _ in range(2):
        assert "4.50 m in 2 pieces" in s.tags
        assert "1.50 m" in s.tags
        s.hand.leave()
        s.move(2_000, 2_000)
    s.floor(UPPER)
    assert s.tags == ""
    s.floor(GROUND)
    assert "4.50 m" in s.tags
    s.click(2_000, 7_000)
    assert s.tags == ""
    s.click(2_000, 8_000)
    s.double_click(2_000, 8_000)
    assert "1.00 m" in s.tags
    s.key(Key.ESCAPE)
    assert s.tags == ""


# --- what must not stay ---------------------------------------------------------------------


def test_no_cue_or_ghost_stays_when_the_ground_has_changed():
    s = Script("outlet")
    s.click(12_020, 6_990)
    s.move(12_020, 6_990)
    assert s.overlay.cue is not None
    s.document.undo()
    assert s.overlay == NOTHING
    assert s.hand.preview_patch() is None
    s.move(12_020, 6_990)
    assert s.overlay.cue is not None
    assert s.overlay.ghosts
    s.take("measure")
    assert s.overlay.cue is None
    s.move(12_020, 6_990)
    assert s.overlay.cue is not None
    s.floor(UPPER)
    assert s.overlay.cue is None


@pytest.mark.parametrize("tool", ["pathway", "outdoor_duct", "row", "measure"])
def test_no_line_leads_to_where_the_pointer_was_on_another_floor(tool):
    s = Script(tool)
    s.click(2_000, 7_000)
    s.move(6_000, 7_000)
    assert s.overlay.lines
    s.floor(UPPER)
    assert not s.overlay.lines
    s.floor(GROUND)
    assert not s.overlay.lines
    s.move(7_000, 7_000)
    assert s.overlay.lines


# --- Esc --------------------------------------------------------------------------------------

BEGINNINGS = {
    "row": [(1_000, 7_000), (3_000, 7_000)],
    "pathway": [(1_000, 7_000), (3_000, 7_000), (3_000, 8_000)],
    "outdoor_duct": [(-1_000, 7_000), (-3_000, 7_000)],
    "space": [(0, 12_000), (3_000, 12_000), (3_000, 15_000)],
    "measure": [(0, 12_000), (3_000, 12_000)],
    "calibrate": [(0, 0), (3_000, 0)],
    "move_plan": [(0, 0)],
    "turn_plan": [(0, 0), (3_000, 0)],
}


@pytest.mark.parametrize("tool", [t for t in TOOLS if t != "select"])
def test_esc_at_every_step_leaves_no_trace_and_then_takes_select(tool: str):
    points = BEGINNINGS.get(tool, [])
    for count in range(len(points) + 1):
        s = Script(tool)
        s.move(2_000, 8_000)
        for at in points[:count]:
            s.click(*at)
            s.move(at[0] + 700, at[1] + 700)
        if tool in BEGINNINGS and count:
            s.hand.character("5")
            s.key(Key.ESCAPE)
            assert s.hand.entry == ""
        s.key(Key.ESCAPE)
        if count:
            assert s.hand.tool.name == TOOLS[tool](s.context).name
            s.key(Key.ESCAPE)
        assert s.hand.tool.name == "Select"
        assert s.overlay.lines == s.overlay.ghosts == s.overlay.areas == ()
        assert s.hand.preview_patch() is None
        assert s.untouched


def test_esc_while_a_riser_waits_for_its_upper_end():
    s = Script("riser", riser=NextRiser(straight_up=False))
    s.click(14_000, 8_500)
    s.key(Key.ESCAPE)
    assert "lower end" in s.hand.hint()
    assert s.untouched


def test_an_undo_under_a_drawing_tool_lets_go_of_what_has_gone():
    s = Script("pathway")
    s.click(1_000, 7_000)
    s.double_click(4_000, 7_000)
    s.click(4_000, 7_000)
    assert "continues" in s.hand.hint()
    s.document.undo()
    assert "first point" in s.hand.hint()
    s.click(1_000, 8_000)
    s.double_click(2_000, 8_000)
    assert HOOKS in s.project
    assert len(s.project.pathways) == 4


def test_what_cannot_be_written_can_be_tried_again():
    s = Script("pathway")
    keep = s.document._keep
    full = EditNotKept("The disk is full. Make room, then try again.")

    def refuse(*_: object) -> None:
        raise full

    s.document._keep = refuse
    s.click(1_000, 7_000)
    result = s.double_click(4_000, 7_000)
    assert result.question.text == str(full)
    assert s.untouched
    s.document._keep = keep
    s.answer(0)
    assert s.made().vertices[-1] == (4_000, 7_000, 3_000)
