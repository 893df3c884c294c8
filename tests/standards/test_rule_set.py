"""The rule set: values, overrides, immutability, and what a wrong file is told."""

import pytest

from app.standards import (
    Override,
    StandardsDataError,
    load_overrides,
    load_rules,
    read_rules,
)

CITATIONS = b"""
[digest]
document = "TIA-568"
evidence = "published"
source = "a digest"
"""


def rules_of(text: str):
    return read_rules({"citations.toml": CITATIONS, "lengths.toml": text.encode()})


def test_a_value_says_what_it_is_and_on_whose_authority():
    value = load_rules().value("lengths.permanent_link")
    assert (value.value, value.unit, value.evidence) == (90.0, "m", "published")
    assert "11801-2" in value.document
    assert value.clause
    assert value.source
    assert value.overridden_by is None
    assert value.authority == value.citation.text


def test_evidence_that_is_not_published_is_said_in_the_citation():
    rules = load_rules()
    assert rules.value("lengths.coax_link").citation.text.endswith("(memory)")
    assert rules.value("lengths.reach").citation.text == "Trade practice (practice)"


def test_the_shipped_rules_are_read_once():
    assert load_rules() is load_rules([])


@pytest.mark.parametrize(
    ("key", "mm"),
    [
        ("lengths.permanent_link", 90_000),
        ("lengths.slack_outlet", 300),
        ("heights.underfloor", -150),
        ("heights.tray_over_tiles", 75),
        ("supply.panel_height", 44),
    ],
)
def test_lengths_come_in_whole_millimetres_whatever_their_unit(key, mm):
    assert load_rules().mm(key) == mm


def test_a_value_is_not_taken_for_what_it_is_not():
    rules = load_rules()
    with pytest.raises(StandardsDataError, match="no length"):
        rules.mm("lengths.allowance")
    with pytest.raises(StandardsDataError, match="no ratio"):
        rules.ratio("lengths.reach")
    with pytest.raises(StandardsDataError, match="a number is needed"):
        rules.number("cable_types.cat6a_u.name")
    with pytest.raises(StandardsDataError, match="whole number"):
        rules.count("lengths.slack_outlet")
    assert rules.count("supply.panel_ports") == 24


def test_an_unknown_key_is_answered_with_the_nearest_one():
    with pytest.raises(StandardsDataError, match=r"did you mean 'lengths\.permanent_link'"):
        load_rules().value("lengths.permanent_lnk")
    with pytest.raises(StandardsDataError, match=r"did you mean 'conduits\.emt'"):
        load_rules().table("conduits.emtt")
    with pytest.raises(StandardsDataError, match="did you mean 'slack'"):
        load_rules().input_range("slak")


def test_a_house_override_lies_on_top_and_is_told():
    house = Override(key="lengths.permanent_link", value=85.0, by="J. Miller", reason="margin")
    rules = load_rules([house])
    value = rules.value("lengths.permanent_link")
    assert value.value == 85.0
    assert value.shipped == 90.0
    assert value.overridden_by == house
    assert value.authority.startswith("house rule of J. Miller (instead of 90.0 m")
    assert rules.overridden() == (value,)
    assert load_rules().number("lengths.permanent_link") == 90.0


def test_an_override_of_a_named_value_reaches_the_catalogues():
    house = Override(key="heights.wall_data", value=0.30, by="J. Miller", reason="skirting")
    rules = load_rules([house])
    assert rules.outlet_kinds["data"].height_mm == 300
    assert load_rules().outlet_kinds["data"].height_mm == 450


def test_an_override_of_a_catalogue_field_reaches_it():
    house = Override(key="cable_types.cat6a_u.od_mm", value=8.1, by="JM", reason="datasheet")
    assert load_rules([house]).cable_types["cat6a_u"].od_mm == 8.1


