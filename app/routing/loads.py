"""Loads: how many cables lie in every pathway, riser and duct at its fullest place.

A load is a step function along a piece: what runs through it, and the runs that hang on it,
each from its point to the end it takes. Cables are counted by type and by what becomes of them,
in integers; areas are summed from the counts, always in the same order.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

import numpy as np

from app.model.entities import CableType
from app.model.project import Project
from app.model.vocabulary import State
from app.routing.backbone import BackboneWay
from app.routing.network import Network
from app.routing.plates import COMES, LEAVES, STAYS, Plates, cable_types_in_order
from app.routing.results import BoolArray, FloatArray, IntArray, Load
from app.routing.run_table import Ways
from app.routing.told import ToldWay, told_pieces
from app.routing.trees import Sources, Trees, way_back

SORTS = 3


@dataclass(frozen=True, eq=False)
class Traffic:
    """`through` (pieces, types × 3): whole pieces; the rest by ports is in the ways."""

    through: IntArray
    types: tuple[CableType, ...]


@dataclass(frozen=True, eq=False)
class Laid:
    """Single cables as they lie, a row each: the columns of their ways, and `code`, the column
    of their type and sort in the traffic. Of told cables, which have no `node`, the pieces that
    they pass are listed by themselves, `told_piece`, with `told_code`."""

    code: IntArray
    frame: IntArray
    node: IntArray
    to_high: BoolArray
    piece: IntArray
    offset: IntArray
    told_piece: IntArray
    told_code: IntArray

    def __len__(self) -> int:
        return len(self.code)


def laid_cables(
    plates: Plates,
    ways: Ways,
    ports: IntArray | None = None,
    *,
    told: Mapping[int, ToldWay | None] | None = None,
) -> Laid:
    """The cables of these ports (None: of all) as they lie; `told` are all told ways."""
    rows = slice(None) if ports is None else ports
    passed = list(told_pieces(told, ports)) if told else []
    told_piece, told_port = np.array(passed, dtype=np.int64).reshape(-1, 2).T
    return Laid(
        code=plates.cable[rows].astype(np.int64) * SORTS + plates.sort[rows],
        frame=ways.frame[rows].astype(np.int64),
        node=ways.node[rows].astype(np.int64),
        to_high=ways.to_high[rows],
        piece=ways.piece[rows].astype(np.int64),
        offset=ways.offset[rows],
        told_piece=told_piece,
        told_code=plates.cable[told_port].astype(np.int64) * SORTS + plates.sort[told_port],
    )


def laid_together(one: Laid, other: Laid) -> Laid:
    """Both, one after the other."""
    names = [f.name for f in fields(Laid)]
    return Laid(**{n: np.concatenate((getattr(one, n), getattr(other, n))) for n in names})


def count_traffic(trees: Trees, laid: Laid, backbone: Traffic) -> Traffic:
    """Cables through every whole piece, runs and backbone together."""
    through = backbone.through.copy()
    rows = np.flatnonzero(laid.node >= 0)
    if len(rows):
        keys = np.stack((laid.frame[rows], laid.node[rows], laid.code[rows]), axis=1)
        starts, counts = np.unique(keys, axis=0, return_counts=True)
        _along(trees, starts[:, 0], starts[:, 1], starts[:, 2], counts, through)
    np.add.at(through, (laid.told_piece, laid.told_code), 1)
    return Traffic(through, backbone.types)


def moved_traffic(
    trees: Trees, gone: Laid, come: Laid, traffic: Traffic
) -> tuple[Traffic, IntArray]:
    """The traffic when some cables are gone and others have come, and the pieces that this
    touches."""
    through = traffic.through.copy()
    touched: list[IntArray] = []
    for laid, sign in ((gone, -1), (come, 1)):
        rows = np.flatnonzero(laid.node >= 0)
        counts = np.full(len(rows), sign, dtype=np.int64)
        frame, node = laid.frame[rows], laid.node[rows]
        touched += _along(trees, frame, node, laid.code[rows], counts, through)
        np.add.at(through, (laid.told_piece, laid.told_code), sign)
        touched += [laid.told_piece, laid.piece[laid.piece >= 0]]
    return Traffic(through, traffic.types), np.unique(np.concatenate(touched))


def _along(
    trees: Trees,
    frame: IntArray,
    node: IntArray,
    code: IntArray,
    count: IntArray,
    through: IntArray,
) -> list[IntArray]:
    """Add counts to every piece on the ways from the nodes to their frames; the pieces."""
    passed: list[IntArray] = []
    while len(node):
        by = trees.by[frame, node].astype(np.int64)
        on = (by >= 0) & (by < trees.pieces)
        frame, node, code, count, by = frame[on], node[on], code[on], count[on], by[on]
        np.add.at(through, (by, code), count)
        passed.append(by)
        node = trees.before[frame, node].astype(np.int64)
    return passed


def backbone_traffic(
    project: Project,
    network: Network,
    trees: Trees,
    sources: Sources,
    ways: Mapping[str, BackboneWay | None],
) -> Traffic:
    """Backbone cables through every piece; both their ends are junctions."""
    types = cable_types_in_order(project)
    number = {t.id: k for k, t in enumerate(types)}
    through = np.zeros((len(network.one), len(types) * SORTS), dtype=np.int64)
    for cable_id, way in ways.items():
        if way is None or way.leg is None:
            continue
        cable = project.backbone_cables[cable_id]
        sort = {State.TO_REMOVE: LEAVES, State.FUTURE: COMES}.get(cable.state, STAYS)
        code = number[cable.cable_type] * SORTS + sort
        for piece, _ in way_back(trees, way.start, int(sources.node[way.leg]))[0]:
            through[piece, code] += cable.count
    return Traffic(through, types)


def greatest_loads(
    network: Network,
    laid: Laid,
    traffic: Traffic,
    areas: Sequence[float],
    things: Sequence[int] | None = None,
) -> dict[str, Load]:
    """The load of every thing (or of some, by number) at its fullest place; none where empty.

    `areas` are the sections of one cable of each type, in mm².
    """
    flat = network.joints.stretches
    thing = network.thing
    on_stretch = np.flatnonzero(thing >= 0)
    hung = np.flatnonzero(laid.piece >= 0)
    pieces = on_stretch
    if things is not None:
        wanted = np.zeros(len(flat.things), dtype=bool)
        wanted[np.array(things, dtype=np.int64)] = True
        pieces = on_stretch[wanted[thing[on_stretch]]]
        on = thing[laid.piece[hung]]
        hung = hung[(on >= 0) & wanted[on]]
    values = traffic.through[pieces]
    of = thing[pieces].astype(np.int64)
    if len(hung):
        at, hanging = _hanging(laid, hung, traffic)
        values = np.concatenate((values, hanging))
        of = np.concatenate((of, thing[at].astype(np.int64)))
    return fullest(flat.things, of, values, traffic.types, areas)


def _hanging(laid: Laid, rows: IntArray, traffic: Traffic) -> tuple[IntArray, IntArray]:
    """The load just before and just after every point where a run hangs, and the piece."""
    piece, offset = laid.piece[rows], laid.offset[rows]
    order = np.lexsort((offset, piece))
    rows, offset = rows[order], offset[order]
    hung_on: IntArray = piece[order]
    own = np.zeros((len(rows), traffic.through.shape[1]), dtype=np.int64)
    own[np.arange(len(rows)), laid.code[rows]] = 1
    forward = laid.to_high[rows]
    zero = np.zeros((1, own.shape[1]), dtype=np.int64)
    ahead = np.concatenate((zero, np.cumsum(np.where(forward[:, None], own, 0), axis=0)))
    back = np.concatenate((zero, np.cumsum(np.where(forward[:, None], 0, own), axis=0)))
    begins = np.searchsorted(hung_on, hung_on, side="left")
    ends = np.searchsorted(hung_on, hung_on, side="right")
    place = hung_on * (offset.max() + 1) + offset
    before = np.searchsorted(place, place, side="left")
    after = np.searchsorted(place, place, side="right")
    sections = [
        traffic.through[hung_on] + (ahead[cut] - ahead[begins]) + (back[ends] - back[cut])
        for cut in (before, after)
    ]
    return np.concatenate((hung_on, hung_on)), np.concatenate(sections)


def fullest(
    things: Sequence[str],
    of: IntArray,
    values: IntArray,
    types: Sequence[CableType],
    areas: Sequence[float],
) -> dict[str, Load]:
    """For each thing its row of the greatest section, as a load; none where nothing lies."""
    if not len(of):
        return {}
    stay, leave, come = (values[:, sort::SORTS] for sort in (STAYS, LEAVES, COMES))
    groups = (stay, stay + leave, stay + come)
    measures = [_measure(of, counts, areas) for counts in groups]
    found: dict[str, Load] = {}
    lying = np.unique(of[values.any(axis=1)])
    for number in lying.tolist():
        rows = [m[number] for m in measures]
        best = next((r for c, r in zip(groups, rows, strict=True) if c[r].any()), rows[0])
        common = values[best].reshape(-1, SORTS).sum(axis=1)
        cables = [
            int(c[r].sum()) for c, r in zip((stay, stay + leave, stay + come), rows, strict=True)
        ]
        area = [
            _area(c[r : r + 1], areas)[0]
            for c, r in zip((stay, stay + leave, stay + come), rows, strict=True)
        ]
        found[things[number]] = Load(
            cables=cables[0],
            area_mm2=float(area[0]),
            cables_lying=cables[1],
            area_lying_mm2=float(area[1]),
            cables_future=cables[2],
            area_future_mm2=float(area[2]),
            cable_type=types[int(common.argmax())].id,
        )
    return found


def _area(counts: IntArray, areas: Sequence[float]) -> FloatArray:
    total = np.zeros(len(counts))
    for column, area in enumerate(areas):
        total = total + counts[:, column] * area
    return total


def _measure(of: IntArray, counts: IntArray, areas: Sequence[float]) -> dict[int, int]:
    """For each thing the row with the greatest area; equal: with the most cables, the first."""
    order = np.lexsort((-np.arange(len(of)), counts.sum(axis=1), _area(counts, areas), of))
    last = np.flatnonzero(np.append(of[order][1:] != of[order][:-1], True))
    return {int(of[order[k]]): int(order[k]) for k in last}
