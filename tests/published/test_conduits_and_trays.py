"""Fill of conduits and trays against printed tables and worked examples."""

import math

import pytest

from app.standards import load_rules
from app.standards.conduit_fill import (
    MM2_PER_IN2,
    MM_PER_IN,
    cable_area_mm2,
    cables_area_mm2,
    cables_by_area,
    cables_by_count_table,
    conduit_area_mm2,
    conduit_bore_mm,
    conduit_designators,
    conduit_fill_limit_ratio,
    fill_limit_with_bends_ratio,
    smallest_conduit_by_area,
    smallest_conduit_by_count_table,
)
from app.standards.floor_ducts import (
    distribution_duct_length,
    feeder_duct_length,
    feeder_ducts,
)
from app.standards.pathway_fill import inside_area_needed_mm2

RULES = load_rules()

# NEC Chapter 9 Table 4, EMT, metric column of the code book (memory: 100 % and 40 % in mm²).
EMT_MM2 = {
    16: (196, 78),
    21: (343, 137),
    27: (556, 222),
    35: (968, 387),
    41: (1314, 526),
    53: (2165, 866),
    63: (3783, 1513),
    78: (5701, 2280),
    91: (7451, 2980),
    103: (9521, 3808),
}

# EIA/TIA-569 Table 4.4-1 as printed in MIL-HDBK-1012/3 (1996): trade size, cables by diameter
# in inches .13 .18 .22 .24 .29 .31 .37 .53 .62 .70. Typed here a second time, from the page.
COUNT_TABLE = """
16   1  1  0  0  0  0  0  0  0  0
21   6  5  4  3  2  2  1  0  0  0
27   8  8  7  6  3  3  2  1  0  0
35  16 14 12 10  6  4  3  1  1  1
41  20 18 16 15  7  6  4  2  1  1
53  30 26 22 20 14 12  7  4  3  2
63  45 40 36 30 17 14 12  6  3  3
78  70 60 50 40 20 20 17  7  6  6
91   -  -  -  -  -  - 22 12  7  6
103  -  -  -  -  -  - 30 14 12  7
"""
DIAMETERS_IN = (0.13, 0.18, 0.22, 0.24, 0.29, 0.31, 0.37, 0.53, 0.62, 0.70)


def in_mm(inches: float) -> float:
    return inches * MM_PER_IN


def test_raceway_fill_is_that_of_nec_chapter_9_table_1():
    # NEC Ch. 9 Table 1 (1996 NEC, scribd 51911017): 53, 31, 40 %.
    ratios = [conduit_fill_limit_ratio(RULES, cables=n) for n in (1, 2, 3, 40)]
    assert ratios == [0.53, 0.31, 0.40, 0.40]


@pytest.mark.parametrize("designator", EMT_MM2)
def test_emt_areas_agree_in_inches_millimetres_bore_and_share(designator):
    # NEC Ch. 9 Table 4 (sfasoft.com "All tubing and conduits"); metric row from memory.
    area = conduit_area_mm2(RULES, designator=designator)
    whole, forty = EMT_MM2[designator]
    assert area == pytest.approx(whole, rel=0.005)
    assert area * 0.40 == pytest.approx(forty, rel=0.01)
    bore = conduit_bore_mm(RULES, designator=designator)
    assert area == pytest.approx(math.pi / 4 * bore**2, rel=0.005)


@pytest.mark.parametrize(
    ("column", "ratio"), [("area_31_in2", 0.31), ("area_40_in2", 0.40), ("area_53_in2", 0.53)]
)
def test_emt_shares_are_the_printed_ones(column, ratio):
    # NEC Ch. 9 Table 4 (sfasoft.com): the printed shares, to their three decimals.
    table = RULES.table("conduits.emt")
    for area, share in zip(table.numbers("area_in2"), table.numbers(column), strict=True):
        assert share == pytest.approx(area * ratio, abs=0.001)


@pytest.mark.parametrize("line", COUNT_TABLE.split("\n")[1:-1])
def test_the_count_table_is_the_printed_one(line):
    designator, *cells = line.split()
    for inches, cell in zip(DIAMETERS_IN, cells, strict=True):
        found = cables_by_count_table(RULES, designator=int(designator), od_mm=in_mm(inches))
        assert found == (None if cell == "-" else int(cell))


def test_a_diameter_between_two_columns_takes_the_larger():
    assert cables_by_count_table(RULES, designator=53, od_mm=6.2) == 14
    assert cables_by_count_table(RULES, designator=53, od_mm=18.5) is None


