"""The cautions: each there when its matter is, and none without."""

import msgspec
import pytest

from app.checks.cautions import CAUTIONS, cautions_of
from app.model.entities import Entity, OutdoorDuct, Space
from app.model.project import Project
from app.model.vocabulary import SpaceUse, State, WayDown
from tests.hand_designs import FLOOR, base, outlet

OUTLINE = ((0, 0), (1_000, 0), (1_000, 1_000))


def keys(*things: Entity) -> set[str]:
    return {c.key for c in cautions_of(Project([*base(), *things]))}


def test_nothing_planned_has_only_what_always_holds() -> None:
    assert keys() == {"power", "fire_barriers"}


@pytest.mark.parametrize(
    ("thing", "key"),
    [
        (outlet(1), "asbestos"),
        (outlet(1, way_down=WayDown.OUTDOOR_CONDUIT), "surge_and_lightning"),
        (outlet(1, state=State.TO_REMOVE), "abandoned_cable"),
        (
            OutdoorDuct(
                id="outdoor-duct-00000001",
                from_floor=FLOOR,
                to_floor=FLOOR,
                vertices=((0, 0, -800), (9_000, 0, -800)),
            ),
            "ducts_and_manholes",
        ),
        (
            Space(id="space-00000009", floor=FLOOR, outline=OUTLINE, use=SpaceUse.LIFT_SHAFT),
            "lift_shafts",
        ),
        (
            Space(id="space-00000009", floor=FLOOR, outline=OUTLINE, use=SpaceUse.SECURITY),
            "security_zones",
        ),
        (Space(id="space-00000009", floor=FLOOR, outline=OUTLINE, use=SpaceUse.HALL), "height"),
    ],
)
def test_each_comes_with_its_matter(thing: Entity, key: str) -> None:
    assert key not in keys()
    assert key in keys(thing)


def test_power_over_cable_warms_bundles() -> None:
    one = outlet(1)
    powered = msgspec.structs.replace(
        one, ports=tuple(msgspec.structs.replace(p, power_class=6) for p in one.ports)
    )
    assert {"heat_in_bundles", "powered_plugs"} <= keys(powered)
    assert not {"heat_in_bundles", "powered_plugs"} & keys(one)


def test_every_caution_has_its_words_once() -> None:
    assert len({c.key for c in CAUTIONS}) == len(CAUTIONS)
    assert all(c.text.endswith(".") and c.title for c in CAUTIONS)
