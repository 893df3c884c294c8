"""Zones over one another and over whole rooms, ports sent to frames reserved for others."""

from app.checks.finding import Severity
from app.checks.length_reason import WALKED
from app.checks.serving import OVERLAP, RESERVED, WHOLE_SPACE
from app.design import evaluate
from app.model.entities import ServingZone, WalkedLength
from app.model.vocabulary import SpaceUse
from tests.routing.buildings import Draft, made

RULES = (OVERLAP, WHOLE_SPACE, RESERVED)


def zone(draft: Draft, name: str, frame: str, x0: int, x1: int) -> Draft:
    return draft.add(
        ServingZone(
            id=made("serving-zone", name),
            floor=made("floor", "0"),
            outline=((x0, 0), (x1, 0), (x1, 9_000), (x0, 9_000)),
            frame=made("frame", frame),
            name=name.upper(),
        )
    )


def hall(**frame) -> Draft:
    draft = Draft(levels=(0,))
    draft.space("0.01", 0, 0, 0, 20_000, 9_000, use=SpaceUse.HALL)
    draft.space("0.02", 0, 20_000, 0, 30_000, 9_000, use=SpaceUse.OFFICE)
    return draft.frame("a", 0, 1_000, 1_000, **frame).frame("b", 0, 9_000, 1_000)


def told(draft: Draft) -> list[tuple[str, Severity, str]]:
    found = evaluate(draft.project()).findings
    return [(f.rule, f.severity, f.text) for f in found if f.rule in RULES]


def test_zones_side_by_side_over_a_hall_say_nothing():
    assert told(zone(zone(hall(), "z", "a", 0, 9_000), "y", "b", 9_000, 20_000)) == []


def test_zones_that_overlap_are_named_and_the_smallest_counts():
    found = told(zone(zone(hall(), "y", "a", 0, 9_000), "z", "b", 5_000, 20_000))
    text = "Serving zone Y overlaps Z; where zones overlap, the smallest counts."
    assert found == [(OVERLAP, Severity.WARN, text)]


def test_a_zone_over_a_room_that_is_served_whole_does_not_count_there():
    found = told(zone(hall(), "z", "a", 5_000, 25_000))
    text = (
        "Serving zone Z lies over 0.02, which is served whole by one frame; the zone does not "
        "count there."
    )
    assert found == [(WHOLE_SPACE, Severity.NOTE, text)]


def test_a_port_sent_by_hand_to_a_frame_reserved_for_others_is_noted():
    port = {"frame": made("frame", "a")}
    draft = hall(reserved_tenant="customs").outlet("o", 0, 5_000, 5_000, port=port)
    assert [(rule, severity) for rule, severity, _ in told(draft)] == [(RESERVED, Severity.NOTE)]
    assert "A (for tenant customs)" in told(draft)[0][2]
    own = hall().outlet("o", 0, 5_000, 5_000, port=port)
    assert told(own) == []


def test_a_walked_length_without_a_reason_is_noted_on_its_floor():
    draft = hall().pathway("p", 0, [(0, 8_000, 3_000), (20_000, 8_000, 3_000)])
    for name, reason in (("v", ""), ("w", "round the duct")):
        draft.add(
            WalkedLength(
                id=made("walked-length", name),
                floor=made("floor", "0"),
                along=made("pathway", "p"),
                x_mm=5_000,
                y_mm=8_000,
                added_mm=1_000,
                reason=reason,
            )
        )
    found = [f for f in evaluate(draft.project()).findings if f.rule == WALKED]
    assert [f.things for f in found] == [(made("floor", "0"), made("walked-length", "v"))]
    assert found[0].text == "1 walked length on floor 0 has no reason."
