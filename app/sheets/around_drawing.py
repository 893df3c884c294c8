"""What stands around the drawing on a sheet: match lines, warnings, and the line of cautions."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.cautions import cautions_of
from app.drawing.font_metrics import text_width_mm
from app.drawing.primitives import (
    FilledPath,
    Line,
    Point,
    Primitive,
    Stroke,
    Text,
    text_corners,
)
from app.model.project import Project
from app.sheets.page import frame_of
from app.sheets.paper_text import TEXT_MM, folded, line_of_text
from app.sheets.title_block import NOT_SCALED
from app.sheets.viewport import Viewport
from app.sheets.walk_layout import GAP_MM, Layout, match_lines

LINE_MM = 4.0
"""From one line of the foot to the next."""
_MATCH = Stroke(width_mm=0.7, dashes_mm=(6.0, 1.5, 1.0, 1.5))
_BIG_MM = 9.0
_ADVICE = "Local codes and licensed practice decide."


def match_line_drawing(layout: Layout, tile: int, view: Viewport) -> Iterator[Primitive]:
    """The lines at which a floor goes on, with the part that each leads to."""
    x0, y0, x1, y1 = view.core
    bx0, by0, bx1, by1 = view.box
    ends = {
        "left": ((x0, by0), (x0, by1)),
        "right": ((x1, by0), (x1, by1)),
        "below": ((bx0, y0), (bx1, y0)),
        "above": ((bx0, y1), (bx1, y1)),
    }
    for side, other in match_lines(layout, tile):
        start, end = ends[side]
        yield Line(layer="match lines", start=start, end=end, stroke=_MATCH)
        words = _at_match_line(f"Match line, see part {other}", side, start, end)
        yield FilledPath(layer="match lines", rings=(text_corners(words),), ink="paper")
        yield words


def _at_match_line(text: str, side: str, start: Point, end: Point) -> Text:
    """Beyond the line, along it."""
    upright = side in ("left", "right")
    beyond = -1.5 if side in ("left", "below") else 1.5
    at = (start[0] + beyond, end[1] - 3.0) if upright else (end[0] - 3.0, start[1] + beyond)
    return Text(
        layer="match lines",
        text=text,
        position=at,
        height=TEXT_MM,
        box=(text_width_mm(text, capital_mm=TEXT_MM, bold=True), TEXT_MM),
        rotation_deg=90.0 if upright else 0.0,
        horizontal="right",
        vertical="bottom" if side in ("left", "above") else "top",
        bold=True,
    )


def not_scaled_drawing(view: Viewport) -> Iterator[Primitive]:
    """Large words over a plan whose scale nobody has set."""
    x0, _, x1, y1 = view.box
    words = line_of_text(
        NOT_SCALED,
        ((x0 + x1) / 2, y1 - _BIG_MM - 1.0),
        width_mm=x1 - x0,
        capital_mm=_BIG_MM,
        bold=True,
        horizontal="center",
        layer="warnings",
    )
    yield FilledPath(layer="warnings", rings=(text_corners(words),), ink="paper")
    yield words


def nothing_drawn_yet(view: Viewport) -> Iterator[Primitive]:
    """What an empty floor says."""
    x0, y0, x1, y1 = view.box
    text = "Nothing is drawn on this floor yet: room for a sketch."
    at = ((x0 + x1) / 2, (y0 + y1) / 2)
    yield line_of_text(text, at, width_mm=x1 - x0, horizontal="center", ink="ink_soft")


def caution_line(project: Project) -> str:
    """The titles of the cautions that concern a project, and who decides."""
    first, *others = (c.title for c in cautions_of(project))
    said = ", ".join([first, *(t[:1].lower() + t[1:] for t in others)])
    return f"Mind: {said}. {_ADVICE}"


def foot_lines(text: str, *, width_mm: float) -> list[str]:
    """The foot of a page of this width, folded."""
    x0, _, x1, _ = frame_of(width_mm, width_mm)
    return folded(text, width_mm=x1 - x0 - 2 * GAP_MM)


def foot_drawing(text: str, *, width_mm: float, top: float) -> Iterator[Primitive]:
    """The foot of a page, from its upper edge down."""
    x0, _, x1, _ = frame_of(width_mm, width_mm)
    for number, line in enumerate(foot_lines(text, width_mm=width_mm)):
        at = (x0 + GAP_MM, top - TEXT_MM - number * LINE_MM)
        yield line_of_text(line, at, width_mm=x1 - x0)
