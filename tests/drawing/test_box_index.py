"""The index of boxes finds what looking at every box finds."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.box_index import BLOCK, BoxIndex

numbers = st.integers(-1_000, 1_000).map(float)
segments = st.lists(st.tuples(numbers, numbers, numbers, numbers), max_size=40)


def by_looking(rows: np.ndarray, box: tuple[float, float, float, float]) -> list[int]:
    x0, y0, x1, y1 = box
    return [
        i
        for i, (a, b, c, d) in enumerate(rows.tolist())
        if min(a, c) <= x1 and max(a, c) >= x0 and min(b, d) <= y1 and max(b, d) >= y0
    ]


@given(segments, numbers, numbers, st.integers(0, 900).map(float))
def test_any_few_boxes(
    lines: list[tuple[float, float, float, float]], x: float, y: float, reach: float
) -> None:
    rows = np.array(lines, dtype=np.float64).reshape(-1, 4)
    box = (x - reach, y - reach, x + reach, y + reach)
    assert BoxIndex(rows).rows_in(box).tolist() == by_looking(rows, box)


def test_many_boxes_of_all_sizes_far_from_zero() -> None:
    random, away = np.random.default_rng(3), np.array((4e6, -7e6))
    start = random.uniform(0, 80_000, (20 * BLOCK + 7, 2)) + away
    step = random.normal(0, 1, start.shape) * random.lognormal(5, 2, (len(start), 1))
    rows = np.hstack((start, start + step))
    index = BoxIndex(rows)
    for x, y in random.uniform(0, 80_000, (50, 2)) + away:
        box = (x - 700, y - 700, x + 700, y + 700)
        assert index.rows_in(box).tolist() == by_looking(rows, box)


def test_one_place_holds_any_number_of_points() -> None:
    rows = np.zeros((3 * BLOCK, 4))
    assert len(BoxIndex(rows).rows_in((0, 0, 0, 0))) == 3 * BLOCK
    assert not len(BoxIndex(rows).rows_in((1, 1, 2, 2)))
