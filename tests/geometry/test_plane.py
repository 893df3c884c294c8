"""Plane geometry held against shapely."""

import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from app.geometry.along_lines import (
    crossing,
    crossings,
    evenly,
    foot_on_piece,
    line_length,
    place_on,
    stepwise,
    walk,
)
from app.geometry.polygons import area_mm2, contains, is_flat, is_simple, long_side_mm, spans_at
from app.geometry.similarity import (
    Similarity,
    about,
    direction_mdeg,
    normal_mdeg,
    shift,
    unit_vector,
)
from app.geometry.walls import OFF_WALL_MM, along_walls, at_wall, in_row, over_area

whole = st.integers(-20_000, 20_000)
point = st.tuples(whole, whole)
line = st.lists(point, min_size=2, max_size=6, unique=True)
angle = st.integers(-360_000, 360_000)


# --- similarity -------------------------------------------------------------------------------


@given(point, point, angle, st.floats(0.1, 10.0))
def test_a_similarity_keeps_its_centre_and_scales_every_distance(centre, at, turn, scale):
    by = about(centre, turn_mdeg=turn, scale=scale)
    assert by.at(*centre) == pytest.approx(centre, abs=1e-6)
    assert math.dist(by.at(*at), by.at(*centre)) == pytest.approx(
        scale * math.dist(at, centre), rel=1e-9, abs=1e-6
    )


@given(point, point, angle)
def test_mirroring_twice_changes_nothing_and_turns_the_other_way(centre, at, axis):
    by = about(centre, turn_mdeg=2 * axis % 360_000, mirrored=True)
    assert by.at(*by.at(*at)) == pytest.approx(at, abs=1e-5)
    assert by.turned(by.turned(axis)) == normal_mdeg(axis)


@given(point, st.integers(-8, 8))
def test_quarter_turns_are_exact(at, quarters):
    by = Similarity(turn_mdeg=90_000 * quarters)
    x, y = at
    for _ in range(quarters % 4):
        x, y = -y, x
    assert by.at(*at) == (x, y)


@given(angle)
def test_directions_and_angles_agree(mdeg):
    assert direction_mdeg(*unit_vector(mdeg)) == normal_mdeg(mdeg)
    assert -180_000 < normal_mdeg(mdeg) <= 180_000


def test_a_shift_shifts():
    assert shift(1.5, -2).at_mm(1, 1) == (3, -1)


# --- lines ------------------------------------------------------------------------------------


@given(point, line)
def test_the_nearest_place_is_as_near_as_the_reference_says(at, points):
    place = place_on(points, at)
    reference = LineString(points)
    assert place.distance == pytest.approx(reference.distance(Point(at)), abs=1e-6)
    a, b = points[place.piece], points[place.piece + 1]
    foot = foot_on_piece(at, a, b)
    assert (foot.x, foot.y) == pytest.approx((place.x, place.y), abs=1e-6)
    assert line_length(points) == pytest.approx(reference.length)


@given(point, point, point, point)
def test_crossings_are_those_of_the_reference(a, b, c, d):
    assume(a != b and c != d)
    first, second = LineString([a, b]), LineString([c, d])
    found = crossing(a, b, c, d)
    met = first.intersection(second)
    if found is None:
        assert met.is_empty or met.geom_type == "LineString" or _touches(first, second)
    else:
        assert first.distance(Point(found)) < 1e-3
        assert second.distance(Point(found)) < 1e-3


def _touches(first: LineString, second: LineString) -> bool:
    """Rounding may lose a crossing at the very end of a piece, or of all but parallel ones."""
    ends = [Point(c) for piece in (first, second) for c in piece.coords]
    return min(p.distance(q) for p in ends for q in (first, second)) < 1e-3


def test_ends_that_lie_on_the_other_line_count_as_crossings():
    tray = [(0, 0), (10_000, 0)]
    assert set(crossings(tray, [(5_000, 3_000), (5_000, 15)], reach=20)) == {
        (5_000.0, 0.0),
        (5_000, 15),
    }
    assert list(crossings(tray, [(5_000, 3_000), (5_000, 25)], reach=20)) == []


@given(line, st.integers(1, 12))
def test_places_along_a_line_are_those_of_the_reference(points, count):
    reference = LineString(points)
    distances = evenly(reference.length, count=count)
    for (at, _), distance in zip(walk(points, distances), distances, strict=True):
        expected = reference.interpolate(distance)
        assert at == pytest.approx((expected.x, expected.y), abs=1e-5)


