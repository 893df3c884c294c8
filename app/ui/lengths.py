"""Lengths as the panel and the tables print them: to 0.1 m, or in columns that add up."""

import math
from collections.abc import Sequence

from app.checks.wording import length_text
from app.model.vocabulary import Units

MM_PER_UNIT = {Units.METRIC: 1_000.0, Units.US: 304.8}
SIGN = {Units.METRIC: "m", Units.US: "ft"}


def length(mm: float, units: Units, *, places: int = 1) -> str:
    """`97.3 m` or `319.2 ft`."""
    return length_text(mm, units, places=places)


def round_length(mm: int, units: Units) -> str:
    """A limit or another round length: `90 m`, and `2.5 m` only where it is none."""
    return length_text(mm, units, places=0 if mm % MM_PER_UNIT[units] == 0 else 1)


def column_of_lengths(parts_mm: Sequence[int], units: Units, *, places: int = 2) -> list[str]:
    """Parts as texts without unit, rounded so that the printed parts add up to their sum.

    Each is rounded down or up; those with the greatest remainders go up.
    """
    scale = 10**places / MM_PER_UNIT[units]
    exact = [mm * scale for mm in parts_mm]
    down = [math.floor(value + 1e-9) for value in exact]
    missing = math.floor(sum(exact) + 0.5 + 1e-9) - sum(down)
    by_remainder = sorted(range(len(exact)), key=lambda i: down[i] - exact[i])
    for index in by_remainder[:missing]:
        down[index] += 1
    return [f"{value / 10**places:.{places}f}".replace("-", "−") for value in down]
