"""A cure says what the building would really be: it is put in place and measured."""

import re

import pytest
from msgspec.structs import replace

from app.checks.finding import Finding
from app.checks.wording import length_text
from app.design import Design, evaluate
from app.editor.commands.records import apply_candidate
from app.jobs import read_project
from app.model.entities import CableType
from app.model.vocabulary import PathwayKind, Serves
from app.resource_files import sample_path
from app.siting.cures import cure_of
from tests.routing.buildings import Draft


@pytest.fixture(scope="module")
def terminal() -> Design:
    return read_project(sample_path("ferry-terminal.drawcord")).design


def of_rule(design: Design, rule: str) -> list[Finding]:
    return [f for f in design.findings if f.rule == rule]


def test_the_frame_that_is_named_brings_the_length_that_is_named(terminal: Design) -> None:
    project = terminal.project
    said = 0
    for finding in of_rule(terminal, "run_over_limit"):
        cure = cure_of(terminal, finding)
        match = re.fullmatch(r"A frame at (\w+) on floor \w+ would bring it to (.+?)\.", cure)
        if match is None:
            continue
        said += 1
        place = next(c for c in project.candidates.values() if c.name == match[1])
        after = evaluate(project.apply(apply_candidate(project, place.id)))
        outlet = project.outlets[finding.things[0]]
        rows = [after.runs.row_of[p.id] for p in outlet.ports]
        longest = max(int(after.runs.installed_mm[r]) for r in rows)
        assert length_text(longest, project.settings.units) == match[2]
    assert said >= 7


def test_no_reach_names_the_nearest_pathway_and_its_distance(terminal: Design) -> None:
    (first, *_rest) = of_rule(terminal, "run_without_route")
    cure = cure_of(terminal, first)
    far = re.search(r"passes ([\d.]+) m away, and a leg reaches ([\d.]+) m", cure)
    assert far is not None
    assert float(far[1]) > float(far[2])


def test_an_overfull_tray_gets_the_least_width_that_takes_its_cables(terminal: Design) -> None:
    for finding in of_rule(terminal, "fill_over_limit"):
        pathway = terminal.project.pathways[finding.things[0]]
        fill = terminal.fills[pathway.id]
        if pathway.width_mm is None:
            opening = re.search(r"opening of ([\d,]+) mm²", cure_of(terminal, finding))
            assert opening is not None
            needed = fill.area_mm2 / fill.limit_ratio
            assert int(opening[1].replace(",", "")) == pytest.approx(needed, abs=1)
            continue
        match = re.match(
            r"At (\d+) × (\d+) mm it would be (\d+) % full", cure_of(terminal, finding)
        )
        assert match is not None
        wide, deep = int(match[1]), int(match[2])
        assert fill.area_mm2 / (wide * deep) <= fill.limit_ratio
        assert fill.area_mm2 / ((wide - 50) * deep) > fill.limit_ratio
        assert wide > (pathway.width_mm or 0)


def test_what_needs_no_more_words_gets_none(terminal: Design) -> None:
    for finding in of_rule(terminal, "leg_long"):
        assert cure_of(terminal, finding) == ""


def one_conduit(cables: int, **settings: float) -> Design:
    """So many runs of 8.65 mm through one conduit of 27 mm."""
    draft = Draft(levels=(0,), **settings).conduit("a", 0, [(0, 0, 3_000), (9_000, 0, 3_000)])
    cable = next(t for t in draft.things if isinstance(t, CableType))
    draft.things[draft.things.index(cable)] = replace(cable, od_mm=8.65)
    draft.frame("f", 0, 0, 500).outlet("o", 0, 9_000, 500, ports=cables)
    return evaluate(draft.project())


def test_conduits_side_by_side_hold_whole_cables() -> None:
    # By hand: 40 % of 572.6 mm2 is 229.0 mm2, a cable has 58.8, so one conduit takes 3 of them
    # and not 3.9: seven want three conduits, though their section would fit two.
    design = one_conduit(7)
    (over,) = of_rule(design, "fill_over_limit")
    assert cure_of(design, over) == "3 of this size side by side would take these cables."


def test_where_nothing_may_lie_no_size_is_a_cure() -> None:
    draft = Draft(levels=(0,), hook_fill_most_percent=0.0)
    draft.pathway("a", 0, [(0, 0, 3_000), (9_000, 0, 3_000)], PathwayKind.HOOKS)
    draft.frame("f", 0, 0, 500).outlet("o", 0, 9_000, 500)
    design = evaluate(draft.project())
    (over,) = of_rule(design, "fill_over_limit")
    assert cure_of(design, over) == ""


def test_a_place_beside_a_riser_without_a_number_is_named_in_words() -> None:
    draft = Draft(levels=(0, 4_000), serves=Serves.ANY)
    draft.pathway("a", 0, [(0, 0, 3_000), (95_000, 0, 3_000)]).riser("r", 0, 1, (90_000, 0))
    draft.pathway("b", 1, [(90_000, 0, 3_000), (95_000, 0, 3_000)])
    draft.frame("f", 0, 0, 500).outlet("o", 0, 95_000, 500)
    riser = draft.things[-4]
    draft.things[-4] = replace(riser, number="")
    design = evaluate(draft.project())
    (over,) = of_rule(design, "run_over_limit")
    assert cure_of(design, over).startswith("A frame beside a riser without a number on floor 0 ")
