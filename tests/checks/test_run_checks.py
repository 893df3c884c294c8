"""What is said of runs: who fails, in which words, and the same for a few rows as for all."""

from dataclasses import replace

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.checks.finding import Severity, in_order
from app.checks.leg_length import check_legs
from app.checks.length_reason import check_backbone_reason, check_length_reasons
from app.checks.run_length import check_run_lengths
from app.checks.run_odd import check_odd_runs
from app.checks.run_route import REASONS, check_routes
from app.checks.third_floor import check_third_floors
from app.checks.wording import length_and_excess
from app.model.entities import BackboneCable, Entity, Floor
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import Units
from app.routing.results import NoRoute, Runs
from app.standards import load_rules
from tests.hand_designs import CABLE, FLOOR, HandRun, base, code, outlet, runs_of

RULES = load_rules()


def laid(
    *outlets: Entity, given_runs: dict[str, HandRun], settings_: Settings | None = None
) -> tuple[Project, Runs]:
    project = Project([*base(settings_), *outlets])
    return project, runs_of(project, given_runs)


def test_over_the_limit_in_words() -> None:
    project, runs = laid(
        outlet(41, ports=1, named="2-041"),
        given_runs={f"outlet-{code(41)}": HandRun(installed_mm=97_300)},
    )
    (said,) = check_run_lengths(runs, project, RULES)
    assert said.text == (
        "Outlet 2-041: 97.3 m to frame T1, 7.3 m over the 90 m permanent link "
        "(TIA-568 / ISO/IEC 11801-2), of it 3.9 m allowance."
    )
    assert said.severity is Severity.FAIL
    assert said.key == f"run_over_limit:outlet-{code(41)}"
    assert said.things[0] == f"outlet-{code(41)}"
    assert said.evidence == "published"
    assert "TIA-568" in said.clause


def test_a_hair_over_is_told_to_the_centimetre() -> None:
    project, runs = laid(
        outlet(1, ports=1), given_runs={f"outlet-{code(1)}": HandRun(installed_mm=90_040)}
    )
    assert "90.04 m to frame T1, 0.04 m over" in check_run_lengths(runs, project, RULES)[0].text


@pytest.mark.parametrize(
    ("length_mm", "words"),
    [
        # 88.55 and 1.45 both round up; printed side by side they must still make 90.
        (88_550, ("88.6 m", "1.4 m")),
        (97_250, ("97.3 m", "7.3 m")),
        (97_249, ("97.2 m", "7.2 m")),
        (90_000, ("90.00 m", "0.00 m")),
        (89_950, ("89.95 m", "0.05 m")),
        (90_100, ("90.1 m", "0.1 m")),
    ],
)
def test_length_and_margin_agree_as_printed(length_mm: int, words: tuple[str, str]) -> None:
    assert length_and_excess(length_mm, 90_000, Units.METRIC) == words


def test_exactly_at_the_limit_is_near_and_does_not_fail() -> None:
    # practice, worked by hand: 90.00 m is within, margin 0.0, near.
    project, runs = laid(
        outlet(1, ports=1), given_runs={f"outlet-{code(1)}": HandRun(installed_mm=90_000)}
    )
    (said,) = check_run_lengths(runs, project, RULES)
    assert said.severity is Severity.NOTE
    assert said.rule == "run_near_limit"


def test_existing_and_tested_does_not_fail() -> None:
    project, runs = laid(
        outlet(1, ports=1),
        given_runs={f"outlet-{code(1)}": HandRun(installed_mm=97_300, counted=False)},
    )
    (said,) = check_run_lengths(runs, project, RULES)
    assert said.severity is Severity.NOTE
    assert "fails no check" in said.text


def test_one_finding_an_outlet_and_the_longest_told() -> None:
    project, runs = laid(
        outlet(1),
        given_runs={
            "port-00000100": HandRun(installed_mm=95_000),
            "port-00000101": HandRun(installed_mm=96_500),
        },
    )
    (said,) = check_run_lengths(runs, project, RULES)
    assert "(2 runs, longest): 96.5 m" in said.text
    assert set(said.things) >= {"port-00000100", "port-00000101"}


