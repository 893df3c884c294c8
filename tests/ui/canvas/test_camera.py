"""The camera: there and back, zoom about a point, fit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF

from app.ui.canvas.camera import LEAST_PX_PER_MM, MOST_PX_PER_MM, Camera

places = st.floats(-5e6, 5e6)
scales = st.floats(LEAST_PX_PER_MM, MOST_PX_PER_MM)
pixels = st.floats(0, 4000)

cameras = st.builds(
    Camera,
    x_mm=places,
    y_mm=places,
    px_per_mm=scales,
    width_px=st.integers(1, 4000),
    height_px=st.integers(1, 3000),
)


@given(cameras, pixels, pixels)
def test_screen_to_model_and_back(camera: Camera, x: float, y: float) -> None:
    back = camera.to_screen(*camera.to_model(x, y))
    assert back.x() == pytest.approx(x, abs=1e-3)
    assert back.y() == pytest.approx(y, abs=1e-3)


@given(cameras, scales, pixels, pixels)
def test_the_point_under_the_cursor_stays(camera: Camera, scale: float, x: float, y: float) -> None:
    there = camera.to_model(x, y)
    after = camera.zoomed(scale, x, y).to_screen(*there)
    assert after.x() == pytest.approx(x, abs=1e-2)
    assert after.y() == pytest.approx(y, abs=1e-2)


@given(cameras, places, places)
def test_transform_says_the_same_as_to_screen(camera: Camera, x: float, y: float) -> None:
    mapped = camera.transform().map(x, y)
    point = camera.to_screen(x, y)
    assert mapped[0] == pytest.approx(point.x(), rel=1e-9, abs=1e-3)
    assert mapped[1] == pytest.approx(point.y(), rel=1e-9, abs=1e-3)


def test_y_points_up() -> None:
    camera = Camera(width_px=100, height_px=100, px_per_mm=1.0)
    assert camera.to_screen(0, 10).y() < camera.to_screen(0, 0).y()


def test_zoom_keeps_within_its_bounds() -> None:
    camera = Camera(width_px=100, height_px=100)
    assert camera.zoomed(1e9, 0, 0).px_per_mm == MOST_PX_PER_MM
    assert camera.zoomed(1e-9, 0, 0).px_per_mm == LEAST_PX_PER_MM


def test_zooming_in_and_out_again_comes_back_to_the_very_scale() -> None:
    start = Camera(width_px=800, height_px=600).fitted((0, 0, 145_000, 32_000))
    camera = start.zoomed(start.px_per_mm, 10, 10)
    scales = [camera.px_per_mm]
    for notches in (1, 1, 1, 1, -1, -1, -1, -1):
        camera = camera.zoomed(camera.px_per_mm * 2 ** (notches / 3), 300, 200)
        scales.append(camera.px_per_mm)
    assert scales[:5] == scales[:3:-1]


def test_fit_shows_the_whole_box_with_its_margin() -> None:
    camera = Camera(width_px=840, height_px=480).fitted((0, 0, 145_000, 32_000), margin_px=20)
    rect = QRectF(camera.to_screen(0, 32_000), camera.to_screen(145_000, 0))
    assert rect.width() == pytest.approx(800, rel=1e-4)
    assert rect.center().x() == pytest.approx(420)
    assert rect.center().y() == pytest.approx(240)
    assert rect.top() >= 20
    assert rect.bottom() <= 460


@given(cameras, st.sampled_from([1.0, 1.25, 1.5, 2.0]))
def test_whole_pixels_move_the_paper_by_less_than_one(camera: Camera, ratio: float) -> None:
    settled = camera.on_whole_pixels(ratio)
    moved = settled.to_screen(camera.x_mm, camera.y_mm) - camera.to_screen(camera.x_mm, camera.y_mm)
    assert abs(moved.x()) * ratio <= 0.51
    assert abs(moved.y()) * ratio <= 0.51
