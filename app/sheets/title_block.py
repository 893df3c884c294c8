"""The frame of a sheet and its title block: whose, what, which floor, at what scale, of when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.drawing.primitives import Bounds, Line, Polyline, Primitive, Stroke
from app.model.vocabulary import Units
from app.sheets.page import frame_of
from app.sheets.paper_text import HEAD_MM, SMALL_MM, TEXT_MM, TITLE_MM, folded, line_of_text
from app.sheets.scale_bar import key_plan, north_arrow, scale_bar

WIDTH_MM, HEIGHT_MM = 180.0, 50.0
"""Source of the width: ISO 7200."""
NOT_SCALED = "NOT SCALED"

_FRAME = Stroke(width_mm=0.7)
_RULE = Stroke(width_mm=0.25)
_SPLIT_MM = 112.0
_ROW_MM = 10.0
_MOST_LINES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What stands in it. `denominator` None: a page without a drawing; `scaled` False: the
    drawing's own scale is not known. `tiles` are the sheets of the floor, for the key plan."""

    project: str
    client: str
    building: str
    floor: str
    title: str
    date: str
    revision: str
    drawn_by: str
    checked_by: str
    scaled_by: str
    denominator: int | None = None
    scaled: bool = True
    turn_deg: float = 0.0
    units: Units = Units.METRIC
    tiles: tuple[Bounds, ...] = ()
    tile: int = 0


def sheet_frame(width_mm: float, height_mm: float) -> Iterator[Primitive]:
    """The frame around everything on a page."""
    yield _rectangle(frame_of(width_mm, height_mm), _FRAME)


def title_block(
    block: TitleBlock, *, right: float, bottom: float, number: int, count: int
) -> Iterator[Primitive]:
    """The block with its lower right corner at a point; it is sheet `number` of `count`."""
    left, top = right - WIDTH_MM, bottom + HEIGHT_MM
    split = left + _SPLIT_MM
    yield _rectangle((left, bottom, right, top), _FRAME)
    yield Line(layer="sheet", start=(split, bottom + _ROW_MM), end=(split, top), stroke=_RULE)
    for y in (bottom + _ROW_MM,):
        yield Line(layer="sheet", start=(left, y), end=(right, y), stroke=_RULE)
    yield from _whose(block, left + 2.0, top, _SPLIT_MM - 4.0)
    yield from _small_fields(block, left, bottom, number, count)
    yield from _scale(block, split, bottom + _ROW_MM, right, top)


def _whose(block: TitleBlock, x: float, top: float, wide: float) -> Iterator[Primitive]:
    rows = (
        (block.project or "Project without a name", TITLE_MM, True),
        (f"{block.title}: {block.floor}", HEAD_MM, True),
        (block.building, TEXT_MM, False),
        (f"Client: {block.client}" if block.client else "", TEXT_MM, False),
        *((line, TEXT_MM, False) for line in _cut(folded(block.scaled_by, width_mm=wide))),
    )
    y = top - 2.2
    for text, capital_mm, bold in rows:
        y -= capital_mm
        yield line_of_text(text, (x, y), width_mm=wide, capital_mm=capital_mm, bold=bold)
        y -= capital_mm * 0.5 + 1.3


def _cut(lines: list[str]) -> list[str]:
    """As many lines as there is room for; the last says that more would follow."""
    if len(lines) <= _MOST_LINES:
        return lines
    return [*lines[: _MOST_LINES - 1], f"{lines[_MOST_LINES - 1]} …"]


def _small_fields(
    block: TitleBlock, left: float, bottom: float, number: int, count: int
) -> Iterator[Primitive]:
    fields = (
        ("Date", block.date, 30.0),
        ("Revision", block.revision, 22.0),
        ("Drawn", block.drawn_by, 46.0),
        ("Checked", block.checked_by, 46.0),
        ("Sheet", f"{number} of {count}", 36.0),
    )
    x = left
    for caption, text, wide in fields:
        if x > left:
            end = bottom + _ROW_MM
            yield Line(layer="sheet", start=(x, bottom), end=(x, end), stroke=_RULE)
        inside_mm = wide - 3.0
        top = bottom + _ROW_MM - 1.2 - SMALL_MM
        yield line_of_text(
            caption, (x + 1.5, top), width_mm=inside_mm, capital_mm=SMALL_MM, ink="ink_soft"
        )
        yield line_of_text(
            text, (x + 1.5, bottom + 1.8), width_mm=inside_mm, bold=caption == "Sheet"
        )
        x += wide


def _scale(
    block: TitleBlock, left: float, bottom: float, right: float, top: float
) -> Iterator[Primitive]:
    """Scale and bar, north, and where the sheet lies on its floor."""
    if block.denominator is None:
        yield from _walked(left, bottom, right, top)
        return
    x, wide = left + 2.0, right - left - 4.0
    said = f"Scale 1:{block.denominator:,}" if block.scaled else NOT_SCALED
    y = top - 2.2 - HEAD_MM
    yield line_of_text(said, (x, y), width_mm=wide - 16.0, capital_mm=HEAD_MM, bold=True)
    if block.scaled:
        bar = (x, y - 8.0)
        width = wide - 18.0
        yield from scale_bar(bar, width_mm=width, denominator=block.denominator, units=block.units)
    middle = (right - 8.5, top - 9.0)
    yield from north_arrow(middle, size_mm=13.0, turn_deg=block.turn_deg)
    yield line_of_text(
        "Plan north",
        (middle[0], top - 19.5),
        width_mm=16.0,
        capital_mm=SMALL_MM,
        horizontal="center",
    )
    if len(block.tiles) > 1:
        yield line_of_text(
            "Sheets of this floor", (x, bottom + 17.5), width_mm=wide, capital_mm=SMALL_MM
        )
        yield from key_plan(block.tiles, block.tile, (x, bottom + 1.8, right - 20.0, bottom + 16.0))


def _walked(left: float, bottom: float, right: float, top: float) -> Iterator[Primitive]:
    """Who walked it, and when: to be written by hand."""
    tall = (top - bottom) / 3
    for number, caption in enumerate(("Walked by", "On", "Remarks")):
        y = top - number * tall
        if number:
            yield Line(layer="sheet", start=(left, y), end=(right, y), stroke=_RULE)
        yield line_of_text(
            caption,
            (left + 2.0, y - 1.6 - SMALL_MM),
            width_mm=right - left,
            capital_mm=SMALL_MM,
            ink="ink_soft",
        )


def _rectangle(box: Bounds, stroke: Stroke) -> Polyline:
    x0, y0, x1, y1 = box
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return Polyline(layer="sheet", points=corners, closed=True, stroke=stroke)