def test_six_cables_of_0_24_inch_want_a_one_inch_conduit():
    # MIL-HDBK-1012/3, Example Three.
    assert smallest_conduit_by_count_table(RULES, cables=6, od_mm=in_mm(0.24)) == 27


def test_the_count_table_is_far_below_pure_area():
    # 6.1 mm in a 2 in conduit: 20 by the table, 29 by 40 % of its area (arithmetic).
    assert cables_by_count_table(RULES, designator=53, od_mm=in_mm(0.24)) == 20
    assert cables_by_area(RULES, designator=53, od_mm=in_mm(0.24)) == 29
    assert cables_by_area(RULES, designator=78, od_mm=in_mm(0.24)) == 78


@pytest.mark.parametrize(("designator", "cables"), [(41, 8), (53, 13)])
def test_cables_of_0_35_inch_by_area(designator, cables):
    # experts123: 8 in 1-1/2 in, 13 in 2 in EMT at 40 %.
    assert cables_by_area(RULES, designator=designator, od_mm=in_mm(0.35)) == cables


def test_mixed_cables_fill_a_conduit_to_39_3_percent():
    # experts123: 16 of 0.35 in and 20 of 0.22 in in 2-1/2 in EMT: 39.3 %.
    mixed = (in_mm(0.35),) * 16 + (in_mm(0.22),) * 20
    fill = cables_area_mm2(od_mm=mixed) / conduit_area_mm2(RULES, designator=63)
    assert fill == pytest.approx(0.393, abs=0.0005)
    assert smallest_conduit_by_area(RULES, od_mm=mixed) == 63


def test_area_of_one_cable():
    # brainscape H-05: 0.785 × 0.35² = 0.0962 in².
    assert cable_area_mm2(od_mm=in_mm(0.35)) / MM2_PER_IN2 == pytest.approx(0.0962, abs=0.0001)


def test_one_and_two_cables_obey_their_own_shares():
    for designator in conduit_designators(RULES):
        area = conduit_area_mm2(RULES, designator=designator)
        one = math.sqrt(area * 0.53 * 4 / math.pi)
        assert cables_by_area(RULES, designator=designator, od_mm=one - 0.01) == 1
        assert cables_by_area(RULES, designator=designator, od_mm=one + 0.01) == 0
        two = math.sqrt(area * 0.31 / 2 * 4 / math.pi)
        assert cables_by_area(RULES, designator=designator, od_mm=two - 0.01) == 2


def test_two_bends_take_40_percent_to_28():
    # MIL-HDBK-1012/3, sheet 30042: 0.40 × (1 − 2 × 0.15).
    assert fill_limit_with_bends_ratio(RULES, limit_ratio=0.40, bends=2) == pytest.approx(0.28)
    assert fill_limit_with_bends_ratio(RULES, limit_ratio=0.40, bends=7) == 0


def test_a_tray_for_a_hundred_cables():
    # Leviton Cat 6A manual p. 18: 100 cables of 0.30 in: 7.065 in², × 4 = 28.26 in².
    cables_mm2 = cables_area_mm2(od_mm=[in_mm(0.30)] * 100)
    planned = RULES.ratio("pathway_kinds.basket.fill_planned_percent")
    needed = inside_area_needed_mm2(cables_mm2=cables_mm2, fill_ratio=planned)
    assert cables_mm2 / MM2_PER_IN2 == pytest.approx(7.065, rel=0.001)
    assert needed / MM2_PER_IN2 == pytest.approx(28.26, rel=0.001)
    # The same page in metric: 8 mm, 5024 and 20 096 mm².
    metric = cables_area_mm2(od_mm=[8.0] * 100)
    assert metric == pytest.approx(5024, rel=0.001)
    assert inside_area_needed_mm2(cables_mm2=metric, fill_ratio=planned) == pytest.approx(
        20096, rel=0.001
    )


def test_ducts_in_the_floor():
    # MIL-HDBK-1012/3, Example Two (30040 to 30042): 2100 ft; 13 feeders; 325 and 650 ft.
    assert distribution_duct_length(zone_length=100, zone_width=100, spacing=5) == 2100
    foot2 = 0.3048**2
    assert feeder_ducts(RULES, area_m2=10_000 * foot2, area_served_m2=800 * foot2) == 13
    assert feeder_duct_length(zone_width=100, feeders=13, room_at_edge=False) == 325
    assert feeder_duct_length(zone_width=100, feeders=13, room_at_edge=True) == 650
