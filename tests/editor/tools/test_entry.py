import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.editor.asking import InputProblem
from app.editor.tools.entry import (
    Along,
    Direction,
    Height,
    Place,
    Ray,
    Step,
    parse_entry,
    point_of,
    step_mm,
)
from app.model.vocabulary import Units


@pytest.mark.parametrize(
    ("text", "entry"),
    [
        ("7.25", Along(length_mm=7_250)),
        ("-2", Along(length_mm=-2_000)),
        ("12'6\"", Along(length_mm=3_810)),
        ("7.25 east", Step(east_mm=7_250)),
        ("7.25east", Step(east_mm=7_250)),
        ("3 m west", Step(east_mm=-3_000)),
        ("1 north and 2 east", Step(north_mm=1_000, east_mm=2_000)),
        ("1 up, 2 right", Step(up_mm=1_000, right_mm=2_000)),
        ("1 down 500 mm left", Step(up_mm=-1_000, right_mm=-500)),
        ("2 south 1 south", Step(north_mm=-3_000)),
        ("30°", Direction(angle_mdeg=30_000)),
        ("-22.5 deg", Direction(angle_mdeg=-22_500)),
        ("7.25 30°", Ray(length_mm=7_250, angle_mdeg=30_000)),
        ("3.6 m -45 degrees", Ray(length_mm=3_600, angle_mdeg=-45_000)),
        ("12' 6\" 90°", Ray(length_mm=3_810, angle_mdeg=90_000)),
        ("x 12.5 y 4", Place(x_mm=12_500, y_mm=4_000)),
        ("x12.5, y-4", Place(x_mm=12_500, y_mm=-4_000)),
        ("height 3.1", Height(height_mm=3_100)),
        ("height to 3.1 m", Height(height_mm=3_100)),
        ("Slope 2400 mm", Height(height_mm=2_400, sloped=True)),
    ],
)
def test_entries_are_read(text, entry):
    assert parse_entry(text, Units.METRIC) == entry


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "Type a length"),
        ("east", "no length here"),
        ("7.25 east 3", "no way to go"),
        ("@3,4", "no length"),
        ("7<30", "no length"),
        ("x 3", "no length"),
        ("height", "no length"),
        ("height tall", "no length"),
        ("400°", "between −360° and 360°"),
    ],
)
def test_what_says_nothing_is_refused_in_words(text, words):
    with pytest.raises(InputProblem, match=words):
        parse_entry(text, Units.METRIC)


@given(st.text(alphabet="0123456789.,'\"° xyeastnorthm-@/", max_size=24))
def test_any_text_is_an_entry_or_refused_in_words(text):
    said = None
    try:
        parse_entry(text, Units.US)
    except InputProblem as problem:
        said = str(problem)
    assert said is None or said.endswith(".")


def test_entries_become_points():
    way = {"origin": (1_000, 2_000), "towards": (1_000, 9_000), "grid_mdeg": 90_000}
    assert point_of(Along(length_mm=500), **way) == (1_000, 2_500)
    assert point_of(Along(length_mm=-500), **way) == (1_000, 1_500)
    assert point_of(Step(right_mm=300), **way) == (1_000, 2_300)
    assert point_of(Step(east_mm=300, up_mm=100), **way) == (1_200, 2_000)
    assert point_of(Ray(length_mm=1_000, angle_mdeg=-90_000), **way) == (2_000, 2_000)
    assert point_of(Place(x_mm=7, y_mm=8), **way) == (7, 8)
    assert step_mm(Step(up_mm=1_000), 30_000) == (-500, 866)


def test_an_entry_without_a_start_or_a_way_says_so():
    with pytest.raises(InputProblem, match="no point to start from"):
        point_of(Along(length_mm=1), origin=None, towards=(1, 1), grid_mdeg=0)
    with pytest.raises(InputProblem, match="Which way"):
        point_of(Along(length_mm=1), origin=(1, 1), towards=(1, 1), grid_mdeg=0)
    with pytest.raises(InputProblem, match="Which way"):
        point_of(Along(length_mm=1), origin=(1, 1), towards=None, grid_mdeg=0)
