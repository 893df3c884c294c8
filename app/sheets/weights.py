"""How heavy lines are on paper: by what they mean, so that a copy at half size still tells it.

Source of the series of widths: ISO 128 (0.13, 0.18, 0.25, 0.35, 0.5, 0.7 mm). That a line of
0.09 mm, which 0.18 mm becomes at half size, survives a copier is practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec.structs import replace

from app.drawing.primitives import Arc, Line, Polyline, Primitive, Stroke
from app.drawing.symbols import state_look

HATCH_MM, THIN_MM, RULE_MM, BOLD_MM, HEAVY_MM = 0.13, 0.18, 0.25, 0.35, 0.5
_DASH_MM, _GAP_MM = 0.6, 0.6
"""The least of a dash, and of the white between two of them."""


def on_paper(
    primitives: Iterable[Primitive], look: str, *, bold_mm: float = HEAVY_MM
) -> tuple[Primitive, ...]:
    """A symbol or a pathway of a look with lines that print.

    Its outline, which are its widest lines, is at least `bold_mm` wide where the work puts it
    there, else a rule; what is inside is thin at least.
    """
    made = tuple(primitives)
    strokes = {p.stroke for p in made if isinstance(p, Line | Polyline | Arc)}
    outline = max((s.width_mm for s in strokes), default=0.0)
    heavy = bold_mm if state_look(look).ink == "new" else RULE_MM
    weighed = {s: _weighed(s, heavy if s.width_mm == outline else THIN_MM) for s in strokes}
    return tuple(_with_stroke(p, weighed) for p in made)


def _weighed(stroke: Stroke, least_mm: float) -> Stroke:
    width = max(stroke.width_mm, least_mm)
    dashes = tuple(
        max(dash, _GAP_MM + width if n % 2 else _DASH_MM) for n, dash in enumerate(stroke.dashes_mm)
    )
    return replace(stroke, width_mm=width, dashes_mm=dashes)


def _with_stroke(primitive: Primitive, weighed: Mapping[Stroke, Stroke]) -> Primitive:
    if isinstance(primitive, Line | Polyline | Arc):
        return replace(primitive, stroke=weighed[primitive.stroke])
    return primitive
