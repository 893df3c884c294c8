"""Told runs: what becomes of the runs that somebody told to pass here, or never there.

Who serves them is decided as if nobody had told them anything; told runs then go to the same
frame another way, or have no route.
"""

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from app.model.project import Project
from app.routing.ground import Ground
from app.routing.network import LINK, Network
from app.routing.options import DIRECT, FAR, FloorWork, allowance_on, direct_leg
from app.routing.plates import Plates
from app.routing.results import IntArray
from app.routing.run_table import Taken, Ways
from app.routing.stands import Stands
from app.routing.told import ToldSearch, ToldWay, Wish
from app.routing.trees import WEIGH


def wishes_of(project: Project) -> dict[int, Wish]:
    """What ports were told, by their row."""
    found: dict[int, Wish] = {}
    row = 0
    for outlet in project.outlets.values():
        for port in outlet.ports:
            if port.via or port.never:
                found[row] = Wish(frozenset(port.via), frozenset(port.never))
            row += 1
    return found


def told_ways(
    project: Project,
    search: ToldSearch,
    grounds: tuple[Ground, ...],
    stands: Stands,
    plates: Plates,
    floors: tuple[FloorWork, ...],
    ways: Ways,
    wishes: Mapping[int, Wish],
    ports: Iterable[int],
) -> dict[int, ToldWay | None]:
    """The ways of those of these ports that were told something and have a route to the frame
    that serves them (as in `ways`, untold); None where what they were told leaves none."""
    found: dict[int, ToldWay | None] = {}
    for port in ports:
        frame = int(ways.frame[port])
        if port not in wishes or frame < 0:
            continue
        outlet, wish = int(plates.of[port]), wishes[port]
        floor = floors[int(plates.floor[outlet])]
        first, stop = floor.legs.first[floor.place(outlet) : floor.place(outlet) + 2].tolist()
        way = search.way(frame, wish, floor.legs, floor.holds, (first, stop))
        if not wish.via:
            straight = direct_leg(project, grounds, stands, plates, outlet, frame)
            way = _cheaper(project, way, straight, frame)
        found[port] = way
    return found


def _cheaper(
    project: Project, way: ToldWay | None, straight: tuple[int, int] | None, frame: int
) -> ToldWay | None:
    """By the pathways, or by one leg where that costs less, or the same with a shorter leg."""
    if straight is None:
        return way
    across, upright = straight
    cost = (across + upright) * (project.settings.leg_weight * WEIGH + 1)
    direct = ToldWay(frame, DIRECT, False, (), -1, across, across, upright, cost=cost)
    if way is None:
        return direct
    shorter = across < way.leg_across
    return direct if cost < way.cost or (cost == way.cost and shorter) else way


def taken_told(
    project: Project,
    network: Network,
    stands: Stands,
    plates: Plates,
    floors: tuple[FloorWork, ...],
    told: Mapping[int, ToldWay | None],
) -> Taken:
    """What told ways give to their ports: columns of `Ways` and of `Lengths` for them."""
    rows = [
        _row(project, network, stands, plates, floors, port, told[port]) for port in sorted(told)
    ]
    names = ("frame", "node", "to_high", "piece", "offset")
    lengths = ("across", "upright", "allowance", "base", "leg_across")
    columns = list(zip(*rows, strict=True)) or [()] * (len(names) + len(lengths))
    table = [np.array(c, dtype=np.int64) for c in columns]
    given: dict[str, Any] = dict(zip((*names, *lengths), table, strict=True))
    given["to_high"] = given["to_high"].astype(bool)
    return Taken(
        ports=np.array(sorted(told), dtype=np.int64),
        ways={n: given[n] for n in names},
        lengths={n: given[n] for n in lengths},
    )


def _row(
    project: Project,
    network: Network,
    stands: Stands,
    plates: Plates,
    floors: tuple[FloorWork, ...],
    port: int,
    way: ToldWay | None,
) -> tuple[int, ...]:
    """frame, node, to_high, piece, offset, across, upright, allowance, base, leg across."""
    if way is None:
        return -1, -1, 0, -1, 0, 0, 0, 0, FAR, 0
    upright = way.upright + int(stands.dressing[way.frame])
    loose: IntArray = np.array([way.across - way.measured])
    allowance = int(allowance_on(loose, project.settings.allowance_permille)[0])
    base = way.across + upright + way.added + allowance
    piece, offset = -1, 0
    if way.leg != DIRECT:
        outlet = int(plates.of[port])
        floor = floors[int(plates.floor[outlet])]
        leg = int(floor.legs.first[floor.place(outlet)]) + way.leg
        low = int(floor.holds.low[leg])
        offset = int(floor.legs.offset[leg])
        if low != int(floor.holds.high[leg]):
            piece = int(network.piece_of_cut[low])
    return (
        way.frame,
        LINK,
        int(way.to_high),
        piece,
        offset,
        way.across,
        upright,
        allowance,
        base,
        way.leg_across,
    )
