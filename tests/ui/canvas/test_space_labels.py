"""A space's label stands inside it, whatever its shape."""

import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.model.entities import Space
from app.model.vocabulary import SpaceUse
from app.ui.canvas.space_painter import is_closed, label_spot
from tests.ui.canvas.building import GROUND


def space(outline: list[tuple[int, int]], **more: object) -> Space:
    return Space(id="space-00000001", floor=GROUND, outline=tuple(outline), **more)  # type: ignore[arg-type]


def test_a_rectangle_has_it_in_the_middle() -> None:
    assert label_spot(space([(0, 0), (24_000, 0), (24_000, 2_500), (0, 2_500)])) == (12_000, 1_250)


def test_an_angle_has_it_deep_within() -> None:
    outline = [(0, 0), (20_000, 0), (20_000, 2_000), (6_000, 2_000), (6_000, 20_000), (0, 20_000)]
    x, y = label_spot(space(outline))
    assert shapely.Polygon(outline).boundary.distance(shapely.Point(x, y)) > 2_500


def test_a_hole_is_kept_free() -> None:
    ring = ((4_000, 4_000), (6_000, 4_000), (6_000, 6_000), (4_000, 6_000))
    outline = [(0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000)]
    x, y = label_spot(space(outline, holes=(ring,)))
    assert shapely.Polygon(outline, [ring]).contains(shapely.Point(x, y))


points = st.tuples(st.integers(0, 20_000), st.integers(0, 20_000))


@given(st.lists(points, min_size=3, max_size=9, unique=True))
def test_any_outline_has_a_label(outline: list[tuple[int, int]]) -> None:
    x, y = label_spot(space(outline))
    shape = shapely.make_valid(shapely.Polygon(outline))
    assert shape.distance(shapely.Point(x, y)) < 1e-6


def test_uses_close_a_space_and_the_user_decides() -> None:
    square = [(0, 0), (1_000, 0), (1_000, 1_000), (0, 1_000)]
    assert is_closed(space(square, use=SpaceUse.LIFT_SHAFT))
    assert not is_closed(space(square, use=SpaceUse.OFFICE))
    assert not is_closed(space(square, use=SpaceUse.STAIR, closed_to_cable=False))
    assert is_closed(space(square, use=SpaceUse.OFFICE, closed_to_cable=True))
