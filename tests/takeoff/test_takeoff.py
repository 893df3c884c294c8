"""The takeoff of designs whose every number was worked by hand beforehand."""

from collections import Counter

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.model.entities import (
    CableType,
    Floor,
    Frame,
    OutletKind,
    Panel,
    PortTemplate,
    Space,
)
from app.model.settings import Settings
from app.model.vocabulary import (
    Ceiling,
    Fixture,
    PanelKind,
    ProvidedBy,
    State,
    Termination,
    WayDown,
)
from app.routing.results import NoRoute
from app.takeoff.lines import Line, Section, Unit
from app.takeoff.takeoff import Takeoff, take_off
from tests.hand_designs import (
    CABLE,
    FLOOR,
    FRAME,
    HandRun,
    base,
    code,
    design_of,
    office,
    outlet,
)


def quantity(takeoff: Takeoff, beginning: str) -> int:
    """The pieces of all lines whose item begins so."""
    return sum(
        line.quantity
        for line in takeoff.lines
        if line.item.startswith(beginning) and line.unit is Unit.PIECE
    )


def settings_with(**changes: object) -> Settings:
    return Settings(id="settings", **changes)  # type: ignore[arg-type]


def test_office_counted_by_hand() -> None:
    # practice, worked by hand: 13 outlets, 26 runs, 25 % growth -> 33 -> 2 panels of 24,
    # faceplates 12, surface box 1, cable labels 52, tests 26, frame cords ceil(18.2) = 19.
    takeoff = take_off(design_of(office()))
    assert sum(c.runs for c in takeoff.cable) == 26
    assert quantity(takeoff, "Panel") == 2
    assert quantity(takeoff, "Faceplate") == 12
    assert quantity(takeoff, "Surface box") == 1
    assert quantity(takeoff, "Label on a cable") == 52
    assert quantity(takeoff, "Test of a link") == 26
    assert quantity(takeoff, "Cord at the frame") == 19


@pytest.mark.parametrize(
    ("kind", "jacks"),
    [(PanelKind.LOADED, 26), (PanelKind.UNLOADED, 52), (PanelKind.PUNCH_DOWN, 26)],
)
def test_jacks_by_kind_of_panel(kind: PanelKind, jacks: int) -> None:
    # practice, worked by hand: 26 with loaded panels, 52 with unloaded, none at a punch-down frame.
    takeoff = take_off(design_of(office(settings_with(panel_kind=kind))))
    assert quantity(takeoff, "Jack") == jacks


def test_field_plug_takes_no_jack_and_no_plate() -> None:
    # practice: a field plug takes no jack and no faceplate; unloaded panels still want one.
    things = [*base(), outlet(1, ports=1, termination=Termination.FIELD_PLUG)]
    takeoff = take_off(design_of(things))
    assert quantity(takeoff, "Faceplate") == 0
    assert quantity(takeoff, "Field plug") == 1
    assert [x.item for x in takeoff.section(Section.TERMINATION) if x.item.startswith("Jack")] == [
        "Jack, Cat 6A unshielded, at the frame"
    ]
    assert quantity(takeoff, "Cord at the outlet") == 0


def test_cords_are_as_long_as_what_they_reach() -> None:
    # practice: a cord of 3 m at a desk, 2 m at an access point, 1 m at a camera; 70 % patched:
    # ceil(0.7 × 6), ceil(0.7 × 4), ceil(0.7 × 2).
    kinds = {
        symbol: OutletKind(
            id=f"outlet-kind-{code(10 + i)}",
            name=symbol,
            symbol=symbol,
            ports=(PortTemplate(cable_type=CABLE),) * 2,
        )
        for i, symbol in enumerate(("console", "access_point", "camera"))
    }
    placed = ["console"] * 3 + ["access_point"] * 2 + ["camera"]
    things = [*base(), *kinds.values()]
    things += [outlet(i, kind=kinds[s].id) for i, s in enumerate(placed, start=1)]
    takeoff = take_off(design_of(things))
    for length, cords in (("3 m", 5), ("2 m", 3), ("1 m", 2)):
        assert quantity(takeoff, f"Cord at the outlet, {length}") == cords
    assert quantity(takeoff, "Cord at the frame, 2 m") == 9


