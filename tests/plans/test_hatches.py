"""Hatch lines against shapely: every pattern line, cut by the boundary."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from app.plans.hatches import LineFamily, TooDense, TooFine, hatch_lines

SQUARE = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)])
HOLE = np.array([(30.0, 30.0), (60.0, 30.0), (60.0, 70.0), (30.0, 70.0)])


def total(lines: np.ndarray) -> float:
    return float(np.hypot(lines[:, 2] - lines[:, 0], lines[:, 3] - lines[:, 1]).sum())


def family(angle: float, step: float, items: tuple[float, ...] = ()) -> LineFamily:
    across = (-math.sin(math.radians(angle)) * step, math.cos(math.radians(angle)) * step)
    return LineFamily(angle_deg=angle, base=(0.0, 0.0), offset=across, items=items)


@given(
    angle=st.floats(0, 180),
    step=st.floats(0.7, 40),
    seed=st.integers(0, 10_000),
    corners=st.integers(3, 12),
)
@settings(max_examples=150, deadline=None)
def test_pattern_lines_fill_an_area(angle: float, step: float, seed: int, corners: int) -> None:
    rng = np.random.default_rng(seed)
    turns = np.sort(rng.uniform(0, 2 * math.pi, corners))
    radii = rng.uniform(20, 100, corners)
    ring = np.column_stack((radii * np.cos(turns), radii * np.sin(turns)))
    polygon = shapely.make_valid(shapely.Polygon(ring))
    lines = hatch_lines([ring], [family(angle, step)], most_lines=10_000, least_step=0.1)
    along = np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])
    across = np.array([-along[1], along[0]])
    numbers = range(math.floor(-150 / step), math.ceil(150 / step))
    expected = 0.0
    for number in numbers:
        middle = across * step * (number + 0.01234)
        chord = shapely.LineString([middle - 300 * along, middle + 300 * along])
        expected += shapely.length(shapely.intersection(chord, polygon))
    assert total(lines) == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_holes_stay_empty() -> None:
    lines = hatch_lines([SQUARE, HOLE], [family(0, 1)], most_lines=1_000, least_step=0.1)
    assert total(lines) == pytest.approx(100 * 100 - 30 * 40)
    inside = (lines[:, 0] > 30) & (lines[:, 2] < 60) & (lines[:, 1] > 30) & (lines[:, 1] < 70)
    assert not inside.any()


def test_dashes_and_gaps_keep_their_share_and_place() -> None:
    lines = hatch_lines([SQUARE], [family(0, 10, (6.0, -4.0))], most_lines=1_000, least_step=0.1)
    assert total(lines) == pytest.approx(10 * 60)
    assert np.unique(np.round(lines[:, 0] % 10, 6)).tolist() == [0.0]
    gap_first = hatch_lines(
        [SQUARE], [family(0, 10, (-4.0, 6.0))], most_lines=1_000, least_step=0.1
    )
    assert total(gap_first) == pytest.approx(10 * 60)
    assert np.unique(np.round(gap_first[:, 0] % 10, 6)).tolist() == [4.0]


def test_staggered_families_shift_from_line_to_line() -> None:
    bricks = LineFamily(angle_deg=0, base=(0, 0), offset=(5.0, 10.0), items=(6.0, -4.0))
    lines = hatch_lines([SQUARE], [bricks], most_lines=1_000, least_step=0.1)
    even = lines[np.round(lines[:, 1] / 10) % 2 == 0]
    odd = lines[(np.round(lines[:, 1] / 10) % 2 == 1) & (lines[:, 0] > 1.2)]
    shift = 0.01234 * 5
    assert np.unique(np.round(even[even[:, 0] > 1, 0] % 10, 5)) == pytest.approx([shift])
    assert np.unique(np.round(odd[:, 0] % 10, 5)) == pytest.approx([5 + shift])


@pytest.mark.parametrize(("step", "error"), [(0.0, TooFine), (1e-9, TooFine), (0.05, TooDense)])
def test_patterns_too_dense_are_refused(step: float, error: type[Exception]) -> None:
    with pytest.raises(error):
        hatch_lines([SQUARE], [family(30, step)], most_lines=1_000, least_step=0.01)


def test_patterns_of_gaps_only_do_not_hang() -> None:
    lines = hatch_lines([SQUARE], [family(0, 10, (-4.0, -6.0))], most_lines=100, least_step=0.1)
    assert len(lines) == 10
