"""Outlets that fill a space keep off the doors that the plan shows."""

import math
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from app.drawing.plan_drawing import PlanDrawing, PlanLayer
from app.editor.commands.spreading import OFF_THE_WALL_MM, spread
from app.editor.plan_catcher import PlanCatcher
from app.geometry.walls import BESIDE_DOOR_MM, OFF_WALL_MM, along_walls
from app.model.entities import Outlet, Plan
from tests.editor.scripted import Script
from tests.editor.small_building import DATA, GROUND, OFFICE, PLAN, building

ROOM = ((0.0, 0.0), (6_000.0, 0.0), (6_000.0, 4_000.0), (0.0, 4_000.0))
HINGE, LEAF_MM = (2_500.0, 0.0), 900.0


def plan_with_arcs(*arcs: tuple[float, float, float, float, float], **changes: Any) -> PlanCatcher:
    """A plan of metres that shows only arcs: centre, radius, start and sweep in degrees."""
    layer = PlanLayer(name="doors", arcs=np.array(arcs, dtype=np.float64).reshape(-1, 5))
    bounds = (0.0, 0.0, 20.0, 10.0)
    drawing = PlanDrawing(
        origin=(0.0, 0.0),
        layers=(layer,),
        colours=(0,),
        lineweights_mm=(0.25,),
        dash_patterns=((),),
        bounds=bounds,
        raw_bounds=bounds,
    )
    plan: Plan = replace(building().plans[PLAN], mm_per_unit=1_000.0, **changes)
    return PlanCatcher(plan, drawing)


def filled(*plans: PlanCatcher, count: str = "20") -> list[Outlet]:
    s = Script("fill")
    s.hand.catcher.plans = {GROUND: plans}
    s.move(3_000, 3_000)
    s.type(count)
    s.move(3_000, 3_000)
    shown = {(g.thing.x_mm, g.thing.y_mm) for g in s.overlay.ghosts}
    s.click(3_000, 3_000)
    made = [o for o in s.project.outlets.values() if o.id not in s.first]
    assert {(o.x_mm, o.y_mm) for o in made} == shown
    assert len(made) == int(count)
    return made


DOOR = (2.5, 0.0, 0.9, 0.0, 90.0)


def in_the_door(made: list[Outlet]) -> list[Outlet]:
    left, right = HINGE[0] - BESIDE_DOOR_MM + 60, HINGE[0] + LEAF_MM + BESIDE_DOOR_MM - 60
    return [o for o in made if o.y_mm == OFF_WALL_MM and left < o.x_mm < right]


def test_no_outlet_stands_in_a_door():
    assert in_the_door(filled())
    assert not in_the_door(filled(plan_with_arcs(DOOR)))


@pytest.mark.parametrize(
    "arc",
    [
        (2.5, 0.0, 0.2, 0.0, 90.0),  # a corner that is rounded
        (2.5, 0.0, 2.4, 0.0, 90.0),  # a turning circle
        (2.5, 0.0, 0.9, 0.0, 360.0),  # a round table
        (2.5, 0.0, 0.9, 0.0, 30.0),
        (12.5, 8.0, 0.9, 0.0, 90.0),  # a door of another room
    ],
)
def test_what_is_no_door_of_this_room_moves_nothing(arc):
    assert {(o.x_mm, o.y_mm) for o in filled(plan_with_arcs(arc))} == {
        (o.x_mm, o.y_mm) for o in filled()
    }


def test_layers_that_are_hidden_have_no_doors():
    assert in_the_door(filled(plan_with_arcs(DOOR, hidden_layers=("doors",))))


def test_walls_without_a_free_place_are_filled_all_the_same():
    """Doors all round: the walls are used as if there were none."""
    doors = [(x / 2, y, 1.4, 0.0, 90.0) for x in range(13) for y in (0.0, 4.0)]
    doors += [(x, y / 2, 1.4, 0.0, 90.0) for x in (0.0, 6.0) for y in range(9)]
    assert len(filled(plan_with_arcs(*doors))) == 20


def test_places_are_spread_over_the_rest_of_the_walls():
    leaf = (HINGE, (HINGE[0] + LEAF_MM, 0.0), (HINGE[0], LEAF_MM))
    spots = along_walls(ROOM, 12, keep_off=[leaf])
    assert len({(s.x, s.y) for s in spots}) == 12
    for spot in spots:
        assert math.dist((spot.x, spot.y), HINGE) > BESIDE_DOOR_MM - 60
        assert -1 <= spot.x <= 6_001
        assert -1 <= spot.y <= 4_001


def test_what_is_spread_keeps_off_doors_too():
    project = building()
    room = project.spaces[OFFICE]
    s = Script("fill")
    s.hand.catcher.plans = {GROUND: (plan_with_arcs((4.0, 0.0, 0.9, 0.0, 90.0)),)}
    doors = s.hand.catcher.door_leaves(room)
    assert len(doors) > 0

    def in_the_way(leaves: Any) -> list[int]:
        places = spread(project, room, {DATA: 40}, doors=leaves)
        assert len(places) == 40
        return [p.x_mm for p in places if p.y_mm == OFF_THE_WALL_MM and 4_000 <= p.x_mm <= 4_900]

    assert in_the_way(()) == [4_100, 4_500, 4_900]
    assert in_the_way(doors) == []