def test_thirty_runs_of_eighty_metres_want_ten_boxes() -> None:
    # practice, worked by hand: 3 a box from 302 m, so 10 boxes.
    things = [*base(), *(outlet(i, ports=1) for i in range(30))]
    given_runs = {f"outlet-{code(i)}": HandRun(cut_mm=80_000) for i in range(30)}
    takeoff = take_off(design_of(things, given_runs))
    (boxes,) = takeoff.boxes
    assert (len(boxes.plan), boxes.bound, boxes.proven) == (10, 10, True)
    # 2 % of 30 runs pulled again is one run of 80 m; 62 m are left in a box, so one more box.
    assert (boxes.repull_runs, boxes.repull_boxes, boxes.spare_boxes, boxes.total) == (1, 1, 1, 12)


def test_only_what_is_new_is_ordered() -> None:
    # practice, worked by hand: 48 existing cables, 3 outlets added, 1 removed, 1 moved far:
    # 8 new runs, 4 cables to remove, one more panel with 20 ports free after.
    existing = [outlet(i, state=State.EXISTING) for i in range(1, 23)]
    things = [
        *base(),
        *existing,
        outlet(23, state=State.TO_REMOVE),
        outlet(24, state=State.TO_RELOCATE),
        *(outlet(i) for i in (25, 26, 27)),
    ]
    takeoff = take_off(design_of(things))
    assert sum(c.runs for c in takeoff.cable) == 8
    assert quantity(takeoff, "Cable to remove") == 4
    assert quantity(takeoff, "Panel") == 1
    (panels,) = takeoff.panels
    assert (panels.need.standing, panels.need.ports, panels.need.free_after) == (2, 52, 20)
    assert quantity(takeoff, "Faceplate") == 3
    untouched = {p.id for o in existing for p in o.ports}
    counted = {t for c in takeoff.cable for t in c.things}
    assert not untouched & counted


def test_panels_that_stand_are_those_that_were_entered() -> None:
    # practice: two panels of 24 are full; 4 ports go, 8 come: one more panel, 20 ports free.
    panels = tuple(
        Panel(name=name, cable_type=CABLE, state=state)
        for name, state in (
            ("A", State.EXISTING),
            ("B", State.EXISTING),
            ("X", State.TO_REMOVE),
        )
    )
    things = [
        *(msgspec.structs.replace(e, panels=panels) if isinstance(e, Frame) else e for e in base()),
        *(outlet(i, state=State.EXISTING) for i in range(1, 23)),
        outlet(23, state=State.TO_REMOVE),
        outlet(24, state=State.TO_RELOCATE),
        *(outlet(i) for i in (25, 26, 27)),
    ]
    takeoff = take_off(design_of(things))
    (need,) = (p.need for p in takeoff.panels)
    assert (need.standing, need.new, need.free_after) == (2, 1, 20)
    assert quantity(takeoff, "Panel") == 1
    (told,) = takeoff.panels
    assert (told.given, told.not_given) == (0, 8)


def test_a_frame_where_nothing_new_ends_gets_no_panel() -> None:
    # practice: 24 existing outlets of two ports fill two panels; new work elsewhere adds none.
    away = Frame(id="frame-00000002", floor=FLOOR, name="T2", x_mm=9_000, y_mm=0)
    things = [*base(), away, *(outlet(i, state=State.EXISTING) for i in range(1, 25)), outlet(25)]
    takeoff = take_off(design_of(things, {f"outlet-{code(25)}": HandRun(frame=away.id)}))
    bought = {line.frame: line.quantity for line in takeoff.lines if line.item.startswith("Panel")}
    assert bought == {away.id: 1}


def test_shielded_and_unshielded_do_not_share_a_panel() -> None:
    shielded = CableType(
        id="cable-type-00000002", name="Cat 6A F/UTP", category="6A", shielded=True, od_mm=7.5
    )
    things = [*base(), shielded, outlet(1), outlet(2, cable=shielded.id)]
    takeoff = take_off(design_of(things))
    assert [p.sort for p in takeoff.panels] == ["Cat 6A shielded", "Cat 6A unshielded"]
    assert quantity(takeoff, "Panel") == 2