@pytest.mark.parametrize(
    ("override", "words"),
    [
        (Override(key="lengths.none", value=1.0, by="a", reason="b"), "no standards value"),
        (Override(key="lengths.reach", value="far", by="a", reason="b"), "is text, but"),
        (Override(key="lengths.reach", value=True, by="a", reason="b"), "is yes or no, but"),
        (Override(key="lengths.reach", value=float("nan"), by="a", reason="b"), "finite"),
        (Override(key="lengths.reach", value=1.0, by=" ", reason="b"), "who decided it"),
        (Override(key="lengths.reach", value=1.0, by="a", reason=""), "and why"),
        (
            Override(key="outlet_kinds.data.height_key", value="heights.x", by="a", reason="b"),
            "no standards value 'heights.x'",
        ),
        (
            Override(key="outlet_kinds.data.ports", value=2.5, by="a", reason="b"),
            r"outlet_kinds.toml, records.data: .*ports",
        ),
    ],
)
def test_an_override_that_cannot_be_used_is_refused_with_its_reason(override, words):
    with pytest.raises(StandardsDataError, match=words):
        load_rules([override])


def test_one_key_is_not_overridden_twice():
    twice = [Override(key="lengths.reach", value=v, by="a", reason="b") for v in (8.0, 9.0)]
    with pytest.raises(StandardsDataError, match=r"lengths\.reach twice"):
        load_rules(twice)


def test_overrides_are_read_from_toml_and_checked():
    text = b"""
    [[override]]
    key = "lengths.permanent_link"
    value = 85
    by = "J. Miller"
    reason = "old cords"
    """
    (override,) = load_overrides("house.toml", text)
    assert load_rules([override]).mm("lengths.permanent_link") == 85_000
    assert load_overrides("house.toml", b"") == ()
    with pytest.raises(StandardsDataError, match=r"house\.toml: .*reason"):
        load_overrides("house.toml", b'[[override]]\nkey="lengths.reach"\nvalue=1\nby="a"\n')
    with pytest.raises(StandardsDataError, match="no valid TOML"):
        load_overrides("house.toml", b"[[override]")
    with pytest.raises(StandardsDataError, match=r"house\.toml"):
        load_overrides("house.toml", b"\xff\xfe")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('title = "x"\n[values]\na = { value = 1, cite = "none" }', "no citation 'none'"),
        ('title = "x"\n[values]\na = { value = 1 }', "cite"),
        ('title = "x"\n[values]\na = { value = 1, cite = "digest", unit = "yd" }', "unit 'yd'"),
        ('title = "x"\n[values]\na = { value = inf, cite = "digest" }', "finite"),
        ('title = "x"\n[values]\na = { value = 1, cite = "digest", usual = [2, 1] }', "usual"),
        ('title = "x"\n[values]\na = { value = [1], cite = "digest" }', "correct that entry"),
        ('title = "x"\nsurprise = 1', "surprise"),
        ('title = "x', "no valid TOML"),
        (
            'title = "x"\n[tables.t]\ncite = "digest"\n'
            'columns = { a = "m", b = "m" }\nrows = [[1]]',
            "row 1 has 1 cells for 2 columns",
        ),
        (
            'title = "x"\n[tables.t]\ncite = "digest"\ncolumns = { a = "m" }\nrows = [[1]]\n'
            'cell_cites = [{ row = 1, column = "a", cite = "digest" }]',
            "row 1, column a",
        ),
        ('title = "x"\n[records.r]\nname = "y"', r"\[columns.name\]"),
    ],
)
def test_a_wrong_file_is_told_by_name_key_and_cure(text, words):
    with pytest.raises(StandardsDataError, match=words) as told:
        rules_of(text)
    assert "lengths.toml" in str(told.value)


def test_a_published_value_must_name_its_source():
    bad = CITATIONS.replace(b'source = "a digest"', b"")
    with pytest.raises(StandardsDataError, match="no source is named"):
        read_rules({"citations.toml": bad})
    with pytest.raises(StandardsDataError, match=r"citations\.toml is missing"):
        read_rules({})


def test_a_table_gives_columns_cells_and_their_citations():
    table = load_rules().table("temperature.link_by_temperature")
    assert table.numbers("celsius")[4] == 40
    assert table.cell_citation(row=4, column="unscreened_m").evidence == "published"
    assert table.cell_citation(row=5, column="unscreened_m").evidence == "memory"
    with pytest.raises(StandardsDataError, match="no column 'kelvin'"):
        table.column("kelvin")
    with pytest.raises(StandardsDataError, match="no numbers"):
        load_rules().table("conduits.cable_count").numbers("3.3")


def test_a_range_asks_only_outside_itself():
    slack = load_rules().input_range("slack")
    assert [slack.asks_about(v) for v in (-0.1, 0.0, 15.0, 15.1)] == [True, False, False, True]