def test_a_limit_of_ones_own_is_no_standard() -> None:
    project, runs = laid(
        outlet(1, ports=1),
        given_runs={f"outlet-{code(1)}": HandRun(installed_mm=87_000, limit_mm=85_000)},
    )
    cable = msgspec.structs.replace(project.cable_types[CABLE], limit_mm=85_000)
    others = [e for e in project.entities() if e.id != CABLE]
    (said,) = check_run_lengths(runs, Project([*others, cable]), RULES)
    assert "85 m limit of this project" in said.text
    assert said.evidence == "project"


def test_feet_where_feet_are_wanted() -> None:
    project, runs = laid(
        outlet(1, ports=1),
        given_runs={f"outlet-{code(1)}": HandRun(installed_mm=97_300)},
        settings_=Settings(id="settings", units=Units.US),
    )
    text = check_run_lengths(runs, project, RULES)[0].text
    # 97.3 m is 319.2 ft, 90 m is 295.3 ft (0.3048 m a foot, exactly); as printed 23.9 apart.
    assert "319.2 ft to frame T1, 23.9 ft over the 295.3 ft" in text


@pytest.mark.parametrize("reason", [r for r in NoRoute if r is not NoRoute.NONE])
def test_no_route_says_why(reason: NoRoute) -> None:
    project, runs = laid(
        outlet(1), given_runs={f"outlet-{code(1)}": HandRun(frame=None, reason=reason)}
    )
    (said,) = check_routes(runs, project)
    assert said.severity is Severity.FAIL
    assert REASONS[reason] in said.text
    assert said.text == f"Outlet 0-001 (2 runs): no route; {REASONS[reason]}."


def test_no_route_says_it_more_exactly_if_it_can() -> None:
    project, runs = laid(
        outlet(1, ports=1),
        given_runs={f"outlet-{code(1)}": HandRun(frame=None, reason=NoRoute.LEG_CROSSES)},
    )
    (said,) = check_routes(runs, project, reason_of=lambda _: "The leg crosses shaft 0.13.")
    assert said.text == "Outlet 0-001: no route; the leg crosses shaft 0.13."


def test_long_leg_advises_a_branch() -> None:
    project, runs = laid(
        outlet(1),
        outlet(2),
        given_runs={
            f"outlet-{code(1)}": HandRun(leg_mm=7_900),
            f"outlet-{code(2)}": HandRun(leg_mm=6_000),
        },
    )
    (said,) = check_legs(runs, project, RULES, floor_ids=[FLOOR])
    assert said.text == (
        "1 outlet on floor 0 has a leg longer than 6.0 m: 7.9 m at outlet 0-001; draw a branch."
    )
    assert said.severity is Severity.NOTE
    assert said.evidence == "practice"
    assert said.key == f"leg_long:{FLOOR}"


def test_long_legs_of_a_floor_are_one_matter() -> None:
    legs = {1: 6_100, 2: 11_400, 3: 5_000, 4: 8_000, 5: 20_000}
    upper = Floor(id="floor-00000002", building="building-00000001", name="1", level_mm=4_000)
    project, runs = laid(
        upper,
        *(outlet(i, ports=1, floor=upper.id if i == 5 else FLOOR) for i in legs),
        given_runs={f"outlet-{code(i)}": HandRun(leg_mm=leg) for i, leg in legs.items()},
    )
    ground, first = check_legs(runs, project, RULES, floor_ids=[FLOOR, upper.id])
    assert ground.text == (
        "3 outlets on floor 0 have legs longer than 6.0 m, the longest 11.4 m at outlet 0-002; "
        "draw branches."
    )
    assert ground.things == (
        FLOOR,
        *(f"outlet-{code(i)}" for i in (2, 4, 1)),
        *(f"port-{i:06d}00" for i in (2, 4, 1)),
    )
    assert first.excess > ground.excess
    assert check_legs(runs, project, RULES, floor_ids=[upper.id]) == [first]


def test_the_worst_of_a_rule_comes_first() -> None:
    lengths = {1: 90_500, 2: 108_400, 3: 97_300}
    project, runs = laid(
        *(outlet(i, ports=1) for i in lengths),
        given_runs={f"outlet-{code(i)}": HandRun(installed_mm=mm) for i, mm in lengths.items()},
    )
    found = sorted(check_run_lengths(runs, project, RULES), key=in_order)
    assert [f.things[0] for f in found] == [f"outlet-{code(i)}" for i in (2, 3, 1)]


