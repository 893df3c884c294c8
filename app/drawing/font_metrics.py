"""How wide and high a text is, in millimetres, read from the font itself.

Preview, paper and tests measure with the same font, by advance widths and without kerning,
so a backend must draw without kerning too. Sizes are heights of a capital, as in `Text`.
"""

from functools import cache
from io import BytesIO
from pathlib import Path

import msgspec
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

from app.resource_files import read_resource, resource_path

FAMILY = "Source Sans Pro"
ELLIPSIS = "…"
MM_PER_POINT = 25.4 / 72

_FILES = {False: "fonts/SourceSansPro-Regular.ttf", True: "fonts/SourceSansPro-Bold.ttf"}
_LINE_SPACING = 1.15
"""Baseline to baseline, in whole heights of a line; the font's own would be looser."""


class Face(msgspec.Struct, frozen=True, kw_only=True):
    """The measures of one weight of the font, as parts of the em.

    `descent` is positive downwards; `advances` are by character.
    """

    capital: float
    ascent: float
    descent: float
    missing_advance: float
    advances: dict[str, float]


def font_file(*, bold: bool = False) -> Path:
    """The font's file, for a backend that embeds or registers it."""
    return resource_path(_FILES[bold])


@cache
def face(*, bold: bool = False) -> Face:
    """The measures of the regular or the bold weight."""
    with TTFont(BytesIO(read_resource(_FILES[bold])), lazy=True) as font:
        em = font["head"].unitsPerEm
        widths = font["hmtx"].metrics
        return Face(
            capital=font["glyf"]["H"].yMax / em,
            ascent=font["OS/2"].sTypoAscender / em,
            descent=-font["OS/2"].sTypoDescender / em,
            missing_advance=widths[".notdef"][0] / em,
            advances={
                chr(code): widths[glyph][0] / em for code, glyph in font.getBestCmap().items()
            },
        )


def em_mm(*, capital_mm: float) -> float:
    """The em (what fonts call their size) at which a capital is `capital_mm` high."""
    return capital_mm / face().capital


def font_points(*, capital_mm: float) -> float:
    """The size in points at which a capital is `capital_mm` high."""
    return em_mm(capital_mm=capital_mm) / MM_PER_POINT


def text_width_mm(text: str, *, capital_mm: float, bold: bool = False) -> float:
    """The width of one line of text."""
    measures = face(bold=bold)
    advance, missing = measures.advances.get, measures.missing_advance
    return sum(advance(c, missing) for c in text) * capital_mm / measures.capital


def line_height_mm(*, capital_mm: float) -> float:
    """From one baseline to the next."""
    return (ascent_mm(capital_mm=capital_mm) + descent_mm(capital_mm=capital_mm)) * _LINE_SPACING


def ascent_mm(*, capital_mm: float) -> float:
    """From the baseline up to the top of the tallest letters."""
    return em_mm(capital_mm=capital_mm) * face().ascent


def descent_mm(*, capital_mm: float) -> float:
    """From the baseline down to the foot of letters that hang."""
    return em_mm(capital_mm=capital_mm) * face().descent


def text_box_mm(text: str, *, capital_mm: float, bold: bool = False) -> tuple[float, float]:
    """Width and height of the box that a line of text needs, for `Text.box`.

    The height is that of a capital: letters that hang reach below the box by the descent.
    """
    return text_width_mm(text, capital_mm=capital_mm, bold=bold), capital_mm


def shortened(text: str, *, width_mm: float, capital_mm: float, bold: bool = False) -> str:
    """The text, cut and ended with an ellipsis if it is wider than `width_mm`; maybe empty."""
    if text_width_mm(text, capital_mm=capital_mm, bold=bold) <= width_mm:
        return text
    left = width_mm - text_width_mm(ELLIPSIS, capital_mm=capital_mm, bold=bold)
    kept = 0
    for character in text:
        left -= text_width_mm(character, capital_mm=capital_mm, bold=bold)
        if left < 0:
            break
        kept += 1
    return text[:kept].rstrip() + ELLIPSIS if kept else ""


def missing_characters(text: str, *, bold: bool = False) -> str:
    """The characters of a text that the font cannot draw, each once, in order."""
    known = face(bold=bold).advances
    return "".join(dict.fromkeys(c for c in text if c not in known))
