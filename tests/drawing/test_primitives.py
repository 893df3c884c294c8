"""Primitives know how much room they take."""

from __future__ import annotations

import math

import msgspec
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.primitives import (
    Arc,
    FilledPath,
    Line,
    Polyline,
    Primitive,
    Stroke,
    Text,
    bounds,
    text_corners,
)

numbers = st.floats(-1e4, 1e4)


@given(
    x=numbers,
    y=numbers,
    radius=st.floats(0.1, 1e3),
    start=st.floats(-720, 720),
    sweep=st.floats(0, 360),
)
def test_an_arcs_bounds_hold_all_its_points_and_no_more(
    x: float, y: float, radius: float, start: float, sweep: float
) -> None:
    arc = Arc(layer="a", center=(x, y), radius=radius, start_deg=start, sweep_deg=sweep)
    found = bounds([arc])
    angles = [math.radians(start + sweep * step / 2000) for step in range(2001)]
    curve = shapely.LineString(
        [(x + radius * math.cos(t), y + radius * math.sin(t)) for t in angles]
    )
    assert found == pytest.approx(curve.bounds, abs=radius * 1e-5 + 1e-9)


def test_a_circle_is_an_arc_of_a_full_turn() -> None:
    assert bounds([Arc(layer="a", center=(3, 4), radius=2)]) == pytest.approx((1, 2, 5, 6))


def test_bounds_of_several_and_of_none() -> None:
    drawn: list[Primitive] = [
        Line(layer="a", start=(0, 0), end=(5, 1)),
        Polyline(layer="a", points=((2, 2), (3, -4))),
        FilledPath(layer="b", rings=(((0, 0), (9, 0), (9, 3)),)),
    ]
    assert bounds(drawn) == (0, -4, 9, 3)
    assert bounds([]) is None


@pytest.mark.parametrize(
    ("horizontal", "vertical", "expected"),
    [
        ("left", "baseline", (10, 20, 40, 25)),
        ("center", "middle", (-5, 17.5, 25, 22.5)),
        ("right", "top", (-20, 15, 10, 20)),
    ],
)
def test_a_text_takes_its_box(horizontal, vertical, expected) -> None:  # type: ignore[no-untyped-def]
    text = Text(
        layer="t", text="12.04", position=(10, 20), height=5, box=(30, 5),
        horizontal=horizontal, vertical=vertical,
    )  # fmt: skip
    assert bounds([text]) == pytest.approx(expected)


def test_a_turned_text_turns_about_its_position() -> None:
    text = Text(layer="t", text="x", position=(10, 20), height=5, box=(30, 5), rotation_deg=90)
    assert text_corners(text) == (
        pytest.approx((10, 20)),
        pytest.approx((10, 50)),
        pytest.approx((5, 50)),
        pytest.approx((5, 20)),
    )


def test_primitives_are_values_and_survive_json() -> None:
    drawn: list[Primitive] = [
        Line(layer="a", start=(0, 0), end=(5, 1), stroke=Stroke(ink="accent", dashes_mm=(3, 1))),
        Arc(layer="a", center=(3, 4), radius=2),
        Polyline(layer="a", points=((2, 2), (3, -4)), closed=True),
        FilledPath(layer="b", rings=(((0, 0), (9, 0), (9, 3)),)),
        Text(layer="t", text="x", position=(0, 0), height=2.5, box=(4, 2.5)),
    ]
    back = msgspec.json.decode(msgspec.json.encode(drawn), type=list[Primitive])
    assert back == drawn
    with pytest.raises(AttributeError):
        drawn[0].layer = "b"  # type: ignore[misc]
