"""Frames of the canvas against a screen's 60 a second, printed; failing only beyond twice that."""

import time
from collections.abc import Callable, Iterator

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.editor.document import Document
from app.editor.selection import Selection
from app.model.entities import Frame, Pathway
from app.model.project import Project
from app.model.vocabulary import PathwayKind
from app.ui.canvas import CanvasView
from tests.ui.canvas import building

FRAME_MS = 16.7
ROUNDS = 3
SEGMENTS = 200_000
OUTLETS = 5_000
WIDTH_MM, DEPTH_MM = 160_000.0, 100_000.0
SIZE_PX = (1600, 1000)

pytestmark = pytest.mark.benchmark


def pathways() -> list[Pathway]:
    """Three spines along the floor, and branches across them every ten metres."""
    made = []
    for i, y in enumerate((DEPTH_MM * 0.2, DEPTH_MM * 0.5, DEPTH_MM * 0.8)):
        line = ((0, int(y), 3_000), (int(WIDTH_MM), int(y), 3_000))
        made.append(pathway(i, PathwayKind.BASKET, line, f"S-{i}"))
    for i, x in enumerate(range(5_000, int(WIDTH_MM), 10_000)):
        line = ((x, 500, 3_000), (x, int(DEPTH_MM) - 500, 3_000))
        made.append(pathway(100 + i, PathwayKind.HOOKS, line, f"H-{i}"))
    return made


def pathway(
    number: int, kind: PathwayKind, line: tuple[tuple[int, int, int], ...], name: str
) -> Pathway:
    return Pathway(
        id=f"pathway-{number:08d}",
        floor=building.GROUND,
        kind=kind,
        vertices=line,
        number=name,
        width_mm=300.0 if kind is PathwayKind.BASKET else None,
        depth_mm=60.0 if kind is PathwayKind.BASKET else None,
    )


def frames_on_floor() -> list[Frame]:
    spots = [(x, y) for x in (20_000, 80_000, 140_000) for y in (21_000, 51_000, 81_000)]
    return [
        Frame(id=f"frame-{i:08d}", floor=building.GROUND, name=f"T{i}", x_mm=x, y_mm=y)
        for i, (x, y) in enumerate(spots)
    ]


@pytest.fixture
def view(qtbot: QtBot) -> Iterator[CanvasView]:
    drawing = building.drawing_of(building.many_walls(SEGMENTS, WIDTH_MM, DEPTH_MM))
    random = np.random.default_rng(2)
    spots = random.uniform((0, 0), (WIDTH_MM, DEPTH_MM), (OUTLETS, 2)).astype(int)
    outlets = [
        building.outlet(i, int(x), int(y), turn_mdeg=int(random.integers(4)) * 90_000)
        for i, (x, y) in enumerate(spots)
    ]
    project = Project(
        [
            *building.floors(),
            *building.kinds(),
            building.plan(),
            *pathways(),
            *frames_on_floor(),
            *outlets,
        ]
    )
    document = Document(project)
    canvas = CanvasView(
        document,
        Selection(document),
        drawings=lambda _: drawing,
    )
    canvas.resize(*SIZE_PX)
    qtbot.addWidget(canvas)
    canvas.show()
    qtbot.waitUntil(lambda: canvas.is_settled, timeout=60_000)
    yield canvas
    canvas.shut()


class Paintings(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget: CanvasView) -> None:
        super().__init__(widget)
        self.count = 0
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.count += 1
        return False


def frames(view: CanvasView, steps: Iterator[Callable[[], None]]) -> np.ndarray:
    """Milliseconds from each step to the end of its painting, the worker at work meanwhile."""
    took = []
    paintings = Paintings(view)
    for step in steps:
        before = paintings.count
        start = time.perf_counter()
        step()
        QApplication.processEvents()
        took.append((time.perf_counter() - start) * 1e3)
        assert paintings.count > before
        time.sleep(0.004)
    return np.array(took)


def pans(view: CanvasView, count: int) -> Iterator[Callable[[], None]]:
    for i in range(count):
        angle = i / count * 2 * np.pi
        dx, dy = 23 * np.cos(angle), 17 * np.sin(angle)
        yield lambda dx=dx, dy=dy: view.pan_by(dx, dy)


def zooms(view: CanvasView, count: int) -> Iterator[Callable[[], None]]:
    middle = QPointF(view.width() / 2 + 130, view.height() / 2 - 70)
    for i in range(count):
        turn = 120 if (i // 12) % 2 == 0 else -120
        event = QWheelEvent(
            middle,
            QPointF(view.mapToGlobal(middle)),
            QPoint(),
            QPoint(0, turn),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        yield lambda event=event: QApplication.sendEvent(view, event) and None


def pointings(view: CanvasView, count: int) -> Iterator[Callable[[], None]]:
    for i in range(count):
        at = QPoint(300 + 11 * i, 200 + 7 * i)
        yield lambda at=at: point(view, at)


def point(view: CanvasView, at: QPoint) -> None:
    QTest.mouseMove(view, at)
    view.bench.flush()


def pulls(view: CanvasView, count: int) -> Iterator[Callable[[], None]]:
    """An outlet is dragged; every step previews its new lengths."""
    outlet = next(iter(view.bench.hand.context.project.outlets.values()))
    start = view.camera.to_screen(outlet.x_mm, outlet.y_mm).toPoint()
    point(view, start)
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=start)
    for i in range(count):
        at = start + QPoint(8 + 2 * i, 3 * i)
        yield lambda at=at: point(view, at)
    QTest.keyClick(view, Qt.Key.Key_Escape)


def table(rows: dict[str, np.ndarray]) -> str:
    lines = [
        f"{SEGMENTS:,} plan segments, {OUTLETS:,} outlets, {SIZE_PX[0]}×{SIZE_PX[1]}",
        f"{'frames':<28}{'count':>6}{'median':>9}{'95 %':>9}{'worst':>9}  ms",
    ]
    for name, ms in rows.items():
        lines.append(
            f"{name:<28}{len(ms):>6}{np.median(ms):>9.1f}"
            f"{np.quantile(ms, 0.95):>9.1f}{ms.max():>9.1f}"
        )
    return "\n".join(lines)


def quietest(view: CanvasView, steps: Callable[[], Iterator[Callable[[], None]]]) -> np.ndarray:
    """Of up to three rounds the one with the best 95th percentile: others use the machine too."""
    rounds: list[np.ndarray] = []
    while len(rounds) < ROUNDS:
        rounds.append(frames(view, steps()))
        if np.quantile(rounds[-1], 0.95) < FRAME_MS:
            break
    return min(rounds, key=lambda ms: float(np.quantile(ms, 0.95)))


def test_frames(view: CanvasView, qtbot: QtBot) -> None:
    rows = {
        "pan, whole floor": quietest(view, lambda: pans(view, 80)),
        "zoom by wheel": quietest(view, lambda: zooms(view, 96)),
    }
    view.fit()
    view.zoom_by(6)
    qtbot.waitUntil(lambda: view.is_settled, timeout=60_000)
    rows["pan, six times nearer"] = quietest(view, lambda: pans(view, 80))
    rows["point at things"] = quietest(view, lambda: pointings(view, 60))
    rows["drag an outlet"] = quietest(view, lambda: pulls(view, 60))
    print("\n" + table(rows))
    for name, ms in rows.items():
        if name == "drag an outlet":  # its greater part is the routing, which is measured apart
            continue
        assert np.quantile(ms, 0.95) < 2 * FRAME_MS, name
