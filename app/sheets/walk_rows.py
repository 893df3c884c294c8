"""The list of a walk sheet: outlets by room, with blank cells to write in."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.design.design import Design
from app.drawing.font_metrics import text_width_mm
from app.drawing.primitives import Bounds, FilledPath, Line, Polyline, Primitive, Stroke
from app.model.entities import Outlet, Space
from app.model.phases import phase_name
from app.model.vocabulary import USES_CLOSED_TO_CABLE, Units
from app.sheets.outlets_table import outlet_height_mm
from app.sheets.paper_text import SMALL_MM, TEXT_MM, folded, line_of_text
from app.sheets.weights import HEAVY_MM, RULE_MM, THIN_MM
from app.sheets.words import word

ROW_MM, HEAD_MM, ROOM_MM = 6.0, 7.0, 7.0
LEAST_COLUMN_MM = 145.0
_PAD_MM = 1.2
_LINE_MM, _MOST_LINES = 4.0, 3
"""From one line of a cell to the next, and how many a cell may have."""
_COLUMNS = ("Outlet", "Kind", "Ports", "Height", "State, phase")
_FOLDS = (1, 4)
_FOLDED_MM, _NOTES_MM = 24.0, 32.0
"""The least that a column is folded to, and the notes are left."""
_SPARE_MM = 0.05
"""What rounding may take from a cell that is exactly as wide as its text."""
_THIN, _RULE, _HEAVY = (Stroke(width_mm=mm) for mm in (THIN_MM, RULE_MM, HEAVY_MM))
_LAYER = "list"
_MM_PER_INCH = 25.4
OUTSIDE = "Outside every space"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomRow:
    """The heading of a room, with how many outlets it has."""

    text: str
    count: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletRow:
    """One outlet: what stands in the columns, the notes apart (None: a blank row)."""

    outlet: str | None
    cells: tuple[str, ...] = ("", "", "", "", "")


Row = RoomRow | OutletRow


def walk_rows(design: Design, floor_id: str) -> list[Row]:
    """Every room of a floor with its outlets, rooms and outlets by their numbers."""
    project = design.project
    by_space: dict[str | None, list[Outlet]] = {}
    for outlet in project.outlets.values():
        if outlet.floor == floor_id:
            by_space.setdefault(design.space_of.get(outlet.id), []).append(outlet)
    spaces = [s for s in project.spaces.values() if s.floor == floor_id]
    rows: list[Row] = []
    for space in sorted(spaces, key=lambda s: (_natural(s.number), _natural(s.name), s.id)):
        outlets = by_space.pop(space.id, [])
        if outlets or space.use not in USES_CLOSED_TO_CABLE:
            rows += _of_room(design, space, outlets)
    others = [o for outlets in by_space.values() for o in outlets]
    if others:
        rows.append(RoomRow(text=OUTSIDE, count=_counted(len(others))))
        rows += _of_outlets(design, None, others)
    return rows


def _of_room(design: Design, space: Space, outlets: Sequence[Outlet]) -> Iterator[Row]:
    name = f"{space.number} {space.name}".strip() or f"Space ({word(space.use) or 'no name'})"
    asked = sum(r.count for r in space.required)
    count = _counted(len(outlets)) + (f", {asked} required" if asked else "")
    yield RoomRow(text=name, count=count)
    yield from _of_outlets(design, space, outlets)
    yield OutletRow(outlet=None)


def _of_outlets(
    design: Design, space: Space | None, outlets: Sequence[Outlet]
) -> Iterator[OutletRow]:
    project = design.project
    for outlet in sorted(outlets, key=lambda o: (_natural(o.number), o.id)):
        kind = project.outlet_kinds[outlet.kind]
        named = phase_name(project.settings, outlet.phase)
        phase = f", {named}" if named else ""
        yield OutletRow(
            outlet=outlet.id,
            cells=(
                outlet.number or "no number",
                kind.name,
                str(len(outlet.ports)),
                height_words(
                    outlet_height_mm(project, outlet, kind, space), project.settings.units
                ),
                f"{word(outlet.state)}{phase}",
            ),
        )


def height_words(height_mm: int, units: Units) -> str:
    """A height as a crew measures it: `0.45 m`, `18 in`."""
    if units is Units.US:
        return f"{height_mm / _MM_PER_INCH:.0f} in"
    return f"{height_mm / 1_000:.2f} m"


def _counted(number: int) -> str:
    if not number:
        return "no outlet"
    return "1 outlet" if number == 1 else f"{number} outlets"


def _natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Sorts `2` before `10`; what has no number comes last."""
    if not text:
        return ((2, 0, ""),)
    parts = re.findall(r"\d+|\D+", text.casefold())
    return tuple((0, int(p), "") if p.isdigit() else (1, 0, p) for p in parts)


