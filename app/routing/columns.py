"""Columns: frozen records of arrays with one row a thing, of which a few rows are written anew."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

import numpy as np

from app.routing.results import BoolArray, IntArray

Columns = TypeVar("Columns")


def with_rows(old: Columns, rows: IntArray, values: Mapping[str, Any]) -> tuple[Columns, BoolArray]:
    """The record with these rows of some columns written anew, and which rows differ by it.

    A column in which nothing differs stays the same array, and the record the same object
    where no column differs.
    """
    changed = np.zeros(len(rows), dtype=bool)
    written: dict[str, Any] = {}
    for name, new in values.items():
        column = getattr(old, name)
        differs = column[rows] != new
        if differs.any():
            changed |= differs
            written[name] = column.copy()
            written[name][rows] = new
    return (replace(old, **written) if written else old), changed  # type: ignore[type-var]


def fill_rows(fresh: object, rows: IntArray, values: Mapping[str, Any]) -> None:
    """Write rows into the columns of a record that nobody else holds yet."""
    for name, new in values.items():
        getattr(fresh, name)[rows] = new
