"""Rows kept sorted one by one stand as if sorted anew (against Python's own sort)."""

import random

from app.ui.tables.order import RowOrder, natural, sort_key


def test_numbers_within_text_count_as_numbers() -> None:
    names = ["2-10", "2-9", "10-1", "B-03", "b-2", "2-9a"]
    assert sorted(names, key=natural) == ["2-9", "2-9a", "2-10", "10-1", "b-2", "B-03"]


def test_empty_cells_come_last_in_either_direction() -> None:
    values = [3, None, 1, "", 2]
    up = sorted(values, key=lambda v: sort_key(v, descending=False))
    down = sorted(values, key=lambda v: sort_key(v, descending=True), reverse=True)
    assert up[:3] == [1, 2, 3]
    assert down[:3] == [3, 2, 1]


def test_single_changes_keep_the_same_order_as_sorting_anew() -> None:
    source = random.Random(7)
    values: dict[str, int] = {f"row{i}": source.randrange(50) for i in range(200)}
    place = {key: i for i, key in enumerate(values)}
    order = RowOrder()
    order.fill((sort_key(v, descending=False), place[k], k) for k, v in values.items())
    for _ in range(2_000):
        key = f"row{source.randrange(260)}"
        if key in values and source.random() < 0.3:
            at = order.position(key)
            assert order.remove(key) == at
            del values[key]
            continue
        order.remove(key)
        values[key] = source.randrange(50)
        place.setdefault(key, len(place))
        at = order.insert(key, sort_key(values[key], descending=False), place[key])
        assert order.at(at) == key
    wanted = sorted(values, key=lambda k: (values[k], place[k]))
    assert [order.at(i) for i in range(len(order))] == wanted
