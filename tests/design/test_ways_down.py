"""Ways down: the upright parts by name, and what each is made of, by hand arithmetic (practice).

One outlet stands at (42, 5) m, a basket runs at y = 12 m, 3.00 m high, a frame stands at (2, 15).
"""

import pytest
from msgspec.structs import replace

from app.design import evaluate, parts_of
from app.design.typical_way import typical_way
from app.design.ways_down import upright_parts, way_down_of
from app.model.entities import OutletKind
from app.model.vocabulary import Ceiling, ProvidedBy, WayDown, WayPart
from app.routing.results import PartSort
from tests.routing.buildings import Draft, made


def hall(height: int = 450, floor: int = 0, **outlet: object) -> Draft:
    draft = Draft(levels=(0, 4_000))
    for number in (0, 1):
        draft.pathway("b" + str(number), number, [(0, 12_000, 3_000), (60_000, 12_000, 3_000)])
        draft.frame("f" + str(number), number, 2_000, 15_000)
    draft.outlet("o", floor, 42_000, 5_000, height_mm=height, **outlet)
    return draft


def uprights(draft: Draft) -> list[tuple[str, int]]:
    design = evaluate(draft.project())
    outlet = design.project.outlets[made("outlet", "o")]
    parts = parts_of(design, outlet.ports[0].id)
    own = [p for p in parts if p.sort is PartSort.VERTICAL and p.thing == outlet.id]
    way = way_down_of(design, outlet)
    assert sum(p.length_mm for p in own) == way.drop_mm
    assert [(p.name, p.length_mm) for p in own] == list(way.upright[::-1])
    return [(p.name, p.length_mm) for p in own]


def test_a_drop_in_the_wall_is_that_of_the_story() -> None:
    # practice: from 0.45 m up to the basket at 3.00 m.
    assert uprights(hall()) == [("drop in the wall cavity", 2_550)]
    assert uprights(hall(way_down=WayDown.SURFACE_RACEWAY)) == [("drop in surface raceway", 2_550)]
    assert uprights(hall(4_000, way_down=WayDown.OUTDOOR_CONDUIT)) == [
        ("rise in conduit outdoors", 1_000)
    ]


def test_a_pole_stands_under_the_ceiling_and_the_cable_drops_to_it() -> None:
    # 3.00 m to the ceiling of 2.70, then down to 0.10: 0.30 + 2.60 = 2.90.
    pole = hall(100, way_down=WayDown.SERVICE_POLE)
    assert uprights(pole) == [("drop in the service pole", 2_600), ("drop to the ceiling", 300)]
    pole.space("s", 0, 40_000, 0, 50_000, 10_000, ceiling=Ceiling.OPEN)
    assert uprights(pole) == [("drop in the service pole", 2_900)]


def test_at_the_ceiling_only_what_lies_between_it_and_the_pathway_is_upright() -> None:
    assert uprights(hall(2_700, way_down=WayDown.CEILING)) == [("drop to the ceiling", 300)]


def test_under_a_raised_floor_the_cable_rises_from_the_pathway_below_it() -> None:
    draft = hall(0, way_down=WayDown.RAISED_FLOOR)
    draft.pathway("u", 0, [(0, 6_000, -150), (60_000, 6_000, -150)])
    draft.pathway("v", 0, [(2_000, 6_000, -150), (2_000, 12_000, -150), (2_000, 12_000, 3_000)])
    assert uprights(draft) == [("rise from under the raised floor", 150)]


def test_a_poke_through_hangs_on_the_floor_below() -> None:
    # The floor below is 4.00 m down, its basket at 3.00: 1.00 to the floor, 0.10 above it.
    draft = hall(100, 1, way_down=WayDown.POKE_THROUGH)
    draft.riser("r", 0, 1, (2_000, 12_000))
    assert uprights(draft) == [("rise above the floor", 100), ("rise through the floor", 1_000)]
    design = evaluate(draft.project())
    way = way_down_of(design, design.project.outlets[made("outlet", "o")])
    assert way.hangs_on == made("floor", "0")
    lowest = evaluate(hall(100, 0, way_down=WayDown.POKE_THROUGH).project())
    way = way_down_of(lowest, lowest.project.outlets[made("outlet", "o")])
    assert (way.hangs_on, way.pathway_mm, way.upright) == (None, None, ())


