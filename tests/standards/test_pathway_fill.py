"""Supports, sleeves and places left: trade practice and arithmetic."""

import pytest

from app.standards import load_rules
from app.standards.conduit_fill import cable_area_mm2, conduit_area_mm2
from app.standards.pathway_fill import hooks_on_leg, hooks_on_line, places_left, sleeves_needed
from app.standards.records import StandardsDataError

RULES = load_rules()
OD_6A = 7.5


def test_a_line_of_hooks_has_one_more_than_its_spacings():
    # practice: ceil(L / s) + 1
    assert hooks_on_line(RULES, length_mm=12_000) == 11
    assert hooks_on_line(RULES, length_mm=12_001) == 12
    assert hooks_on_line(RULES, length_mm=0) == 0
    assert hooks_on_line(RULES, length_mm=3_000, spacing_mm=1_500) == 3


def test_a_leg_from_a_tray_starts_at_the_tray():
    # practice: ceil(7.00 / 1.5) = 5; legs under 1.5 m need none
    assert hooks_on_leg(RULES, length_mm=7_000) == 5
    assert hooks_on_leg(RULES, length_mm=1_499) == 0
    assert hooks_on_leg(RULES, length_mm=1_500) == 1


@pytest.mark.parametrize(("cables", "sleeves"), [(0, 1), (75, 1), (76, 2), (127, 2), (142, 2)])
def test_sleeves_at_forty_percent(cables, sleeves):
    # practice: 142 cables of 7.5 mm want 2 sleeves of 103 mm at 40 %; so do 127
    used = cables * cable_area_mm2(od_mm=OD_6A)
    assert sleeves_needed(RULES, cables_mm2=used, bore_mm=103.0) == sleeves


def test_places_left_in_a_ladder():
    # 368 cables of 7.5 mm in a ladder 300 × 60: 16 258 of 18 000 mm², far above half.
    used = 368 * cable_area_mm2(od_mm=OD_6A)
    assert used == pytest.approx(16_258, abs=1)
    assert places_left(inside_mm2=18_000, limit_ratio=0.5, used_mm2=used, od_mm=OD_6A) == 0
    assert places_left(inside_mm2=36_000, limit_ratio=0.5, used_mm2=used, od_mm=OD_6A) == 39


def test_an_unknown_conduit_is_refused_with_the_known_ones():
    with pytest.raises(StandardsDataError, match="no conduit 50; take one of 16, 21"):
        conduit_area_mm2(RULES, designator=50)
