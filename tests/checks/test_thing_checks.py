"""What is said of outlets, pathways, risers, frames, plans, spaces and backbone."""

import pytest

from app.checks.backbone_length import check_backbone
from app.checks.ceiling_height import check_heights
from app.checks.conduit_crowded import check_count_table
from app.checks.conduit_section import check_conduit, conduit_sections
from app.checks.fill_level import check_fill
from app.checks.finding import Finding, Severity
from app.checks.frame_size import check_frame_area, check_frame_ports
from app.checks.going_carrier import check_going
from app.checks.numbers import check_duplicates, check_unlabelled, check_unnumbered
from app.checks.outlet_closed_space import check_closed_space
from app.checks.outlet_outdoors import check_outdoors
from app.checks.outlet_outside import check_outside_spaces
from app.checks.pathway_ends import check_pathway_ends
from app.checks.plan_scale import check_plan_scale
from app.checks.required_outlets import check_required
from app.checks.riser_ends import check_riser_ends
from app.checks.served import placed_outlets, space_area_m2
from app.checks.wording import pathway_name
from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Break,
    Floor,
    Frame,
    Outlet,
    Pathway,
    Plan,
    Riser,
    Space,
)
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import Ceiling, PathwayKind, ScaledBy, SpaceUse, State, WayDown
from app.routing.results import BackboneRoute, Fill, NoRoute, RunStatus
from app.sizing.fill import cable_area_mm2
from app.sizing.pathway_fill import fill_of_pathway, fill_rules, pathway_limits
from app.standards import load_rules
from tests.hand_designs import (
    ACCESS_POINT,
    CABLE,
    DATA,
    FLOOR,
    FRAME,
    SPACE,
    HandRun,
    areas_by_hand,
    base,
    code,
    outlet,
    ports_by_hand,
    runs_of,
)

RULES = load_rules()
SETTINGS = Settings(id="settings")
FILL_RULES = fill_rules(settings=SETTINGS, rules=RULES)
PROJECT = Project(base())
GROUND = PROJECT.floors[FLOOR]


def line(
    number: int,
    *vertices: tuple[int, int, int],
    kind: PathwayKind = PathwayKind.BASKET,
    **more: object,
) -> Pathway:
    return Pathway(
        id=f"pathway-{code(number)}",
        floor=FLOOR,
        kind=kind,
        vertices=vertices,
        number=f"B-{number:02d}",
        **more,  # type: ignore[arg-type]
    )


def filled(pathway: Pathway, cables: int) -> Fill:
    """The fill record of so many 7.5 mm cables."""
    f = fill_of_pathway(
        pathway,
        cables=cables,
        area_mm2=cables * cable_area_mm2(od_mm=7.5),
        od_mm=7.5,
        fill_rules=FILL_RULES,
    )
    known = f.known
    return Fill(
        cables=cables,
        area_mm2=f.area_mm2,
        inside_mm2=f.inside_mm2 if known else None,
        ratio=f.ratio if known else None,
        limit_ratio=f.limit_ratio,
        planned_ratio=f.planned_ratio,
        places_left=f.places_left if known else None,
        cables_lying=cables,
        ratio_lying=f.ratio if known else None,
        cables_future=0,
        ratio_future=f.ratio if known else None,
    )


