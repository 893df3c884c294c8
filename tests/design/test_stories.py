"""Stories worked by hand, to the centimetre (practice of the trade, `practice`)."""

import msgspec
import pytest

from app.design import evaluate, parts_of, reason_of
from app.model.project import Project, changing
from app.model.vocabulary import PathwayKind, Serves, SpaceUse
from app.routing.results import ONLY_CUT, NoRoute, RunStatus
from tests.routing.buildings import Draft, made

PORT = made("port", "o1")


def one_cable(height: int = 3_000, kind: PathwayKind = PathwayKind.BASKET) -> Draft:
    """A floor of 40 × 70 m: a basket, a frame beside it and one outlet of two ports."""
    draft = Draft(levels=(0,), pull_head_mm=0)
    draft.pathway("a", 0, [(0, 12_000, height), (60_000, 12_000, height)], kind, bore_mm=27.0)
    draft.frame("f", 0, 2_000, 15_000, ladder_height_mm=3_000)
    return draft.outlet("o", 0, 42_000, 5_000, ports=2)


def installed(project: Project, port: str = PORT) -> int:
    design = evaluate(project)
    row = design.runs.row_of[port]
    assert design.runs.status[row] != RunStatus.NO_ROUTE, reason_of(design, port)
    return int(design.runs.installed_mm[row])


def lost(project: Project, port: str = PORT) -> tuple[NoRoute, str]:
    design = evaluate(project)
    row = design.runs.row_of[port]
    assert design.runs.status[row] == RunStatus.NO_ROUTE
    return NoRoute(design.runs.reason[row]), reason_of(design, port)


# --- one cable, and a pipe is not a tray -------------------------------------------------------


def test_the_parts_of_one_cable():
    design = evaluate(one_cable().project())
    parts = parts_of(design, PORT)
    lengths = sorted(p.length_mm for p in parts if p.sort not in ONLY_CUT)
    assert lengths == sorted([2_550, 7_000, 40_000, 3_000, 1_800, 800, 300, 3_000, 2_500])
    assert sorted(p.length_mm for p in parts if p.sort in ONLY_CUT) == [600]
    runs = design.runs
    assert runs.installed_mm.tolist() == [60_950, 60_950]
    assert runs.cut_mm.tolist() == [61_550, 61_550]
    assert (runs.limit_mm - runs.installed_mm).tolist() == [29_050, 29_050]
    assert runs.installed_mm.sum() == 121_900
    assert runs.cut_mm.sum() == 123_100
    assert runs.leg_mm.tolist() == [7_000, 7_000]


def test_a_lower_basket_shortens_the_run_at_one_end_only():
    # 2.25 up instead of 2.55, then 0.30 up to the ladder: by hand 60.35 is meant where the
    # ladder follows the basket.
    draft = one_cable(2_700)
    frame = draft.things[-2]
    draft.things[-2] = msgspec.structs.replace(frame, ladder_height_mm=None)
    assert installed(draft.project()) == 60_350


def test_a_conduit_is_entered_at_its_ends_and_boxes():
    reason, words = lost(one_cable(kind=PathwayKind.CONDUIT).project())
    assert reason is NoRoute.ONLY_PLACES
    assert "ends and boxes" in words
    assert "25.0 m" in words
    assert "10.0 m" in words


def test_a_box_on_the_conduit_gives_the_run_back():
    draft = one_cable(kind=PathwayKind.CONDUIT).box("p", 0, "a", 42_000, 12_000)
    draft.box("q", 0, "a", 2_000, 12_000)
    assert installed(draft.project()) == 60_950


def test_a_shaft_is_gone_around():
    draft = one_cable().space("s", 0, 40_000, 7_000, 44_000, 10_000, use=SpaceUse.LIFT_SHAFT)
    assert installed(draft.project()) == 60_950


def test_a_shaft_that_bars_every_leg_is_named():
    draft = one_cable().space("s", 0, 20_000, 7_000, 60_000, 10_000, use=SpaceUse.LIFT_SHAFT)
    reason, words = lost(draft.project())
    assert reason is NoRoute.LEG_CROSSES
    assert words == "The leg crosses lift shaft s."


def test_a_second_basket_that_crosses_higher_changes_nothing_before_a_drop_out():
    draft = one_cable()
    before = evaluate(draft.project())
    draft.pathway("b", 0, [(20_000, 0, 3_400), (20_000, 30_000, 3_400)])
    after = evaluate(draft.project())
    assert after.runs == before.runs


