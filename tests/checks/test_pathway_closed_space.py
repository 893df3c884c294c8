"""Pathways and risers keep out of shafts, stairs, voids and no-cable zones, or it is said."""

import pytest

from app.checks.pathway_closed_space import PATHWAY, RISER
from app.design import evaluate
from app.model.entities import Space
from app.model.vocabulary import SpaceUse
from tests.routing.buildings import Draft, made


def said(draft: Draft) -> list[tuple[str, str, str]]:
    found = evaluate(draft.project()).findings
    return [(f.rule, f.text, f.evidence) for f in found if f.rule in (PATHWAY, RISER)]


def shaft(use: SpaceUse = SpaceUse.LIFT_SHAFT, **more: object) -> Draft:
    own = {"name": "Lift", **more}
    outline = ((4_000, 0), (6_000, 0), (6_000, 2_000), (4_000, 2_000))
    space = Space(
        id=made("space", "s"),
        floor=made("floor", "0"),
        outline=outline,
        number="0.13",
        use=use,
        **own,
    )
    return Draft(levels=(0, 4_000)).add(space)


def test_a_basket_through_a_lift_shaft_is_said_on_the_published_rule() -> None:
    draft = shaft().pathway("a", 0, [(0, 1_000, 3_000), (9_000, 1_000, 3_000)])
    text = "Basket A runs through 0.13 Lift, which is closed to cable; lay it around."
    assert said(draft) == [(PATHWAY, text, "published")]


@pytest.mark.parametrize("use", [SpaceUse.STAIR, SpaceUse.VOID, SpaceUse.NO_CABLE])
def test_so_are_stairs_voids_and_no_cable_zones_by_plain_sense(use: SpaceUse) -> None:
    draft = shaft(use).pathway("a", 0, [(0, 1_000, 3_000), (5_000, 1_000, 3_000)])
    assert [(rule, evidence) for rule, _, evidence in said(draft)] == [(PATHWAY, "practice")]


@pytest.mark.parametrize(
    "line",
    [
        [(0, 2_000, 3_000), (9_000, 2_000, 3_000)],  # along its wall
        [(0, 3_000, 3_000), (9_000, 3_000, 3_000)],  # past it
    ],
)
def test_a_basket_beside_a_shaft_is_not(line: list[tuple[int, int, int]]) -> None:
    assert said(shaft().pathway("a", 0, line)) == []


def test_outdoors_and_where_cable_is_let_through_nothing_is_said() -> None:
    line = [(0, 1_000, 3_000), (9_000, 1_000, 3_000)]
    assert said(shaft(SpaceUse.OUTSIDE).pathway("a", 0, line)) == []
    assert said(shaft(SpaceUse.SERVICES_SHAFT).pathway("a", 0, line)) == []
    assert said(shaft(closed_to_cable=False).pathway("a", 0, line)) == []


def test_a_drop_and_a_riser_in_a_shaft_are_said() -> None:
    draft = shaft().pathway("a", 0, [(5_000, 1_000, 3_000), (5_000, 1_000, 500)])
    draft.riser("r", 0, 1, (5_000, 1_000))
    texts = [text for _, text, _ in said(draft)]
    assert texts == [
        "Basket A runs through 0.13 Lift, which is closed to cable; lay it around.",
        "Riser R stands in 0.13 Lift, which is closed to cable; put it elsewhere.",
    ]
