"""The shipped data agree with the model's words, with its defaults, and with themselves."""

import ast
import re
from pathlib import Path

import pytest

import app
from app.model import vocabulary
from app.model.settings import Settings
from app.resource_files import read_resource, resource_names
from app.standards import load_rules
from app.standards.conduit_fill import cable_area_mm2

RULES = load_rules()
STEMS = {name.removesuffix(".toml") for name in resource_names("standards", suffix=".toml")}
APP = Path(app.__file__).parent


def words(enum):
    return {member.value for member in enum}


def test_space_uses_are_those_of_the_model():
    assert set(RULES.space_uses) == words(vocabulary.SpaceUse)


def test_uses_closed_to_cable_want_no_outlets():
    for use in vocabulary.USES_CLOSED_TO_CABLE:
        assert RULES.space_uses[use.value].excluded


def test_pathway_kinds_are_those_of_the_model_and_open_where_it_says_so():
    assert set(RULES.pathway_kinds) == words(vocabulary.PathwayKind)
    anywhere = {kind for kind, d in RULES.pathway_kinds.items() if d.entered == "anywhere"}
    assert anywhere == {kind.value for kind in vocabulary.OPEN_KINDS}
    at_inserts = {kind for kind, d in RULES.pathway_kinds.items() if d.entered == "at_inserts"}
    assert at_inserts == {kind.value for kind in vocabulary.INSERT_KINDS}


def test_every_pathway_kind_has_its_sizes_and_sane_fills():
    for kind in RULES.pathway_kinds.values():
        assert RULES.table(kind.sizes).rows
        assert 0 < kind.fill_planned_percent <= kind.fill_warn_percent
        assert kind.fill_warn_percent <= kind.fill_most_percent <= 60


def test_outlet_kinds_use_words_of_the_model():
    for kind in RULES.outlet_kinds.values():
        assert kind.way_down in words(vocabulary.WayDown)
        assert kind.fixture in words(vocabulary.Fixture)
        assert kind.termination in words(vocabulary.Termination)
        assert 0 <= kind.power_class_rest <= 8
        assert not RULES.input_range("ports_per_outlet").asks_about(kind.ports)
        assert not RULES.input_range("slack").asks_about(kind.slack_mm / 1000)
        if kind.height_mm is None:
            assert kind.way_down == "ceiling"
        else:
            assert not RULES.input_range("mounting_height").asks_about(kind.height_mm / 1000)


def test_cable_types_use_words_of_the_model_and_known_boxes():
    for cable in RULES.cable_types.values():
        assert cable.medium in words(vocabulary.Medium)
        assert cable.box in RULES.box_sizes
        assert cable.od_least_mm <= cable.od_mm <= cable.od_most_mm


def test_spaces_ask_for_outlet_kinds_that_exist():
    for use in RULES.space_uses.values():
        for kind in (*use.also, use.kind):
            assert kind == "" or kind in RULES.outlet_kinds


def test_every_default_lies_in_the_range_that_is_usual():
    for key in RULES.value_keys():
        value = RULES.value(key)
        if value.usual is not None:
            assert value.usual[0] <= value.value <= value.usual[1] or key in OUTSIDE_ON_PURPOSE


OUTSIDE_ON_PURPOSE = {"frames.ports_warned"}
"""480 is where a warning starts; 100 to 400 is what one meets."""


def test_boxes_plan_with_less_than_they_hold():
    handling = RULES.mm("supply.box_handling")
    for box in RULES.box_sizes.values():
        assert box.holds_mm - box.usable_mm == handling


def test_every_citation_is_used_and_every_value_has_a_document():
    used = read_resource("standards/citations.toml").decode()
    names = re.findall(r"^\[(\w+)\]", used, flags=re.MULTILINE)
    others = "".join(
        read_resource(f"standards/{name}").decode()
        for name in resource_names("standards", suffix=".toml")
        if name != "citations.toml"
    )
    assert [name for name in names if f'"{name}"' not in others] == []
    assert all(RULES.value(key).document for key in RULES.value_keys())