def test_a_drop_out_joins_the_two_baskets_that_only_cross():
    # By hand: 2.95 up, 4.00 to the upper basket, 13.00 along it, 0.40 down, 18.00 along the
    # lower one, 3.00 + 1.80 + 0.80 at the frame, slack 3.30, allowance 0.05 x 38.00 = 1.90.
    draft = one_cable().pathway("b", 0, [(20_000, 0, 3_400), (20_000, 30_000, 3_400)])
    draft.outlet("p", 0, 24_000, 25_000)
    assert lost(draft.project(), made("port", "p1"))[0] is NoRoute.NOT_JOINED
    draft.drop_out("d", 0, "a", "b", 20_000, 12_000)
    assert installed(draft.project(), made("port", "p1")) == 49_150


# --- which floor, with the limit exactly met ---------------------------------------------------


def stacked(*frames: int, legs: int = 30_000, **settings: object) -> Project:
    """4, 10 and 20 outlets on three floors, each `legs` long to a frame on its own floor.

    All slack, allowance and dressing are nought, and outlets stand at tray height, so that
    the whole length lies in the tray.
    """
    nought = {
        "allowance_permille": 0,
        "dressing_mm": 0,
        "panel_height_mm": 3_000,
        "serves": Serves.ANY,
    }
    draft = Draft(**(nought | settings))
    cable = draft.things[2]
    draft.things[2] = msgspec.structs.replace(cable, frame_slack_mm=0)
    number = 0
    for floor, count in enumerate((4, 10, 20)):
        draft.pathway(f"p{floor}", floor, [(0, 0, 3_000), (legs, 0, 3_000)])
        for _ in range(count):
            number += 1
            draft.outlet(f"o{number}x", floor, legs, 0, height_mm=3_000, slack_mm=0)
    draft.riser("r", 0, 2, (0, 0))
    for floor in frames:
        draft.frame(f"f{floor}", floor, 0, 0)
    return draft.project()


@pytest.mark.parametrize(("floor", "total_m"), [(0, 1_220), (1, 1_116), (2, 1_092)])
def test_one_frame_for_three_floors(floor, total_m):
    runs = evaluate(stacked(floor)).runs
    assert runs.installed_mm.sum() == total_m * 1_000


def test_three_frames_on_three_floors():
    runs = evaluate(stacked(0, 1, 2, serves=Serves.OWN)).runs
    assert runs.installed_mm.sum() == 1_020_000


def test_own_and_next_floor_leaves_the_lowest_without_a_frame():
    design = evaluate(stacked(2, serves=Serves.NEXT))
    none = design.runs.status == RunStatus.NO_ROUTE
    assert none.sum() == 4
    assert set(design.runs.reason[none].tolist()) == {NoRoute.NO_FRAME}
    assert reason_of(design, made("port", "o1x1")).startswith("No frame may serve")
    assert evaluate(stacked(1, serves=Serves.NEXT)).runs.installed_mm.sum() == 1_116_000


def test_ninety_metres_exactly_is_within_and_near():
    runs = evaluate(stacked(0, legs=82_000)).runs
    top = runs.installed_mm == 90_000
    assert top.sum() == 20
    assert set(runs.status[top].tolist()) == {RunStatus.NEAR}
    assert evaluate(stacked(0, legs=82_000)).summary.over == 0


def test_a_decimetre_more_is_over():
    design = evaluate(stacked(0, legs=82_100))
    assert design.summary.over == 20
    assert design.runs.installed_mm.max() == 90_100
    on_one = evaluate(stacked(1, legs=82_100))
    assert on_one.summary.over == 0
    assert on_one.runs.installed_mm.max() == 86_100
    assert RunStatus(on_one.runs.status[on_one.runs.installed_mm.argmax()]) is RunStatus.NEAR


def test_a_riser_runs_from_pathway_to_pathway():
    draft = Draft(levels=(0, 5_400), serves=Serves.ANY)
    draft.pathway("a", 0, [(0, 0, 3_100), (5_000, 0, 3_100)])
    draft.pathway("b", 1, [(0, 0, 3_300), (5_000, 0, 3_300)]).riser("r", 0, 1, (0, 0))
    draft.frame("f", 1, 5_000, 0, ladder_height_mm=3_300).outlet("o", 0, 5_000, 0)
    parts = parts_of(evaluate(draft.project()), PORT)
    riser = [p for p in parts if p.thing == made("riser", "r")]
    assert [p.length_mm for p in riser] == [5_600]


# --- every length is the sum of its parts ------------------------------------------------------


def test_moving_along_the_basket_moves_the_length_with_the_allowance():
    project = one_cable().project()
    outlet = project.outlets[made("outlet", "o")]
    moved = project.apply(
        changing("Move", [(outlet, msgspec.structs.replace(outlet, x_mm=outlet.x_mm + 3_000))])
    )
    assert installed(moved) - installed(project) == 3_150
