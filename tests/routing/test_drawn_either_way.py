"""The same building has the same lengths whichever way its lines were drawn."""

import pytest

from app.design import evaluate
from app.model.vocabulary import Serves
from tests.routing.buildings import Draft, made

PORT = made("port", "o1")


def row_of(draft: Draft) -> dict[str, int]:
    runs = evaluate(draft.project()).runs
    return {n: int(getattr(runs, n)[runs.row_of[PORT]]) for n in ("horizontal_mm", "vertical_mm")}


@pytest.mark.parametrize("turned", [False, True])
def test_a_riser_is_entered_at_either_end_of_a_drop_whichever_way_the_drop_was_drawn(turned):
    # By hand: 2.55 up, 9 m of basket, 4 m of riser, 9 m of basket, 1.80 down, legs of 0.5 m.
    draft = Draft(levels=(0, 4_000), allowance_permille=0, serves=Serves.ANY)
    line = [(9_000, 0, 3_000), (0, 0, 3_000), (0, 0, 500)]
    draft.pathway("a", 0, line[::-1] if turned else line)
    draft.pathway("b", 1, [(0, 0, 3_000), (9_000, 0, 3_000)]).riser("r", 0, 1, (0, 0))
    draft.frame("f", 1, 9_000, 500, ladder_height_mm=3_000, dressing_mm=0)
    found = row_of(draft.outlet("o", 0, 9_000, 500))
    assert found["vertical_mm"] == 2_550 + 4_000 + 1_800
    assert found["horizontal_mm"] == 500 + 9_000 + 9_000 + 500


@pytest.mark.parametrize("turned", [False, True])
def test_an_outdoor_duct_is_as_long_from_either_end(turned):
    # By hand: up 2.55 and 4 m of basket; down 3.80, 5 m level and 15 m at a slope of 2 m
    # (15.133 m), up 3.80; 3 m of basket, a leg of 1 m, down 1.80.
    draft = Draft(levels=(0, 2_000), allowance_permille=0)
    line = [(0, 0, -800), (5_000, 0, -800), (20_000, 0, -800)]
    ends = (1, 0) if turned else (0, 1)
    draft.duct("d", *ends, line[::-1] if turned else line, horizontal_allowed=True)
    draft.pathway("a", 0, [(0, 0, 3_000), (0, 4_000, 3_000)])
    draft.pathway("b", 1, [(20_000, 0, 3_000), (20_000, 3_000, 3_000)])
    draft.frame("f", 1, 20_000, 4_000, serves=Serves.ANY, ladder_height_mm=3_000, dressing_mm=0)
    found = row_of(draft.outlet("o", 0, 0, 4_000))
    assert found["vertical_mm"] == 2_550 + 3_800 + 3_800 + 1_800
    assert found["horizontal_mm"] == 4_000 + 5_000 + 15_133 + 3_000 + 1_000
