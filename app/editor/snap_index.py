"""Where the catching points and lines of one floor lie, kept up patch by patch.

A plain grid of cells: putting or taking one thing touches only its own cells, and a look-up
touches those within the radius, however many things the floor holds.
"""

import math
from collections.abc import Iterable, Iterator

from app.editor.catches import CatchLine, CatchPoint

CELL_MM = 4_000

XY = tuple[float, float]
Cell = tuple[int, int]
Catch = CatchPoint | CatchLine


class FloorIndex:
    """The catches of one floor by cell. Things are known by their ids."""

    def __init__(self) -> None:
        self._cells: dict[Cell, dict[str, list[Catch]]] = {}
        self._cells_of: dict[str, set[Cell]] = {}

    def __len__(self) -> int:
        return len(self._cells_of)

    def put(self, thing_id: str, catches: Iterable[Catch]) -> None:
        """Let a thing catch by these, instead of what it had."""
        self.take(thing_id)
        own: set[Cell] = set()
        for catch in catches:
            for cell in _cells_of(catch):
                self._cells.setdefault(cell, {}).setdefault(thing_id, []).append(catch)
                own.add(cell)
        if own:
            self._cells_of[thing_id] = own

    def take(self, thing_id: str) -> None:
        """Let a thing catch no more."""
        for cell in self._cells_of.pop(thing_id, ()):
            here = self._cells[cell]
            del here[thing_id]
            if not here:
                del self._cells[cell]

    def near(self, at: XY, radius_mm: float) -> tuple[list[CatchPoint], list[CatchLine]]:
        """The points and lines in the cells within a radius; each once, in no set order."""
        points: dict[int, CatchPoint] = {}
        lines: dict[int, CatchLine] = {}
        for cell in _box_cells(
            (at[0] - radius_mm, at[1] - radius_mm), (at[0] + radius_mm, at[1] + radius_mm)
        ):
            for catches in self._cells.get(cell, {}).values():
                for catch in catches:
                    if isinstance(catch, CatchPoint):
                        points[id(catch)] = catch
                    else:
                        lines[id(catch)] = catch
        return list(points.values()), list(lines.values())


def _cell(x: float, y: float) -> Cell:
    return math.floor(x / CELL_MM), math.floor(y / CELL_MM)


def _cells_of(catch: Catch) -> Iterator[Cell]:
    if isinstance(catch, CatchPoint):
        yield _cell(*catch.at)
        return
    yield from _line_cells(catch.a, catch.b)


def _line_cells(a: XY, b: XY) -> Iterator[Cell]:
    """The cells a piece passes through, column by column, each with its rows."""
    (x0, y0), (x1, y1) = sorted((a, b))
    first, last = math.floor(x0 / CELL_MM), math.floor(x1 / CELL_MM)
    for column in range(first, last + 1):
        left, right = max(x0, column * CELL_MM), min(x1, (column + 1) * CELL_MM)
        ends = (
            (y0, y1)
            if x0 == x1
            else tuple(y0 + (y1 - y0) * (x - x0) / (x1 - x0) for x in (left, right))
        )
        low, high = math.floor(min(ends) / CELL_MM), math.floor(max(ends) / CELL_MM)
        yield from ((column, row) for row in range(low, high + 1))


def _box_cells(low: XY, high: XY) -> Iterator[Cell]:
    (first, bottom), (last, top) = _cell(*low), _cell(*high)
    yield from ((x, y) for x in range(first, last + 1) for y in range(bottom, top + 1))