def test_third_floor_is_warned_of() -> None:
    project, runs = laid(
        outlet(1, ports=1), given_runs={f"outlet-{code(1)}": HandRun(third_floor=True)}
    )
    (said,) = check_third_floors(runs, project)
    assert said.severity is Severity.WARN
    assert "1 run to frame T1 uses a floor" in said.text


def test_very_short_and_very_tall_runs_deserve_a_look() -> None:
    # practice: any run under 5 m, or with verticals over 15 m.
    project, runs = laid(
        outlet(1, ports=1),
        outlet(2, ports=1),
        given_runs={
            f"outlet-{code(1)}": HandRun(installed_mm=4_996),
            f"outlet-{code(2)}": HandRun(installed_mm=5_000),
        },
    )
    (said,) = check_odd_runs(runs, project, RULES)
    assert said.text.startswith("Outlet 0-001: only 5.00 m to frame T1")
    tall = replace(runs, vertical_mm=np.array([15_000, 15_001]))
    assert [f.rule for f in check_odd_runs(tall, project, RULES)] == [
        "run_very_short",
        "run_very_tall",
    ]


def test_of_several_odd_runs_of_an_outlet_the_oddest_is_told() -> None:
    project, runs = laid(
        outlet(1),
        given_runs={
            "port-00000100": HandRun(installed_mm=4_500),
            "port-00000101": HandRun(installed_mm=1_200),
        },
    )
    (said,) = check_odd_runs(runs, project, RULES)
    assert said.text.startswith("Outlet 0-001: only 1.20 m to frame T1")
    assert said.excess == 3_800


def test_a_changed_length_wants_its_reason() -> None:
    one = outlet(1, ports=1)
    floor = Project(base()).floors[one.floor]
    added = msgspec.structs.replace(
        one, ports=(msgspec.structs.replace(one.ports[0], added_mm=500),)
    )
    told = msgspec.structs.replace(
        one,
        ports=(msgspec.structs.replace(one.ports[0], added_mm=500, length_reason="detour"),),
    )
    assert check_length_reasons(one, floor) == []
    assert check_length_reasons(told, floor) == []
    assert check_length_reasons(added, floor)[0].rule == "length_without_reason"
    cable = BackboneCable(
        id="backbone-cable-00000001",
        name="F1",
        from_id="frame-00000001",
        to_id="frame-00000002",
        cable_type="cable-type-00000001",
    )
    longer = msgspec.structs.replace(cable, added_mm=4_000)
    assert check_backbone_reason(cable, floor.id) == []
    assert check_backbone_reason(longer, floor.id)[0].things == (cable.id,)
    assert check_backbone_reason(msgspec.structs.replace(longer, length_reason="duct"), None) == []


HAND = st.builds(
    HandRun,
    frame=st.sampled_from(["frame-00000001", None]),
    installed_mm=st.integers(20_000, 120_000),
    leg_mm=st.integers(0, 9_000),
    counted=st.booleans(),
    third_floor=st.booleans(),
    reason=st.sampled_from(list(NoRoute)),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(HAND, min_size=1, max_size=12), st.data())
def test_a_few_outlets_again_say_the_same_as_all(hand: list[HandRun], data: st.DataObject) -> None:
    outlets = [outlet(i, ports=1 + i % 3) for i in range(1, len(hand) + 1)]
    given_runs = {o.id: h for o, h in zip(outlets, hand, strict=True)}
    project, runs = laid(*outlets, given_runs=given_runs)
    some = data.draw(st.sets(st.sampled_from([o.id for o in outlets])))
    rows = np.array([r for r, o in enumerate(runs.outlet_ids) if o in some], dtype=np.int64)

    def everything(rows: np.ndarray | None) -> list:
        return [
            *check_run_lengths(runs, project, RULES, rows=rows),
            *check_routes(runs, project, rows=rows),
            *check_third_floors(runs, project, rows=rows),
        ]

    assert everything(rows) == [f for f in everything(None) if f.things[0] in some]
    failing = {
        p for r, p in enumerate(runs.port_ids) if runs.counted[r] and (runs.status[r] in (2, 3))
    }
    told = {
        t
        for f in everything(None)
        if f.severity is Severity.FAIL
        for t in f.things
        if t.startswith("port-")
    }
    assert told == failing
