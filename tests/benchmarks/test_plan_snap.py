"""How long the cursor waits for a point of a large plan: well within a frame of the screen."""

from __future__ import annotations

import time

import numpy as np
import pytest

from app.drawing.plan_drawing import INK, PlanDrawing, PlanLayer
from app.drawing.snap import SnapIndex

SEGMENTS = 200_000
FRAME_S = 1 / 60


@pytest.mark.benchmark
def test_a_point_is_caught_within_a_frame() -> None:
    rng = np.random.default_rng(20)
    starts = rng.uniform(0, 80_000, (SEGMENTS, 2))
    lengths = rng.exponential(800, SEGMENTS)
    square = rng.integers(0, 2, SEGMENTS)
    steps = np.column_stack((np.where(square, lengths, 0), np.where(square, 0, lengths)))
    none = np.zeros(SEGMENTS, dtype=np.int32)
    layer = PlanLayer(
        name="0",
        segments=np.hstack((starts, starts + steps)),
        segment_colours=none,
        segment_weights=none,
        segment_dashes=none,
    )
    drawing = PlanDrawing(
        origin=(0.0, 0.0),
        layers=(layer,),
        colours=(INK,),
        lineweights_mm=(0.25,),
        dash_patterns=((),),
        bounds=(0, 0, 80_000, 80_000),
        raw_bounds=(0, 0, 80_000, 80_000),
    )
    index = SnapIndex(drawing)
    started = time.perf_counter()
    index.build()
    built = time.perf_counter() - started
    waits = []
    for point in rng.uniform(0, 80_000, (400, 2)):
        started = time.perf_counter()
        index.nearest_snap((float(point[0]), float(point[1])), 600.0)
        waits.append(time.perf_counter() - started)
    slow = float(np.quantile(waits, 0.95))
    print(
        f"\n{SEGMENTS:,} segments: built in {built:.2f} s; a point in "
        f"{np.mean(waits) * 1e3:.2f} ms, 95 of 100 within "
        f"{slow * 1e3:.2f} ms; a frame is {FRAME_S * 1e3:.1f} ms"
    )
    assert slow < 2 * FRAME_S
