"""The words beside the pointer: lengths before and after, and counts that change."""

from types import SimpleNamespace
from typing import Any

import numpy as np

from app.editor.document import Preview
from app.model.project import Project
from app.routing.results import RunStatus
from app.ui.canvas.live_lengths import live_lines

WITHIN, NEAR, OVER, NO_ROUTE = (int(s) for s in RunStatus)


def design(rows: dict[str, tuple[str, int, int]]) -> Any:
    """Ports with the outlet, length in mm and status of each; the limit is 90 m."""
    statuses = [s for _, _, s in rows.values()]
    return SimpleNamespace(
        runs=SimpleNamespace(
            port_ids=tuple(rows),
            row_of={p: i for i, p in enumerate(rows)},
            outlet_ids=tuple(o for o, _, _ in rows.values()),
            installed_mm=np.array([mm for _, mm, _ in rows.values()], dtype=np.int64),
            limit_mm=np.full(len(rows), 90_000, dtype=np.int64),
            status=np.array(statuses, dtype=np.int8),
        ),
        summary=SimpleNamespace(
            over=statuses.count(OVER),
            near=statuses.count(NEAR),
            no_route=statuses.count(NO_ROUTE),
        ),
    )


def lines(before: Any, after: Any, *ports: str, everything: bool = False) -> list[str]:
    change = SimpleNamespace(everything=everything, ports=frozenset(ports))
    return [text for text, _ in live_lines(before, Preview(Project(), after, change))]


def test_one_outlet_says_its_longest_run_before_and_after() -> None:
    before = design({"p1": ("o1", 61_000, WITHIN), "p2": ("o1", 60_000, WITHIN)})
    after = design({"p1": ("o1", 58_440, WITHIN), "p2": ("o1", 57_000, WITHIN)})
    assert lines(before, after, "p1", "p2") == ["61.0 m → 58.4 m"]


def test_a_run_that_gets_over_its_limit_says_by_how_much() -> None:
    before = design({"p1": ("o1", 89_000, NEAR)})
    after = design({"p1": ("o1", 92_300, OVER)})
    assert lines(before, after, "p1") == [
        "89.0 m → 92.3 m   2.3 m over",
        "over the limit 0 → 1",
        "near the limit 1 → 0",
    ]


def test_many_runs_say_their_number_and_the_longest() -> None:
    before = design({f"p{i}": (f"o{i}", 50_000 + i * 1_000, WITHIN) for i in range(4)})
    after = design({f"p{i}": (f"o{i}", 40_000 + i * 1_000, WITHIN) for i in range(4)})
    assert lines(before, after, everything=True) == ["4 runs, longest 53.0 m → 43.0 m"]


def test_a_lost_route_is_said_in_words() -> None:
    before = design({"p1": ("o1", 50_000, WITHIN)})
    after = design({"p1": ("o1", 0, NO_ROUTE)})
    assert lines(before, after, "p1") == ["50.0 m → no route", "without a route 0 → 1"]


def test_what_would_be_placed_says_its_length() -> None:
    before = design({})
    after = design({"p1": ("o1", 42_060, WITHIN)})
    assert lines(before, after, "p1") == ["42.1 m"]


def test_of_several_outlets_it_is_said_that_the_longest_is_told() -> None:
    rows = {f"p{i}": (f"o{i}", 40_000 + i * 1_000, WITHIN) for i in range(4)}
    assert lines(design({}), design(rows), *rows) == ["4 runs, longest 43.0 m"]
    over = rows | {"p8": ("o8", 91_000, OVER), "p9": ("o9", 92_300, OVER)}
    assert lines(design({}), design(over), *over) == [
        "6 runs, 2 over the limit, longest 92.3 m",
    ]
    lost = over | {"p7": ("o7", 0, NO_ROUTE)}
    assert lines(design({}), design(lost), *lost) == ["7 runs, 1 without a route"]
    both = {"p1": ("o1", 42_000, WITHIN), "p2": ("o1", 42_060, WITHIN)}
    assert lines(design({}), design(both), *both) == ["42.1 m"], "the two ports of one outlet"


def test_nothing_changes_nothing_is_said() -> None:
    same = design({"p1": ("o1", 50_000, WITHIN)})
    assert lines(same, same, "p1") == []
    assert live_lines(same, None) == []
    assert live_lines(None, Preview(Project(), None, None)) == []
