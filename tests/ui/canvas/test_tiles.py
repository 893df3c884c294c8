"""Tiles: right where they lie, bounded in memory, shown scaled until they are sharp."""

import numpy as np
import pytest
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from app.model.project import Project
from app.ui.canvas import tiles
from app.ui.canvas.camera import Camera
from app.ui.canvas.plan_paths import MOST_SEGMENTS, plan_paths
from app.ui.canvas.plan_scene import PlanScene, plan_scene
from app.ui.canvas.tile_render import TILE_PX, TileAt, TileCancelled, render_tile
from app.ui.canvas.tiles import TILE_BYTES, TileStore, tiles_over
from app.ui.palette import LIGHT
from tests.ui.canvas.building import GROUND, drawing_of, floors, kinds, many_walls, plan


def scene_of(segments: np.ndarray, **changes: object) -> PlanScene:
    drawing = drawing_of(segments)
    project = Project([*floors(), *kinds(), plan(dim_percent=0, **changes)])
    return plan_scene(
        project, GROUND, drawings=lambda _: drawing, palette=LIGHT, ink="paper", ghost=False
    )


def dark(image: QImage, x: int, y: int) -> bool:
    """Whether a line passes here or on the next pixel."""
    return any(
        QColor(image.pixel(x + dx, y + dy)).lightnessF() < 0.75
        for dx in (-1, 0, 1)
        for dy in (-1, 0, 1)
    )


@pytest.mark.parametrize("turn_mdeg", [0, 90_000])
def test_a_line_is_drawn_where_the_plan_lies(qapp: object, turn_mdeg: int) -> None:
    scene = scene_of(
        np.array([[0.0, 0.0, 1000.0, 0.0]]), x_mm=2_000, y_mm=-3_000, rotation_mdeg=turn_mdeg
    )
    along, across = ((500, 0), (0, 500)) if turn_mdeg == 0 else ((0, 500), (500, 0))
    image = render_tile(
        scene, TileAt(0.1, 0, 0), paths_of=lambda _, d: plan_paths(d), wanted=lambda: True
    )
    x, y = 200 + along[0] / 10, 300 - along[1] / 10
    assert dark(image, round(x), round(y))
    x, y = 200 + across[0] / 10, 300 - across[1] / 10
    assert not dark(image, round(x), round(y))


def test_a_tile_nobody_wants_is_given_up(qapp: object) -> None:
    scene = scene_of(many_walls(5_000, 5_000, 5_000))
    with pytest.raises(TileCancelled):
        render_tile(
            scene, TileAt(0.1, 0, -1), paths_of=lambda _, d: plan_paths(d), wanted=lambda: False
        )


def test_pieces_are_small_and_lose_no_line() -> None:
    segments = many_walls(20_000, 100_000, 50_000)
    paths = plan_paths(drawing_of(segments))
    counts = [piece.path.elementCount() // 2 for piece in paths.lines]
    assert max(counts) <= MOST_SEGMENTS
    assert sum(counts) == len(segments)


def test_tiles_cover_a_box() -> None:
    side = TILE_PX / 0.05
    box = (-1.5 * side, 0.25 * side, 0.5 * side, 1.5 * side)
    found = {(t.column, t.row) for t in tiles_over(box, 0.05, within=None)}
    assert found == {(c, r) for c in (-2, -1, 0) for r in (-2, -1)}


@pytest.fixture
def store(qtbot: QtBot) -> TileStore:
    made = TileStore()
    yield made
    made.close()


def paint(store: TileStore, camera: Camera) -> QImage:
    image = QImage(camera.width_px, camera.height_px, QImage.Format.Format_RGB32)
    image.fill(QColor(LIGHT.sheet))
    painter = QPainter(image)
    store.paint(painter, camera, 1.0)
    painter.end()
    return image


def test_scaled_tiles_stand_in_until_sharp_ones_come(store: TileStore, qtbot: QtBot) -> None:
    store.set_scene(scene_of(np.array([[0.0, 0.0, 40_000.0, 0.0]])))
    camera = Camera(width_px=800, height_px=600, px_per_mm=0.02, x_mm=20_000, y_mm=0)
    paint(store, camera)
    qtbot.waitUntil(lambda: paint(store, camera) is not None and store.is_sharp)
    nearer = camera.zoomed(0.05, 400, 300)
    image = paint(store, nearer)
    assert not store.is_sharp
    assert dark(image, 400, 300)
    qtbot.waitUntil(lambda: paint(store, nearer) is not None and store.is_sharp)
    assert dark(paint(store, nearer), 400, 300)


def test_nothing_stands_in_so_large_that_its_lines_look_like_walls(
    store: TileStore, qtbot: QtBot
) -> None:
    store.set_scene(scene_of(np.array([[0.0, 0.0, 40_000.0, 0.0]])))
    camera = Camera(width_px=800, height_px=600, px_per_mm=0.02, x_mm=20_000, y_mm=0)
    paint(store, camera)
    qtbot.waitUntil(lambda: paint(store, camera) is not None and store.is_sharp)
    assert dark(paint(store, camera.zoomed(0.078, 400, 300)), 400, 300)
    nearest = camera.zoomed(0.4, 400, 300)
    image = paint(store, nearest)
    assert not store.is_sharp
    assert not any(dark(image, 400, y) for y in range(3, 597, 3))
    qtbot.waitUntil(lambda: paint(store, nearest) is not None and store.is_sharp)
    assert dark(paint(store, nearest), 400, 300)


def test_memory_is_bounded(store: TileStore, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tiles, "MOST_BYTES", 12 * TILE_BYTES)
    store.set_scene(scene_of(many_walls(2_000, 400_000, 50_000)))
    camera = Camera(width_px=512, height_px=512, px_per_mm=0.05, x_mm=10_000, y_mm=20_000)
    for _ in range(20):
        paint(store, camera)
        qtbot.waitUntil(lambda: paint(store, camera) is not None and store.is_sharp)  # noqa: B023
        camera = camera.panned(-300, 0)
    needed = 9 * TILE_BYTES
    assert store.bytes_held <= max(12 * TILE_BYTES, 2 * needed)


def test_another_plan_shows_no_tile_of_the_last(store: TileStore, qtbot: QtBot) -> None:
    camera = Camera(width_px=400, height_px=300, px_per_mm=0.05, x_mm=2_000, y_mm=0)
    store.set_scene(scene_of(np.array([[0.0, 0.0, 4_000.0, 0.0]])))
    paint(store, camera)
    qtbot.waitUntil(lambda: paint(store, camera) is not None and store.is_sharp)
    store.set_scene(scene_of(np.array([[0.0, 0.0, 4_000.0, 0.0]]), y_mm=2_000))
    qtbot.waitUntil(lambda: paint(store, camera) is not None and store.is_sharp)
    image = paint(store, camera)
    assert not dark(image, 200, 150)
    assert dark(image, 200, 50)
