"""Why a run has no route is said of the very thing that is in the way."""

import pytest

from app.design import evaluate, reason_of
from app.model.vocabulary import PathwayKind, SpaceUse, WayDown
from app.routing.results import NoRoute
from tests.routing.buildings import Draft, made

PORT = made("port", "o1")


def said(draft: Draft) -> tuple[NoRoute, str]:
    design = evaluate(draft.frame("f", 0, 0, 500).project())
    return NoRoute(design.runs.reason[design.runs.row_of[PORT]]), reason_of(design, PORT)


def test_a_tray_overhead_is_no_way_for_an_outlet_in_a_raised_floor():
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (9_000, 0, 3_000)])
    draft.outlet("o", 0, 5_000, 500, height_mm=0, way_down=WayDown.RAISED_FLOOR)
    assert said(draft) == (
        NoRoute.NO_PATHWAY,
        "No pathway under the raised floor of floor 0 comes within the reach of 10.0 m.",
    )


def test_nor_is_a_conduit_overhead():
    draft = Draft(levels=(0,)).conduit("a", 0, [(0, 0, 3_000), (50_000, 0, 3_000)])
    draft.outlet("o", 0, 25_000, 500, height_mm=0, way_down=WayDown.RAISED_FLOOR)
    assert said(draft)[0] is NoRoute.NO_PATHWAY


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (PathwayKind.CONDUIT, "A conduit is entered at its ends and boxes"),
        (PathwayKind.IN_FLOOR_DUCT, "An in-floor duct is entered at its ends, inserts and boxes"),
    ],
)
def test_the_nearest_place_is_that_of_the_closed_pathway_itself(kind, words):
    # A basket that ends 12 m away is no place of the conduit, whose near end is 15.5 m away.
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, -50), (30_000, 0, -50)], kind)
    draft.pathway("b", 0, [(15_000, 12_500, 3_000), (15_000, 30_000, 3_000)])
    reason, text = said(draft.outlet("o", 0, 15_000, 500))
    assert reason is NoRoute.ONLY_PLACES
    assert text == f"{words}; the nearest is 15.5 m away, the reach is 10.0 m."


def test_the_shaft_in_the_bend_is_named_though_the_straight_line_passes_beside_it():
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (5_000, 0, 3_000)])
    for name, x, y in (("s", 5_500, 4_500), ("t", 8_500, -500)):
        draft.space(name, 0, x - 1_000, y - 1_000, x + 1_000, y + 1_000, use=SpaceUse.LIFT_SHAFT)
    reason, text = said(draft.outlet("o", 0, 9_000, 4_000))
    assert reason is NoRoute.LEG_CROSSES
    assert text == "The leg crosses lift shaft s, lift shaft t."
