"""How wide a text is likely to be, without the font that it was drawn with.

Source: Adobe Font Metrics of the core font Helvetica (advance widths for codes 32 to 126 and
the height of capitals, in thousandths of the em).
"""

from __future__ import annotations

CAP_HEIGHT = 718
WIDE = 1000
"""Ideographs and other characters of full width."""
OTHER = 600
FIRST_WIDE_CODE = 0x1100

_FIRST_CODE = 32
_ADVANCES = (
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
)  # fmt: skip


def text_width(text: str, height: float) -> float:
    """The likely width of one line whose capitals have the given height."""
    total = 0
    for character in text:
        index = ord(character) - _FIRST_CODE
        if 0 <= index < len(_ADVANCES):
            total += _ADVANCES[index]
        else:
            total += WIDE if ord(character) >= FIRST_WIDE_CODE else OTHER
    return total / CAP_HEIGHT * height


def wrapped(text: str, height: float, width: float) -> str:
    """The text with line breaks where its words would run past the width."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and text_width(longer, height) > width:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return "\n".join(lines)
