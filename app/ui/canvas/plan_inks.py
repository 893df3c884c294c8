"""The tones in which a plan's lines are drawn, readable on the paper of the moment."""

from __future__ import annotations

from typing import Literal

from app.drawing.plan_drawing import INK
from app.ui.palette import Palette, contrast_ratio, relative_luminance

PlanInk = Literal["paper", "file"]

FAINT_SHARE = 0.6
"""How much of the plan's ink is left in a line that its file draws palest."""

LEAST_CONTRAST = 3.0
HATCH_SHARE = 0.5
DARK_FILL_SHARE = 0.3
LIGHT_FILL_SHARE = 0.06


def mixed(over: str, under: str, share: float) -> str:
    """`share` of one colour and the rest of another, both `#rrggbb`."""
    pairs = ((int(over[i : i + 2], 16), int(under[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{round(a * share + b * (1 - share)):02x}" for a, b in pairs)


def line_ink(colour: int, *, palette: Palette, ink: PlanInk, dim_percent: int) -> str:
    """The colour of a line that the file draws in `colour` (0xRRGGBB or INK)."""
    full = _file_ink(colour, palette) if ink == "file" else _paper_ink(colour, palette)
    return mixed(full, palette.sheet, 1 - dim_percent / 100)


def hatch_ink(colour: int, *, palette: Palette, ink: PlanInk, dim_percent: int) -> str:
    """The colour of hatch lines: half as strong as a true line."""
    line = line_ink(colour, palette=palette, ink=ink, dim_percent=dim_percent)
    return mixed(line, palette.sheet, HATCH_SHARE)


def fill_ink(colour: int, *, palette: Palette, ink: PlanInk, dim_percent: int) -> str:
    """The colour of a filled area: pale, so that what lies on it can be read.

    What the file fills darkly stays darker than what it fills lightly.
    """
    line = line_ink(colour, palette=palette, ink=ink, dim_percent=dim_percent)
    pale = 0.0 if colour == INK else relative_luminance(f"#{colour:06x}")
    share = DARK_FILL_SHARE + (LIGHT_FILL_SHARE - DARK_FILL_SHARE) * pale**0.5
    return mixed(line, palette.sheet, share)


def _paper_ink(colour: int, palette: Palette) -> str:
    """The plan's ink, weaker where the file itself draws weakly on white paper."""
    if colour == INK:
        return palette.plan
    raw = f"#{colour:06x}"
    red, green, blue = (int(raw[i : i + 2], 16) for i in (1, 3, 5))
    grey = max(red, green, blue) - min(red, green, blue)
    if grey > 40:  # a hue is a choice of the draughtsman, not a weakness
        return palette.plan
    pale = relative_luminance(raw)
    if pale > 0.95:  # white: the other face of the default pen
        return palette.plan
    return mixed(palette.plan, palette.sheet, 1 - (1 - FAINT_SHARE) * pale)


def _file_ink(colour: int, palette: Palette) -> str:
    """The file's own colour, drawn towards ink until it can be read on the paper."""
    if colour == INK:
        return palette.plan
    raw = f"#{colour:06x}"
    share = 1.0
    while share > 0:
        tried = mixed(raw, palette.ink, share)
        if contrast_ratio(tried, palette.sheet) >= LEAST_CONTRAST:
            return tried
        share -= 0.1
    return palette.ink