def column_boxes(box: Bounds) -> list[Bounds]:
    """The columns of the list that a box has room for, side by side with a gap."""
    x0, y0, x1, y1 = box
    count = max(1, int((x1 - x0 + 4.0) / (LEAST_COLUMN_MM + 4.0)))
    wide = (x1 - x0 - 4.0 * (count - 1)) / count
    return [(x0 + i * (wide + 4.0), y0, x0 + i * (wide + 4.0) + wide, y1) for i in range(count)]


def column_widths(rows: Sequence[Row], wide_mm: float) -> list[float]:
    """How wide the columns of cells are in a list of a width, the notes apart: as their widest
    text, as far as the notes keep room to write in; what has less room is folded."""
    every = [row.cells for row in rows if isinstance(row, OutletRow)]
    widths = [
        max(
            text_width_mm(heading, capital_mm=TEXT_MM, bold=True),
            *(text_width_mm(t, capital_mm=TEXT_MM, bold=c == 0) for t in {"", *cells}),
        )
        + 2 * _PAD_MM
        for c, (heading, *cells) in enumerate(zip(_COLUMNS, *every, strict=True))
    ]
    beyond = sum(widths) + _NOTES_MM - wide_mm
    folds = {c: widths[c] - _FOLDED_MM for c in _FOLDS if widths[c] > _FOLDED_MM}
    for c, spare in folds.items():
        if beyond > 0:
            widths[c] -= min(spare, beyond * spare / sum(folds.values()))
    return widths


def fill_column(
    rows: Sequence[Row], start: int, box: Bounds, widths: Sequence[float]
) -> tuple[list[Primitive], int]:
    """As many rows from `start` as a column holds, and where the next one begins.

    A room's heading keeps its first row; a room that goes on says so at the top.
    """
    x0, y0, x1, y1 = box
    made: list[Primitive] = list(_headings(box, widths))
    y, at = y1 - HEAD_MM, start
    if start and isinstance(rows[start], OutletRow):
        going_on = _room_of(rows, start)
        made += _room(RoomRow(text=f"{going_on.text} (continued)", count=""), box, y)
        y -= ROOM_MM
    while at < len(rows):
        row = rows[at]
        tall = ROOM_MM if isinstance(row, RoomRow) else _height_mm(row, widths)
        first = rows[at + 1] if isinstance(row, RoomRow) and at + 1 < len(rows) else None
        needed = tall + (_height_mm(first, widths) if isinstance(first, OutletRow) else 0.0)
        if y - needed < y0:
            break
        if isinstance(row, RoomRow):
            made += _room(row, box, y)
        else:
            made += _outlet(row, box, widths, y, tall)
        y -= tall
        at += 1
    made.append(
        Polyline(
            layer=_LAYER,
            points=((x0, y), (x1, y), (x1, y1), (x0, y1)),
            closed=True,
            stroke=_RULE,
        )
    )
    return made, at


def _room_of(rows: Sequence[Row], at: int) -> RoomRow:
    for row in reversed(rows[:at]):
        if isinstance(row, RoomRow):
            return row
    raise AssertionError  # a list begins with a room


