"""Added and known lengths of whole runs are never set without their reason."""

import pytest

from app.design import evaluate, parts_of
from app.editor.asking import InputProblem
from app.editor.commands.lengths import set_walked
from app.routing.results import PartSort
from app.takeoff.takeoff import take_off
from tests.editor.small_building import BACKBONE, OUTLET_1, RULES, building


def first_port(project):
    return project.outlets[OUTLET_1].ports[0]


def test_the_length_and_its_reason_are_one_edit():
    project = building()
    port = first_port(project).id
    patch = set_walked(project, [port], "added_mm", 4_000, "round the duct")
    after = project.apply(patch)
    assert (first_port(after).added_mm, first_port(after).length_reason) == (
        4_000,
        "round the duct",
    )
    assert patch.label == "Set added of 1 port to 4.00 m"
    parts = [p for p in parts_of(evaluate(after), port) if p.sort is PartSort.ADDED]
    assert [(p.name, p.length_mm) for p in parts] == [("added: round the duct", 4_000)]


def test_without_a_reason_it_is_refused_and_with_the_length_the_reason_goes():
    project = building()
    port = first_port(project).id
    with pytest.raises(InputProblem, match="reason"):
        set_walked(project, [port], "replaced_mm", 61_200, " ")
    set_once = project.apply(set_walked(project, [port], "replaced_mm", 61_200, "by tape"))
    gone = set_once.apply(set_walked(set_once, [port], "replaced_mm", None, ""))
    assert gone == project


def test_a_backbone_cable_has_one_too_and_the_takeoff_lists_them():
    project = building()
    after = project.apply(set_walked(project, [BACKBONE], "added_mm", 2_500, "up and over"))
    cable = after.backbone_cables[BACKBONE]
    assert (cable.added_mm, cable.length_reason) == (2_500, "up and over")
    port = first_port(after).id
    after = after.apply(set_walked(after, [port], "replaced_mm", 61_200, "by tape"))
    design = evaluate(after)
    told = {a.name: a.value for a in take_off(design, rules=RULES).assumptions}
    assert told["2 lengths as walked"] == "61.2 m measured by tape; +2.5 m up and over"
