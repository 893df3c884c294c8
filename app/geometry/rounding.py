"""Whole millimetres, and directions square to a grid."""

import math

import numpy as np
from numpy.typing import NDArray

QUARTER_TURN_MDEG = 90_000


def to_mm(value_mm: float) -> int:
    """The nearest whole millimetre, halves upwards (also below zero)."""
    return math.floor(value_mm + 0.5)


def to_mm_array(values_mm: NDArray[np.float64]) -> NDArray[np.int64]:
    """`to_mm` of every element."""
    return np.floor(values_mm + 0.5).astype(np.int64)


def grid_axis(angle_mdeg: int) -> tuple[float, float]:
    """Cosine and sine of a grid's angle; whole quarter turns give exactly (1, 0).

    A grid turned by a quarter is the same grid, so the angle is first taken into 0 … 90°.
    """
    within = angle_mdeg % QUARTER_TURN_MDEG
    if within == 0:
        return 1.0, 0.0
    angle = math.radians(within / 1_000)
    return math.cos(angle), math.sin(angle)
