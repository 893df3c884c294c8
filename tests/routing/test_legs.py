"""Legs and ways in cases that are easy to get wrong."""

import pytest

from app.design import evaluate, parts_of
from app.design.design import Design
from app.model.entities import BackboneCable
from app.model.vocabulary import SpaceUse, WayDown
from app.routing.results import NoRoute, PartSort, RunStatus
from tests.routing.buildings import Draft, made

PORT, OUTLET, FRAME = made("port", "o1"), made("outlet", "o"), made("frame", "f")
OFF_PATHWAYS = (OUTLET, FRAME)


def lengths(design: Design, port: str = PORT) -> tuple[int, int]:
    """Millimetres of a run off the pathways (dressing apart) and in them."""
    off = inside = 0
    for part in parts_of(design, port):
        if part.sort in (PartSort.HORIZONTAL, PartSort.VERTICAL) and "dressing" not in part.name:
            off += part.length_mm if part.thing in OFF_PATHWAYS else 0
            inside += part.length_mm if part.thing not in OFF_PATHWAYS else 0
    return off, inside


def test_where_two_oblique_trays_cross_a_leg_may_end_in_the_crossing():
    # Both legs are 4.00 m wherever they meet tray a between its two feet; only the crossing
    # at (10, 10) spares the way along it.
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (20_000, 20_000, 3_000)])
    draft.pathway("b", 0, [(0, 20_000, 3_000), (20_000, 0, 3_000)])
    draft.frame("f", 0, 0, 20_000, ladder_height_mm=3_000)
    draft.outlet("o", 0, 12_000, 8_000, height_mm=3_000)
    off, inside = lengths(evaluate(draft.project()))
    assert (off - 1_800, inside) == (0, 16_971)


def test_behind_a_shaft_a_leg_may_end_in_a_junction_beside_the_foot():
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (30_000, 0, 3_000)])
    draft.pathway("b", 0, [(8_000, 0, 3_000), (8_000, 6_000, 3_000)])
    draft.frame("f", 0, 8_000, 6_000, ladder_height_mm=3_000)
    draft.space("s", 0, 9_000, -3_000, 30_000, -1_000, use=SpaceUse.LIFT_SHAFT)
    draft.outlet("o", 0, 10_000, -4_000, height_mm=3_000)
    off, inside = lengths(evaluate(draft.project()))
    assert (off - 1_800, inside) == (6_000, 6_000)


def test_a_poke_through_hangs_on_the_floor_below():
    draft = Draft(levels=(0, 4_000)).pathway("a", 0, [(0, 0, 3_000), (30_000, 0, 3_000)])
    draft.pathway("b", 1, [(0, 0, 3_000), (30_000, 0, 3_000)]).riser("r", 0, 1, (0, 0))
    draft.frame("f", 1, 0, 0, ladder_height_mm=3_000)
    draft.outlet("o", 1, 20_000, 2_000, height_mm=0, way_down=WayDown.POKE_THROUGH)
    design = evaluate(draft.project())
    # 1.00 m from the tray below to the floor, 2.00 m across, 20.00 m along, 4.00 m up.
    assert lengths(design) == (1_000 + 2_000 + 1_800, 20_000 + 4_000)
    lowest = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (30_000, 0, 3_000)])
    lowest.frame("f", 0, 0, 0).outlet("o", 0, 5_000, 0, way_down=WayDown.POKE_THROUGH)
    runs = evaluate(lowest.project()).runs
    assert runs.reason.tolist() == [NoRoute.NO_FLOOR_BELOW]


def test_a_floor_box_hangs_on_what_lies_under_the_floor():
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (30_000, 0, 3_000)])
    draft.pathway("b", 0, [(0, 5_000, -150), (0, 0, -150), (0, 0, 3_000)])
    draft.frame("f", 0, 30_000, 0, ladder_height_mm=3_000)
    draft.outlet("o", 0, 1_000, 5_000, height_mm=0, way_down=WayDown.RAISED_FLOOR)
    off, inside = lengths(evaluate(draft.project()))
    assert (off - 1_800, inside) == (150 + 1_000, 5_000 + 3_150 + 30_000)


@pytest.mark.parametrize(
    ("way", "off", "inside"),
    [
        # 0.60 m down in the wall, 0.50 m across; along, up and across to the frame.
        (WayDown.WALL_CAVITY, 600 + 500, 20_000 + 3_150 + 5_000),
        # 2.55 m up the pole, 5.50 m across; along.
        (WayDown.SERVICE_POLE, 2_550 + 5_500, 20_000),
        (WayDown.CEILING, 2_550 + 5_500, 20_000),
    ],
)
def test_what_comes_from_above_never_hangs_on_what_lies_under_the_floor(way, off, inside):
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (30_000, 0, 3_000)])
    up = [(0, 5_000, -150), (30_000, 5_000, -150), (30_000, 5_000, 3_000), (30_000, 0, 3_000)]
    draft.pathway("b", 0, up)
    draft.frame("f", 0, 30_000, 0, ladder_height_mm=3_000)
    draft.outlet("o", 0, 10_000, 5_500, height_mm=450, way_down=way)
    found = lengths(evaluate(draft.project()))
    assert (found[0] - 1_800, found[1]) == (off, inside)


def test_a_run_of_kilometres_keeps_its_length():
    draft = Draft(levels=(0,), reach_mm=1_000).pathway(
        "a", 0, [(0, 0, 3_000), (9_000_000, 0, 3_000)]
    )
    draft.frame("f", 0, 0, 0, ladder_height_mm=3_000).outlet("o", 0, 9_000_000, 0)
    draft.frame("g", 0, 6_000_000, 0, ladder_height_mm=3_000)
    draft.things.append(
        BackboneCable(
            id=made("backbone-cable", "x"),
            name="x",
            from_id=FRAME,
            to_id=made("frame", "g"),
            cable_type=made("cable-type", "c"),
        )
    )
    design = evaluate(draft.project())
    assert design.backbone[made("backbone-cable", "x")].horizontal_mm == 6_000_000
    assert design.runs.horizontal_mm.tolist() == [3_000_000]
    assert RunStatus(int(design.runs.status[0])) is RunStatus.OVER


def test_a_run_in_the_frame_s_own_room_needs_no_pathway():
    draft = Draft(levels=(0,)).space("s", 0, 0, 0, 6_000, 6_000, use=SpaceUse.TELECOM)
    draft.frame("f", 0, 1_000, 1_000, ladder_height_mm=2_400).outlet("o", 0, 4_000, 5_000)
    design = evaluate(draft.project())
    # Up to the ladder 1.95, across 3.00 + 4.00, down 1.20 to the panels.
    assert lengths(design) == (1_950 + 7_000 + 1_200, 0)
    assert design.runs.reason.tolist() == [NoRoute.NONE]
