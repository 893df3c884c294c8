import pytest

from app.editor.asking import InputProblem, Question
from app.editor.commands.field_ranges import RANGES
from app.editor.commands.fields import set_fields, set_port_fields
from app.editor.commands.ports import add_ports, change_kind, remove_ports
from app.model.integrity import check_project
from app.model.project import TYPE_OF_TAG, Patch, Project
from app.model.vocabulary import AccessKind, PathwayKind, State, WayDown
from tests.editor.small_building import (
    BOX,
    CEILING,
    CONDUIT,
    DATA,
    DROP_OUT,
    GROUND,
    MAIN,
    OUTLET_1,
    OUTLET_2,
    RULES,
    TRAY,
    UPPER,
    building,
    source,
)


def _done(project: Project, outcome: Patch | Question | None) -> Project:
    assert isinstance(outcome, Patch), outcome
    after = project.apply(outcome)
    check_project(after)
    assert after.apply(outcome.inverse()) == project
    return after


def test_one_field_of_many_things_is_set_at_once():
    project = building()
    patch = set_fields(
        project, [OUTLET_1, OUTLET_2, TRAY, DROP_OUT], "state", State.EXISTING, rules=RULES
    )
    assert patch.label == "Set state of 4 things to existing"
    after = _done(project, patch)
    assert {after.get(i).state for i in (OUTLET_1, OUTLET_2, TRAY, DROP_OUT)} == {State.EXISTING}


def test_things_without_the_field_are_left_out_and_none_is_refused():
    project = building()
    patch = set_fields(project, [OUTLET_1, TRAY], "way_down", WayDown.CEILING, rules=RULES)
    assert patch.ids == (OUTLET_1,)
    with pytest.raises(InputProblem, match="has a way down"):
        set_fields(project, [TRAY], "way_down", WayDown.CEILING, rules=RULES)
    with pytest.raises(InputProblem, match="on the plan"):
        set_fields(project, [TRAY], "vertices", (), rules=RULES)


@pytest.mark.parametrize(
    ("thing", "field", "value", "words"),
    [
        (OUTLET_1, "phase", 100, "phase must be a whole number from 0 to 99"),
        (OUTLET_1, "phase", "two", "whole number"),
        (OUTLET_1, "state", "gone", "state must be one of existing, new, to remove"),
        (OUTLET_1, "height_mm", 1.5, "height must be a length from −10000.00 m"),
        (OUTLET_1, "number", "9" * 300, "text of at most 200"),
        (TRAY, "width_mm", 0.0, "number above 0 up to 10000, or empty"),
        (TRAY, "count", 0, "from 1 to 200"),
        ("settings", "leg_weight", 0, "from 1 to 100"),
        (DROP_OUT, "provided_by", True, "one of us, others"),
    ],
)
def test_a_wrong_value_is_refused_with_its_bounds(thing, field, value, words):
    with pytest.raises(InputProblem, match=words):
        set_fields(building(), [thing], field, value, rules=RULES)


# The ranges are those of the trade's practice: outside them one asks “really?”.
@pytest.mark.parametrize(
    ("thing", "field", "usual", "unusual"),
    [
        (OUTLET_1, "height_mm", 450, 15_001),
        (OUTLET_1, "height_mm", -600, -601),
        (OUTLET_1, "slack_mm", 15_000, 15_001),
        (TRAY, "height_mm", 3_300, 15_001),
        (TRAY, "height_mm", -1_500, -1_501),
        ("settings", "allowance_permille", 250, 251),
        ("settings", "reach_mm", 30_000, 30_001),
        ("settings", "growth_percent", 200.0, 200.5),
        ("cable-type-00000001", "limit_mm", 2_000_000, 4_999),
        ("cable-type-00000001", "box_mm", 5_000_000, 49_999),
        ("floor-00000001", "floor_to_floor_mm", 2_200, 8_001),
        ("space-00000001", "ceiling_height_mm", 12_000, 1_999),
    ],
)
def test_an_unusual_value_is_a_question_and_a_usual_one_is_not(thing, field, usual, unusual):
    project = building()
    _done(project, set_fields(project, [thing], field, usual, rules=RULES))
    asked = set_fields(project, [thing], field, unusual, rules=RULES)
    assert isinstance(asked, Question)
    assert asked.text.endswith("Really?")
    leave, really = asked.answers
    assert leave.patch is None
    _done(project, really.patch)


def test_every_range_names_a_field_and_a_range_there_is():
    for (tag, field), name in RANGES.items():
        fields = TYPE_OF_TAG[tag].__struct_fields__
        assert field in fields or (tag, field) == ("pathway", "height_mm")
        assert RULES.input_range(name).low < RULES.input_range(name).high


def test_heights_of_pathways_and_outlets_together():
    project = building()
    patch = set_fields(project, [TRAY, OUTLET_1], "height_mm", 2_500, rules=RULES)
    after = _done(project, patch)
    assert {v[2] for v in after.pathways[TRAY].vertices} == {2_500}
    assert after.outlets[OUTLET_1].height_mm == 2_500


