"""Hooks, lengths and panels against figures worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.sizing.conduit_count import conduit_to_outlet
from app.sizing.panels import panels_for, ports_with_growth, share_of
from app.sizing.supports import (
    couplings,
    hooks_on_leg,
    hooks_on_line,
    straight_lengths,
    supports_on_line,
)
from app.standards import load_rules


def test_hooks_of_a_leg_worked_by_hand() -> None:
    # practice: ceil(7.00 / 1.5) = 5 for a leg that leaves a basket.
    assert hooks_on_leg(length_mm=7_000, spacing_mm=1_500) == 5
    assert hooks_on_leg(length_mm=1_500, spacing_mm=1_500, from_mm=1_500) == 0
    assert hooks_on_leg(length_mm=1_501, spacing_mm=1_500, from_mm=1_500) == 2


def test_hooks_of_a_line() -> None:
    # practice: ceil(L / s) + 1.
    assert hooks_on_line(length_mm=12_000, spacing_mm=1_200) == 11
    assert hooks_on_line(length_mm=12_001, spacing_mm=1_200) == 12


def test_lengths_bought_whole() -> None:
    # practice: 60 m of tray in 3 m lengths is 20, 60.001 m is 21; conduit 3.05 m.
    assert straight_lengths(length_mm=60_000, straight_mm=3_000) == 20
    assert straight_lengths(length_mm=60_001, straight_mm=3_000) == 21
    assert couplings(length_mm=30_000, straight_mm=3_050) == 9
    assert couplings(length_mm=0, straight_mm=3_050) == 0
    assert supports_on_line(length_mm=60_000, spacing_mm=1_500) == 41


def test_a_spacing_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        hooks_on_line(length_mm=1_000, spacing_mm=0)


def test_panels_of_an_office_worked_by_hand() -> None:
    # practice: 26 ports with 25 % growth 32.5 -> 33 -> two panels of 24.
    assert ports_with_growth(ports=26, growth_percent=25.0) == 33
    need = panels_for(ports_existing=0, ports_after=26, growth_percent=25.0, panel_ports=24)
    assert (need.new, need.free_after) == (2, 22)


@pytest.mark.parametrize(("ports", "panels"), [(97, 6), (161, 9), (368, 20)])
def test_panels_of_the_sample_worked_by_hand(ports: int, panels: int) -> None:
    # practice: with 25 % growth 6, 9 and 20 panels of 24.
    need = panels_for(ports_existing=0, ports_after=ports, growth_percent=25.0, panel_ports=24)
    assert need.new == panels


def test_one_more_panel_five_years_later() -> None:
    # practice: 48 existing ports fill two panels; 48 - 4 + 8 = 52 want one more, 20 free after.
    need = panels_for(ports_existing=48, ports_after=52, growth_percent=25.0, panel_ports=24)
    assert (need.standing, need.new, need.free_after) == (2, 1, 20)


@pytest.mark.parametrize(("existing", "after"), [(48, 48), (48, 44), (45, 45), (1, 0)])
def test_growth_is_bought_where_ports_come_and_nowhere_else(existing: int, after: int) -> None:
    # practice: a takeoff takes the new only; what stands and is left alone gets no panel.
    need = panels_for(
        ports_existing=existing, ports_after=after, growth_percent=25.0, panel_ports=24
    )
    assert need.new == 0
    assert need.free_after == need.standing * 24 - after


def test_patched_share_worked_by_hand() -> None:
    # practice: frame cords at 70 % of 26 are ceil(18.2) = 19; of 20 exactly 14, not 15.
    assert share_of(count=26, percent=70.0) == 19
    assert share_of(count=20, percent=70.0) == 14


@given(ports=st.integers(0, 5_000), growth=st.integers(0, 200), size=st.sampled_from([12, 24, 48]))
def test_panels_hold_the_ports_and_no_panel_is_too_many(ports: int, growth: int, size: int) -> None:
    need = panels_for(
        ports_existing=0, ports_after=ports, growth_percent=float(growth), panel_ports=size
    )
    assert need.total * size * 100 >= ports * (100 + growth)
    assert (need.total - 1) * size < need.ports_with_growth or need.total == 0


@pytest.mark.parametrize(
    ("ods_mm", "designator"),
    [
        # practice: 27 for two Cat 6A, 21 for two Cat 6.
        ((7.5, 7.5), 27),
        ((6.1, 6.1), 21),
        # One Cat 6A: the count table takes none of 7.9 mm in a 16 and two in a 21.
        ((7.5,), 21),
        # Four Cat 6A: the count table takes three in a 27 and four in a 35.
        ((7.5,) * 4, 35),
        # Thicker than the table's last column, so by its section alone: 706.9 mm2 is more than
        # the 511.6 mm2 (0.793 in2) of a 35 and the 696.1 (1.079) of a 41, and fits a 53.
        ((30.0,), 53),
        ((150.0,), None),
    ],
)
def test_conduit_to_an_outlet(ods_mm: tuple[float, ...], designator: int | None) -> None:
    assert conduit_to_outlet(ods_mm=ods_mm, rules=load_rules()) == designator


def test_panels_that_are_known_to_stand_count_with_their_own_ports() -> None:
    # practice: two full panels of 24 and 4 ports more want one panel, 20 free; a third that
    # stands already leaves nothing to buy.
    told = panels_for(
        ports_existing=48, ports_after=52, growth_percent=0.0, panel_ports=24, standing=(24, 24)
    )
    assert (told.standing, told.new, told.free_after) == (2, 1, 20)
    roomy = panels_for(
        ports_existing=48, ports_after=52, growth_percent=25.0, panel_ports=24, standing=(48, 24)
    )
    assert (roomy.standing, roomy.new, roomy.free_after) == (2, 0, 20)


def test_panels_that_have_their_name_already_are_bought_in_their_size() -> None:
    need = panels_for(
        ports_existing=0, ports_after=70, growth_percent=25.0, panel_ports=24, named=(48, 24)
    )
    # 87.5 -> 88 ports; 72 are on the named panels, one more panel of 24 holds the rest.
    assert need.bought == {24: 2, 48: 1}
    assert (need.total, need.free_after) == (3, 26)
    early = panels_for(
        ports_existing=0, ports_after=1, growth_percent=0.0, panel_ports=24, named=(24, 24)
    )
    assert (early.new, early.free_after) == (2, 47)
