"""Fill against published worked examples; the source stands beside each."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.sizing.conduit_count import designator_of_bore
from app.sizing.fill import (
    FillLevel,
    FillLimits,
    cable_area_mm2,
    duct_capacity,
    fill,
    fill_ratio,
    places_by_area,
    round_inside_mm2,
)
from app.standards import load_rules
from app.standards.conduit_fill import cables_by_count_table, smallest_conduit_by_count_table

INCH = 25.4
INCH2 = INCH * INCH
ROUND = FillLimits(
    planned_ratio=0.40, warned_ratio=0.40, most_ratio=0.40, one_ratio=0.53, two_ratio=0.31
)
TRAY = FillLimits(planned_ratio=0.25, warned_ratio=0.40, most_ratio=0.50)
EMT_2_1_2_BORE_MM = 2.731 * INCH


def test_section_of_one_cable() -> None:
    # TDMM planning value: 0.785 x 0.35^2 = 0.0962 in2 (brainscape H-05).
    assert cable_area_mm2(od_mm=0.35 * INCH) / INCH2 == pytest.approx(0.0962, abs=0.0001)


def test_hundred_cables_in_a_tray_at_a_quarter() -> None:
    # Leviton Cat 6A installation manual p. 18: 7.065 in2, times 4 = 28.26 in2.
    area_in2 = 100 * cable_area_mm2(od_mm=0.30 * INCH) / INCH2
    assert area_in2 == pytest.approx(7.065, rel=0.001)
    assert fill_ratio(area_mm2=area_in2, inside_mm2=28.26) == pytest.approx(0.25, rel=0.001)


def test_hundred_cables_metric_row() -> None:
    # Same manual, metric row: 8 mm, 5024 mm2 -> 20 096 mm2.
    area_mm2 = 100 * cable_area_mm2(od_mm=8.0)
    assert area_mm2 == pytest.approx(5024, rel=0.001)
    assert fill_ratio(area_mm2=area_mm2, inside_mm2=20_096) == pytest.approx(0.25, rel=0.001)


def test_mixed_cables_in_a_conduit() -> None:
    # Exam worked example (experts123): 16 x 0.35 + 20 x 0.22 in 2-1/2 EMT is 39.3 %.
    area_mm2 = 16 * cable_area_mm2(od_mm=0.35 * INCH) + 20 * cable_area_mm2(od_mm=0.22 * INCH)
    inside_mm2 = round_inside_mm2(bore_mm=EMT_2_1_2_BORE_MM)
    assert fill_ratio(area_mm2=area_mm2, inside_mm2=inside_mm2) == pytest.approx(0.393, abs=0.0005)
    result = fill(cables=36, area_mm2=area_mm2, inside_mm2=inside_mm2, od_mm=8.9, limits=ROUND)
    assert result.limit_ratio == 0.40
    assert result.places_left == 0
    assert result.level is FillLevel.WITHIN


@pytest.mark.parametrize(("bore_in", "cables"), [(1.610, 8), (2.067, 13)])
def test_count_at_forty_percent(bore_in: float, cables: int) -> None:
    # Same worked example: 0.35 in cables in 1-1/2 EMT 8, in 2 EMT 13.
    assert duct_capacity(bore_mm=bore_in * INCH, od_mm=0.35 * INCH, limits=ROUND) == cables


def test_printed_areas_of_emt() -> None:
    # NEC Chapter 9 Table 4, EMT: every printed column, to 0.5 %.
    table = load_rules().table("conduits.emt")
    for column, share in (
        ("area_in2", 1.0),
        ("area_31_in2", 0.31),
        ("area_40_in2", 0.40),
        ("area_53_in2", 0.53),
    ):
        for bore_in, printed in zip(table.numbers("bore_in"), table.numbers(column), strict=True):
            ours = share * round_inside_mm2(bore_mm=bore_in * INCH) / INCH2
            assert ours == pytest.approx(printed, rel=0.005)


def test_six_cables_by_table_want_a_one_inch_conduit() -> None:
    # MIL-HDBK-1012/3 Example Three: six cables of 0.24 in -> 1 in (27).
    assert smallest_conduit_by_count_table(load_rules(), cables=6, od_mm=6.1) == 27


def test_table_lies_below_the_area_rule() -> None:
    # EIA/TIA-569 Table 4.4-1: 6.1 mm in 2 in 20 cables, in 3 in 40; by area 29 and 78 (computed).
    rules = load_rules()
    assert cables_by_count_table(rules, designator=53, od_mm=6.1) == 20
    assert cables_by_count_table(rules, designator=78, od_mm=6.1) == 40
    assert duct_capacity(bore_mm=2.067 * INCH, od_mm=6.1, limits=ROUND) == 29
    assert duct_capacity(bore_mm=3.356 * INCH, od_mm=6.1, limits=ROUND) == 78


def test_table_is_silent_where_it_prints_a_dash_or_no_column() -> None:
    rules = load_rules()
    assert cables_by_count_table(rules, designator=103, od_mm=6.1) is None
    assert cables_by_count_table(rules, designator=103, od_mm=25.0) is None
    assert cables_by_count_table(rules, designator=27, od_mm=7.0) == 3


@pytest.mark.parametrize(("bore_mm", "size"), [(27.0, 27), (26.6, 27), (103.0, 103), (110.1, 103)])
def test_trade_size_of_a_bore(bore_mm: float, size: int) -> None:
    assert designator_of_bore(bore_mm=bore_mm, rules=load_rules()) == size


def test_tray_in_words_of_the_trade() -> None:
    # Worked by hand: 300 x 60 tray, 7.5 mm cables of 44.18 mm2; at 50 % 203 cables fit.
    one = cable_area_mm2(od_mm=7.5)
    assert one == pytest.approx(44.2, abs=0.05)
    result = fill(cables=142, area_mm2=142 * one, inside_mm2=18_000.0, od_mm=7.5, limits=TRAY)
    assert result.places_left == 61
    assert result.level is FillLevel.ABOVE_PLANNED


def test_overfull_ladder_of_the_sample() -> None:
    # Worked by hand: 368 cables in 300 x 60 are 90 %; in 600 x 60 45 %.
    one = cable_area_mm2(od_mm=7.5)
    narrow = fill(cables=368, area_mm2=368 * one, inside_mm2=18_000, od_mm=7.5, limits=TRAY)
    wide = fill(cables=368, area_mm2=368 * one, inside_mm2=36_000, od_mm=7.5, limits=TRAY)
    assert round(narrow.ratio, 2) == 0.90
    assert narrow.level is FillLevel.OVER
    assert round(wide.ratio, 2) == 0.45
    assert wide.level is FillLevel.ABOVE_WARNED


def test_three_sleeves() -> None:
    # Worked by hand: 142 cables of 7.5 mm need 2 of 3 sleeves of 103 mm at 40 %.
    sleeve = FillLimits(planned_ratio=0.4, warned_ratio=0.4, most_ratio=0.4)
    one = cable_area_mm2(od_mm=7.5)
    result = fill(
        cables=142,
        area_mm2=142 * one,
        inside_mm2=round_inside_mm2(bore_mm=103.0, count=3),
        od_mm=7.5,
        limits=sleeve,
        ducts=3,
    )
    assert result.ducts_needed == 2
    assert result.places_left == 3 * 75 - 142


def test_fullest_duct_decides() -> None:
    # Four cables, each 20 % of a bore, in three conduits: one holds two, 40 % where 31 % may be.
    bore_mm = 40.0
    od_mm = bore_mm * math.sqrt(0.2)
    result = fill(
        cables=4,
        area_mm2=4 * cable_area_mm2(od_mm=od_mm),
        inside_mm2=round_inside_mm2(bore_mm=bore_mm, count=3),
        od_mm=od_mm,
        limits=ROUND,
        ducts=3,
    )
    assert result.places_left == -1
    assert result.level is FillLevel.OVER


def test_size_not_known_is_no_fill() -> None:
    result = fill(cables=5, area_mm2=200, inside_mm2=0, od_mm=7.5, limits=TRAY)
    assert not result.known
    assert result.level is FillLevel.WITHIN


@given(
    bore_mm=st.floats(10, 120),
    od_mm=st.floats(3, 20),
    cables=st.integers(0, 40),
)
def test_places_left_is_exactly_what_fits(bore_mm: float, od_mm: float, cables: int) -> None:
    """One more than the places left must not fit, the places left must (the rule, tried out)."""
    inside = round_inside_mm2(bore_mm=bore_mm)
    one = cable_area_mm2(od_mm=od_mm)
    left = places_by_area(
        cables=cables, area_mm2=cables * one, inside_mm2=inside, od_mm=od_mm, limits=ROUND
    )

    def fits(total: int) -> bool:
        share = {0: 1.0, 1: 0.53, 2: 0.31}.get(total, 0.40)
        return total * one <= share * inside * (1 + 1e-9)

    def tight(total: int) -> bool:
        share = {0: 1.0, 1: 0.53, 2: 0.31}.get(total, 0.40)
        return abs(total * one - share * inside) < 1e-6 * inside

    total = cables + left
    assert total >= 0
    if not tight(total) and not tight(total + 1):
        assert fits(total)
        assert not fits(total + 1)