def test_runs_without_a_route_are_said_and_not_measured() -> None:
    lost = HandRun(frame=None, reason=NoRoute.NO_PATHWAY)
    takeoff = take_off(design_of([*base(), outlet(1), outlet(2)], {f"outlet-{code(2)}": lost}))
    assert sum(c.runs for c in takeoff.cable) == 2
    assert len(takeoff.without_route) == 2
    assert any("2; their cable is not counted" in a.value for a in takeoff.assumptions)
    # practice: the outlet is placed, so what sits there is ordered; the rest follows the cable.
    assert quantity(takeoff, "Faceplate") == 2
    assert quantity(takeoff, "Jack, Cat 6A unshielded, at the outlet") == 4
    assert quantity(takeoff, "Label at a port, at the outlet") == 4
    for item, cabled in (
        ("Jack, Cat 6A unshielded, at the frame", 2),
        ("Label at a port, at the frame", 2),
        ("Label on a cable", 4),
        ("Test of a link", 2),
        ("Cord at the frame", 2),
        ("Cord at the outlet", 2),
    ):
        assert quantity(takeoff, item) == cabled, item
    (panels,) = takeoff.panels
    assert panels.need.ports == 2
    said = {a.name: a.value for a in takeoff.assumptions}
    assert said["Counted by the 2 runs with a route"].endswith("labels on cables, cords, tests")


def test_a_relocated_outlet_keeps_its_plate_and_gets_a_new_way_down() -> None:
    moved = outlet(1, state=State.TO_RELOCATE, way_down=WayDown.SERVICE_POLE)
    takeoff = take_off(design_of([*base(), moved]))
    assert quantity(takeoff, "Faceplate") == 0
    assert quantity(takeoff, "Service pole") == 1


@pytest.mark.parametrize("state", [State.FUTURE, State.TO_REMOVE])
def test_no_panel_for_a_frame_that_does_not_stand(state: State) -> None:
    things = [
        msgspec.structs.replace(t, state=state) if isinstance(t, Frame) else t for t in base()
    ]
    takeoff = take_off(design_of([*things, outlet(1)]))
    assert quantity(takeoff, "Panel") == 0
    said = {a.name: a.value for a in takeoff.assumptions}
    assert said["Panels of frame T1"].endswith("2 new runs end there")


def test_by_others_stands_apart() -> None:
    theirs = msgspec.structs.replace(outlet(2), provided_by=ProvidedBy.OTHERS)
    takeoff = take_off(design_of([*base(), outlet(1), theirs]))
    by = Counter({c.provided_by: c.runs for c in takeoff.cable})
    assert by == {ProvidedBy.US: 2, ProvidedBy.OTHERS: 2}
    assert {line.provided_by for line in takeoff.section(Section.OUTLETS)} == {
        ProvidedBy.US,
        ProvidedBy.OTHERS,
    }


def test_hooks_of_legs_once_an_outlet() -> None:
    # practice, worked by hand: a leg of 7.00 m hangs on ceil(7.00 / 1.5) = 5 hooks,
    # whatever the number of runs in it; 1.5 m and less on none.
    given_runs = {
        f"outlet-{code(1)}": HandRun(leg_mm=7_000),
        f"outlet-{code(2)}": HandRun(leg_mm=1_500),
    }
    takeoff = take_off(design_of([*base(), outlet(1), outlet(2)], given_runs))
    assert quantity(takeoff, "Hook on a leg") == 5


def test_every_line_says_what_it_counts() -> None:
    design = design_of(office())
    takeoff = take_off(design)
    ports = {p.id for o in design.project.outlets.values() for p in o.ports}
    for line in takeoff.lines:
        assert line.things
        assert all(t in design.project or t in ports for t in line.things)
    assert {t for c in takeoff.cable for t in c.things} == ports


