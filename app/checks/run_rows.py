"""Chooses the few rows of the runs a check has to speak of, and gathers them by outlet."""

import numpy as np

from app.routing.results import BoolArray, IntArray, Runs


def chosen_rows(wanted: BoolArray, rows: IntArray | None) -> list[int]:
    """The rows, in table order, where `wanted` (a full column) holds; of `rows` only if given."""
    if rows is None:
        picked: list[int] = np.flatnonzero(wanted).tolist()
        return picked
    few: list[int] = np.sort(rows[wanted[rows]]).tolist()
    return few


def by_outlet(runs: Runs, rows: list[int]) -> list[list[int]]:
    """The rows in groups of the same outlet, in table order."""
    groups: dict[str, list[int]] = {}
    for row in rows:
        groups.setdefault(runs.outlet_ids[row], []).append(row)
    return list(groups.values())
