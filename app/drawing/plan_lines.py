"""The lines of a plan's drawing as a painter wants them: by layer and pen, broken into dashes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.drawing.plan_drawing import Floats, Indices, PlanDrawing

MOST_DASHES = 50_000
"""A group of lines that would break into more dashes than this, and many each, stays solid."""

MOST_DASHES_PER_LINE = 40


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LineGroup:
    """All lines of one layer that are drawn with one pen: (n, 4) local x0, y0, x1, y1."""

    layer: str
    colour: int
    width_mm: float
    segments: Floats
    is_hatch: bool = False


def line_groups(drawing: PlanDrawing) -> Iterator[LineGroup]:
    """The drawing's lines layer by layer, pen by pen: hatch lines first, then the others."""
    for layer in drawing.layers:
        for colour, weight, _, rows in _pens(layer.hatch_colours, layer.hatch_weights, None):
            yield LineGroup(
                layer=layer.name,
                colour=drawing.colours[colour],
                width_mm=drawing.lineweights_mm[weight],
                segments=layer.hatch_lines[rows],
                is_hatch=True,
            )
        for colour, weight, dash, rows in _pens(
            layer.segment_colours, layer.segment_weights, layer.segment_dashes
        ):
            yield LineGroup(
                layer=layer.name,
                colour=drawing.colours[colour],
                width_mm=drawing.lineweights_mm[weight],
                segments=dashed(layer.segments[rows], drawing.dash_patterns[dash]),
            )


def _pens(
    colours: Indices, weights: Indices, dashes: Indices | None
) -> Iterator[tuple[int, int, int, npt.NDArray[np.intp]]]:
    """Each pen in use (colour, weight, dash) and the rows drawn with it, in their order."""
    if not len(colours):
        return
    if dashes is None:
        dashes = np.zeros_like(colours)
    order = np.lexsort((dashes, weights, colours))
    keys = np.column_stack((colours, weights, dashes))[order]
    starts = np.flatnonzero(np.r_[True, (keys[1:] != keys[:-1]).any(axis=1)])
    ends = np.r_[starts[1:], len(order)]
    for start, end in zip(starts, ends, strict=True):
        colour, weight, dash = keys[start].tolist()
        yield colour, weight, dash, order[start:end]


def dashed(segments: Floats, pattern: tuple[float, ...], *, phase: Floats | None = None) -> Floats:
    """The dashes of segments (n, 4) for a pattern of lengths on, off, on, off, ...

    `phase` is how far into the pattern each segment begins; without it, segments that follow
    one another continue the pattern.
    """
    period = sum(pattern)
    if len(pattern) < 2 or period <= 0 or not len(segments):  # noqa: PLR2004 - on and off
        return segments
    delta = segments[:, 2:] - segments[:, :2]
    length = np.hypot(delta[:, 0], delta[:, 1])
    begin = (_distance_along(segments, length) if phase is None else phase) % period
    periods = np.floor((begin + length) / period).astype(np.int64) + 1
    count = int(periods.sum())
    if count > MOST_DASHES and count > MOST_DASHES_PER_LINE * len(segments):
        return segments
    row = np.repeat(np.arange(len(segments)), periods)
    first = np.repeat(np.cumsum(periods) - periods, periods)
    offset = (np.arange(count) - first) * period - begin[row]
    pieces = []
    at = 0.0
    for on, off in zip(pattern[::2], pattern[1::2], strict=False):
        start = np.maximum(offset + at, 0.0)
        end = np.minimum(offset + at + on, length[row])
        keep = start < end if on > 0 else start == end
        pieces.append(_parts(segments, delta, length, row[keep], start[keep], end[keep]))
        at += on + off
    return np.concatenate(pieces)


def _distance_along(segments: Floats, length: Floats) -> Floats:
    """How far along its chain of touching segments each one begins."""
    before = np.cumsum(length) - length
    touches = np.r_[False, (segments[1:, :2] == segments[:-1, 2:]).all(axis=1)]
    chain = np.cumsum(~touches) - 1
    result: Floats = before - before[np.flatnonzero(~touches)][chain]
    return result


def _parts(
    segments: Floats,
    delta: Floats,
    length: Floats,
    row: npt.NDArray[np.intp],
    start: Floats,
    end: Floats,
) -> Floats:
    """The parts of segments between two distances from their first ends."""
    safe = np.where(length > 0, length, 1.0)[row]
    t0 = (start / safe)[:, None]
    t1 = (end / safe)[:, None]
    return np.hstack((segments[row, :2] + t0 * delta[row], segments[row, :2] + t1 * delta[row]))