SETTINGS = {
    "trim_mm": "lengths.trim",
    "pull_head_mm": "lengths.pull_head",
    "panel_height_mm": "lengths.panel_height",
    "dressing_mm": "lengths.dressing",
    "near_limit_mm": "lengths.near_limit",
    "reach_mm": "lengths.reach",
    "leg_advised_mm": "lengths.leg_advised",
    "tray_height_mm": "heights.tray",
    "hooks_height_mm": "heights.hooks",
    "ceiling_height_mm": "heights.ceiling",
    "floor_to_floor_mm": "heights.floor_to_floor",
    "outdoor_duct_height_mm": "heights.outdoor_duct",
    "hook_spacing_mm": "pathways.hook_spacing",
    "hook_spacing_most_mm": "pathways.hook_spacing_most",
    "leg_hooks_from_mm": "lengths.leg_hooks_from",
    "tray_support_mm": "pathways.support_basket",
    "ladder_support_mm": "pathways.support_ladder",
    "straight_length_mm": "pathways.straight_length",
    "conduit_length_mm": "pathways.conduit_length",
    "stub_over_ceiling_mm": "ways.stub_over_ceiling",
    "stub_least_mm": "ways.stub_least",
}
PERCENT_SETTINGS = {
    "hook_fill_most_percent": "pathways.hook_fill",
    "sleeve_fill_most_percent": "penetrations.sleeve_fill",
    "growth_percent": "supply.growth_ports",
    "patched_percent": "supply.patched",
    "repull_percent": "supply.repull",
    "tray_fill_planned_percent": "pathway_kinds.basket.fill_planned_percent",
    "tray_fill_warn_percent": "pathway_kinds.basket.fill_warn_percent",
    "tray_fill_most_percent": "pathway_kinds.basket.fill_most_percent",
}
COUNT_SETTINGS = {
    "leg_weight": "lengths.leg_weight",
    "panel_ports": "supply.panel_ports",
    "ports_warned": "frames.ports_warned",
    "area_served_warned_m2": "frames.area_served",
    "spare_boxes": "supply.spare_boxes",
    "single_gang_ports": "ways.single_gang_ports",
}


@pytest.mark.parametrize(("field", "key"), SETTINGS.items())
def test_lengths_of_a_new_project_are_those_of_the_rules(field, key):
    assert getattr(Settings(id="settings"), field) == RULES.mm(key)


@pytest.mark.parametrize(("field", "key"), {**PERCENT_SETTINGS, **COUNT_SETTINGS}.items())
def test_numbers_of_a_new_project_are_those_of_the_rules(field, key):
    assert getattr(Settings(id="settings"), field) == RULES.number(key)


def test_the_allowance_of_a_new_project_is_that_of_the_rules():
    assert Settings(id="settings").allowance_permille == 1000 * RULES.ratio("lengths.allowance")


def test_the_ways_down_of_a_new_project_are_those_of_the_rules():
    made = [(r.way, r.part, r.provided_by or "outlet") for r in Settings(id="settings").ways]
    assert made == list(RULES.table("ways.parts").rows)


def cited_keys():
    for path in sorted(APP.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            kinds = (ast.FunctionDef, ast.ClassDef, ast.Module)
            text = ast.get_docstring(node) if isinstance(node, kinds) else None
            for source in re.findall(r"Source:(.*)", text or "", flags=re.DOTALL):
                for key in re.findall(r"\b([a-z_]+\.[a-z0-9_.]*[a-z0-9_])", source):
                    if key.split(".")[0] in STEMS:
                        yield path.name, key


def test_every_key_that_a_docstring_cites_exists():
    known = {*RULES.value_keys(), *RULES.table_keys()}
    cited = list(cited_keys())
    assert len(cited) > 30
    assert [(file, key) for file, key in cited if key not in known] == []


def literal_keys():
    for path in sorted(APP.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            text = getattr(node, "value", None) if isinstance(node, ast.Constant) else None
            if isinstance(text, str) and re.fullmatch(r"[a-z_]+(\.[a-z0-9_]+)+", text):
                stem = text.split(".")[0]
                if stem in STEMS and not text.endswith(".toml"):
                    yield path.name, text


def test_every_key_that_the_program_asks_for_exists():
    known = {*RULES.value_keys(), *RULES.table_keys()}
    asked = list(literal_keys())
    assert len(asked) > 60
    # A literal that ends in "_" is the beginning of a key, finished by an f-string.
    lost = [
        (file, key)
        for file, key in asked
        if key not in known and not (key.endswith("_") and any(k.startswith(key) for k in known))
    ]
    assert lost == []


def test_hook_openings_take_their_count_of_thin_cables():
    # practice: 25, 50 and 75 Cat 5e cables of 5.2 mm fill 40 % of the opening
    table = RULES.table("pathways.sizes_hooks")
    for opening, cables in zip(
        table.numbers("opening_mm2"), table.numbers("cat5_cables"), strict=True
    ):
        fit = opening * RULES.ratio("pathways.hook_fill") / cable_area_mm2(od_mm=5.2)
        assert int(fit) == cables
