"""Plan lines can be read on light and on dark paper, in ink and in the file's own colours."""

import pytest

from app.drawing.plan_drawing import INK
from app.ui.canvas.plan_inks import hatch_ink, line_ink, mixed
from app.ui.palette import DARK, LIGHT, Palette, contrast_ratio

COLOURS = (INK, 0x000000, 0xFFFFFF, 0xFF0000, 0xFFFF00, 0x00FFFF, 0x0000FF, 0xC0C0C0, 0x101010)


@pytest.mark.parametrize("palette", [LIGHT, DARK])
@pytest.mark.parametrize("colour", COLOURS)
def test_undimmed_lines_hold_three_to_one(palette: Palette, colour: int) -> None:
    """Source: WCAG 2.2, success criterion 1.4.11, contrast of graphical objects."""
    for ink in ("paper", "file"):
        drawn = line_ink(colour, palette=palette, ink=ink, dim_percent=0)
        assert contrast_ratio(drawn, palette.sheet) >= 3.0, ink


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_dimming_goes_towards_the_paper(palette: Palette) -> None:
    ratios = [
        contrast_ratio(line_ink(INK, palette=palette, ink="paper", dim_percent=dim), palette.sheet)
        for dim in (0, 40, 80)
    ]
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[0] > ratios[2] > 1.0


def test_the_file_keeps_a_colour_that_can_be_read() -> None:
    assert line_ink(0x0000FF, palette=LIGHT, ink="file", dim_percent=0) == "#0000ff"


def test_hatches_stand_back_behind_lines() -> None:
    line = line_ink(INK, palette=LIGHT, ink="paper", dim_percent=0)
    hatch = hatch_ink(INK, palette=LIGHT, ink="paper", dim_percent=0)
    assert contrast_ratio(hatch, LIGHT.sheet) < contrast_ratio(line, LIGHT.sheet)


def test_mixing_ends_at_both_colours() -> None:
    assert mixed("#102030", "#f0e0d0", 1.0) == "#102030"
    assert mixed("#102030", "#f0e0d0", 0.0) == "#f0e0d0"
