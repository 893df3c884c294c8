"""Chords of Bezier curves keep within the tolerance, whatever their control points are."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from ezdxf.math import Bezier3P, Bezier4P, Vec3
from ezdxf.path import Path
from hypothesis import given, settings
from hypothesis import strategies as st

from app.plans.beziers import MOST_CHORDS, flattened_path

points = st.tuples(st.floats(-100, 100), st.floats(-100, 100))


@given(st.lists(points, min_size=3, max_size=4, unique=True), st.floats(0.05, 5))
@settings(deadline=None)
def test_chords_keep_within_the_tolerance(
    control: list[tuple[float, float]], tolerance: float
) -> None:
    path = Path(control[0])
    if len(control) == 4:
        path.curve4_to(control[3], control[1], control[2])
        curve = Bezier4P(Vec3.list(control))
    else:
        path.curve3_to(control[2], control[1])
        curve = Bezier3P(Vec3.list(control))  # type: ignore[assignment]
    chords = flattened_path(path, tolerance)
    assert chords[0] == pytest.approx(control[0])
    assert chords[-1] == pytest.approx(control[-1])
    line = shapely.LineString(chords)
    on_curve = [curve.point(t) for t in np.linspace(0, 1, 200)]
    assert max(line.distance(shapely.Point(p.x, p.y)) for p in on_curve) <= tolerance + 1e-9


@pytest.mark.parametrize("wild", [1e300, -1e15, math.inf, math.nan])
def test_wild_curves_take_a_bounded_number_of_chords(wild: float) -> None:
    path = Path((0, 0))
    path.curve4_to((1, 0), (wild, 1), (3, wild))
    path.line_to((5, 5))
    assert len(flattened_path(path, 1e-9)) <= MOST_CHORDS + 2


def test_an_empty_path_has_no_points() -> None:
    assert flattened_path(Path((3, 4)), 0.1) == []
