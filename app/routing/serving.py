"""Serving: which frame each port goes to."""

from collections.abc import Mapping, Sequence

import numpy as np

from app.model.entities import Space
from app.routing.ground import is_divisible
from app.routing.options import FAR, Options
from app.routing.plates import Plates
from app.routing.results import IndexArray, IntArray

NOBODY = -1


def serve(
    plates: Plates, options: Options, spaces: Mapping[str, Space], columns: IndexArray
) -> None:
    """Write the column of each port of these options' outlets into `columns`."""
    serve_again(plates, options, spaces, columns, np.arange(len(options.rows)))


def serve_again(
    plates: Plates,
    options: Options,
    spaces: Mapping[str, Space],
    columns: IndexArray,
    members: IntArray,
) -> None:
    """The same for some of the outlets, by their place in the options; of a space that is
    served whole all outlets must be among them."""
    on = options.on
    rows = options.rows[members]
    general = np.flatnonzero(on.serves)
    best = np.full(len(rows), NOBODY, dtype=np.int64)
    if len(rows) and len(general):
        best = _by_outlet(options.length[np.ix_(members, general)], general)
        for group in whole_groups([plates.space[r] for r in rows.tolist()], spaces):
            best[group] = _by_space(plates, options, general, members[group])
    _spread(plates, rows, best, columns)
    ports = ports_of(plates, rows)
    fixed = ports[plates.fixed[ports] >= 0]
    if len(fixed):
        columns[fixed] = np.searchsorted(on.frames, plates.fixed[fixed])


def ports_of(plates: Plates, rows: IntArray) -> IntArray:
    """The ports of these outlets, in order."""
    counts = plates.first[rows + 1] - plates.first[rows]
    before = np.cumsum(counts) - counts
    return np.repeat(plates.first[rows] - before, counts) + np.arange(int(counts.sum()))


def _spread(plates: Plates, rows: IntArray, best: IntArray, columns: IndexArray) -> None:
    counts = plates.first[rows + 1] - plates.first[rows]
    columns[ports_of(plates, rows)] = np.repeat(best, counts)


def _by_outlet(length: IntArray, general: IntArray) -> IntArray:
    """Each outlet by itself to the frame with the least length; equal: the first in order."""
    chosen: IntArray = general[length.argmin(axis=1)]
    return chosen


def whole_groups(of_outlets: Sequence[str | None], spaces: Mapping[str, Space]) -> list[IntArray]:
    """The outlets of every space that is served whole."""
    members: dict[str, list[int]] = {}
    for row, space in enumerate(of_outlets):
        if space is not None:
            members.setdefault(space, []).append(row)
    return [
        np.array(rows, dtype=np.int64)
        for space, rows in members.items()
        if not is_divisible(spaces[space])
    ]


def _by_space(plates: Plates, options: Options, general: IntArray, members: IntArray) -> int:
    """The frame that leaves the fewest runs without a route, then over the limit, then is
    nearest in all; ports fixed to a frame do not vote."""
    ports = ports_of(plates, options.rows[members])
    of = np.repeat(
        members, plates.first[options.rows[members] + 1] - plates.first[options.rows[members]]
    )
    free = plates.fixed[ports] < 0
    ports, of = ports[free], of[free]
    if not len(ports):
        return int(general[0])
    base = options.length[np.ix_(of, general)]
    lost = base >= FAR
    length = installed(plates, ports[:, None], np.where(lost, 0, base))
    over = (length > plates.limit[ports][:, None]) & ~lost
    total = np.where(lost, 0, length).sum(axis=0)
    order = np.lexsort((np.arange(len(general)), total, over.sum(axis=0), lost.sum(axis=0)))
    return int(general[order[0]])


def installed(plates: Plates, ports: IntArray, base: IntArray) -> IntArray:
    """Installed length of ports from the length of the way: with slack and what was added, or
    the length that replaces it."""
    length = np.maximum(base + plates.slack[ports] + plates.added[ports], 0)
    replaced = plates.replaced[ports]
    return np.where(replaced >= 0, replaced, length)
