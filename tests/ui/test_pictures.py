"""Pictures that say what their numbers say, and columns that add up."""

import math
import random

import pytest

from app.model.vocabulary import Units
from app.ui.lengths import column_of_lengths
from app.ui.pictures.cross_section import Section, places
from app.ui.pictures.histogram import classes, step_mm


@pytest.mark.parametrize("units", list(Units))
def test_printed_parts_add_up_to_the_printed_sum(units: Units) -> None:
    source = random.Random(1)
    for _ in range(300):
        parts = [source.randrange(0, 60_000) for _ in range(source.randrange(1, 12))]
        printed = column_of_lengths(parts, units)
        total = column_of_lengths([sum(parts)], units)[0]
        assert sum(round(float(p) * 100) for p in printed) == round(float(total) * 100)
        per_unit = 1_000 if units is Units.METRIC else 304.8
        for mm, text in zip(parts, printed, strict=True):
            assert abs(float(text) - mm / per_unit) <= 0.01


def test_classes_hold_every_length_once() -> None:
    lengths = [0, 9_999, 10_000, 54_000, 108_400]
    assert classes(lengths, 10_000) == [2, 1, 0, 0, 0, 1, 0, 0, 0, 0, 1]
    assert step_mm(108_400) == 10_000


def section(cables: int, outline: str = "trough") -> Section:
    return Section(
        outline=outline,  # type: ignore[arg-type]
        width_mm=300,
        depth_mm=60 if outline == "trough" else 300,
        cables=cables,
        od_mm=7.5,
        ratio=cables * math.pi / 4 * 7.5**2 / (300 * 60),
        limit_ratio=0.5,
        planned_ratio=0.25,
    )


def test_a_tray_at_its_limit_looks_full_and_beyond_it_overflows() -> None:
    # 300 × 60 mm, 7.5 mm cables: one half of 18,000 mm² is 203 cables of 44.2 mm².
    full = places(section(203))
    assert len(full) == 203
    top = max(y for _, y in full) + 7.5 / 2
    assert 48 <= top <= 66
    assert max(y for _, y in places(section(368))) > 60


def test_cables_lie_within_a_pipe() -> None:
    for x, y in places(section(200, "round")):
        assert math.hypot(x - 150, y - 150) <= 150 - 7.5 / 2 + 1e-6
