"""Colours can be read: WCAG 2.2 success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (3:1)."""

import re

import pytest

from app.ui import palette
from app.ui.palette import DARK, GROUND_ROLES, LIGHT, LINE_ROLES, TEXT_ROLES, contrast_ratio

PALETTES = (LIGHT, DARK)


def test_contrast_agrees_with_the_published_extremes() -> None:
    # WCAG 2.2: black on white is 21:1; #767676 on white is the known grey just above 4.5:1.
    assert contrast_ratio("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast_ratio("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("colours", PALETTES, ids=lambda p: p.name)
@pytest.mark.parametrize("ground", GROUND_ROLES)
@pytest.mark.parametrize("role", TEXT_ROLES)
def test_text_can_be_read(colours: palette.Palette, ground: str, role: str) -> None:
    assert contrast_ratio(getattr(colours, role), getattr(colours, ground)) >= 4.5


@pytest.mark.parametrize("colours", PALETTES, ids=lambda p: p.name)
@pytest.mark.parametrize("ground", GROUND_ROLES)
@pytest.mark.parametrize("role", LINE_ROLES)
def test_lines_can_be_seen(colours: palette.Palette, ground: str, role: str) -> None:
    assert contrast_ratio(getattr(colours, role), getattr(colours, ground)) >= 3.0


@pytest.mark.parametrize("colours", PALETTES, ids=lambda p: p.name)
@pytest.mark.parametrize(
    ("text", "behind"),
    [
        ("ink", "wash"),
        ("ink", "stripe"),
        ("ink_soft", "stripe"),
        ("on_accent", "accent"),
        ("ink", "space_fill"),
        ("ink", "closed_fill"),
        ("over_text", "stripe"),
        ("over_text", "wash"),
        ("near_text", "wash"),
        ("no_route_text", "wash"),
    ],
)
def test_text_can_be_read_upon_its_ground(colours: palette.Palette, text: str, behind: str) -> None:
    assert contrast_ratio(getattr(colours, text), getattr(colours, behind)) >= 4.5


@pytest.mark.parametrize("colours", PALETTES, ids=lambda p: p.name)
def test_every_role_is_a_whole_colour(colours: palette.Palette) -> None:
    for role in palette.role_names():
        assert re.fullmatch("#[0-9a-f]{6}", getattr(colours, role)), role
