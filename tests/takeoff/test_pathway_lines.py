"""Pathways, supports and risers against counts worked by hand."""

import msgspec
import pytest

from app.design import evaluate
from app.model.entities import (
    AccessPoint,
    DropOut,
    Entity,
    Floor,
    OutdoorDuct,
    Pathway,
    Riser,
    Space,
)
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import Ceiling, PathwayKind, RiserKind, Serves, State, WayDown
from app.standards import load_rules
from app.takeoff.lines import Tally
from app.takeoff.pathway_lines import count_fittings, count_pathways, straights_mm
from app.takeoff.riser_lines import count_risers, rises_of
from app.takeoff.takeoff import take_off
from tests.hand_designs import FLOOR, base, outlet

RULES = load_rules()
HOOK = f"Hook, opening {Settings(id='settings').hook_opening_mm2:,.0f} mm²"


def counted(*things: Entity) -> dict[str, int]:
    """Item to quantity."""
    project, tally = Project([*base(), *things]), Tally()
    count_pathways(project, RULES, tally)
    count_fittings(project, tally)
    count_risers(project, rises_of(evaluate(project)), RULES, tally)
    found: dict[str, int] = {}
    for line in tally.lines():
        found[line.item] = found.get(line.item, 0) + line.quantity
    return found


def pathway(
    number: int, kind: PathwayKind, *vertices: tuple[int, int, int], **more: object
) -> Pathway:
    return Pathway(
        id=f"pathway-{number:08d}",
        floor=FLOOR,
        kind=kind,
        vertices=vertices,
        **more,  # type: ignore[arg-type]
    )


def test_straight_on_is_one_straight() -> None:
    line = ((0, 0, 3_000), (4_000, 0, 3_000), (10_000, 0, 3_000), (10_000, 5_000, 3_000))
    assert straights_mm(line) == [10_000, 5_000]


def test_a_drop_is_a_straight_of_its_own() -> None:
    assert straights_mm(((0, 0, 3_000), (6_000, 0, 3_000), (6_000, 0, 2_400))) == [6_000, 600]


def test_basket_worked_by_hand() -> None:
    # practice: 60.0 m straight and 5.0 m around a corner: 20 + 2 lengths of 3 m, supports
    # ceil(65 / 1.5) + 1 = 45, splices 19 + 1 within the straights and 1 at the corner.
    line = pathway(
        1,
        PathwayKind.BASKET,
        (0, 0, 3_000),
        (60_000, 0, 3_000),
        (60_000, 5_000, 3_000),
        width_mm=300.0,
        depth_mm=60.0,
    )
    assert counted(line) == {
        "Basket 300 × 60": 65_000,
        "Basket 300 × 60, length of 3 m": 22,
        "Basket 300 × 60, splice set": 21,
        "Basket 300 × 60, support": 45,
    }


def test_tray_has_bends() -> None:
    line = pathway(
        1,
        PathwayKind.TRAY,
        (0, 0, 3_000),
        (6_000, 0, 3_000),
        (6_000, 6_000, 3_000),
        width_mm=200.0,
        depth_mm=60.0,
    )
    found = counted(line)
    assert found["Tray 200 × 60, bend"] == 1
    assert found["Tray 200 × 60, joint"] == 2


def test_hook_line_worked_by_hand() -> None:
    # practice: 12.0 m at 1.2 m: 10 + 1 hooks; with 1.5 m of its own 8 + 1.
    own = pathway(2, PathwayKind.HOOKS, (0, 0, 2_950), (12_000, 0, 2_950), hook_spacing_mm=1_500)
    assert counted(pathway(1, PathwayKind.HOOKS, (0, 0, 2_950), (12_000, 0, 2_950))) == {
        HOOK: 12_000,
        f"{HOOK}, on a line": 11,
    }
    assert counted(own)[f"{HOOK}, on a line"] == 9


def test_conduits_worked_by_hand() -> None:
    # practice: two conduits of 10.0 m: ceil(10 / 3.05) = 4 lengths and 3 couplings each,
    # straps ceil(10 / 3) + 1 = 5 each.
    line = pathway(1, PathwayKind.CONDUIT, (0, 0, 3_000), (10_000, 0, 3_000), bore_mm=27.0, count=2)
    assert counted(line) == {
        "Conduit Ø 27": 20_000,
        "Conduit Ø 27, length of 3.05 m": 8,
        "Conduit Ø 27, coupling": 6,
        "Conduit Ø 27, strap": 10,
    }


@pytest.mark.parametrize("state", [State.EXISTING, State.FUTURE, State.TO_REMOVE])
def test_what_is_not_new_is_not_bought(state: State) -> None:
    line = pathway(1, PathwayKind.BASKET, (0, 0, 3_000), (9_000, 0, 3_000), state=state)
    assert counted(line) == {}


def test_a_size_that_is_missing_is_said() -> None:
    line = pathway(1, PathwayKind.BASKET, (0, 0, 3_000), (9_000, 0, 3_000))
    assert "Basket, size not given" in counted(line)


