"""What ways down are made of, in the takeoff; worked by hand (practice).

One outlet stands at (42, 5) m, a basket runs at y = 12 m, 3.00 m high, a frame stands at (2, 15).
"""

import msgspec

from app.design import evaluate
from app.model.settings import WAYS, Settings
from app.model.vocabulary import Ceiling, Fixture, ProvidedBy, State, WayDown, WayPart
from app.takeoff.lines import Line
from app.takeoff.takeoff import Takeoff, take_off
from tests.routing.buildings import Draft, made

US, OTHERS = ProvidedBy.US, ProvidedBy.OTHERS


def taken(draft: Draft) -> Takeoff:
    return take_off(evaluate(draft.project()))


def hall(height: int = 450, floor: int = 0, x: int = 42_000, **outlet: object) -> Draft:
    draft = Draft(levels=(0, 4_000))
    for number in (0, 1):
        draft.pathway("b" + str(number), number, [(0, 12_000, 3_000), (60_000, 12_000, 3_000)])
        draft.frame("f" + str(number), number, 2_000, 15_000)
    more = {"ports": 2} | outlet
    return draft.outlet("o", floor, x, 5_000, height_mm=height, **more)  # type: ignore[arg-type]


def lines(takeoff: Takeoff, *words: str) -> list[tuple[str, int, ProvidedBy]]:
    def is_meant(line: Line) -> bool:
        return any(word in line.item for word in words)

    return [(x.item, x.quantity, x.provided_by) for x in takeoff.lines if is_meant(x)]


def test_box_and_stub_are_by_others() -> None:
    # From 0.45 to 2.70 + 0.15 m: 2.40 m, less than a length of 3.05; straps at both ends.
    assert lines(taken(hall()), "Back box", "Stub") == [
        ("Back box, single gang", 1, OTHERS),
        ("Stub conduit Ø 27", 2_400, OTHERS),
        ("Stub conduit Ø 27, length of 3.05 m", 1, OTHERS),
        ("Stub conduit Ø 27, bushing", 1, OTHERS),
        ("Stub conduit Ø 27, strap", 2, OTHERS),
    ]


def test_who_provides_goes_from_the_settings_to_the_kind_to_the_outlet() -> None:
    draft = hall()
    kind = next(t for t in draft.things if t.id == made("outlet-kind", "k"))
    draft.things.remove(kind)
    draft.add(msgspec.structs.replace(kind, way_provided_by=ProvidedBy.OWNER))  # type: ignore[call-arg]
    assert lines(taken(draft), "Back box") == [("Back box, single gang", 1, ProvidedBy.OWNER)]
    outlet = next(t for t in draft.things if t.id == made("outlet", "o"))
    draft.things.remove(outlet)
    draft.add(msgspec.structs.replace(outlet, way_provided_by=US))  # type: ignore[call-arg]
    assert lines(taken(draft), "Back box") == [("Back box, single gang", 1, US)]


def test_the_table_of_the_settings_says_what_a_way_is_made_of() -> None:
    draft = hall()
    draft.things[0] = Settings(id="settings", ways=tuple(r for r in WAYS if r.part != "stub"))
    assert lines(taken(draft), "Back box", "Stub") == [("Back box, single gang", 1, OTHERS)]


def test_only_what_is_new_or_comes_from_elsewhere_is_ordered() -> None:
    assert lines(taken(hall(state=State.EXISTING)), "Back box", "Stub") == []
    assert lines(taken(hall(state=State.FUTURE)), "Back box", "Stub") == []
    assert lines(taken(hall(state=State.TO_RELOCATE)), "Back box") == [
        ("Back box, single gang", 1, OTHERS)
    ]


def test_above_a_hard_ceiling_stub_and_leg_are_one_conduit_by_two_providers() -> None:
    draft = hall().space("s", 0, 40_000, 0, 50_000, 11_000, ceiling=Ceiling.HARD)
    # The stub goes on to 3.00 m: 2.55; the leg is 7.00 m: lengths ceil(7.00 / 3.05) = 3.
    found = {item: (n, by) for item, n, by in lines(taken(draft), "Stub", "of a leg")}
    assert found["Stub conduit Ø 27"] == (2_550, OTHERS)
    assert found["Conduit Ø 27 of a leg"] == (7_000, US)
    assert found["Conduit Ø 27 of a leg, length of 3.05 m"] == (3, US)
    assert "Conduit Ø 27 of a leg, pull box" not in found
    assert lines(taken(draft), "Hook on a leg") == []


def test_a_long_leg_above_a_hard_ceiling_has_pull_boxes() -> None:
    draft = Draft(reach_mm=100_000).frame("f", 0, 2_000, 15_000)
    draft.pathway("b", 0, [(0, 12_000, 3_000), (4_000, 12_000, 3_000)])
    draft.outlet("o", 0, 64_000, 5_000, height_mm=450, ports=2)
    draft.space("s", 0, 60_000, 0, 70_000, 11_000, ceiling=Ceiling.HARD)
    # 60.00 m across and 7.00 along is 67.00: three sections of at most 30 m, two boxes between.
    boxes = lines(taken(draft), "pull box")
    assert boxes == [("Conduit Ø 27 of a leg, pull box", 2, US)]


def test_raceway_is_bought_in_lengths() -> None:
    # 2.55 m is one length of 3.00.
    found = lines(taken(hall(way_down=WayDown.SURFACE_RACEWAY)), "raceway", "Surface box")
    assert found == [
        ("Surface box behind a faceplate", 1, US),
        ("Surface raceway of a drop", 2_550, US),
        ("Surface raceway of a drop, length of 3 m", 1, US),
    ]


def test_a_poke_through_is_cored_by_others_and_brings_its_cover() -> None:
    draft = hall(100, 1, way_down=WayDown.POKE_THROUGH)
    kind = next(t for t in draft.things if t.id == made("outlet-kind", "k"))
    draft.things.remove(kind)
    draft.add(msgspec.structs.replace(kind, fixture=Fixture.FLOOR_BOX))  # type: ignore[call-arg]
    found = lines(taken(draft), "ox", "oke-through")
    assert found == [
        ("Poke-through fitting for 2 ports", 1, US),
        ("Hole cored for a poke-through fitting", 1, OTHERS),
    ]


def test_what_has_no_route_is_ordered_without_a_length() -> None:
    far = hall(x=5_000_000, way_down=WayDown.OUTDOOR_CONDUIT)
    assert lines(taken(far), "Outdoor") == [("Outdoor conduit Ø 27, length not known", 1, US)]
    assert lines(taken(hall(x=5_000_000)), "Stub conduit Ø 27, length") == [
        ("Stub conduit Ø 27, length of 3.05 m", 1, OTHERS)
    ]


def test_every_part_in_use_is_an_assumption_with_its_mark() -> None:
    said = {a.name: (a.value, a.evidence) for a in taken(hall()).assumptions}
    assert said["Back box, wall cavity"] == ("by others", "practice")
    assert said["Stubs end over the ceiling"] == ("0.15 m", "practice")
    assert "Service pole, service pole" not in said
    draft = hall()
    rules = tuple(
        msgspec.structs.replace(r, provided_by=US) if r.part is WayPart.STUB else r for r in WAYS
    )
    draft.things[0] = Settings(id="settings", ways=rules)
    said = {a.name: (a.value, a.evidence) for a in taken(draft).assumptions}
    assert said["Stub conduit, wall cavity"] == ("by us", "project")
