"""Serving: which frame each port goes to."""

from collections.abc import Mapping, Sequence

import numpy as np

from app.model.entities import Space
from app.routing.belonging import Keepers, columns_for
from app.routing.ground import is_divisible
from app.routing.options import FAR, Options
from app.routing.plates import Plates
from app.routing.results import IndexArray, IntArray

NOBODY = -1


def serve(
    plates: Plates,
    keepers: Keepers,
    options: Options,
    spaces: Mapping[str, Space],
    columns: IndexArray,
) -> None:
    """Write the column of each port of these options' outlets into `columns`."""
    serve_again(plates, keepers, options, spaces, columns, np.arange(len(options.rows)))


def serve_again(
    plates: Plates,
    keepers: Keepers,
    options: Options,
    spaces: Mapping[str, Space],
    columns: IndexArray,
    members: IntArray,
) -> None:
    """The same for some of the outlets, by their place in the options; of a space that is
    served whole all outlets must be among them.

    Ports to which other frames are open choose apart, also within a space.
    """
    on, rows = options.on, options.rows[members]
    ports = ports_of(plates, rows)
    counts = plates.first[rows + 1] - plates.first[rows]
    place = np.repeat(members, counts)
    group = np.repeat(whole_spaces([plates.space[r] for r in rows.tolist()], spaces), counts)
    rules = plates.rule[ports]
    for rule in np.unique(rules).tolist():
        open_to = columns_for(keepers, on.frames, on.serves, rule)
        mine = np.flatnonzero(rules == rule)
        chosen = np.full(len(mine), NOBODY, dtype=np.int64)
        if len(open_to):
            chosen = open_to[options.length[np.ix_(place[mine], open_to)].argmin(axis=1)]
            for together in _groups(group[mine]):
                some = mine[together]
                chosen[together] = _by_space(plates, options, open_to, ports[some], place[some])
        columns[ports[mine]] = chosen
    fixed = ports[plates.fixed[ports] >= 0]
    if len(fixed):
        columns[fixed] = np.searchsorted(on.frames, plates.fixed[fixed])


def ports_of(plates: Plates, rows: IntArray) -> IntArray:
    """The ports of these outlets, in order."""
    counts = plates.first[rows + 1] - plates.first[rows]
    before = np.cumsum(counts) - counts
    return np.repeat(plates.first[rows] - before, counts) + np.arange(int(counts.sum()))


def whole_spaces(of_outlets: Sequence[str | None], spaces: Mapping[str, Space]) -> IntArray:
    """For each outlet a number of its space, if that is served whole; -1 if not."""
    number: dict[str | None, int] = {None: -1}
    for space in of_outlets:
        if space is not None and space not in number:
            number[space] = -1 if is_divisible(spaces[space]) else len(number)
    return np.array([number[s] for s in of_outlets], dtype=np.int64)


def _groups(group: IntArray) -> list[IntArray]:
    """The places of every number of 0 or more."""
    order = np.argsort(group, kind="stable")
    order = order[np.searchsorted(group[order], 0) :]
    starts = np.flatnonzero(np.diff(group[order])) + 1
    return [] if not len(order) else list(np.split(order, starts))


def _by_space(
    plates: Plates, options: Options, open_to: IntArray, ports: IntArray, place: IntArray
) -> int:
    """The frame that leaves the fewest runs without a route, then over the limit, then is
    nearest in all; ports fixed to a frame do not vote."""
    free = plates.fixed[ports] < 0
    ports, place = ports[free], place[free]
    if not len(ports):
        return int(open_to[0])
    base = options.length[np.ix_(place, open_to)]
    lost = base >= FAR
    length = installed(plates, ports[:, None], np.where(lost, 0, base))
    over = (length > plates.limit[ports][:, None]) & ~lost
    total = np.where(lost, 0, length).sum(axis=0)
    order = np.lexsort((np.arange(len(open_to)), total, over.sum(axis=0), lost.sum(axis=0)))
    return int(open_to[order[0]])


def installed(plates: Plates, ports: IntArray, base: IntArray) -> IntArray:
    """Installed length of ports from the length of the way: with slack and what was added, or
    the length that replaces it."""
    length = np.maximum(base + plates.slack[ports] + plates.added[ports], 0)
    replaced = plates.replaced[ports]
    return np.where(replaced >= 0, replaced, length)
