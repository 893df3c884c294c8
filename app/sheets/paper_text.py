"""Words on paper: one line in its place, and a paragraph folded to a width."""

from __future__ import annotations

from app.drawing.font_metrics import shortened, text_width_mm
from app.drawing.primitives import HorizontalAlign, Point, Text

SMALL_MM, TEXT_MM, HEAD_MM, TITLE_MM = 1.8, 2.5, 3.0, 4.0
"""Heights of capitals: captions of fields, text, headings, titles."""


def line_of_text(
    text: str,
    at: Point,
    *,
    width_mm: float,
    capital_mm: float = TEXT_MM,
    bold: bool = False,
    horizontal: HorizontalAlign = "left",
    ink: str = "ink",
    layer: str = "sheet",
) -> Text:
    """A text on its baseline, cut with an ellipsis where it is wider than it may be."""
    shown = shortened(text, width_mm=width_mm, capital_mm=capital_mm, bold=bold)
    own_mm = text_width_mm(shown, capital_mm=capital_mm, bold=bold)
    return Text(
        layer=layer,
        text=shown,
        position=at,
        height=capital_mm,
        box=(own_mm, capital_mm),
        horizontal=horizontal,
        ink=ink,
        bold=bold,
    )


def folded(text: str, *, width_mm: float, capital_mm: float = TEXT_MM) -> list[str]:
    """The text in lines, broken between words."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(longer, capital_mm=capital_mm) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(shortened(word, width_mm=width_mm, capital_mm=capital_mm))
    return lines