class TestFill:
    LADDER = line(
        1,
        (0, 0, 3_000),
        (9_000, 0, 3_000),
        kind=PathwayKind.LADDER,
        width_mm=300.0,
        depth_mm=60.0,
    )

    def said(self, cables: int, pathway: Pathway | None = None) -> list:  # type: ignore[type-arg]
        thing = pathway or self.LADDER
        return check_fill(
            thing,
            filled(thing, cables),
            pathway_limits(thing, fill_rules=FILL_RULES),
            name="Ladder B-01",
            floor=FLOOR,
            rules=RULES,
        )

    def test_overfull_ladder_worked_by_hand(self) -> None:
        # practice, worked by hand: 368 cables in 300 x 60 are 90 %; 203 fit at 50 %.
        (said,) = self.said(368)
        assert said.text == (
            "Ladder B-01: 368 cables fill 90 %, 165 cables more than its limit of 50 % takes."
        )
        assert said.severity is Severity.WARN

    def test_much_and_more_than_planned(self) -> None:
        # practice, worked by hand: 292 of 400 x 60 54 %; 142 of 300 x 60 are 35 %, 166 are 41 %.
        assert self.said(142)[0].rule == "fill_above_planned"
        assert "room for 61 more of this cable" in self.said(142)[0].text
        assert self.said(166)[0].rule == "fill_high"

    def test_a_calm_ladder_says_nothing(self) -> None:
        # 25 % of 18,000 mm2 is 4,500 mm2: 101 cables of 44.18 mm2 are within, 102 above.
        assert self.said(101) == []
        assert len(self.said(102)) == 1

    def test_a_size_that_is_missing(self) -> None:
        bare = line(2, (0, 0, 3_000), (9_000, 0, 3_000))
        assert self.said(0, bare) == []
        assert self.said(3, bare)[0].rule == "size_missing"

    def test_a_limit_set_by_hand_is_the_projects_own(self) -> None:
        own = line(
            3,
            (0, 0, 3_000),
            (9_000, 0, 3_000),
            width_mm=300.0,
            depth_mm=60.0,
            fill_limit_percent=30.0,
        )
        (said,) = self.said(142, own)
        assert said.rule == "fill_over_limit"
        assert said.evidence == "project"

    def test_one_cable_in_a_conduit_is_held_to_fifty_three_percent(self) -> None:
        # NEC Chapter 9 Table 1: 53 % for one cable.
        pipe = line(4, (0, 0, 3_000), (9_000, 0, 3_000), kind=PathwayKind.CONDUIT, bore_mm=10.0)
        (said,) = self.said(1, pipe)
        assert "53 %" in said.text
        assert said.evidence == "published"


class TestConduit:
    def test_sections_between_boxes(self) -> None:
        vertices = ((0, 0, 0), (20_000, 0, 0), (20_000, 20_000, 0))
        sections = conduit_sections(vertices, [], tolerance_mm=20)
        assert sections == [(40_000.0, pytest.approx(90.0))]
        cut = conduit_sections(vertices, [(20_000, 0)], tolerance_mm=20)
        assert [length for length, _ in cut] == [20_000.0, 20_000.0]
        # The bend lies in the box.
        assert [bends for _, bends in cut] == [0, 0]

    def test_thirty_metres_is_the_most(self) -> None:
        # TIA-569: 30 m and two bends of 90 degrees between pull points.
        short = line(1, (0, 0, 0), (30_000, 0, 0), kind=PathwayKind.CONDUIT)
        long = line(1, (0, 0, 0), (30_001, 0, 0), kind=PathwayKind.CONDUIT)
        assert check_conduit(short, [], GROUND, SETTINGS, RULES) == []
        (said,) = check_conduit(long, [], GROUND, SETTINGS, RULES)
        assert said.rule == "conduit_section_length"
        assert said.evidence == "published"
        assert check_conduit(long, [(15_000, 10)], GROUND, SETTINGS, RULES) == []

    def test_a_third_bend_is_too_many(self) -> None:
        corners = [(0, 0, 0), (3_000, 0, 0), (3_000, 3_000, 0), (6_000, 3_000, 0)]
        two = line(1, *corners, kind=PathwayKind.CONDUIT)
        three = line(1, *corners, (6_000, 6_000, 0), kind=PathwayKind.CONDUIT)
        assert check_conduit(two, [], GROUND, SETTINGS, RULES) == []
        (said,) = check_conduit(three, [], GROUND, SETTINGS, RULES)
        assert "270°" in said.text

    def test_a_basket_has_no_sections(self) -> None:
        basket = line(1, (0, 0, 0), (90_000, 0, 0))
        assert check_conduit(basket, [], GROUND, SETTINGS, RULES) == []


