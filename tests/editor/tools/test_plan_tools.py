import numpy as np
from msgspec.structs import replace

from app.drawing.plan_drawing import PlanDrawing, PlanLayer
from app.editor.plan_catcher import PlanCatcher
from app.editor.tools.tool import Key
from tests.editor.scripted import Script
from tests.editor.small_building import GROUND, OUTLET_1, PLAN, UPPER, building


def test_calibrating_takes_two_points_and_a_length_and_asks():
    s = Script("calibrate")
    assert "plan Ground" in s.hand.hint()
    assert "two points first" in (s.type("5").message or "")
    s.key(Key.ESCAPE)
    s.click(1_000, 0, shift=True)
    s.click(3_000, 0, shift=True)
    assert s.tags == "reads 2.00 m"
    assert "true distance" in (s.click(9_000, 0).message or "")
    result = s.type("4 m")
    assert result.question is not None
    assert s.hand.tool.name == "Select"
    s.answer(1)
    assert s.project.plans[PLAN].mm_per_unit == 2.0
    assert s.project.outlets[OUTLET_1] == s.first.outlets[OUTLET_1]


def test_moving_a_plan_shows_only_the_plan_and_asks_for_the_rest():
    s = Script("move_plan")
    s.click(1_000, 1_000)
    s.move(1_500, 1_000)
    assert s.hand.preview_patch().ids == (PLAN,)
    result = s.type("0.5 east")
    assert result.question is not None
    s.answer(0)
    assert s.project.plans[PLAN].x_mm == 500
    assert s.project.outlets[OUTLET_1].x_mm == 1_500
    s.document.undo()
    assert s.project == s.first


def test_turning_a_plan_by_hand_or_by_an_angle():
    s = Script("turn_plan")
    s.click(0, 0)
    s.click(5_000, 0, alt=True)
    s.move(0, 4_000, alt=True)
    assert "turns by 90°" in s.tags
    s.click(0, 4_000, alt=True)
    s.answer(1)
    assert s.project.plans[PLAN].rotation_mdeg == 90_000
    s.take("turn_plan")
    s.click(0, 0)
    s.type("-90°")
    s.answer(1)
    assert s.project.plans[PLAN].rotation_mdeg == 0


def test_a_floor_without_a_plan_says_so():
    for tool in ("calibrate", "move_plan", "turn_plan"):
        s = Script(tool)
        s.floor(UPPER)
        assert "no plan under this floor" in (s.click(0, 0).message or "")
        assert s.untouched


def _drawing() -> PlanDrawing:
    """A wall from (0, 0) to (10, 0) and one up from its end, far from zero, in metres."""
    segments = np.array([[0.0, 0.0, 10.0, 0.0], [10.0, 0.0, 10.0, 5.0]])
    zeros = np.zeros(2, dtype=np.int32)
    layer = PlanLayer(
        name="walls",
        segments=segments,
        segment_colours=zeros,
        segment_weights=zeros,
        segment_dashes=zeros,
    )
    return PlanDrawing(
        origin=(500_000.0, 200_000.0),
        layers=(layer,),
        colours=(0,),
        lineweights_mm=(0.25,),
        dash_patterns=((),),
        bounds=(0.0, 0.0, 10.0, 5.0),
        raw_bounds=(0.0, 0.0, 10.0, 5.0),
    )


def _on_plan(rotation_mdeg: int) -> tuple[Script, PlanCatcher]:
    """The drawing lies with its first corner at (30 m, 20 m), turned."""
    x, y = (-500_000_000, -200_000_000) if rotation_mdeg == 0 else (200_000_000, -500_000_000)
    plan = replace(
        building().plans[PLAN],
        mm_per_unit=1_000.0,
        x_mm=x + 30_000,
        y_mm=y + 20_000,
        rotation_mdeg=rotation_mdeg,
    )
    catcher = PlanCatcher(plan, _drawing())
    s = Script("outlet")
    s.hand.catcher.plans = {GROUND: (catcher,)}
    return s, catcher


def test_a_plan_catches_at_its_ends_and_lines_in_the_sites_axes():
    for rotation, end, on_wall, turned in (
        (0, (40_000, 20_000), (33_000, 20_000), 0),
        (90_000, (30_000, 30_000), (30_000, 23_000), 90_000),
    ):
        s, catcher = _on_plan(rotation)
        local = catcher.to_local(end)
        assert np.allclose(local, (10.0, 0.0))
        assert np.allclose(catcher.to_site(local), end)
        s.move(end[0] + 40, end[1] + 30)
        assert (s.overlay.cue.kind, s.overlay.cue.x_mm, s.overlay.cue.y_mm) == ("plan_end", *end)
        inside = (0, 50) if rotation == 0 else (-50, 0)
        s.click(on_wall[0] + inside[0], on_wall[1] + inside[1])
        made = s.made()
        assert made.rotation_mdeg == turned
        assert abs(made.x_mm - on_wall[0]) + abs(made.y_mm - on_wall[1]) == 10
        s.move(on_wall[0] + inside[0], on_wall[1] + inside[1], alt=True)
        assert s.overlay.cue is None


def test_an_outlet_at_the_middle_or_end_of_a_plan_line_turns_to_it_too():
    s, _ = _on_plan(0)
    s.click(35_020, 20_040)
    assert (s.made().x_mm, s.made().y_mm, s.made().rotation_mdeg) == (35_000, 20_010, 0)
    s.click(30_020, 19_960)
    corner = s.project.outlets[s.selection.ids[0]]
    assert (corner.x_mm, corner.y_mm) == (30_000, 19_990)
    assert corner.rotation_mdeg == 180_000


def test_square_drawing_meets_a_line_of_the_plan():
    s, _ = _on_plan(0)
    s.take("pathway")
    s.click(33_333, 22_000)
    s.move(33_380, 20_050)
    assert s.overlay.cue.kind == "plan_line"
    assert (s.overlay.cue.x_mm, s.overlay.cue.y_mm) == (33_333, 20_000)
    s.move(35_020, 20_040)
    assert s.overlay.cue.name == "in line with middle of a line of the plan"


def test_what_is_shown_goes_with_the_pointer():
    s, _ = _on_plan(0)
    s.move(35_000, 22_000)
    assert len(s.overlay.ghosts) == 1
    s.hand.leave()
    assert s.overlay.ghosts == ()
    assert s.hand.preview_patch() is None
