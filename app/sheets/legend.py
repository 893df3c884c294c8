"""The legend of a floor: the symbols, states and pathways that are used on it, and no others."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.design.design import Design
from app.drawing.font_metrics import text_width_mm
from app.drawing.pathway_hatches import hatches, pathway_drawing
from app.drawing.primitives import Bounds, Point, Primitive
from app.drawing.states import look_label, look_name, look_names
from app.drawing.symbols import outlet_label, outlet_symbol, outlet_symbol_names, placed
from app.model.entities import Entity
from app.sheets.paper_text import HEAD_MM, TEXT_MM, line_of_text
from app.sheets.standing import standing_on
from app.sheets.weights import BOLD_MM, on_paper
from app.sheets.zones_on_paper import LEGEND as ZONE
from app.sheets.zones_on_paper import zone_mark, zones_on

ROW_MM, COLUMN_MM = 5.8, 60.0
_SIDE_MM, _MARK_MM = 5.2, 12.0


@dataclass(frozen=True, slots=True)
class LegendItem:
    """What a symbol means; `mark` is drawn about its middle, in millimetres."""

    mark: tuple[Primitive, ...]
    text: str


def legend_of(design: Design, floor_id: str) -> tuple[LegendItem, ...]:
    """Kinds of outlet, other things, pathways, and states, each if it is there."""
    items = (
        *_outlets(design, floor_id),
        *_standing(design, floor_id),
        *_pathways(design, floor_id),
        *_zones(design, floor_id),
        *_states(design, floor_id),
    )
    return tuple({item.text: item for item in items}.values())


def legend_size(count: int, *, width_mm: float) -> tuple[int, float]:
    """Rows and height of so many items in a width, the heading included."""
    rows = math.ceil(count / max(1, int(width_mm / COLUMN_MM)))
    return rows, rows * ROW_MM + HEAD_MM + 3.0


def legend_drawing(items: Sequence[LegendItem], box: Bounds) -> Iterator[Primitive]:
    """The legend in a box, column by column from its upper left corner."""
    x0, _, x1, top = box
    wide = x1 - x0
    rows, _ = legend_size(len(items), width_mm=wide)
    columns = max(1, int(wide / COLUMN_MM))
    column_mm = wide / columns
    yield line_of_text(
        "Legend", (x0, top - HEAD_MM), width_mm=wide, capital_mm=HEAD_MM, bold=True, layer="legend"
    )
    for number, item in enumerate(items):
        column, row = divmod(number, max(rows, 1))
        x = x0 + column * column_mm
        y = top - HEAD_MM - 3.0 - (row + 0.5) * ROW_MM
        yield from _moved(item.mark, (x + _MARK_MM / 2, y))
        wide_mm = column_mm - _MARK_MM - 2.5
        yield line_of_text(
            _fitting(item.text, wide_mm),
            (x + _MARK_MM + 1.5, y - TEXT_MM / 2),
            width_mm=wide_mm,
            layer="legend",
        )


def _fitting(text: str, wide_mm: float) -> str:
    """The text, without what stands behind its last comma until it has room."""
    while text_width_mm(text, capital_mm=TEXT_MM) > wide_mm and "," in text:
        text = text.rpartition(",")[0]
    return text


def _moved(mark: tuple[Primitive, ...], to: Point) -> tuple[Primitive, ...]:
    return placed(mark, x=to[0], y=to[1], size=24.0)


def _symbol(
    symbol: tuple[Primitive, ...], *, look: str = "new", drop_mm: float = 0.0
) -> tuple[Primitive, ...]:
    return on_paper(placed(symbol, x=0.0, y=-drop_mm, size=_SIDE_MM), look)


def _outlets(design: Design, floor_id: str) -> Iterator[LegendItem]:
    project = design.project
    kinds = {o.kind for o in project.outlets.values() if o.floor == floor_id}
    used = {project.outlet_kinds[kind].symbol for kind in kinds}
    for symbol in sorted(used, key=_in_family):
        mark = _symbol(outlet_symbol(symbol), drop_mm=_SIDE_MM / 3)
        yield LegendItem(mark, outlet_label(symbol))


def _in_family(symbol: str) -> tuple[int, str]:
    """The order of the symbols' own family; what has no mark of its own is last."""
    names = outlet_symbol_names()
    return (names.index(symbol), "") if symbol in names else (len(names), symbol)


def _standing(design: Design, floor_id: str) -> Iterator[LegendItem]:
    for standing in standing_on(design.project, floor_id):
        yield LegendItem(_symbol(standing.mark), standing.legend)


def _pathways(design: Design, floor_id: str) -> Iterator[LegendItem]:
    project = design.project
    kinds = {str(p.kind) for p in project.pathways.values() if p.floor == floor_id}
    if any(floor_id in (d.from_floor, d.to_floor) for d in project.outdoor_ducts.values()):
        kinds.add("outdoor_duct")
    for kind, hatch in hatches().items():
        if kind in kinds:
            half = _MARK_MM / 2
            line = pathway_drawing(
                kind, ((-half, 0.0), (half, 0.0)), width=2.0, size=_SIDE_MM, layer="legend"
            )
            yield LegendItem(on_paper(line, "new", bold_mm=BOLD_MM), hatch.label)


def _zones(design: Design, floor_id: str) -> Iterator[LegendItem]:
    if zones_on(design.project, floor_id):
        yield LegendItem(zone_mark(_MARK_MM), ZONE)


def _states(design: Design, floor_id: str) -> Iterator[LegendItem]:
    used = {look_name(thing) for thing in _with_states(design, floor_id)}
    for look in look_names():
        if look in used:
            mark = _symbol(outlet_symbol("data", state=look), look=look, drop_mm=_SIDE_MM / 3)
            yield LegendItem(mark, f"State: {look_label(look)}")


def _with_states(design: Design, floor_id: str) -> Iterator[Entity]:
    project = design.project
    for table in (project.outlets, project.pathways, project.frames, project.penetrations):
        yield from (t for t in table.values() if getattr(t, "floor", None) == floor_id)
