"""Where dragged things come to lie, by scripted pointers at several scales.

On a screen of 96 dots an inch a pixel at 1:n shows n * 25.4 / 96 mm of the building.
"""

import numpy as np
import pytest

from app.drawing.plan_drawing import PlanDrawing, PlanLayer
from app.editor.commands.outlets import OutletPlace, place_outlets
from app.editor.plan_catcher import PlanCatcher
from app.editor.tools.tool import Modifiers
from app.model.project import Project
from tests.editor.scripted import Script
from tests.editor.small_building import DATA, GROUND, OFFICE, PLAN, building, source

SCALES = (50, 100, 260, 600)
START = (40_000, 40_000)
ALT, SHIFT = Modifiers(alt=True), Modifiers(shift=True)
PLAIN = Modifiers()


def mm_per_pixel(scale: int) -> float:
    return scale * 25.4 / 96


def with_outlets(*places: tuple[int, int]) -> tuple[Project, list[str]]:
    project = building()
    patch = place_outlets(
        project,
        [OutletPlace(x_mm=x, y_mm=y) for x, y in places],
        floor_id=GROUND,
        kind_id=DATA,
        pattern="t{nn}",
        source=source(),
    )
    return project.apply(patch), [i for i in patch.ids if i.startswith("outlet-")]


def script(project: Project, *lines: tuple[int, int, int, int]) -> Script:
    """A hand on a floor whose plan has these lines, in the site's millimetres."""
    zeros = np.zeros(len(lines), dtype=np.int32)
    walls = PlanLayer(
        name="walls",
        segments=np.array(lines, dtype=np.float64).reshape(-1, 4),
        segment_colours=zeros,
        segment_weights=zeros,
        segment_dashes=zeros,
    )
    bounds = (0.0, 0.0, 90_000.0, 90_000.0)
    drawing = PlanDrawing(
        origin=(0.0, 0.0),
        layers=(walls,),
        colours=(0,),
        lineweights_mm=(0.25,),
        dash_patterns=((),),
        bounds=bounds,
        raw_bounds=bounds,
    )
    s = Script(project=project)
    s.hand.catcher.plans = {GROUND: (PlanCatcher(project.plans[PLAN], drawing),)}
    return s


def drag(s: Script, scale: int, way: tuple[float, float], held: Modifiers = PLAIN) -> None:
    """From 2 px beside the middle of what is at the start, by so many mm."""
    px = mm_per_pixel(scale)
    x, y = START[0] + 2 * px, START[1] + 2 * px
    s.hand.move(x, y, px)
    s.hand.press(x, y, px)
    for share in (0.3, 0.7, 1.0):
        s.hand.move(x + way[0] * share, y + way[1] * share, px, held)


def let_go(s: Script, scale: int, way: tuple[float, float], held: Modifiers = PLAIN) -> None:
    px = mm_per_pixel(scale)
    s.hand.release(START[0] + 2 * px + way[0], START[1] + 2 * px + way[1], px, held)


def moved(s: Script, outlet_id: str) -> tuple[int, int]:
    outlet = s.project.outlets[outlet_id]
    return outlet.x_mm - START[0], outlet.y_mm - START[1]


def words(s: Script) -> str:
    cue = s.overlay.cue
    return "" if cue is None else cue.name


@pytest.mark.parametrize("scale", SCALES)
def test_a_drag_straight_down_goes_straight_down_past_ends_of_the_plan(scale):
    px = mm_per_pixel(scale)
    beside, beyond = START[0] + 3 * px, START[1] - 3_000 - 4 * px
    project, [outlet] = with_outlets(START)
    s = script(project, (beside, beyond, beside + 9_000, beyond - 2_000))
    way = (0.0, -3_000.0)
    drag(s, scale, way)
    assert words(s) == "square to the grid"
    assert s.tags == "3.00 m"
    let_go(s, scale, way)
    assert moved(s, outlet) == (0, -3_000)


@pytest.mark.parametrize("scale", SCALES)
def test_an_unsteady_hand_keeps_its_axis_and_a_hand_that_turns_away_leaves_it(scale):
    px = mm_per_pixel(scale)
    far = -60 * px
    for aside, kept in ((6 * px, True), (12 * px, False)):
        project, [outlet] = with_outlets(START)
        s = script(project)
        way = (aside, far)
        drag(s, scale, way)
        let_go(s, scale, way)
        assert moved(s, outlet) == pytest.approx((0 if kept else aside, far), abs=1)


