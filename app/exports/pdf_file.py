"""Pages of primitives as a PDF: vectors, searchable text, bookmarks; only drawn, never computed."""

from __future__ import annotations

from collections.abc import Sequence

from app.drawing.font_metrics import text_width_mm
from app.drawing.primitives import (
    Arc,
    FilledPath,
    Line,
    Polyline,
    Primitive,
    Stroke,
    Text,
    text_corners,
)
from app.exports.pdf_paper import PdfPaper
from app.progress import Progress, Silent
from app.sheets.page import Page

GREYS = {
    "paper": 1.0,
    "wash": 0.9,
    "plan_fill": 0.88,
    "plan": 0.5,
    "plan_text": 0.4,
    "existing": 0.25,
    "to_remove": 0.25,
    "ink_soft": 0.25,
}
"""How dark a role is on paper; black where it has no grey of its own. Grounds apart, none is
lighter than half: a copier loses it."""

_LEAST_WIDTH_MM = 0.09
"""A thinner line is lost in print."""


def pdf_bytes(
    pages: Sequence[Page], *, title: str, subject: str = "", progress: Progress | None = None
) -> bytes:
    """The pages as one file; the same pages give the same bytes. Raises Cancelled.

    Bookmarks: one for each group of pages in a row, and below it one for each page.
    """
    watch = Silent() if progress is None else progress
    paper = PdfPaper(title=title, subject=subject)
    group = None
    for number, page in enumerate(pages):
        watch.check()
        watch.report(number / len(pages), f"Drawing sheet {number + 1} of {len(pages)}")
        paper.begin_page(page.width_mm, page.height_mm)
        if page.group != group:
            group = page.group
            paper.bookmark(group, level=0)
        paper.bookmark(page.title, level=1)
        for count, primitive in enumerate(page.primitives):
            if count % 2_000 == 0:
                watch.check()
            _draw(paper, primitive)
        paper.end_page()
    watch.report(1.0, "Drawn")
    return paper.bytes()


def grey_of(ink: str) -> float:
    """How dark an ink's role is printed."""
    return GREYS.get(ink, 0.0)


def _draw(paper: PdfPaper, primitive: Primitive) -> None:
    match primitive:
        case Line():
            _pen(paper, primitive.stroke)
            paper.polyline((primitive.start, primitive.end))
        case Polyline():
            _pen(paper, primitive.stroke)
            paper.polyline(primitive.points, closed=primitive.closed)
        case Arc():
            _pen(paper, primitive.stroke)
            paper.arc(primitive.center, primitive.radius, primitive.start_deg, primitive.sweep_deg)
        case FilledPath():
            paper.fill(primitive.rings, grey_of(primitive.ink))
        case Text():
            _write(paper, primitive)


def _pen(paper: PdfPaper, stroke: Stroke) -> None:
    width_mm = max(stroke.width_mm, _LEAST_WIDTH_MM)
    paper.pen(grey_of(stroke.ink), width_mm, stroke.dashes_mm)


def _write(paper: PdfPaper, text: Text) -> None:
    """The text at the lower left corner of its box, moved within it as it is aligned."""
    if not text.text.strip():
        return
    (x, y), (right_x, right_y), _, _ = text_corners(text)
    own_mm = text_width_mm(text.text, capital_mm=text.height, bold=text.bold)
    share = {"left": 0.0, "center": 0.5, "right": 1.0}[text.horizontal]
    spare = max(0.0, text.box[0] - own_mm) * share / text.box[0] if text.box[0] else 0.0
    paper.text(
        text.text,
        (x + (right_x - x) * spare, y + (right_y - y) * spare),
        capital_mm=text.height,
        rotation_deg=text.rotation_deg,
        grey=grey_of(text.ink),
        bold=text.bold,
        width_mm=text.box[0],
    )
