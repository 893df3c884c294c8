"""The one place where reportlab is called: pages of vectors and text, to the same bytes always.

Everything here is in millimetres from the lower left corner of a page, y upwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from io import BytesIO
from typing import Any

from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from app.drawing.font_metrics import font_file, font_points, text_width_mm
from app.drawing.primitives import Point

_NAMES = {False: "DrawcordSans", True: "DrawcordSansBold"}
_ROUND, _EVEN_ODD = 1, 0


class PdfPaper:
    """A PDF that is being drawn, page by page."""

    def __init__(self, *, title: str, subject: str = "") -> None:
        _register_fonts()
        self._file = BytesIO()
        # Any: reportlab's own types leave most of its arguments open.
        self._canvas: Any = Canvas(self._file, invariant=1, pageCompression=1)
        self._canvas.setTitle(title)
        self._canvas.setSubject(subject)
        self._canvas.setCreator("Drawcord")
        self._canvas.setAuthor("")
        self._places = 0

    def begin_page(self, width_mm: float, height_mm: float) -> None:
        """From here on everything is drawn on a new page of this size."""
        self._canvas.setPageSize((width_mm * mm, height_mm * mm))
        self._canvas.scale(mm, mm)
        self._canvas.setLineCap(_ROUND)
        self._canvas.setLineJoin(_ROUND)

    def end_page(self) -> None:
        self._canvas.showPage()

    def bookmark(self, title: str, *, level: int) -> None:
        """An entry of the outline that leads to this page."""
        self._places += 1
        key = f"place-{self._places}"
        self._canvas.bookmarkPage(key)
        self._canvas.addOutlineEntry(title, key, level, closed=False)

    def pen(self, grey: float, width_mm: float, dashes_mm: Sequence[float] = ()) -> None:
        """How the lines from here on are drawn; grey 0 is black, 1 is paper."""
        self._canvas.setStrokeGray(grey)
        self._canvas.setLineWidth(width_mm)
        self._canvas.setDash(list(dashes_mm), 0)

    def polyline(self, points: Sequence[Point], *, closed: bool = False) -> None:
        """Straight pieces through the points."""
        path = self._canvas.beginPath()
        _trace(path, points)
        if closed:
            path.close()
        self._canvas.drawPath(path, stroke=1, fill=0)

    def arc(self, center: Point, radius: float, start_deg: float, sweep_deg: float) -> None:
        """A circular arc, counter-clockwise."""
        x, y = center
        path = self._canvas.beginPath()
        path.arc(x - radius, y - radius, x + radius, y + radius, start_deg, sweep_deg)
        self._canvas.drawPath(path, stroke=1, fill=0)

    def fill(self, rings: Sequence[Sequence[Point]], grey: float) -> None:
        """A polygon with holes, even-odd."""
        path = self._canvas.beginPath()
        for ring in rings:
            _trace(path, ring)
            path.close()
        self._canvas.setFillGray(grey)
        self._canvas.drawPath(path, stroke=0, fill=1, fillMode=_EVEN_ODD)

    def text(
        self,
        text: str,
        at: Point,
        *,
        capital_mm: float,
        rotation_deg: float = 0.0,
        grey: float = 0.0,
        bold: bool = False,
        width_mm: float | None = None,
    ) -> None:
        """One line of text from its baseline's left end, narrowed to a width where it is wider."""
        canvas = self._canvas
        canvas.saveState()
        canvas.translate(*at)
        if rotation_deg:
            canvas.rotate(rotation_deg)
        own_mm = text_width_mm(text, capital_mm=capital_mm, bold=bold)
        if width_mm is not None and own_mm > width_mm > 0:
            canvas.scale(width_mm / own_mm, 1)
        canvas.setFillGray(grey)
        canvas.setFont(_NAMES[bold], font_points(capital_mm=capital_mm) / mm)
        canvas.drawString(0, 0, text)
        canvas.restoreState()

    def bytes(self) -> bytes:
        """The whole file."""
        self._canvas.save()
        return self._file.getvalue()


def _trace(path: Any, points: Sequence[Point]) -> None:
    first, *others = points
    path.moveTo(*first)
    for point in others:
        path.lineTo(*point)


@cache
def _register_fonts() -> None:
    for bold, name in _NAMES.items():
        pdfmetrics.registerFont(TTFont(name, str(font_file(bold=bold))))