@pytest.mark.parametrize("scale", SCALES)
def test_a_wall_across_the_way_catches_from_near_and_is_named(scale):
    px = mm_per_pixel(scale)
    for away, is_caught in ((3 * px, True), (7 * px, False)):
        wall = START[1] - 60 * px - away
        project, [outlet] = with_outlets(START)
        s = script(project, (0, wall, 90_000, wall))
        way = (0.0, -60 * px)
        drag(s, scale, way)
        assert words(s) == ("line of the plan" if is_caught else "square to the grid")
        tag = s.tags
        let_go(s, scale, way)
        dx, dy = moved(s, outlet)
        assert dx == 0
        to_wall = -60 * px - away + 10 if is_caught else -60 * px
        assert dy == pytest.approx(to_wall, abs=1)
        assert float(tag.split()[0]) * 1_000 == pytest.approx(-dy, abs=6)


@pytest.mark.parametrize("scale", SCALES)
def test_what_is_placed_catches_from_further_than_the_plan(scale):
    px = mm_per_pixel(scale)
    way = (60 * px, -60 * px)
    end = (START[0] + 60 * px, START[1] - 60 * px)
    for away, caught in ((4 * px, True), (6.5 * px, False)):
        project, [outlet] = with_outlets(START)
        x = end[0] + away
        s = script(project, (x, end[1], x + 9_000, end[1] - 9_000))
        drag(s, scale, way)
        assert words(s) == ("end of a line of the plan" if caught else "")
    other = (round(end[0] + 6.5 * px), round(end[1]))
    project, [outlet, _] = with_outlets(START, other)
    s = script(project)
    drag(s, scale, way)
    assert words(s) == "outlet t02"
    let_go(s, scale, way)
    assert moved(s, outlet) == (other[0] - START[0], other[1] - START[1])


def test_an_outlet_beside_the_way_lines_up_without_pulling_off_it():
    px = mm_per_pixel(100)
    other = (round(START[0] + 5 * px), round(START[1] - 3_000 - 4 * px))
    project, [outlet, _] = with_outlets(START, other)
    s = script(project)
    drag(s, 100, (0.0, -3_000.0))
    assert words(s) == "in line with outlet t02"
    let_go(s, 100, (0.0, -3_000.0))
    assert moved(s, outlet) == (0, other[1] - START[1])


@pytest.mark.parametrize("scale", SCALES)
def test_alt_lets_go_of_everything(scale):
    px = mm_per_pixel(scale)
    way = (3 * px, -60 * px)
    wall = START[1] - 60 * px - 2 * px
    project, [outlet] = with_outlets(START)
    s = script(project, (0, wall, 90_000, wall))
    drag(s, scale, way, ALT)
    assert s.overlay.cue is None
    assert "Alt lets nothing catch" in s.hand.hint()
    let_go(s, scale, way, ALT)
    assert moved(s, outlet) == pytest.approx(way, abs=1)


def test_an_outlet_slides_along_its_own_wall_even_where_that_is_not_square():
    project, [outlet] = with_outlets(START)
    (x, y), reach = START, 20_000
    s = script(project, (x - reach, y - reach * 0.1, x + reach, y + reach * 0.1))
    way = (4_000.0, 330.0)
    drag(s, 100, way)
    assert words(s) == "line of the plan"
    let_go(s, 100, way)
    dx, dy = moved(s, outlet)
    assert dy == pytest.approx(dx * 0.1, abs=12)
    assert dx == pytest.approx(4_000, abs=50)


def test_a_space_taken_by_its_floor_is_caught_by_nothing():
    s = script(building(), (3_500, 4_500, 3_500, 9_000))
    s.selection.set((OFFICE,))
    s.hand.move(3_000, 3_000, 25.0)
    s.hand.press(3_000, 3_000, 25.0)
    s.hand.move(3_300, 3_900, 25.0)
    s.hand.move(3_500, 4_450, 25.0)
    assert s.overlay.cue is None
    s.hand.release(3_500, 4_450, 25.0)
    assert s.project.spaces[OFFICE].outline[0] == (500, 1_450)


def test_a_handle_keeps_where_it_was_taken():
    """A handle taken 4 px beside its middle does not jump by those 4 px."""
    s = script(building())
    s.selection.set((OFFICE,))
    s.hand.move(6_040, 4_040, 10.0)
    s.hand.press(6_040, 4_040, 10.0)
    s.hand.move(6_540, 4_840, 10.0)
    s.hand.release(6_540, 4_840, 10.0)
    assert (6_500, 4_800) in s.project.spaces[OFFICE].outline
