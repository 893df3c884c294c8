"""How long a plan takes to open, against the drawing library reading and drawing it once.

The reference is `ezdxf.readfile` and the library's own frontend into its own recorder, measured
in the same run on the same file. Opening, to the first sharp picture on the canvas, may take 1.2
times that; a plan of many block references half of it. Printed as a table; skipped for plans
that are not there.
"""

from __future__ import annotations

import gc
import os
import time
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from ezdxf.addons.drawing import Frontend, RenderContext
from ezdxf.addons.drawing.recorder import Recorder
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.editor.document import Document
from app.editor.selection import Selection
from app.model.project import Project
from app.plans.read_plan import read_plan
from app.ui.canvas import CanvasView
from tests.ui.canvas import building

REPOSITORY = Path(__file__).resolve().parents[2]
PLANS = {
    "kegonsa/A-101_first_floor_20141205.dxf": 1.2,
    "kegonsa/A-102_second_third_20141205.dxf": 1.2,
    "park1810/A101_floor_plan_1st.dxf": 1.2,
    "derived/office_L1_R12_inch_nounits.dxf": 1.2,
    "derived/office_L1_R2010_mm.dxf": 1.2,
    "furnished-office/cad.dxf": 0.6,
}
ROUNDS = 5


def seconds(work: Callable[[], object]) -> float:
    gc.collect()
    started = time.perf_counter()
    work()
    return time.perf_counter() - started


def read_and_record(path: Path) -> None:
    doc = ezdxf.readfile(path)
    Frontend(RenderContext(doc), Recorder()).draw_layout(doc.modelspace())


def painted(path: Path, qtbot: QtBot) -> None:
    """Read a plan and wait until it is sharp on a canvas of 1600 by 1000."""
    drawing = read_plan(path).drawing
    document = Document(Project([*building.floors(), *building.kinds(), building.plan()]))
    canvas = CanvasView(document, Selection(document), drawings=lambda _: drawing)
    canvas.resize(1600, 1000)
    qtbot.addWidget(canvas)
    canvas.show()
    waiting = time.monotonic() + 60.0
    while not canvas.has_painted_plans:
        assert time.monotonic() < waiting
        QApplication.processEvents()
        time.sleep(0.001)
    canvas.shut()


@pytest.mark.benchmark
def test_opening_a_plan_costs_little_more_than_the_library_alone(qtbot: QtBot) -> None:
    named = os.environ.get("DRAWCORD_SHARED")
    folder = (Path(named) if named else REPOSITORY.parent / "shared") / "plans"
    paths = {name: folder / name for name in PLANS if (folder / name).is_file()}
    if not paths:
        pytest.skip("the outside plans are not there; set DRAWCORD_SHARED to find them")
    first = next(iter(paths.values()))
    painted(first, qtbot)
    read_and_record(first)
    head = f"{'plan':<45} {'MB':>5} {'read s':>7} {'picture s':>9} {'library s':>9}"
    print(f"\n{head} {'ratio':>6} {'bound':>6}")
    ratios = {}
    for name, path in paths.items():
        own, picture, reference = [], [], []
        for _ in range(ROUNDS):
            own.append(seconds(lambda path=path: read_plan(path)))  # type: ignore[misc]
            picture.append(seconds(lambda path=path: painted(path, qtbot)))  # type: ignore[misc]
            reference.append(seconds(lambda path=path: read_and_record(path)))  # type: ignore[misc]
        ratios[name] = min(picture) / min(reference)
        print(
            f"{name:<45} {path.stat().st_size / 1e6:5.1f} {min(own):7.3f} "
            f"{min(picture):9.3f} {min(reference):9.3f} "
            f"{ratios[name]:6.2f} {PLANS[name]:6.2f}"
        )
    assert {name: ratio for name, ratio in ratios.items() if ratio > PLANS[name]} == {}