STATES = st.sampled_from(list(State))
PLACES = st.sampled_from([FRAME, "frame-00000002", None])


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            STATES,
            st.integers(1, 4),
            st.integers(8_000, 320_000),
            PLACES,
            st.sampled_from(["floor-00000001", "floor-00000002"]),
            st.sampled_from(list(ProvidedBy)),
        ),
        max_size=40,
    )
)
def test_sums_agree_however_they_are_taken(rows: list[tuple]) -> None:  # type: ignore[type-arg]
    """By type, floor and frame the same metres as those of the runs; boxes hold them all."""
    things = [
        *base(),
        Floor(id="floor-00000002", building="building-00000001", name="1", level_mm=3_600),
        Frame(id="frame-00000002", floor="floor-00000002", name="T2", x_mm=0, y_mm=0),
    ]
    given_runs = {}
    for i, (state, ports, length, frame, floor, by) in enumerate(rows, start=1):
        made = outlet(i, ports=ports, state=state, floor=floor)
        things.append(msgspec.structs.replace(made, provided_by=by))
        given_runs[made.id] = HandRun(frame=frame, installed_mm=length)
    design = design_of(things, given_runs)
    takeoff, runs = take_off(design), design.runs

    pulled = [
        r
        for r, o in enumerate(runs.outlet_ids)
        if design.project.outlets[o].state in {State.NEW, State.TO_RELOCATE}
        and runs.frame_index[r] >= 0
    ]
    assert sum(c.runs for c in takeoff.cable) == len(pulled)
    assert sum(c.installed_mm for c in takeoff.cable) == sum(
        int(runs.installed_mm[r]) for r in pulled
    )
    assert sum(c.cut_mm for c in takeoff.cable) == sum(int(runs.cut_mm[r]) for r in pulled)
    assert sum(b.cut_mm for b in takeoff.boxes) == sum(c.cut_mm for c in takeoff.cable)
    for line in takeoff.cable:
        rows_of_line = [runs.row_of[p] for p in line.things]
        assert line.longest_mm == max(int(runs.installed_mm[r]) for r in rows_of_line)
        assert abs(line.mean_mm - line.installed_mm / line.runs) <= 0.5
    for boxes in takeoff.boxes:
        cut = [p for box in boxes.plan for p in box.ports] + list(boxes.too_long)
        assert len(cut) == len(set(cut)) == boxes.runs
        for box in boxes.plan:
            used = sum(int(runs.cut_mm[runs.row_of[p]]) for p in box.ports)
            assert used == box.cut_mm <= boxes.usable_mm
    labels = [x for x in takeoff.lines if x.item == "Label on a cable"]
    assert sum(x.quantity for x in labels) == 2 * len(pulled)


def test_kinds_without_plate_and_floor_boxes() -> None:
    floor_box = OutletKind(
        id="outlet-kind-00000003",
        name="Floor box",
        ports=(PortTemplate(cable_type=CABLE),),
        fixture=Fixture.FLOOR_BOX,
    )
    bare = OutletKind(
        id="outlet-kind-00000004",
        name="Bare",
        ports=(PortTemplate(cable_type=CABLE),),
        fixture=Fixture.NONE,
    )
    things = [*base(), floor_box, bare, outlet(1, kind=floor_box.id), outlet(2, kind=bare.id)]
    lines: tuple[Line, ...] = take_off(design_of(things)).section(Section.OUTLETS)
    # What hangs on the wall without a plate has a box behind it; a floor box is one itself.
    assert [(line.item, line.quantity, line.provided_by) for line in lines] == [
        ("Floor box for 2 ports", 1, ProvidedBy.US),
        ("Back box, single gang", 1, ProvidedBy.OTHERS),
    ]


def test_legs_above_a_hard_ceiling_lie_in_conduit() -> None:
    # Worked by hand, lengths of 3.05 m: 7.00 m is two whole ones and an end of 0.90; 2.00 m is
    # an end of 2.00; both ends come from one length: three lengths, couplings 2 + 0.
    things = [
        msgspec.structs.replace(t, ceiling=Ceiling.HARD) if isinstance(t, Space) else t
        for t in base()
    ]
    given_runs = {
        f"outlet-{code(1)}": HandRun(leg_mm=7_000),
        f"outlet-{code(2)}": HandRun(leg_mm=2_000),
    }
    takeoff = take_off(design_of([*things, outlet(1), outlet(2)], given_runs))
    assert quantity(takeoff, "Hook on a leg") == 0
    # practice: the least conduit to an outlet with two Cat 6A is 27. Straps, one every 3 m and
    # one at the end: 4 + 2.
    assert quantity(takeoff, "Conduit Ø 27 of a leg, length of 3.05 m") == 3
    assert quantity(takeoff, "Conduit Ø 27 of a leg, coupling") == 2
    assert quantity(takeoff, "Conduit Ø 27 of a leg, strap") == 6


def test_a_leg_in_a_raised_floor_hangs_on_nothing() -> None:
    one = outlet(1, way_down=WayDown.RAISED_FLOOR)
    takeoff = take_off(design_of([*base(), one], {one.id: HandRun(leg_mm=7_000)}))
    assert takeoff.section(Section.SUPPORTS) == ()
