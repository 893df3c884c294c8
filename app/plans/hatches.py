"""The lines of a hatch pattern within a boundary, computed with arrays."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.drawing.plan_drawing import Floats
from app.drawing.plan_lines import dashed

NUDGE = 0.01234
"""Pattern lines are moved by this part of their spacing, so that few pass through corners."""


class TooDense(Exception):
    """The pattern has more lines than are worth drawing."""


class TooFine(Exception):
    """The pattern's lines lie so close together that they are better shown as a filled area."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFamily:
    """A family of parallel lines; `items` are dashes (positive), gaps (negative), dots (0)."""

    angle_deg: float
    base: tuple[float, float]
    offset: tuple[float, float]
    items: tuple[float, ...] = ()


def hatch_lines(
    rings: Sequence[Floats], pattern: Sequence[LineFamily], *, most_lines: int, least_step: float
) -> Floats:
    """The pattern's lines (n, 4) inside rings (even-odd). Raises TooDense and TooFine."""
    starts = np.concatenate(rings)
    sizes = [len(ring) for ring in rings]
    before = np.cumsum([0, *sizes[:-1]])
    after = np.concatenate(
        [first + np.roll(np.arange(n), -1) for n, first in zip(sizes, before, strict=True)]
    )
    found = []
    for family in pattern:
        lines = _family_lines(starts, after, family, most_lines, least_step)
        most_lines -= len(lines)
        if most_lines < 0:
            raise TooDense
        found.append(lines)
    return np.concatenate(found) if found else np.zeros((0, 4))


def _family_lines(
    starts: Floats,
    after: npt.NDArray[np.intp],
    family: LineFamily,
    most_lines: int,
    least_step: float,
) -> Floats:
    """Lines of one family inside the polygon whose edges run from `starts` to `starts[after]`."""
    angle = math.radians(family.angle_deg)
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    base, offset = np.array(family.base), np.array(family.offset)
    step = float(offset @ across)
    if not math.isfinite(step):
        raise TooDense
    if abs(step) < least_step:
        raise TooFine
    # The number of the pattern line (with fraction) on which each edge begins and ends.
    first = (starts - base) @ across / step - NUDGE
    last = first[after]
    low, high = np.minimum(first, last), np.maximum(first, last)
    crossed = np.maximum(np.ceil(high) - np.ceil(low), 0)
    if not crossed.sum() <= 2 * most_lines:
        raise TooDense
    begin, counts = np.ceil(low).astype(np.int64), crossed.astype(np.int64)
    total = int(counts.sum())
    edge = np.repeat(np.arange(len(counts)), counts)
    line = begin[edge] + np.arange(total) - np.repeat(np.cumsum(counts) - counts, counts)
    share = (line - first[edge]) / (last[edge] - first[edge])
    crossing = starts[edge] + share[:, None] * (starts[after[edge]] - starts[edge])
    order = np.lexsort((crossing @ along, line))
    line, crossing = line[order], crossing[order]
    if len(crossing) % 2:
        return np.zeros((0, 4))
    spans = np.hstack((crossing[::2], crossing[1::2]))
    on_off, shift = _on_off(family.items)
    origin = base + (line[::2] + NUDGE)[:, None] * offset
    phase = ((spans[:, :2] - origin) * along).sum(axis=1) + shift
    return dashed(spans, on_off, phase=phase)


def _on_off(items: Sequence[float]) -> tuple[tuple[float, ...], float]:
    """Lengths on, off, on, off, ..., and how far into them the pattern begins."""
    if all(item >= 0 for item in items) or all(item < 0 for item in items):
        return (), 0.0
    lead = 0.0
    items = list(items)
    while items[0] < 0:
        lead += -items[0]
        items.append(items.pop(0))
    result: list[float] = []
    for item in items:
        is_gap = item < 0
        if len(result) % 2 == int(is_gap):
            result.append(abs(item))
        else:
            result[-1] += abs(item)
    return tuple(result), -lead
