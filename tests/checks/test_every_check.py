"""All checks together: order, waivers, and groups that may be run again for a few things."""

from app.checks.every_check import (
    Facts,
    check_everything,
    check_floors,
    check_outlets,
    check_pathways,
    check_runs,
)
from app.checks.finding import Severity
from app.checks.served import areas_served_m2, placed_outlets, ports_at_frames
from app.model.entities import Entity, Pathway, Waiver
from app.model.project import Project
from app.model.vocabulary import PathwayKind, WayDown
from app.sizing.pathway_fill import fill_rules
from app.standards import load_rules
from tests.hand_designs import FLOOR, SPACE, HandRun, base, code, outlet, runs_of

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
        backbone={},
        placed=placed_outlets(project, space_of),
        ports=ports_at_frames(runs, project),
        areas_m2=areas_served_m2(runs, project, space_of),
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
    assert check_floors(whole, [FLOOR]) == check_floors(whole, whole.project.floors)
    assert check_pathways(whole, ["pathway-00000001"]) == check_pathways(
        whole, whole.project.pathways
    )


def test_every_finding_has_an_authority_or_plain_sense() -> None:
    for finding in check_everything(facts(THINGS, OVER)):
        assert finding.evidence in {"published", "memory", "practice", "project", "house"}
        assert finding.things