def test_even_and_stepwise_places():
    assert evenly(10, count=1) == (5,)
    assert evenly(10, count=3) == (0, 5, 10)
    assert stepwise(10, spacing_mm=4) == (0, 4, 8)
    assert stepwise(8, spacing_mm=4) == (0, 4, 8)
    assert [p for p, _ in in_row([(0, 0), (0, 9)], count=None, spacing_mm=4)] == [
        (0, 0),
        (0, 4),
        (0, 8),
    ]


# --- outlines ---------------------------------------------------------------------------------

STAR = [(0, 0), (6_000, 1_000), (9_000, 7_000), (5_000, 4_000), (1_000, 9_000)]
L_SHAPE = [(0, 0), (12_000, 0), (12_000, 4_000), (5_000, 4_000), (5_000, 9_000), (0, 9_000)]


@given(point, st.sampled_from([STAR, L_SHAPE, STAR[::-1]]))
def test_what_lies_within_is_what_the_reference_says(at, outline):
    polygon = Polygon(outline)
    assume(polygon.boundary.distance(Point(at)) > 1e-6)
    assert contains(outline, at) == polygon.contains(Point(at))


@given(st.floats(-500, 9_500), st.sampled_from([STAR, L_SHAPE]))
def test_spans_are_those_of_the_reference(y, outline):
    polygon = Polygon(outline)
    chord = polygon.intersection(LineString([(-1e6, y), (1e6, y)]))
    assume(all(abs(y - corner[1]) > 1e-3 for corner in outline))
    spans = spans_at(outline, y)
    assert math.fsum(b - a for a, b in spans) == pytest.approx(chord.length, abs=1e-6)


def test_holes_are_taken_off():
    hole = [(1_000, 1_000), (3_000, 1_000), (3_000, 3_000), (1_000, 3_000)]
    assert area_mm2(L_SHAPE, [hole]) == Polygon(L_SHAPE, [hole]).area
    assert spans_at(L_SHAPE, 2_000, holes=[hole]) == [(0, 1_000), (3_000, 12_000)]


def test_flat_and_crossed_outlines_are_told():
    assert is_flat([(0, 0), (5, 5), (9, 9)])
    assert not is_flat(STAR)
    assert is_simple(STAR)
    assert not is_simple([(0, 0), (5, 5), (5, 0), (0, 5)])
    assert long_side_mm([(0, 0), (50_000, 0), (50_000, 2_500), (0, 2_500)]) == pytest.approx(50_000)


# --- walls ------------------------------------------------------------------------------------


@given(point, point, point)
def test_a_thing_at_a_wall_stands_off_it_on_the_side_of_its_room(a, b, room):
    assume(math.dist(a, b) > 1)
    wall = LineString([a, b])
    assume(abs((b[0] - a[0]) * (room[1] - a[1]) - (b[1] - a[1]) * (room[0] - a[0])) > 1e6)
    placed = at_wall(room, (a, b), room)
    cos, sin = unit_vector(placed.rotation_mdeg)
    into = (-sin, cos)
    foot = (placed.x - OFF_WALL_MM * into[0], placed.y - OFF_WALL_MM * into[1])
    assert wall.distance(Point(foot)) < 1
    assert into[0] * (room[0] - a[0]) + into[1] * (room[1] - a[1]) > -1


@pytest.mark.parametrize("outline", [L_SHAPE, L_SHAPE[::-1], STAR])
@pytest.mark.parametrize("count", [1, 4, 9])
def test_places_along_walls_are_evenly_apart_and_turned_into_the_room(outline, count):
    ring = shapely.LinearRing(outline)
    places = along_walls(outline, count)
    at = sorted(ring.project(Point(p.x, p.y)) for p in places)
    gaps = [b - a for a, b in zip(at, [*at[1:], at[0] + ring.length], strict=True)]
    assert len(places) == count
    assert gaps == pytest.approx([ring.length / count] * count, abs=2 * OFF_WALL_MM)
    for place in places:
        cos, sin = unit_vector(place.rotation_mdeg)
        assert contains(outline, (place.x - 50 * sin, place.y + 50 * cos))


def test_a_grid_over_a_rectangle_is_a_grid():
    square = [(0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000)]
    places = over_area(square, 4)
    assert [(p.x, p.y) for p in places] == [
        (2_500, 2_500),
        (7_500, 2_500),
        (2_500, 7_500),
        (7_500, 7_500),
    ]
