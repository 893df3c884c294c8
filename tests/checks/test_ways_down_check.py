"""Ways down that do not fit their room."""

import msgspec
import pytest

from app.checks.finding import Severity
from app.checks.ways_down import check_ways
from app.model.entities import Outlet, Space
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import Ceiling, State, WayDown
from app.standards import load_rules
from tests.hand_designs import ACCESS_POINT, FLOOR, SPACE, base, outlet

RULES = load_rules()
PROJECT = Project(base())


def said(one: Outlet, **space: object) -> list[tuple[str, str]]:
    room = msgspec.structs.replace(PROJECT.spaces[SPACE], **space)
    spaces: dict[str, Space] = {SPACE: room}
    found = check_ways(
        PROJECT.floors[FLOOR],
        [one],
        PROJECT.outlet_kinds,
        spaces,
        {one.id: SPACE},
        Settings(id="settings"),
        RULES,
    )
    assert all(f.things == (FLOOR, one.id) and f.severity > Severity.FAIL for f in found)
    return [(f.rule, f.text) for f in found]


def test_a_floor_box_wants_a_raised_floor() -> None:
    box = outlet(1, way_down=WayDown.RAISED_FLOOR)
    ((rule, text),) = said(box)
    assert rule == "way_no_raised_floor"
    assert text.startswith("1 outlet on floor 0 is fed from under a raised floor where there is no")
    assert said(box, raised_floor_mm=150) == []


def test_at_a_ceiling_that_is_not_there_it_says_how_high() -> None:
    point = outlet(1, kind=ACCESS_POINT)
    assert said(point) == []
    ((rule, text),) = said(point, ceiling=Ceiling.OPEN)
    assert rule == "way_no_ceiling"
    assert "hangs at a ceiling where there is none, at 2.70 m as the settings have it" in text
    assert said(point, ceiling=Ceiling.NONE, ceiling_height_mm=6_000) == []


@pytest.mark.parametrize(("height_mm", "over"), [(2_699, False), (2_700, False), (2_701, True)])
def test_above_the_ceiling(height_mm: int, over: bool) -> None:
    high = msgspec.structs.replace(outlet(1), height_mm=height_mm)
    assert bool(said(high)) == over
    assert said(high, ceiling=Ceiling.OPEN) == []


def test_legs_above_a_hard_ceiling_want_a_hatch() -> None:
    ((rule, text),) = said(outlet(1), ceiling=Ceiling.HARD)
    assert rule == "hard_ceiling_no_hatch"
    assert "has its leg in conduit above a hard ceiling without an access hatch: 0.01" in text
    assert said(outlet(1), ceiling=Ceiling.HARD, ceiling_hatches=1) == []
    assert said(outlet(1, state=State.EXISTING), ceiling=Ceiling.HARD) == []
    assert said(outlet(1, way_down=WayDown.POKE_THROUGH), ceiling=Ceiling.HARD) == []