@pytest.mark.parametrize("way", list(WayDown))
@pytest.mark.parametrize("pathway", [-300, 0, 450, 2_950, 5_000])
@pytest.mark.parametrize("plate", [-100, 0, 450, 2_700, 6_000])
@pytest.mark.parametrize("ceiling", [None, 2_700])
def test_the_named_parts_add_up(way, pathway, plate, ceiling) -> None:  # type: ignore[no-untyped-def]
    parts = upright_parts(way, pathway_mm=pathway, outlet_mm=plate, ceiling_mm=ceiling)
    assert sum(length for _, length in parts) == abs(pathway - plate)
    assert all(length > 0 and name.strip() for name, length in parts)


def pieces(draft: Draft, **more: object) -> dict[WayPart, tuple[ProvidedBy, int, int | None, int]]:
    design = evaluate(draft.project())
    way = way_down_of(design, design.project.outlets[made("outlet", "o")])
    return {p.part: (p.provided_by, p.length_mm, p.conduit, p.gangs) for p in way.pieces}


def test_a_wall_outlet_has_a_box_and_a_stub_by_others() -> None:
    # practice: 2 × Cat 6A in 27; from 0.45 m to 0.15 m over the ceiling of 2.70: 2.40 m.
    others = ProvidedBy.OTHERS
    assert pieces(hall(ports=2)) == {
        WayPart.BACK_BOX: (others, 0, None, 1),
        WayPart.STUB: (others, 2_400, 27, 0),
    }
    four = pieces(hall(ports=4, way_provided_by=ProvidedBy.US))
    assert four[WayPart.BACK_BOX] == (ProvidedBy.US, 0, None, 2)
    assert four[WayPart.STUB][0] is ProvidedBy.US


def room(ceiling: Ceiling) -> Draft:
    return hall(ports=2).space("s", 0, 40_000, 0, 50_000, 11_000, ceiling=ceiling)


def test_the_stub_goes_on_to_the_pathway_where_no_ceiling_can_be_opened() -> None:
    assert pieces(room(Ceiling.ACCESSIBLE))[WayPart.STUB][1] == 2_400
    assert pieces(room(Ceiling.HARD))[WayPart.STUB][1] == 2_550
    assert pieces(room(Ceiling.OPEN))[WayPart.STUB][1] == 2_550
    design = evaluate(room(Ceiling.HARD).project())
    way = way_down_of(design, design.project.outlets[made("outlet", "o")])
    # Straight north to the basket: one turn from upright to level.
    assert (way.in_conduit, way.leg_mm, way.bends, way.conduit) == (True, 7_000, 1, 27)


def test_the_other_ways_have_their_own_parts() -> None:
    us, others = ProvidedBy.US, ProvidedBy.OTHERS
    raceway = pieces(hall(way_down=WayDown.SURFACE_RACEWAY))
    assert raceway == {
        WayPart.RACEWAY: (us, 2_550, None, 0),
        WayPart.MOUNTING_BOX: (us, 0, None, 0),
    }
    pole = pieces(hall(way_down=WayDown.SERVICE_POLE))
    assert pole == {WayPart.POLE: (us, 2_700, None, 0)}
    poke = pieces(hall(100, 1, way_down=WayDown.POKE_THROUGH))
    assert {part: by for part, (by, *_) in poke.items()} == {
        WayPart.POKE_THROUGH_FITTING: us,
        WayPart.CORED_HOLE: others,
    }
    # From 3.00 up to 4.00 m, and 7.00 m of leg; the count table allows no cable of 7.5 mm in a
    # conduit of 16 and two in one of 21.
    mast = pieces(hall(4_000, way_down=WayDown.OUTDOOR_CONDUIT))
    assert mast == {WayPart.CONDUIT: (us, 8_000, 21, 0)}
    assert pieces(hall(2_700, way_down=WayDown.CEILING)) == {}