def test_boxes_and_drop_outs() -> None:
    conduit = pathway(1, PathwayKind.CONDUIT, (0, 0, 3_000), (9_000, 0, 3_000), bore_mm=27.0)
    other = pathway(2, PathwayKind.BASKET, (5_000, -5_000, 3_400), (5_000, 5_000, 3_400))
    box = AccessPoint(
        id="access-point-00000001", floor=FLOOR, pathway=conduit.id, x_mm=4_000, y_mm=0
    )
    drop = DropOut(
        id="drop-out-00000001",
        floor=FLOOR,
        pathway_a=conduit.id,
        pathway_b=other.id,
        x_mm=5_000,
        y_mm=0,
    )
    found = counted(conduit, other, box, drop)
    assert found["Pull box on Conduit Ø 27"] == 1
    assert found["Drop-out"] == 1


def test_sleeves_at_each_floor_passed() -> None:
    # Three sleeves from floor 0 to floor 2 pass two floors: six sleeves, six fire-stops.
    upper = [
        Floor(id=f"floor-0000000{i}", building="building-00000001", name=str(i), level_mm=i * 4_000)
        for i in (2, 3)
    ]
    riser = Riser(
        id="riser-00000001",
        lower_floor=FLOOR,
        upper_floor=upper[1].id,
        lower=(0, 0),
        upper=(0, 0),
        count=3,
    )
    found = counted(*upper, riser)
    assert found == {"Sleeve Ø 103": 6, "Fire-stop of a floor opening": 6}


UPPER = Floor(id="floor-00000002", building="building-00000001", name="1", level_mm=5_400)


def vertical_conduit(**more: object) -> Riser:
    return Riser(
        id="riser-00000001",
        kind=RiserKind.CONDUIT,
        lower_floor=FLOOR,
        upper_floor=UPPER.id,
        lower=(0, 0),
        bore_mm=53.0,
        count=2,
        **more,  # type: ignore[arg-type]
    )


def test_vertical_conduit_goes_from_pathway_to_pathway() -> None:
    # practice, worked by hand: trays at 3.10 and 3.30 on floors 5.40 apart are joined by
    # 5.40 + 3.30 - 3.10 = 5.60 m of riser; each of two: 2 lengths of 3.05 m, 1 coupling,
    # straps ceil(5.6 / 3) + 1 = 3.
    trays = [
        pathway(1, PathwayKind.TRAY, (0, 0, 3_100), (9_000, 0, 3_100)),
        msgspec.structs.replace(
            pathway(2, PathwayKind.TRAY, (0, 0, 3_300), (9_000, 0, 3_300)), floor=UPPER.id
        ),
    ]
    found = counted(UPPER, vertical_conduit(upper=(0, 0)), *trays)
    riser = {item: n for item, n in found.items() if item.startswith(("Vertical", "Fire"))}
    assert riser == {
        "Vertical conduit Ø 53": 11_200,
        "Vertical conduit Ø 53, length of 3.05 m": 4,
        "Vertical conduit Ø 53, coupling": 2,
        "Vertical conduit Ø 53, strap": 6,
        "Fire-stop of a floor opening": 2,
    }


def test_vertical_conduit_that_nothing_meets_goes_from_floor_to_floor() -> None:
    # 5.40 up and 4.05 aside: 3-4-5 once more, 6.75 m each.
    found = counted(UPPER, vertical_conduit(upper=(4_050, 0)))
    assert found["Vertical conduit Ø 53"] == 13_500


def test_outdoor_duct_is_measured_along_its_line() -> None:
    duct = OutdoorDuct(
        id="outdoor-duct-00000001",
        from_floor=FLOOR,
        to_floor=FLOOR,
        vertices=((0, 0, -800), (30_000, 40_000, -800)),
        count=2,
    )
    assert counted(duct) == {"Outdoor duct Ø 103": 100_000}


@pytest.mark.parametrize("hard", ["below", "own"])
def test_the_leg_of_a_poke_through_hangs_under_the_ceiling_below(hard: str) -> None:
    """A basket on floor 0, a frame beside it, and an outlet on floor 1 that it serves."""
    upper = Floor(id="floor-00000002", building="building-00000001", name="1", level_mm=4_000)
    things = [
        msgspec.structs.replace(t, ceiling=Ceiling.HARD if hard == "below" else Ceiling.OPEN)
        if isinstance(t, Space)
        else t
        for t in base(Settings(id="settings", serves=Serves.NEXT))
    ]
    own = Space(
        id="space-00000002",
        floor=upper.id,
        number="1.01",
        name="Office",
        ceiling=Ceiling.HARD if hard == "own" else Ceiling.OPEN,
        outline=((0, 0), (12_000, 0), (12_000, 9_500), (0, 9_500)),
    )
    basket = pathway(1, PathwayKind.BASKET, (0, 0, 3_000), (12_000, 0, 3_000))
    placed = msgspec.structs.replace(
        outlet(5, floor=upper.id, way_down=WayDown.POKE_THROUGH), x_mm=5_000, y_mm=4_000
    )
    design = evaluate(Project([*things, upper, own, basket, placed]))
    assert (design.runs.leg_mm == 4_000).all()
    lines = [line for line in take_off(design).lines if " leg" in line.item]
    assert {line.floor for line in lines} == {FLOOR}
    assert any("Conduit" in line.item for line in lines) == (hard == "below")
    # practice: a leg of 4.00 m hangs on ceil(4.00 / 1.5) = 3 hooks.
    hooks = sum(line.quantity for line in lines if line.item == "Hook on a leg")
    assert hooks == (0 if hard == "below" else 3)
