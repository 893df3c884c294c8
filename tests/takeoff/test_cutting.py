"""Boxes against hand-worked cases, an integer programme, and what any plan must keep."""

import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from app.takeoff.bounds import by_large_pieces, by_steps, by_total, least_boxes
from app.takeoff.cutting import cut_from_boxes

USABLE = 302_000


def boxes_by_programme(lengths: list[int], usable: int) -> int:
    """The least number of boxes, by scipy's integer programme (HiGHS): the outside reference."""
    n = len(lengths)
    most = len(cut_from_boxes(lengths, usable_mm=usable).boxes)
    cost = np.concatenate([np.zeros(n * most), np.ones(most)])
    once = np.zeros((n, n * most + most))
    for i in range(n):
        once[i, i * most : (i + 1) * most] = 1
    room = np.zeros((most, n * most + most))
    for b in range(most):
        for i in range(n):
            room[b, i * most + b] = lengths[i]
        room[b, n * most + b] = -usable
    result = milp(
        cost,
        integrality=np.ones_like(cost),
        bounds=Bounds(0, 1),
        constraints=[LinearConstraint(once, 1, 1), LinearConstraint(room, -np.inf, 0)],
    )
    assert result.success
    return round(result.fun)


def test_thirty_runs_of_eighty_metres() -> None:
    # Worked by hand: three of 80.0 m from a box of 302 m, so ten boxes, never 2,400 / 302 = 8.
    cutting = cut_from_boxes([80_000] * 30, usable_mm=USABLE)
    assert len(cutting.boxes) == 10
    assert cutting.proven
    assert by_total(np.full(30, 80_000), usable_mm=USABLE) == 8


def test_two_rows_of_ten() -> None:
    # Worked by hand: ten of 80 and ten of 62 from 302 m: bound ceil(1,420 / 302) = 5, reached.
    lengths = [80_000] * 10 + [62_000] * 10
    cutting = cut_from_boxes(lengths, usable_mm=USABLE)
    assert (len(cutting.boxes), cutting.bound, cutting.proven) == (5, 5, True)


def test_average_method_worked_by_hand() -> None:
    # practice: twelve runs of 30.6 m, floor(305 / 30.6) = 9 a box, two boxes.
    assert len(cut_from_boxes([30_600] * 12, usable_mm=305_000).boxes) == 2


def test_large_pieces_have_boxes_of_their_own() -> None:
    # Textbook case of the bound: 6 + 6 of ten need a box each, and their rooms take no five.
    lengths = np.array([6, 6, 6, 5, 5])
    assert by_total(lengths, usable_mm=10) == 3
    assert by_large_pieces(lengths, usable_mm=10) == 4
    assert len(cut_from_boxes(lengths.tolist(), usable_mm=10).boxes) == 4


def test_a_run_longer_than_a_box_is_told_and_not_cut() -> None:
    cutting = cut_from_boxes([400_000, 80_000, 0], usable_mm=USABLE)
    assert cutting.too_long == (0,)
    assert cutting.boxes == ((1,),)


def test_no_runs_need_no_box() -> None:
    cutting = cut_from_boxes([], usable_mm=USABLE)
    assert (cutting.boxes, cutting.bound, cutting.proven) == ((), 0, True)


def test_a_box_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be cut"):
        cut_from_boxes([1], usable_mm=0)


# Falkenauer's triplets are the hard classic: three pieces fill a box exactly. Made here from
# their published recipe (Falkenauer, A hybrid grouping genetic algorithm for bin packing, 1996).
@pytest.mark.parametrize("seed", range(3))
def test_triplets_stay_within_one_box_of_the_known_least(seed: int) -> None:
    draw = random.Random(seed)
    lengths = []
    for _ in range(20):
        first = draw.randint(380, 490)
        rest = 1000 - first
        second = draw.randint(250, rest // 2)
        lengths += [first, second, rest - second]
    cutting = cut_from_boxes(lengths, usable_mm=1000)
    assert cutting.bound <= 20 <= len(cutting.boxes) <= 21


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(8_000, 150_000), min_size=1, max_size=9))
def test_small_plans_are_the_least_by_an_integer_programme(lengths: list[int]) -> None:
    cutting = cut_from_boxes(lengths, usable_mm=USABLE)
    assert cutting.proven
    assert len(cutting.boxes) == boxes_by_programme(lengths, USABLE)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(3, 20), min_size=1, max_size=9))
def test_small_awkward_plans_are_the_least(lengths: list[int]) -> None:
    cutting = cut_from_boxes(lengths, usable_mm=20)
    assert cutting.proven
    assert len(cutting.boxes) == boxes_by_programme(lengths, 20)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.integers(0, 400_000), max_size=120),
    st.sampled_from([90_000, 302_000, 497_000]),
)
def test_no_run_is_split_and_no_box_overdrawn(lengths: list[int], usable: int) -> None:
    cutting = cut_from_boxes(lengths, usable_mm=usable)
    cut = [i for box in cutting.boxes for i in box]
    assert len(cut) == len(set(cut))
    assert set(cut) | set(cutting.too_long) == {i for i, length in enumerate(lengths) if length}
    assert all(sum(lengths[i] for i in box) <= usable for box in cutting.boxes)
    assert all(lengths[i] > usable for i in cutting.too_long)
    assert cutting.bound <= len(cutting.boxes)
    again = cut_from_boxes(list(lengths), usable_mm=usable)
    assert again == cutting


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(1, 30), min_size=1, max_size=8))
def test_no_bound_passes_the_least(lengths: list[int]) -> None:
    array = np.array(lengths)
    least = boxes_by_programme(lengths, 30)
    assert least_boxes(array, usable_mm=30) <= least
    for bound in (by_total, by_large_pieces, by_steps):
        assert bound(array, usable_mm=30) <= least
