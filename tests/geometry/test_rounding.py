"""Whole millimetres and grids."""

import math
from decimal import ROUND_FLOOR, Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.geometry.rounding import grid_axis, to_mm, to_mm_array


@pytest.mark.parametrize(
    ("value", "rounded"), [(0.4999, 0), (0.5, 1), (1.5, 2), (2.5, 3), (-0.5, 0), (-0.51, -1)]
)
def test_halves_go_up(value, rounded):
    assert to_mm(value) == rounded


@given(st.lists(st.floats(-1e9, 1e9), min_size=1))
def test_the_array_rounds_as_the_number_does_and_as_decimals_do(values):
    exact = [int((Decimal(v) + Decimal("0.5")).to_integral_value(ROUND_FLOOR)) for v in values]
    rounded = to_mm_array(np.array(values)).tolist()
    assert rounded == [to_mm(v) for v in values]
    # A double cannot always hold value + 0.5; then both may be one off from the decimal.
    assert all(abs(r - e) <= 1 for r, e in zip(rounded, exact, strict=True))
    small = [(r, e) for r, e, v in zip(rounded, exact, values, strict=True) if 1 < abs(v) < 1e6]
    assert all(r == e for r, e in small)


@pytest.mark.parametrize("quarter", [0, 90_000, 180_000, -90_000, 360_000, -270_000])
def test_quarter_turns_are_exact(quarter):
    assert grid_axis(quarter) == (1.0, 0.0)


@given(st.integers(-360_000, 360_000))
def test_a_grid_turned_by_a_quarter_is_the_same_grid(angle):
    cos, sin = grid_axis(angle)
    turned = math.radians(angle / 1_000)
    square = {
        (round(math.cos(turned + k * math.pi / 2), 6), round(math.sin(turned + k * math.pi / 2), 6))
        for k in range(4)
    }
    assert any(abs(cos - c) < 1e-5 and abs(sin - s) < 1e-5 for c, s in square)
    assert grid_axis(angle) == grid_axis(angle % 90_000)
