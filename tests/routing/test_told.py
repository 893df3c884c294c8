"""Runs told to pass here, or never there: by hand; the oracle tries every way elsewhere."""

import pytest
from msgspec.structs import replace

from app.design import evaluate, parts_of, reason_of, recalculate, run_of
from app.model.entities import Outlet
from app.model.integrity import check_project
from app.model.project import PatchRefused, changing
from app.routing.results import RunStatus
from tests.routing.buildings import Draft, made

PORT = made("port", "o1")
SOUTH, NORTH, STUB = (made("pathway", n) for n in ("s", "n", "stub"))


def ring(**port) -> Draft:
    """Two baskets from the outlet's end to the frame's, 20 m by the south, 40 m by the north,
    and a stub of 5 m that leads nowhere."""
    draft = Draft(levels=(0,), allowance_permille=0, reach_mm=2_000)
    draft.pathway("s", 0, [(0, 0, 3_000), (20_000, 0, 3_000)])
    draft.pathway(
        "n", 0, [(0, 0, 3_000), (0, 10_000, 3_000), (20_000, 10_000, 3_000), (20_000, 0, 3_000)]
    )
    draft.pathway("stub", 0, [(10_000, 0, 3_000), (10_000, -5_000, 3_000)])
    draft.frame("f", 0, 21_000, 0, ladder_height_mm=3_000)
    return draft.outlet("o", 0, -1_000, 0, port=port)


def on_pathways(draft: Draft) -> dict[str, int]:
    design = evaluate(draft.project())
    parts = [p for p in parts_of(design, PORT) if (p.thing or "").startswith("pathway")]
    return {p.thing: p.length_mm for p in parts if p.thing}


def test_a_run_takes_the_shorter_way_and_the_other_when_told():
    assert on_pathways(ring()) == {SOUTH: 20_000}
    assert on_pathways(ring(via=(NORTH,))) == {NORTH: 40_000}
    assert on_pathways(ring(never=(SOUTH,))) == {NORTH: 40_000}
    assert on_pathways(ring(never=(NORTH,))) == {SOUTH: 20_000}


def test_a_stub_that_leads_nowhere_cannot_be_passed():
    design = evaluate(ring(via=(STUB,)).project())
    assert run_of(design, PORT).status is RunStatus.NO_ROUTE
    assert reason_of(design, PORT) == "Told to pass STUB, which cannot be reached."


def test_what_is_never_passed_may_leave_no_way_and_the_reason_says_so():
    design = evaluate(ring(never=(SOUTH, NORTH)).project())
    assert reason_of(design, PORT) == "Told never to pass N, S; no other way leads to its frame."
    both = evaluate(ring(via=(NORTH, SOUTH)).project())
    assert reason_of(both, PORT) == "Told to pass N, S; no way passes all of them."
    without = evaluate(ring(via=(STUB,), never=(SOUTH,)).project())
    assert reason_of(without, PORT) == "Told to pass STUB, which cannot be reached without S."


def test_what_runs_are_told_counts_where_their_cables_lie():
    loads = evaluate(ring(via=(NORTH,)).project()).loads
    assert (NORTH in loads, SOUTH in loads) == (True, False)
    assert loads[NORTH].cables == 1


def test_a_told_outlet_that_is_moved_is_searched_again():
    project = ring(via=(NORTH,)).project()
    design = evaluate(project)
    outlet = next(iter(project.outlets.values()))
    assert isinstance(outlet, Outlet)
    patch = changing("Move", [(outlet, replace(outlet, x_mm=-500, y_mm=5_000))])
    after = project.apply(patch)
    again, change = recalculate(design, after, patch)
    assert not change.everything
    assert again == evaluate(after)
    # 5 m of the north basket are some part of it; from its corner on the south one is shorter.
    assert run_of(again, PORT).installed_mm == run_of(design, PORT).installed_mm - 500 - 15_000


def test_one_leg_without_a_pathway_passes_nothing_and_keeps_out_of_everything():
    draft = Draft(levels=(0,), allowance_permille=0)
    draft.space("r", 0, 0, 0, 9_000, 9_000).frame("f", 0, 4_000, 4_000)
    draft.pathway("b", 0, [(0, 8_000, 3_000), (9_000, 8_000, 3_000)])
    draft.outlet("o", 0, 5_000, 4_000, port={"never": (made("pathway", "b"),)})
    assert on_pathways(draft) == {}
    assert run_of(evaluate(draft.project()), PORT).status is RunStatus.WITHIN


def test_more_than_four_pathways_or_both_at_once_are_refused():
    with pytest.raises(PatchRefused, match="never to pass"):
        check_project(ring(via=(NORTH,), never=(NORTH,)).project())
    draft = ring(via=(SOUTH, NORTH, STUB, made("pathway", "x"), made("pathway", "y")))
    for name, y in (("x", 20_000), ("y", 21_000)):
        draft.pathway(name, 0, [(0, y, 3_000), (9_000, y, 3_000)])
    with pytest.raises(PatchRefused, match="at most 4"):
        check_project(draft.project())