class TestEnds:
    SPINE = line(1, (0, 0, 3_000), (20_000, 0, 3_000))

    def ends(self, *others: Pathway, boxes: tuple = (), breaks: tuple = ()) -> list:  # type: ignore[type-arg]
        return check_pathway_ends(GROUND, [self.SPINE, *others], boxes, breaks, SETTINGS)

    def test_joined_is_calm(self) -> None:
        assert self.ends(line(2, (5_000, 0, 3_000), (5_000, 9_000, 3_000))) == []
        assert self.ends(line(2, (5_000, 20, 3_000), (5_000, 9_000, 3_000))) == []

    def test_a_small_gap_is_told(self) -> None:
        (said,) = self.ends(line(2, (5_000, 120, 3_000), (5_000, 9_000, 3_000)))
        assert said.text == "Basket B-02 ends 0.12 m from basket B-01 and does not join it."

    def test_far_apart_or_past_each_other_is_no_gap(self) -> None:
        assert self.ends(line(2, (5_000, 600, 3_000), (5_000, 9_000, 3_000))) == []
        # It crosses the spine and ends 0.3 m beyond.
        assert self.ends(line(2, (5_000, -300, 3_000), (5_000, 9_000, 3_000))) == []
        assert self.ends(line(2, (5_000, 120, -150), (5_000, 9_000, -150))) == []

    def test_a_break_by_hand_is_meant(self) -> None:
        other = line(2, (5_000, 120, 3_000), (5_000, 9_000, 3_000))
        apart = Break(
            id="break-00000001",
            floor=FLOOR,
            pathway_a=self.SPINE.id,
            pathway_b=other.id,
            x_mm=5_000,
            y_mm=0,
        )
        assert self.ends(other, breaks=(apart,)) == []

    def test_a_conduit_met_on_its_side_wants_a_box(self) -> None:
        pipe = line(2, (0, 5_000, 3_000), (20_000, 5_000, 3_000), kind=PathwayKind.CONDUIT)
        branch = line(3, (9_000, 5_000, 3_000), (9_000, 9_000, 3_000))
        (said,) = self.ends(pipe, branch)
        assert said.rule == "pathway_met_on_its_side"
        box = AccessPoint(
            id="access-point-00000001", floor=FLOOR, pathway=pipe.id, x_mm=9_000, y_mm=5_000
        )
        assert self.ends(pipe, branch, boxes=(box,)) == []
        at_end = line(3, (20_000, 5_000, 3_000), (20_000, 9_000, 3_000))
        assert self.ends(pipe, at_end) == []


class TestHeights:
    def said(self, pathway: Pathway, ceiling: Ceiling = Ceiling.ACCESSIBLE) -> list:  # type: ignore[type-arg]
        room = Space(
            id=SPACE,
            floor=FLOOR,
            number="0.01",
            outline=((0, 0), (12_000, 0), (12_000, 9_000), (0, 9_000)),
            ceiling=ceiling,
            ceiling_height_mm=2_700,
        )
        return check_heights(GROUND, [pathway], [room], SETTINGS, RULES)

    def test_seventy_five_millimetres_over_tiles(self) -> None:
        # TIA-569-C cl. 9.4.2.2: at least 75 mm over the tiles.
        assert self.said(line(1, (0, 5_000, 2_775), (9_000, 5_000, 2_775))) == []
        (said,) = self.said(line(1, (0, 5_000, 2_774), (9_000, 5_000, 2_774)))
        assert said.rule == "tray_close_over_ceiling"
        assert said.evidence == "published"

    def test_below_the_ceiling_is_noted(self) -> None:
        (said,) = self.said(line(1, (0, 5_000, 2_400), (9_000, 5_000, 2_400)))
        assert said.rule == "tray_below_ceiling"

    def test_where_there_is_no_ceiling_nothing_is_said(self) -> None:
        low = line(1, (0, 5_000, 2_400), (9_000, 5_000, 2_400))
        assert self.said(low, Ceiling.OPEN) == []

    def test_along_the_wall_outside_is_not_in_the_room(self) -> None:
        assert self.said(line(1, (0, 9_500, 2_710), (9_000, 9_500, 2_710))) == []

    def test_headroom(self) -> None:
        # TIA-569 (2015 on): 200 mm clear over a tray. Floor to floor 3.60 m, tray 60 mm deep.
        high = line(1, (0, 20_000, 3_341), (9_000, 20_000, 3_341), width_mm=300.0, depth_mm=60.0)
        fits = line(1, (0, 20_000, 3_340), (9_000, 20_000, 3_340), width_mm=300.0, depth_mm=60.0)
        assert [f.rule for f in self.said(high)] == ["tray_headroom"]
        assert self.said(fits) == []


