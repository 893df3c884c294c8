"""All checks together: order, waivers, and groups that may be run again for a few things."""

from hypothesis import given, settings
from hypothesis import strategies as st

from app.checks.checked import Touched, check_again, check_all, check_everything
from app.checks.every_check import (
    Facts,
    check_floor_legs,
    check_floor_outlets,
    check_floor_pathways,
    check_outlets,
    check_pathways,
    check_runs,
)
from app.checks.finding import Severity
from app.checks.served import placed_outlets
from app.model.entities import Entity, Pathway, Waiver
from app.model.project import Project
from app.model.rooms import asked_for
from app.model.vocabulary import PathwayKind, WayDown
from app.sizing.pathway_fill import fill_rules
from app.standards import load_rules
from tests.hand_designs import (
    FLOOR,
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


def facts(things: list[Entity], given_runs: dict[str, HandRun] | None = None) -> Facts:
    project = Project(things)
    runs = runs_of(project, given_runs)
    space_of = dict.fromkeys(project.outlets, SPACE)
    return Facts(
        project=project,
        rules=RULES,
        fill_rules=fill_rules(settings=project.settings, rules=RULES),
        runs=runs,
        space_of=space_of,
        fills={},
        passing={},
        backbone={},
        placed=placed_outlets(project, space_of),
        required=asked_for(project).by_space,
        ports=ports_by_hand(runs, project),
        areas_m2=areas_by_hand(runs, project, space_of),
        riser_floors={},
    )


OVER = {f"outlet-{code(1)}": HandRun(installed_mm=97_300)}
THINGS = [
    *base(),
    outlet(1),
    outlet(2, named="0-001"),
    outlet(3, named=""),
    outlet(4, way_down=WayDown.OUTDOOR_CONDUIT),
    Pathway(
        id="pathway-00000001",
        floor=FLOOR,
        kind=PathwayKind.CONDUIT,
        vertices=((0, 0, 3_000), (50_000, 0, 3_000)),
    ),
]


def test_the_gravest_comes_first_and_keys_are_single() -> None:
    found = check_everything(facts(THINGS, OVER))
    assert [f.severity for f in found] == sorted(f.severity for f in found)
    assert found[0].severity is Severity.FAIL
    assert len({f.key for f in found}) == len(found)
    assert {f.rule for f in found} == {
        "run_over_limit",
        "number_twice",
        "outlets_unnumbered",
        "pathways_unnumbered",
        "outlet_outdoors",
        "conduit_section_length",
    }
    assert all(f.text.endswith(".") for f in found)


def test_a_waiver_marks_and_does_not_hide() -> None:
    key = f"run_over_limit:outlet-{code(1)}"
    waiver = Waiver(id="waiver-00000001", finding=key, reason="temporary stand", by="N. N.")
    found = {f.key: f for f in check_everything(facts([*THINGS, waiver], OVER))}
    assert found[key].waived
    assert sum(f.waived for f in found.values()) == 1


def test_groups_add_up_over_their_things() -> None:
    whole = facts(THINGS, OVER)
    outlets = list(whole.project.outlets)
    singly = [f for o in outlets for f in check_runs(whole, [o])]
    assert sorted(f.key for f in singly) == sorted(f.key for f in check_runs(whole))
    singly = [f for o in outlets for f in check_outlets(whole, [o])]
    assert singly == check_outlets(whole, outlets)
    for check in (check_floor_outlets, check_floor_pathways, check_floor_legs):
        assert check(whole, [FLOOR]) == check(whole, whole.project.floors)
    assert check_pathways(whole, ["pathway-00000001"]) == check_pathways(
        whole, whole.project.pathways
    )


def test_every_finding_has_an_authority_or_plain_sense() -> None:
    for finding in check_everything(facts(THINGS, OVER)):
        assert finding.evidence in {"published", "memory", "practice", "project", "house"}
        assert finding.things


HAND = st.builds(
    HandRun,
    frame=st.sampled_from(["frame-00000001", None]),
    installed_mm=st.integers(60_000, 110_000),
    leg_mm=st.integers(0, 9_000),
    counted=st.booleans(),
)
OUTLETS = st.dictionaries(
    st.integers(1, 8), st.tuples(HAND, st.sampled_from(["", "A", "B", "C"])), max_size=8
)
PATHWAYS = st.dictionaries(
    st.integers(1, 4), st.tuples(st.integers(0, 30), st.integers(25, 36)), max_size=4
)


def made(outlets: dict, pathways: dict) -> tuple[list[Entity], dict[str, HandRun]]:  # type: ignore[type-arg]
    things = [*base()]
    given_runs = {}
    for i, (hand, number) in sorted(outlets.items()):
        things.append(outlet(i, ports=1 + i % 2, named=number))
        given_runs[f"outlet-{code(i)}"] = hand
    for i, (y, height) in sorted(pathways.items()):
        kind = PathwayKind.CONDUIT if i % 2 else PathwayKind.BASKET
        vertices = ((0, 100 * y, 100 * height), (12_000 * i, 100 * y, 100 * height))
        things.append(Pathway(id=f"pathway-{code(i)}", floor=FLOOR, kind=kind, vertices=vertices))
    return things, given_runs


@settings(max_examples=150, deadline=None)
@given(OUTLETS, PATHWAYS, OUTLETS, PATHWAYS)
def test_checked_again_is_checked_anew(
    outlets: dict,  # type: ignore[type-arg]
    pathways: dict,  # type: ignore[type-arg]
    outlets_after: dict,  # type: ignore[type-arg]
    pathways_after: dict,  # type: ignore[type-arg]
) -> None:
    before = check_all(facts(*made(outlets, pathways)))
    after = facts(*made(outlets_after, pathways_after))

    def changed(one: dict, other: dict) -> set:  # type: ignore[type-arg]
        return {k for k in one.keys() | other.keys() if one.get(k) != other.get(k)}

    moved, laid = changed(outlets, outlets_after), changed(pathways, pathways_after)
    touched = Touched(
        outlets=frozenset(f"outlet-{code(i)}" for i in moved),
        leg_floors=frozenset({FLOOR} if moved else ()),
        outlet_floors=frozenset({FLOOR} if moved else ()),
        pathways=frozenset(f"pathway-{code(i)}" for i in laid),
        pathway_floors=frozenset({FLOOR} if laid else ()),
        frames=frozenset({"frame-00000001"} if moved else ()),
        spaces=frozenset({SPACE} if moved else ()),
        numbers=bool(moved),
    )
    assert check_again(before, after, touched).findings == check_all(after).findings


def test_nothing_touched_keeps_what_was_said() -> None:
    whole = facts(THINGS, OVER)
    before = check_all(whole)
    again = check_again(before, whole, Touched())
    assert again.findings == before.findings
    assert all(again.groups[name] is before.groups[name] for name in before.groups)


def test_a_waiver_alone_marks_its_finding_again() -> None:
    before = check_all(facts(THINGS, OVER))
    waiver = Waiver(
        id="waiver-00000001",
        finding=f"run_over_limit:outlet-{code(1)}",
        reason="temporary stand",
        by="N. N.",
    )
    after = facts([*THINGS, waiver], OVER)
    again = check_again(before, after, Touched())
    assert again.findings == check_all(after).findings
    assert [f.key for f in again.findings if f.waived] == [waiver.finding]