def told_hall(**port: object) -> Draft:
    """A second basket, 3.50 m high at y = 0, meets the first at its beginning, a long way round."""
    draft = Draft(levels=(0,), ceiling_height_mm=3_200)
    draft.pathway("b", 0, [(0, 12_000, 3_000), (60_000, 12_000, 3_000)])
    round_about = [(50_000, 0, 3_500), (0, 0, 3_500), (0, 12_000, 3_500), (0, 12_000, 3_000)]
    draft.pathway("h", 0, round_about)
    draft.frame("f", 0, 20_000, 15_000)
    draft.space("s", 0, 40_000, -1_000, 50_000, 11_000, ceiling=Ceiling.OPEN)
    return draft.outlet("o", 0, 42_000, 5_000, height_mm=450, ports=2, port=port)


def test_a_run_told_its_way_has_the_parts_of_that_way() -> None:
    # Untold: 7.00 m to the basket at 3.00, 3.00 − 0.45 = 2.55 up. Told round by the other:
    # 5.00 m, 3.50 − 0.45 = 3.05; the ceiling is open, so the stub goes on to the pathway.
    for port, leg_mm, drop_mm in (
        ({}, 7_000, 2_550),
        ({"via": (made("pathway", "h"),)}, 5_000, 3_050),
    ):
        draft = told_hall(**port)
        assert uprights(draft) == [("drop in the wall cavity", drop_mm)]
        assert pieces(draft)[WayPart.STUB] == (ProvidedBy.OTHERS, drop_mm, 27, 0)
        design = evaluate(draft.project())
        way = way_down_of(design, design.project.outlets[made("outlet", "o")])
        assert (way.leg_mm, way.bends, way.pathway_mm) == (leg_mm, 1, drop_mm + 450)


def test_a_run_told_of_no_pathway_goes_straight_to_its_frame() -> None:
    # 2 m east and 3 m north of the outlet the frame stands, its ladder 3.00 m high: two turns.
    draft = told_hall(never=(made("pathway", "b"), made("pathway", "h")))
    draft.things = [t for t in draft.things if t.id != made("frame", "f")]
    draft.frame("f", 0, 44_000, 8_000, ladder_height_mm=3_000)
    assert uprights(draft) == [("drop in the wall cavity", 2_550)]
    design = evaluate(draft.project())
    way = way_down_of(design, design.project.outlets[made("outlet", "o")])
    assert (way.leg_mm, way.bends, way.pathway_mm) == (5_000, 2, 3_000)


@pytest.mark.parametrize(
    "way_down",
    [WayDown.WALL_CAVITY, WayDown.SURFACE_RACEWAY, WayDown.SERVICE_POLE, WayDown.CEILING],
)
def test_a_kind_foretells_what_its_outlets_get_at_the_heights_of_the_settings(
    way_down: WayDown,
) -> None:
    draft = Draft(levels=(0,)).pathway("b", 0, [(0, 12_000, 3_000), (60_000, 12_000, 3_000)])
    draft.frame("f", 0, 2_000, 15_000)
    (old,) = (t for t in draft.things if isinstance(t, OutletKind))
    height = None if way_down is WayDown.CEILING else 450
    kind = replace(old, way_down=way_down, height_mm=height)
    draft.things[draft.things.index(old)] = kind
    design = evaluate(draft.outlet("o", 0, 42_000, 5_000).project())
    stands = way_down_of(design, design.project.outlets[made("outlet", "o")])
    foretold = typical_way(design.project, kind, design.rules)
    assert foretold.upright == stands.upright
    assert foretold.pieces == stands.pieces


def test_what_comes_from_below_is_foretold_at_usual_depths() -> None:
    # 0.15 m under a raised floor; a tray 3.00 m high in a storey of 3.60 lies 0.60 m below.
    project = hall().project()
    (kind,) = project.outlet_kinds.values()
    box = replace(kind, way_down=WayDown.RAISED_FLOOR, height_mm=0)
    poke = replace(kind, way_down=WayDown.POKE_THROUGH, height_mm=100)
    rules = evaluate(project).rules
    assert typical_way(project, box, rules).upright == (("rise from under the raised floor", 150),)
    assert typical_way(project, poke, rules).upright == (
        ("rise through the floor", 600),
        ("rise above the floor", 100),
    )
