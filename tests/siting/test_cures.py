"""A cure says what the building would really be: it is put in place and measured."""

import re

import pytest

from app.checks.finding import Finding
from app.checks.wording import length_text
from app.design import Design, evaluate
from app.editor.commands.records import apply_candidate
from app.jobs import read_project
from app.resource_files import sample_path
from app.siting.cures import cure_of


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