def test_riser_with_its_ends_apart() -> None:
    # practice, worked by hand: imported with a shift of 1.20 m, the riser says so.
    riser = Riser(
        id="riser-00000001",
        number="R1",
        lower_floor=FLOOR,
        upper_floor=FLOOR,
        lower=(38_000, 17_500),
        upper=(39_200, 17_500),
    )
    (said,) = check_riser_ends(riser, SETTINGS)
    assert "its ends lie 1.20 m apart" in said.text
    straight = Riser(
        id="riser-00000001", lower_floor=FLOOR, upper_floor=FLOOR, lower=(0, 0), upper=(0, 50)
    )
    assert check_riser_ends(straight, SETTINGS) == []


def test_ports_and_area_of_a_frame() -> None:
    frame = PROJECT.frames[FRAME]
    assert check_frame_ports(frame, 480, SETTINGS, RULES) == []
    assert check_frame_ports(frame, 481, SETTINGS, RULES)[0].severity is Severity.WARN
    assert check_frame_area(frame, 1_000.0, SETTINGS, RULES) == []
    (said,) = check_frame_area(frame, 5_500.0, SETTINGS, RULES)
    assert "about 5,500 m²" in said.text
    assert said.evidence == "published"
    small = Frame(id=FRAME, floor=FLOOR, name="T1", x_mm=0, y_mm=0, ports_max=48)
    assert check_frame_ports(small, 49, SETTINGS, RULES)[0].evidence == "project"


def test_plan_without_scale() -> None:
    plan = Plan(
        id="plan-00000001",
        floor=FLOOR,
        name="Ground floor",
        source_name="a.dxf",
        source_sha256="0",
        drawing_sha256="0",
        mm_per_unit=1.0,
    )
    (said,) = check_plan_scale(plan, GROUND)
    assert said.severity is Severity.WARN
    assert "not scaled" in said.text
    scaled = Plan(
        id="plan-00000001",
        floor=FLOOR,
        name="Ground floor",
        source_name="a.dxf",
        source_sha256="0",
        drawing_sha256="0",
        mm_per_unit=1.0,
        scaled_by=ScaledBy.CALIBRATED,
    )
    assert check_plan_scale(scaled, GROUND) == []


def test_outlets_in_closed_spaces() -> None:
    shaft = Space(
        id=SPACE,
        floor=FLOOR,
        number="0.13",
        name="Lift",
        use=SpaceUse.LIFT_SHAFT,
        outline=((0, 0), (1, 0), (1, 1)),
    )
    (said,) = check_closed_space(outlet(1), shaft, GROUND, RULES)
    assert said.text == "Outlet 0-001 stands in 0.13 Lift, which is closed to cable."
    assert said.evidence == "published"
    opened = Space(
        id=SPACE,
        floor=FLOOR,
        use=SpaceUse.LIFT_SHAFT,
        closed_to_cable=False,
        outline=((0, 0), (1, 0), (1, 1)),
    )
    assert check_closed_space(outlet(1), opened, GROUND, RULES) == []
    assert check_closed_space(outlet(1), None, GROUND, RULES) == []