def _edges(box: Bounds, widths: Sequence[float], low: float, top: float) -> Iterator[Primitive]:
    """The lines between the columns, over the height of a row."""
    x = box[0]
    for wide in widths:
        x += wide
        yield Line(layer=_LAYER, start=(x, low), end=(x, top), stroke=_THIN)


def _headings(box: Bounds, widths: Sequence[float]) -> Iterator[Primitive]:
    x0, _, x1, y1 = box
    x = x0
    texts = (*_COLUMNS, "Notes")
    for text, wide in zip(texts, (*widths, x1 - x0 - sum(widths)), strict=True):
        yield line_of_text(
            text,
            (x + _PAD_MM, y1 - HEAD_MM / 2 - TEXT_MM / 2),
            width_mm=wide - _PAD_MM,
            bold=True,
            layer=_LAYER,
        )
        x += wide
    yield from _edges(box, widths, y1 - HEAD_MM, y1)
    end = (x1, y1 - HEAD_MM)
    yield Line(layer=_LAYER, start=(x0, y1 - HEAD_MM), end=end, stroke=_HEAVY)


def _room(row: RoomRow, box: Bounds, top: float) -> Iterator[Primitive]:
    """A room's name over all columns; the lines between them stop at it."""
    x0, _, x1, _ = box
    low = top - ROOM_MM
    ground = ((x0, low), (x1, low), (x1, top), (x0, top))
    y = top - ROOM_MM / 2 - TEXT_MM / 2
    count_mm = 46.0 if row.count else 0.0
    yield FilledPath(layer=_LAYER, rings=(ground,), ink="wash")
    yield Line(layer=_LAYER, start=(x0, top), end=(x1, top), stroke=_RULE)
    yield Line(layer=_LAYER, start=(x0, low), end=(x1, low), stroke=_RULE)
    wide = x1 - x0 - count_mm - 2 * _PAD_MM
    yield line_of_text(row.text, (x0 + _PAD_MM, y), width_mm=wide, bold=True, layer=_LAYER)
    if row.count:
        yield line_of_text(
            row.count,
            (x1 - _PAD_MM, y),
            width_mm=count_mm,
            capital_mm=SMALL_MM,
            horizontal="right",
            layer=_LAYER,
        )


def _lines_of(row: OutletRow, widths: Sequence[float]) -> list[list[str]]:
    """The cells in lines, the last of them with the rest."""
    return [
        _at_most(folded(cell, width_mm=wide - 2 * _PAD_MM + _SPARE_MM))
        for cell, wide in zip(row.cells, widths, strict=True)
    ]


def _at_most(lines: list[str]) -> list[str]:
    """No more lines than a cell may have; the last holds what is left and is cut by its width."""
    kept = lines[: _MOST_LINES - 1]
    return [*kept, " ".join(lines[len(kept) :])] if len(lines) > len(kept) else kept


def _height_mm(row: OutletRow, widths: Sequence[float]) -> float:
    return ROW_MM + (max(map(len, _lines_of(row, widths))) - 1) * _LINE_MM if row.outlet else ROW_MM


def _outlet(
    row: OutletRow, box: Bounds, widths: Sequence[float], top: float, tall: float
) -> Iterator[Primitive]:
    x0, _, x1, _ = box
    low = top - tall
    yield Line(layer=_LAYER, start=(x0, low), end=(x1, low), stroke=_THIN)
    yield from _edges(box, widths, low, top)
    x = x0
    for number, (lines, wide) in enumerate(zip(_lines_of(row, widths), widths, strict=True)):
        baseline = top - tall / 2 - TEXT_MM / 2 + (len(lines) - 1) * _LINE_MM / 2
        for line in lines:
            yield line_of_text(
                line,
                (x + _PAD_MM, baseline),
                width_mm=wide - 2 * _PAD_MM + _SPARE_MM,
                bold=number == 0,
                layer=_LAYER,
            )
            baseline -= _LINE_MM
        x += wide
