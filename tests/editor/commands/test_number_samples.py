"""What is said of a pattern while it is typed."""

import pytest

from app.editor.commands.number_samples import cable_sample_words, next_outlet_words
from app.editor.commands.outlets import OutletPlace, place_outlets
from tests.editor.small_building import DATA, GROUND, building


@pytest.mark.parametrize("pattern", ["{floor}-{nn}", "N{nnnn}", "{floor}/{nnn}"])
def test_the_next_three_are_the_three_that_are_given(pattern):
    project = building()
    said = next_outlet_words(project, pattern, floor_id=GROUND)
    places = [OutletPlace(x_mm=100_000 + i, y_mm=0) for i in range(3)]
    patch = place_outlets(project, places, floor_id=GROUND, kind_id=DATA, pattern=pattern)
    assert said == "next " + ", ".join(c.after.number for c in patch.changes)


def test_an_example_room_is_named_and_removed_numbers_are_passed_over():
    said = next_outlet_words(
        building(), "{room}-{n}", floor_id=GROUND, retired=lambda _: {"0.01-4"}
    )
    assert said == "next 0.01-5, 0.01-6, 0.01-7 in room 0.01"


def test_an_empty_pattern_is_that_of_the_settings():
    assert next_outlet_words(building(), "", floor_id=GROUND).startswith("next 0-04, 0-05")


@pytest.mark.parametrize(
    ("pattern", "said"),
    [
        ("{frame}-{panel}{port}", "such as M1-A01, M1-A02, M1-A03"),
        ("{outlet}{p}", "such as 0-01a, 0-01b, 0-01c"),
        ("K{nnnn}", "such as K0001, K0002, K0003"),
    ],
)
def test_samples_of_cable_numbers(pattern, said):
    assert cable_sample_words(building(), pattern) == said


def test_what_is_wrong_is_said_instead():
    assert "means nothing" in next_outlet_words(building(), "{flor}-{n}", floor_id=GROUND)
    assert "one number" in cable_sample_words(building(), "{frame}")
