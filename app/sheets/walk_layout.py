"""How a floor is laid on paper: upright or across, at which standard scale, on how many sheets."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.drawing.primitives import Bounds
from app.sheets.legend import legend_size
from app.sheets.page import SCALES, frame_of, orientations
from app.sheets.title_block import HEIGHT_MM, WIDTH_MM
from app.sheets.viewport import Viewport

READABLE = 250
"""A floor that fits on one sheet only at a smaller scale than 1:250 is split over several."""
MOST_SHEETS = 12
MARGIN_MM, OVERLAP_MM, GAP_MM = 8.0, 10.0, 3.0
"""Around the floor, beyond a match line, and between the parts of a sheet."""
LEAST_LIST_MM, LEAST_FREE_MM = 45.0, 20.0
"""The least height of a part of the list, and of anything under the drawing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """The foot of a sheet: title block at the right, legend beside or above it, cautions.
    Without a `legend` it has no room for one.
    """

    height_mm: float
    legend: Bounds | None
    title_right: float
    title_bottom: float
    cautions_top: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The sheets of one floor. `tiles` are the parts of the floor that they tell, in turned mm,
    from the upper left, row by row."""

    width_mm: float
    height_mm: float
    denominator: int
    columns: int
    rows: int
    area: Bounds
    strip: Strip
    extent: Bounds

    @property
    def sheets(self) -> int:
        return self.columns * self.rows

    @property
    def tiles(self) -> tuple[Bounds, ...]:
        x0, y0, x1, y1 = self.extent
        wide, tall = (x1 - x0) / self.columns, (y1 - y0) / self.rows
        return tuple(
            (x0 + c * wide, y1 - (r + 1) * tall, x0 + (c + 1) * wide, y1 - r * tall)
            for r in range(self.rows)
            for c in range(self.columns)
        )


def layouts(
    extent: Bounds, paper: str, *, legend_items: int, caution_lines: int, denominator: int | None
) -> Iterator[Layout]:
    """The ways to lay a floor, the best first, each at a larger scale than the one before.

    The best: on one sheet as large as fits; else, at a readable scale, on as few as will do,
    with the legend only where it stands beside the title block. With a `denominator` there is
    that one only.
    """
    scales = SCALES if denominator is None else (denominator,)
    with_legend = _ranked(extent, paper, scales, legend_items, caution_lines, over=True)
    single = next((x for x in with_legend if x.sheets == 1 and x.denominator <= READABLE), None)
    if single is not None:
        yield single
        yield from reversed([x for x in with_legend if _is_larger(x, single)])
        return
    ranked = _ranked(extent, paper, scales, legend_items, caution_lines, over=False)
    usable = [x for x in ranked if x.sheets <= MOST_SHEETS] or ranked[-1:]
    readable = [x for x in usable if x.denominator <= READABLE] or usable[:1]
    best = min(readable, key=lambda x: (x.sheets, x.denominator))
    yield best
    yield from reversed([x for x in ranked if _is_larger(x, best)])


def _is_larger(layout: Layout, than: Layout) -> bool:
    return layout.denominator < than.denominator and layout.sheets <= MOST_SHEETS


def _ranked(
    extent: Bounds,
    paper: str,
    scales: Sequence[int],
    legend_items: int,
    caution_lines: int,
    *,
    over: bool,
) -> list[Layout]:
    """For each scale the way of the paper that takes the fewest sheets; large scales first."""
    every = [
        _laid(extent, size, d, strip_of(*size, legend_items, caution_lines, over=over))
        for d in sorted(scales)
        for size in orientations(paper)
    ]
    best_of: dict[int, Layout] = {}
    for layout in every:
        known = best_of.get(layout.denominator)
        if known is None or layout.sheets < known.sheets:
            best_of[layout.denominator] = layout
    return list(best_of.values())


def _laid(extent: Bounds, size: tuple[float, float], denominator: int, strip: Strip) -> Layout:
    width, height = size
    x0, y0, x1, y1 = frame_of(width, height)
    area = (x0 + GAP_MM, y0 + strip.height_mm + GAP_MM, x1 - GAP_MM, y1 - GAP_MM)
    margin = MARGIN_MM * denominator
    whole = (extent[0] - margin, extent[1] - margin, extent[2] + margin, extent[3] + margin)
    columns = _count((whole[2] - whole[0]) / denominator, area[2] - area[0])
    rows = _count((whole[3] - whole[1]) / denominator, area[3] - area[1])
    return Layout(
        width_mm=width,
        height_mm=height,
        denominator=denominator,
        columns=columns,
        rows=rows,
        area=area,
        strip=strip,
        extent=whole,
    )


def _count(needed_mm: float, room_mm: float) -> int:
    """So many sheets in a row; those beside one another share a strip at their match line."""
    if needed_mm <= room_mm:
        return 1
    return math.ceil(needed_mm / max(room_mm - 2 * OVERLAP_MM, 1.0))


def strip_of(
    width: float, height: float, legend_items: int, caution_lines: int, *, over: bool
) -> Strip:
    """The foot of a page of this size; with `over` a legend may stand above the title block."""
    x0, y0, x1, _ = frame_of(width, height)
    cautions = caution_lines * 4.0 + 1.5
    beside = x1 - x0 - WIDTH_MM - 2 * GAP_MM
    foot = y0 + cautions
    legend: Bounds | None = None
    tall = HEIGHT_MM
    if legend_size(legend_items, width_mm=max(beside, 1.0))[1] <= HEIGHT_MM:
        legend = (x0 + GAP_MM, foot, x0 + beside, foot + HEIGHT_MM - 1.0)
    elif over:
        above = legend_size(legend_items, width_mm=x1 - x0 - 2 * GAP_MM)[1]
        base = foot + HEIGHT_MM
        legend = (x0 + GAP_MM, base, x1 - GAP_MM, base + above + 0.5)
        tall = HEIGHT_MM + above + 1.5
    return Strip(
        height_mm=cautions + tall,
        legend=legend,
        title_right=x1,
        title_bottom=foot,
        cautions_top=foot - 1.4,
    )


def viewport_of(layout: Layout, tile: int, *, turn_deg: float) -> Viewport:
    """Where a tile lies on its sheet: at the top, in the middle across."""
    x0, y0, x1, y1 = layout.area
    core = layout.tiles[tile]
    d = layout.denominator
    left, right, low, high = _neighbours(layout, tile)
    pad = OVERLAP_MM * d
    shown = (
        core[0] - pad * left,
        core[1] - pad * low,
        core[2] + pad * right,
        core[3] + pad * high,
    )
    wide, tall = (shown[2] - shown[0]) / d, (shown[3] - shown[1]) / d
    box_left = (x0 + x1 - wide) / 2
    box = (box_left, y1 - tall, box_left + wide, y1)
    inner = (
        box[0] + OVERLAP_MM * left,
        box[1] + OVERLAP_MM * low,
        box[2] - OVERLAP_MM * right,
        box[3] - OVERLAP_MM * high,
    )
    middle = (shown[0] + shown[2]) / 2, (shown[1] + shown[3]) / 2
    assert box[1] >= y0 - 1.0
    return Viewport(box=box, core=inner, denominator=d, middle=middle, turn_deg=turn_deg)


def _neighbours(layout: Layout, tile: int) -> tuple[bool, bool, bool, bool]:
    """Whether there is a sheet to the left, right, below and above."""
    row, column = divmod(tile, layout.columns)
    return column > 0, column < layout.columns - 1, row < layout.rows - 1, row > 0


def match_lines(layout: Layout, tile: int) -> Iterator[tuple[str, int]]:
    """The sides on which the floor goes on, with the number of that tile from 1."""
    left, right, low, high = _neighbours(layout, tile)
    steps = {"left": -1, "right": 1, "below": layout.columns, "above": -layout.columns}
    for (side, step), goes_on in zip(steps.items(), (left, right, low, high), strict=True):
        if goes_on:
            yield side, tile + step + 1


def free_below(layout: Layout, view: Viewport) -> Bounds | None:
    """What a sheet has left under its drawing; None where that is nothing to speak of."""
    x0, y0, x1, _ = layout.area
    top = view.box[1] - GAP_MM
    return (x0, y0, x1, top) if top - y0 >= LEAST_FREE_MM else None
