"""What ways down are made of, as the settings say, and back to what is usual."""

import random

import pytest

from app.design import evaluate
from app.design.ways_down import way_down_of
from app.editor.commands.way_parts import (
    rule_of,
    set_way_part,
    way_part_as_usual,
    ways_as_usual,
)
from app.model.project import Project
from app.model.settings import WAYS, WayRule
from app.model.vocabulary import ProvidedBy, WayDown, WayPart
from app.model.ways_down import PARTS_OF_WAY
from app.takeoff.takeoff import take_off
from tests.routing.buildings import Draft, made

WALL, STUB, BOX = WayDown.WALL_CAVITY, WayPart.STUB, WayPart.BACK_BOX
EVERY = [(way, part) for way, parts in PARTS_OF_WAY.items() for part in parts]


def hall() -> Project:
    draft = Draft(levels=(0,)).pathway("b", 0, [(0, 12_000, 3_000), (60_000, 12_000, 3_000)])
    draft.frame("f", 0, 2_000, 15_000).outlet("o", 0, 42_000, 5_000, height_mm=450, ports=2)
    return draft.project()


def counted(project: Project) -> dict[str, ProvidedBy]:
    found = ("Back box", "Stub conduit")
    lines = take_off(evaluate(project)).lines
    return {x.item: x.provided_by for x in lines if x.item.startswith(found)}


def test_a_part_left_out_is_neither_counted_nor_told() -> None:
    patch = set_way_part(hall(), WALL, STUB, None)
    assert patch.label == "Leave out stub (wall cavity)"
    project = hall().apply(patch)
    assert counted(project) == {"Back box, single gang": ProvidedBy.OTHERS}
    way = way_down_of(evaluate(project), project.outlets[made("outlet", "o")])
    assert [p.part for p in way.pieces] == [BOX]


def test_the_provider_goes_into_the_takeoff() -> None:
    rule = WayRule(way=WALL, part=BOX, provided_by=ProvidedBy.OWNER)
    patch = set_way_part(hall(), WALL, BOX, rule)
    assert patch.label == "Set provider of back box (wall cavity) to owner"
    assert counted(hall().apply(patch))["Back box, single gang"] is ProvidedBy.OWNER


@pytest.mark.parametrize("seed", range(20))
def test_whatever_was_set_goes_back_to_the_usual(seed: int) -> None:
    source, project = random.Random(seed), hall()
    for way, part in source.sample(EVERY, 6):
        by = source.choice([None, *ProvidedBy])
        rule = None if source.random() < 0.4 else WayRule(way=way, part=part, provided_by=by)
        project = project.apply(set_way_part(project, way, part, rule))
        assert rule_of(project.settings.ways, way, part) == rule
    at_once = project.apply(ways_as_usual(project))
    assert at_once.settings.ways == WAYS
    source.shuffle(EVERY)
    for way, part in EVERY:
        project = project.apply(way_part_as_usual(project, way, part))
    assert project == at_once == hall()
    assert not ways_as_usual(project).changes
