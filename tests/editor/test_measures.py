"""Lengths read and written. The inch is 25.4 mm and the foot 304.8 mm exactly.

Source: international yard and pound agreement of 1959 (NIST Handbook 44, appendix C).
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.editor.asking import InputProblem
from app.editor.measures import (
    format_angle,
    format_area,
    format_length,
    format_reading,
    parse_angle,
    parse_count,
    parse_length,
)
from app.model.entities import FURTHEST_MM
from app.model.vocabulary import Units

METRIC, US = Units.METRIC, Units.US


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("7.25", 7250),
        ("7,25", 7250),
        ("7", 7000),
        (".5", 500),
        ("0", 0),
        ("3.6 m", 3600),
        ("3.6m", 3600),
        ("3.6 metres", 3600),
        ("7200 mm", 7200),
        ("7200mm", 7200),
        ("12.5 cm", 125),
        ("-150 mm", -150),
        ("−0.15", -150),
        ("– 0.8", -800),
        ("1.2345 m", 1235),
        ("1.2344 m", 1234),
        ("0.5 mm", 1),
        ("12'6\"", 3810),
        ("12' 6\"", 3810),
        ("12'-6\"", 3810),
        ("12'6", 3810),
        ("12 ft 6 in", 3810),
        ("12 feet 6 inches", 3810),
        ("12′6″", 3810),
        ("12’ 6”", 3810),
        ("12' 6''", 3810),
        ("41' 2 1/2\"", 12560),
        ("41'-2 1/2\"", 12560),
        ("41' 2½\"", 12560),
        ('1/2"', 13),
        ("½ in", 13),
        ("3 1/4'", 991),
        ("10'", 3048),
        ("10.5'", 3200),
        ('1"', 25),
        ("  7.25  ", 7250),
    ],
)
def test_a_length_with_its_unit_reads_the_same_in_both_systems_or_as_metres(text: str, mm: int):
    assert parse_length(text, METRIC) == mm


@pytest.mark.parametrize(
    ("text", "mm"),
    [("7.25", 2210), ("10", 3048), ("12'6\"", 3810), ("3.6 m", 3600), ("-2", -610), ("0.5", 152)],
)
def test_a_bare_number_is_feet_in_us_units(text: str, mm: int):
    assert parse_length(text, US) == mm


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no length here"),
        ("   ", "no length here"),
        ("abc", "no length"),
        ("7.25 east", "no unit"),
        ("7 furlongs", "no unit"),
        ("7,250", "two ways"),
        ("1,250'", "two ways"),
        ("6 1/2", "feet or inches"),
        ("1/2", "feet or inches"),
        ("12.5' 6\"", "feet are whole"),
        ("12' 12\"", "12 inches"),
        ("3 m 20 cm", "no length"),
        ("6\" 2'", "no length"),
        ('1/0"', "divided by 0"),
        ("--5", "no length"),
        ("5-", "no length"),
        ("1e5", "no unit"),
        ("20000 m", "look at the unit"),
        ("7" * 65, "too long"),
        ("٣", "no length"),
        ("nan", "no length"),
    ],
)
def test_what_is_no_length_is_refused_in_words(text: str, words: str):
    with pytest.raises(InputProblem, match=words):
        parse_length(text, METRIC)


@pytest.mark.parametrize(
    ("mm", "metric", "us"),
    [
        (0, "0.00 m", '0"'),
        (7250, "7.25 m", "23' 9 7/16\""),
        (7000, "7.00 m", "22' 11 19/32\""),
        (7255, "7.255 m", "23' 9 5/8\""),
        (12560, "12.56 m", "41' 2 1/2\""),
        (3810, "3.81 m", "12' 6\""),
        (13, "0.013 m", '1/2"'),
        (25, "0.025 m", '1"'),
        (-150, "−0.15 m", '−5 29/32"'),
        (305, "0.305 m", "1' 0\""),
        (90_000, "90.00 m", None),
    ],
)
def test_lengths_are_written_plainly(mm: int, metric: str, us: str | None):
    assert format_length(mm, METRIC) == metric
    if us is not None:
        assert format_length(mm, US) == us


@given(st.integers(-FURTHEST_MM, FURTHEST_MM), st.sampled_from(Units))
def test_what_is_written_reads_back_as_the_same_millimetre(mm: int, units: Units):
    assert parse_length(format_length(mm, units), units) == mm


@given(
    st.integers(0, 500),
    st.integers(0, 11),
    st.integers(0, 15),
    st.sampled_from([2, 4, 8, 16]),
)
def test_feet_inches_and_fractions_sum_exactly(feet: int, inches: int, part: int, over: int):
    part %= over
    exact = (Fraction(feet * 12 + inches) + Fraction(part, over)) * Fraction(254, 10)
    text = f"{feet}' {inches} {part}/{over}\""
    assert abs(parse_length(text, US) - exact) <= Fraction(1, 2)


@given(st.text(max_size=80), st.sampled_from(Units))
def test_any_text_is_a_length_or_refused_in_words(text: str, units: Units):
    said: str | None = None
    mm = 0
    try:
        mm = parse_length(text, units)
    except InputProblem as problem:
        said = str(problem)
    assert said is None or said.endswith(".")
    assert abs(mm) <= FURTHEST_MM


@pytest.mark.parametrize(
    ("text", "mdeg"),
    [
        ("30°", 30_000),
        ("30", 30_000),
        ("-22.5 deg", -22_500),
        ("0.0005°", 1),
        ("360 degrees", 360_000),
    ],
)
def test_angles_are_read(text: str, mdeg: int):
    assert parse_angle(text) == mdeg


@pytest.mark.parametrize("text", ["", "°", "north", "361°", "30°°x"])
def test_what_is_no_angle_is_refused(text: str):
    with pytest.raises(InputProblem):
        parse_angle(text)


def test_angles_and_areas_are_written_plainly():
    assert format_angle(30_000) == "30°"
    assert format_angle(-22_500) == "−22.5°"
    assert format_angle(1) == "0.001°"
    assert format_area(609e6, METRIC) == "609.0 m²"
    assert format_area(100 * 304.8**2, US) == "100 ft²"


def test_readings_are_as_fine_as_an_eye_needs():
    assert format_reading(7_256, METRIC) == "7.26 m"
    assert format_reading(-7_256, METRIC) == "−7.26 m"
    assert format_reading(7_000, US) == "22' 11 1/2\""
    assert format_reading(304, US) == "1' 0\""


def test_counts_are_whole_and_bounded():
    assert parse_count(" 12 ", least=1, most=20, what="outlets") == 12
    with pytest.raises(InputProblem, match="whole number"):
        parse_count("1.5", least=1, most=20, what="outlets")
    with pytest.raises(InputProblem, match="between 1 and 20"):
        parse_count("21", least=1, most=20, what="outlets")