def test_a_kind_brings_its_ports_and_keeps_ids_frames_and_labels():
    project = building()
    patch = set_fields(project, [OUTLET_1], "kind", CEILING, rules=RULES, source=source())
    after = _done(project, patch)
    before, made = project.outlets[OUTLET_1].ports, after.outlets[OUTLET_1].ports
    templates = project.outlet_kinds[CEILING].ports
    assert [p.id for p in made[:2]] == [p.id for p in before][: len(made)]
    assert made[0].frame == MAIN
    assert made[0].label == before[0].label
    assert [p.power_class for p in made] == [t.power_class for t in templates]
    with pytest.raises(InputProblem, match="not in the project"):
        change_kind(project, [OUTLET_1], "outlet-kind-99999999")


def test_ports_are_set_added_and_removed():
    project = building()
    ports = [p.id for p in project.outlets[OUTLET_1].ports]
    patch = set_port_fields(project, ports, "frame", None)
    assert patch.label == "Set frame of 2 ports to its default"
    after = _done(project, patch)
    assert all(p.frame is None for p in after.outlets[OUTLET_1].ports)
    with pytest.raises(InputProblem, match="power class must be a whole number from 0 to 8"):
        set_port_fields(project, ports, "power_class", 9)
    with pytest.raises(InputProblem, match="Select a port"):
        set_port_fields(project, ["port-99999999"], "spare", True)
    more = _done(project, add_ports(project, [OUTLET_1, OUTLET_2], source=source()))
    assert [len(more.outlets[i].ports) for i in (OUTLET_1, OUTLET_2)] == [3, 3]
    assert more.outlets[OUTLET_1].ports[-1].label == ""
    fewer = remove_ports(project, ports[:1])
    assert fewer.label == "Remove 1 port of outlet 0-01"
    assert len(_done(project, fewer).outlets[OUTLET_1].ports) == 1


def test_site_and_plain_texts_are_fields_too():
    project = building()
    patch = set_fields(project, ["site"], "client", "Harbour office", rules=RULES)
    assert patch.label == "Set client of site card"
    assert _done(project, patch).site.client == "Harbour office"
    assert set_fields(project, [CONDUIT], "number", "C-01", rules=RULES).changes == ()
    assert DATA in project


def test_the_level_of_a_floor_asks_about_those_above_it():
    project = building()
    asked = set_fields(project, [GROUND], "level_mm", 500, rules=RULES)
    assert isinstance(asked, Question)
    both, alone, leave = asked.answers
    assert [f.level_mm for f in _done(project, both.patch).floors.values()] == [500, 4_100]
    assert [f.level_mm for f in _done(project, alone.patch).floors.values()] == [500, 3_600]
    assert leave.patch is None
    top = set_fields(project, [UPPER], "level_mm", 4_000, rules=RULES)
    assert _done(project, top).floors[UPPER].level_mm == 4_000
    onto = set_fields(project, [GROUND], "level_mm", 3_600, rules=RULES)
    assert [a.label for a in onto.answers] == ["Move them too", "Leave it as it was"]
    with pytest.raises(InputProblem, match="one at a time"):
        set_fields(project, [GROUND, UPPER], "level_mm", 0, rules=RULES)
    with pytest.raises(InputProblem, match="same level"):
        set_fields(project, [UPPER], "level_mm", 0, rules=RULES)


def test_another_kind_of_pathway_has_the_sizes_and_fittings_of_that_kind():
    project = building()
    ducts = set_fields(project, [CONDUIT], "kind", "underfloor_duct", rules=RULES)
    after = _done(project, ducts)
    duct = after.pathways[CONDUIT]
    assert (duct.width_mm, duct.depth_mm, duct.bore_mm) == (300.0, 60.0, None)
    assert after.access_points[BOX].kind is AccessKind.INSERT
    opened = set_fields(project, [CONDUIT], "kind", PathwayKind.BASKET, rules=RULES)
    assert isinstance(opened, Question)
    assert opened.text.startswith("Pull box PB-01 would mean nothing on a basket")
    assert BOX not in _done(project, opened.answers[0].patch)
    closed = set_fields(project, [TRAY], "kind", PathwayKind.CONDUIT, rules=RULES)
    after = _done(project, closed.answers[0].patch)
    assert DROP_OUT not in after
    assert (after.pathways[TRAY].bore_mm, after.pathways[TRAY].width_mm) == (27.0, None)
    hooks = _done(project, set_fields(project, [TRAY], "kind", PathwayKind.HOOKS, rules=RULES))
    assert hooks.pathways[TRAY].width_mm is None
    assert DROP_OUT in hooks
    with pytest.raises(InputProblem, match="kind must be one of ladder"):
        set_fields(project, [TRAY], "kind", "pipe", rules=RULES)


def test_a_poke_through_is_refused_on_the_lowest_floor() -> None:
    with pytest.raises(InputProblem, match="There is no floor below floor"):
        set_fields(building(), [OUTLET_1], "way_down", WayDown.POKE_THROUGH, rules=RULES)