def test_outdoors_has_its_caution() -> None:
    mast, other = (outlet(i, way_down=WayDown.OUTDOOR_CONDUIT) for i in (1, 2))
    kinds = PROJECT.outlet_kinds

    def said(*outlets: Outlet) -> list[Finding]:
        return check_outdoors(GROUND, outlets, kinds, {}, {}, RULES)

    (one,) = said(mast, outlet(3))
    assert one.text.startswith("1 outlet on floor 0 is outdoors: it wants outdoor cable, surge")
    (both,) = said(other, mast)
    assert both.text.startswith("2 outlets on floor 0 are outdoors: they want outdoor cable")
    assert both.things == (FLOOR, mast.id, other.id)
    assert said(outlet(3)) == []


@pytest.mark.parametrize(
    ("state", "cables", "words"),
    [
        (State.TO_REMOVE, 24, "Basket B-1 is to remove, with 24 cables that stay in it; lay them"),
        (State.FUTURE, 1, "Basket B-1 is future, with 1 cable that stays in it now; make it new"),
        (State.TO_REMOVE, 0, ""),
        (State.NEW, 24, ""),
        (State.EXISTING, 24, ""),
        (State.TO_RELOCATE, 24, ""),
    ],
)
def test_cables_that_stay_lie_in_nothing_that_goes(state: State, cables: int, words: str) -> None:
    way = Pathway(
        id="pathway-00000001",
        floor=FLOOR,
        kind=PathwayKind.BASKET,
        number="B-1",
        vertices=((0, 0, 3_000), (9_000, 0, 3_000)),
        state=state,
    )
    found = check_going(way, going_fill(cables), name=pathway_name(way, GROUND), floor=FLOOR)
    assert [f.text.startswith(words) for f in found] == ([True] if words else [])
    assert all(f.severity is Severity.WARN and f.things == (way.id,) for f in found)


def going_fill(cables: int) -> Fill:
    return Fill(
        cables=cables,
        area_mm2=44.2 * cables,
        inside_mm2=18_000.0,
        ratio=0.1,
        limit_ratio=0.5,
        planned_ratio=0.25,
        places_left=100,
        cables_lying=cables,
        ratio_lying=0.1,
        cables_future=cables,
        ratio_future=0.1,
    )


def test_numbers() -> None:
    bare = outlet(1, named="")
    (said,) = check_unnumbered(GROUND, [bare, outlet(2)])
    assert said.text == "1 outlet on floor 0 has no number."
    assert said.things == (FLOOR, bare.id)
    assert check_unnumbered(GROUND, [outlet(2)]) == []
    (twice,) = check_duplicates(
        "outlets", [("b", "1", None), ("a", "1 ", None), ("c", "2", None), ("d", "", None)]
    )
    assert twice.things == ("a", "b")
    assert check_unlabelled(GROUND, [line(1, (0, 0, 0), (1, 0, 0))]) == []


def test_outside_every_space() -> None:
    (said,) = check_outside_spaces(GROUND, [outlet(1), outlet(2)], {outlet(1).id: SPACE})
    assert said.text == "1 outlet on floor 0 lies outside every space."


def test_client_list_against_what_is_placed() -> None:
    # practice, worked by hand: the client's list says 13, 12 are placed, difference -1.
    space = Space(
        id=SPACE,
        floor=FLOOR,
        number="0.01",
        name="Office",
        outline=((0, 0), (1, 0), (1, 1)),
    )
    kinds, asked = PROJECT.outlet_kinds, {DATA: 13}
    (said,) = check_required(space, asked, {DATA: 12}, kinds)
    assert "12 of 13 (difference -1)" in said.text
    assert said.severity is Severity.WARN
    assert check_required(space, asked, {DATA: 14}, kinds)[0].severity is Severity.NOTE
    assert check_required(space, asked, {DATA: 13, ACCESS_POINT: 1}, kinds) == []


