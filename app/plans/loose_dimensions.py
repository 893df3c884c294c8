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

from app.drawing.plan_drawing import Floats, PlanDrawing, PlanLayer, PlanText
from app.plans.imported import PlanDimension
from app.plans.stated import stated_length

BESIDE_HEIGHTS = 3.0
"""The line passes within so many heights of the text's middle."""
PARALLEL_DEG = 1.0
MOST_TEXTS_PER_LAYER = 2_000
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
        texts = [text for text in layer.texts if text.text not in known][:MOST_TEXTS_PER_LAYER]
        group = [found for text in texts if (found := _beside(text, layer)) is not None]
        if len(group) >= LEAST_TEXTS:
            groups.append(group)
    return groups


def _beside(text: PlanText, layer: PlanLayer) -> StatedBeside | None:
    stated_mm, number = stated_length(text.text)
    if not (stated_mm or number) or not len(layer.segments) or text.height <= 0:
        return None
    lines = _spans(text, layer.segments)
    if not len(lines):
        return None
    return StatedBeside(text=text, stated_mm=stated_mm, stated_number=number, lines=lines)


def _spans(text: PlanText, segments: Floats) -> Floats:
    """Parts of the lines beside a text, from an end or a crossing line on either side of it."""
    corners = np.array(text.corners)
    middle = (corners[0] + corners[2]) / 2
    turn = math.radians(text.rotation_deg)
    along = np.array([math.cos(turn), math.sin(turn)])
    across = np.array([-along[1], along[0]])
    starts, ends = segments[:, :2] - middle, segments[:, 2:] - middle
    first, last, aside, beyond = starts @ along, ends @ along, starts @ across, ends @ across
    length = np.abs(last - first)
    is_parallel = np.abs(beyond - aside) < math.tan(math.radians(PARALLEL_DEG)) * length
    near = is_parallel & (np.abs(aside) < BESIDE_HEIGHTS * text.height) & (length > text.height)
    near &= (np.minimum(first, last) <= text.width) & (np.maximum(first, last) >= -text.width)
    spans = []
    for row in np.flatnonzero(near):
        level, low, high = aside[row], min(first[row], last[row]), max(first[row], last[row])
        crosses = ~is_parallel & ((aside - level) * (beyond - level) <= 0)
        share = (level - aside[crosses]) / (beyond[crosses] - aside[crosses])
        places = first[crosses] + share * (last[crosses] - first[crosses])
        places = np.unique(np.r_[low, high, places[(places >= low) & (places <= high)]])
        pivot = np.clip(0.0, low, high)
        left = places[places <= pivot][-MOST_PLACES:]
        right = places[places > pivot][:MOST_PLACES]
        for a in left:
            for b in right:
                spans.append((*(middle + a * along + level * across),
                              *(middle + b * along + level * across)))  # fmt: skip
    return np.array(spans, dtype=np.float64).reshape(-1, 4)


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
