"""Dimensions that were broken into loose lines and texts, as old and converted files have them.

A text that states a length, with a parallel line beside it on the same layer, may be one. Whether
they are is told by the unit: on a layer of dimensions, in the true unit, most texts agree with a
line beside them; in others, few do by chance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from app.drawing.plan_drawing import Floats, PlanDrawing, PlanText
from app.plans.imported import PlanDimension
from app.plans.stated import stated_length

BESIDE_HEIGHTS = 3.0
"""The line passes within so many heights of the text's middle."""
PARALLEL_DEG = 1.0
MOST_TEXTS_PER_LAYER = 400
LEAST_TEXTS = 3
MOST_PLACES = 4
"""So many ends or crossings on either side of a text are tried."""
LEAST_SHARE = 0.6
AGREEMENT_RATIO = 0.003
AGREEMENT_MM = 15.0
"""A text may be rounded to half an inch, or to a centimetre."""
LONG_FOR_ROUNDING = 20
"""Lengths must be so many times the rounding that they are given in, to say anything."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StatedBeside:
    """A text that states a length, and the spans (n, 4) beside it that it may be the length of."""

    text: PlanText
    stated_mm: float | None
    stated_number: float | None
    lines: Floats


def stated_beside_lines(
    drawing: PlanDrawing, dimensions: Sequence[PlanDimension] = ()
) -> list[list[StatedBeside]]:
    """For each layer with a few of them, the texts that state lengths beside lines.

    Those that belong to `dimensions`, found as such already, are left out.
    """
    known = {dimension.text for dimension in dimensions}
    groups = []
    for layer in drawing.layers:
        stated = [
            (text, *stated_length(text.text))
            for text in layer.texts
            if text.text not in known and text.height > 0
        ]
        stated = [item for item in stated if item[1] or item[2]][:MOST_TEXTS_PER_LAYER]
        if len(stated) < LEAST_TEXTS or not len(layer.segments):
            continue
        tree = shapely.STRtree(np.asarray(_boxes(layer.segments)))
        group = [
            StatedBeside(text=text, stated_mm=mm, stated_number=number, lines=spans)
            for text, mm, number in stated
            if len(spans := _spans(text, layer.segments, tree))
        ]
        if len(group) >= LEAST_TEXTS:
            groups.append(group)
    return groups


def _boxes(segments: Floats) -> npt.NDArray[np.object_]:
    """The upright rectangles around segments."""
    xs, ys = segments[:, 0::2], segments[:, 1::2]
    boxes: npt.NDArray[np.object_] = shapely.box(
        xs.min(axis=1), ys.min(axis=1), xs.max(axis=1), ys.max(axis=1)
    )
    return boxes


def _spans(text: PlanText, segments: Floats, tree: shapely.STRtree) -> Floats:
    """Parts of the lines beside a text, from an end or a crossing line on either side of it."""
    corners = np.array(text.corners)
    middle = (corners[0] + corners[2]) / 2
    turn = math.radians(text.rotation_deg)
    along = np.array([math.cos(turn), math.sin(turn)])
    reach = text.width + BESIDE_HEIGHTS * text.height
    around = shapely.box(*(middle - reach), *(middle + reach))
    near = _turned(segments[np.sort(tree.query(around))], middle, along)
    spans = []
    for first, aside, last, _ in near[_is_beside(near, text)].tolist():
        low, high = min(first, last), max(first, last)
        line = np.array([middle + x * along for x in (low, high)]) + aside * _left_of(along)
        crossing = segments[tree.query(_boxes(line.reshape(1, 4))[0])]
        places = _places(_turned(crossing, middle, along), aside, low, high)
        pivot = min(max(0.0, low), high)
        for left in places[places <= pivot][-MOST_PLACES:]:
            for right in places[places > pivot][:MOST_PLACES]:
                spans.append((left, aside, right, aside))
    rows = np.array(spans, dtype=np.float64).reshape(-1, 2, 2)
    back = rows[..., :1] * along + rows[..., 1:] * _left_of(along) + middle
    result: Floats = back.reshape(-1, 4)
    return result


def _left_of(along: Floats) -> Floats:
    return np.array([-along[1], along[0]])


def _turned(segments: Floats, middle: Floats, along: Floats) -> Floats:
    """Segments (n, 4) in a text's own frame: along it, and to its left."""
    points = segments.reshape(-1, 2) - middle
    result: Floats = np.column_stack((points @ along, points @ _left_of(along))).reshape(-1, 4)
    return result


def _is_parallel(turned: Floats) -> npt.NDArray[np.bool_]:
    length = np.abs(turned[:, 2] - turned[:, 0])
    drift = np.abs(turned[:, 3] - turned[:, 1])
    result: npt.NDArray[np.bool_] = drift < math.tan(math.radians(PARALLEL_DEG)) * length
    return result


def _is_beside(turned: Floats, text: PlanText) -> npt.NDArray[np.bool_]:
    """Which lines, in the text's frame, run beside it."""
    first, aside, last = turned[:, 0], turned[:, 1], turned[:, 2]
    beside = _is_parallel(turned) & (np.abs(aside) < BESIDE_HEIGHTS * text.height)
    beside &= np.abs(last - first) > text.height
    beside &= (np.minimum(first, last) <= text.width) & (np.maximum(first, last) >= -text.width)
    return beside


def _places(crossing: Floats, aside: float, low: float, high: float) -> Floats:
    """Where a line from `low` to `high` ends or is crossed, in order."""
    rising = crossing[~_is_parallel(crossing)]
    rising = rising[(rising[:, 1] - aside) * (rising[:, 3] - aside) <= 0]
    rising = rising[rising[:, 1] != rising[:, 3]]
    share = (aside - rising[:, 1]) / (rising[:, 3] - rising[:, 1])
    places = rising[:, 0] + share * (rising[:, 2] - rising[:, 0])
    result: Floats = np.unique(np.r_[low, high, places[(places >= low) & (places <= high)]])
    return result


def agreeing(
    groups: Sequence[Sequence[StatedBeside]], *, mm_per_unit: float, mm_per_number: float
) -> list[PlanDimension]:
    """The dimensions found on layers where most texts agree with a span in this unit."""
    found = []
    for group in groups:
        matches = [
            dimension
            for item in group
            if (dimension := _match(item, mm_per_unit, mm_per_number)) is not None
        ]
        if len(matches) >= max(LEAST_TEXTS, LEAST_SHARE * len(group)):
            found += matches
    return found


def _match(item: StatedBeside, mm_per_unit: float, mm_per_number: float) -> PlanDimension | None:
    """The span beside a text whose length agrees best with it, if any does."""
    stated = item.stated_mm or (item.stated_number or 0.0) * mm_per_number
    lengths = np.hypot(*(item.lines[:, 2:] - item.lines[:, :2]).T) * mm_per_unit
    best = int(np.argmin(np.abs(lengths - stated)))
    difference = abs(float(lengths[best]) - stated)
    is_long = stated >= LONG_FOR_ROUNDING * AGREEMENT_MM
    if not is_long or difference > max(AGREEMENT_MM, AGREEMENT_RATIO * stated):
        return None
    x0, y0, x1, y1 = item.lines[best].tolist()
    return PlanDimension(
        text=item.text.text,
        start=(x0, y0),
        end=(x1, y1),
        is_typed=True,
        stated_mm=item.stated_mm,
        stated_number=item.stated_number,
    )