def test_backbone_over_its_limit_warns_and_does_not_fail() -> None:
    cable = BackboneCable(
        id="backbone-cable-00000001",
        name="X1",
        from_id=FRAME,
        to_id="frame-00000002",
        cable_type=CABLE,
    )
    other = Frame(id="frame-00000002", floor=FLOOR, name="M", x_mm=9_000, y_mm=0)
    project = Project([*base(), other, cable])
    route = BackboneRoute(
        RunStatus.OVER, NoRoute.NONE, 80_000, 8_000, 4_000, 6_000, 0, 98_000, 98_600, 90_000
    )
    (said,) = check_backbone(cable, route, project, RULES)
    assert said.severity is Severity.WARN
    assert "98.0 m, 8.0 m over its limit of 90.0 m" in said.text


class TestServed:
    def test_area_of_a_space_with_a_hole(self) -> None:
        space = Space(
            id=SPACE,
            floor=FLOOR,
            outline=((0, 0), (12_000, 0), (12_000, 9_500), (0, 9_500)),
            holes=(((1_000, 1_000), (2_000, 1_000), (2_000, 3_000), (1_000, 3_000)),),
        )
        assert space_area_m2(space) == pytest.approx(114.0 - 2.0)

    def test_area_is_shared_by_runs(self) -> None:
        second = Frame(id="frame-00000002", floor=FLOOR, name="T2", x_mm=0, y_mm=0)
        project = Project([*base(), second, outlet(1), outlet(2, ports=1)])
        runs = runs_of(project, {outlet(2).id: HandRun(frame=second.id)})
        areas = areas_by_hand(runs, project, dict.fromkeys(project.outlets, SPACE))
        assert areas == {FRAME: pytest.approx(76.0), second.id: pytest.approx(38.0)}

    def test_ports_ended(self) -> None:
        project = Project(
            [
                *base(),
                outlet(1),
                outlet(2, state=State.TO_REMOVE),
                outlet(3, state=State.FUTURE),
                outlet(4, state=State.EXISTING),
            ]
        )
        assert ports_by_hand(runs_of(project), project) == {FRAME: 4}

    def test_placed(self) -> None:
        project = Project([*base(), outlet(1), outlet(2, state=State.TO_REMOVE)])
        assert placed_outlets(project, dict.fromkeys(project.outlets, SPACE)) == {SPACE: {DATA: 1}}


def test_floor_names_read_well() -> None:
    level = Floor(id=FLOOR, building="building-00000001", name="Level B", level_mm=0)
    assert "on Level B" in check_unnumbered(level, [outlet(1, named="")])[0].text


def test_count_table_beside_the_area_rule() -> None:
    # EIA/TIA-569 Table 4.4-1: 20 cables of 6.1 mm in a 2 in (53) conduit; by area 29 of its
    # bore of 52.5 mm at 40 %.
    pipe = line(1, (0, 0, 3_000), (9_000, 0, 3_000), kind=PathwayKind.CONDUIT, bore_mm=52.5)

    def fill(cables: int) -> Fill:
        area_mm2 = cables * cable_area_mm2(od_mm=6.1)
        left = 29 - cables
        return Fill(cables, area_mm2, 2164.8, 0.4, 0.4, 0.4, left, cables, 0.4, 0, 0.4)

    assert check_count_table(pipe, fill(20), name="Conduit", floor=FLOOR, rules=RULES) == []
    (said,) = check_count_table(pipe, fill(21), name="Conduit", floor=FLOOR, rules=RULES)
    assert said.text == (
        "Conduit: 21 cables of 6.1 mm; by area 29 may lie there, "
        "by the count table, which allows for bends, 20."
    )
    assert said.severity is Severity.NOTE
    assert said.evidence == "published"
    # Over the area rule there is a graver finding already; a basket has no table.
    assert check_count_table(pipe, fill(30), name="Conduit", floor=FLOOR, rules=RULES) == []
    basket = line(2, (0, 0, 3_000), (9_000, 0, 3_000), bore_mm=52.5)
    assert check_count_table(basket, fill(21), name="Basket", floor=FLOOR, rules=RULES) == []
