"""A riser that nothing comes to is said, with what lies nearest."""

from app.checks.riser_joined import RULE
from app.design import evaluate
from app.model.entities import AccessPoint, Building, Entity, Floor, Frame, Pathway, Riser, Space
from app.model.project import Project
from app.model.vocabulary import PathwayKind

LOW, HIGH = "floor-00000001", "floor-00000002"
AT = (5_000, 2_250)
RISER = Riser(
    id="riser-00000001", number="R3", lower_floor=LOW, upper_floor=HIGH, lower=AT, upper=AT
)


def tray(number: int, floor: str, kind: PathwayKind, *points: tuple[int, int]) -> Pathway:
    return Pathway(
        id=f"pathway-{number:08d}",
        floor=floor,
        kind=kind,
        number=f"S{number}",
        vertices=tuple((x, y, 3_000) for x, y in points),
    )


def said(*things: Entity) -> list[str]:
    building = Building(id="building-00000001", name="B")
    floors = [
        Floor(id=LOW, building=building.id, name="0", level_mm=0),
        Floor(id=HIGH, building=building.id, name="1", level_mm=4_000),
    ]
    project = Project([building, *floors, RISER, *things])
    found = [f for f in evaluate(project).findings if f.rule == RULE]
    return [f.text for f in found]


def test_a_riser_beside_its_trays_joins_nothing():
    low = tray(1, LOW, PathwayKind.BASKET, (0, 0), (20_000, 0))
    high = tray(2, HIGH, PathwayKind.BASKET, (0, 0), (20_000, 0))
    assert said(low, high) == [
        "Riser R3 joins nothing: no pathway comes to it on floor 0 (basket S1 is 2.3 m away), "
        "floor 1 (basket S2 is 2.3 m away); draw stubs."
    ]


def test_one_floor_alone_is_not_enough_and_two_are():
    low = tray(1, LOW, PathwayKind.BASKET, (5_000, 0), AT)
    high = tray(2, HIGH, PathwayKind.CONDUIT, AT, (5_000, 9_000))
    assert said(low) == ["Riser R3 joins nothing: no pathway comes to it on floor 1; draw stubs."]
    assert said(low, high) == []


def test_a_conduit_passing_by_is_no_way_in_but_a_frame_in_reach_is():
    low = tray(1, LOW, PathwayKind.BASKET, (0, 2_250), (9_000, 2_250))
    passing = tray(2, HIGH, PathwayKind.CONDUIT, (0, 2_250), (9_000, 2_250))
    frame = Frame(id="frame-00000001", floor=HIGH, name="T1", x_mm=6_000, y_mm=3_000)
    assert len(said(low, passing)) == 1
    assert said(low, passing, frame) == []


def test_a_pull_box_on_a_conduit_passing_by_is_a_way_in():
    low = tray(1, LOW, PathwayKind.BASKET, (0, 2_250), (9_000, 2_250))
    passing = tray(2, HIGH, PathwayKind.CONDUIT, (0, 2_250), (9_000, 2_250))
    box = AccessPoint(
        id="access-point-00000001", floor=HIGH, pathway=passing.id, x_mm=AT[0], y_mm=AT[1]
    )
    assert said(low, passing, box) == []


def test_the_reach_of_a_frame_is_square_to_the_grid_of_its_room():
    # 7.2 m and 7.2 m along the floor's grid are 14.4 m, beyond the reach of 10 m; along a grid
    # turned by 45 degrees they are one way of 10.2 m, and with 7.0 m one of 9.9 m.
    low = tray(1, LOW, PathwayKind.BASKET, (0, 2_250), (9_000, 2_250))
    room = ((10_000, 7_000), (15_000, 7_000), (15_000, 12_000), (10_000, 12_000))
    turned = Space(id="space-00000001", floor=HIGH, outline=room, grid_angle_mdeg=45_000)
    near = Frame(id="frame-00000001", floor=HIGH, name="T1", x_mm=12_000, y_mm=9_250)
    far = Frame(id="frame-00000001", floor=HIGH, name="T1", x_mm=12_200, y_mm=9_450)
    assert said(low, turned, near) == []
    assert len(said(low, turned, far)) == 1
    assert len(said(low, near)) == 1
