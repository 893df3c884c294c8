"""The oracle's answer for every port: who serves it, how long its run is, how it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.model.entities import Outlet, Port, ServingZone, Space
from app.model.project import Project, floors_from_below
from app.model.vocabulary import USES_DIVISIBLE, Serves, State
from tests.routing.oracle_graph import Graph, Split, TooMany
from tests.routing.oracle_legs import ring_area2, within

LIES = (State.EXISTING, State.TO_REMOVE)
"""What lies there is as long as it was measured, or as somebody says."""


MOST_STEPS = 60_000
"""So many steps of a way are tried."""


@dataclass(frozen=True)
class Expected:
    """What a run must be; `frame` None where it has no route.

    Where best ways of one cost and length split otherwise into horizontal and vertical, more than
    one installed length is right. `sure` False: such ways leave open who serves.
    """

    frame: str | None
    installed: frozenset[int]
    splits: frozenset[Split]
    length: int
    leg: int
    limit: int
    sure: bool
    told: bool = False
    known: bool = True
    """False where too many ways would have to be tried."""


def expected_runs(graph: Graph) -> Iterator[tuple[Outlet, Port, Expected]]:
    """What every port's run must be."""
    project = graph.project
    groups: dict[tuple[str, ...], list[tuple[Outlet, Port]]] = {}
    for outlet in project.outlets.values():
        space = graph.ends[outlet.id].space
        whole = space is not None and not _divisible(space.use, space.divisible)
        for port in outlet.ports:
            name = (space.id,) if whole and space else (outlet.id, port.id)
            open_to = frames_open_to(project, outlet, port, space)
            groups.setdefault((*name, "to", *open_to), []).append((outlet, port))
    for (name, *_), ports in groups.items():
        frame, sure = _who_serves(graph, ports, whole=name not in project.outlets)
        for outlet, port in ports:
            if port.frame is not None:
                yield outlet, port, _expected(graph, outlet, port, port.frame, True)
            else:
                yield outlet, port, _expected(graph, outlet, port, frame, sure)


def frames_open_to(
    project: Project, outlet: Outlet, port: Port, space: Space | None
) -> tuple[str, ...]:
    """The frames a port may go to, in order of z, x, y, id: who is reserved for its tenant goes
    before who is reserved for its service, then the zone it stands in, then the floor's rule."""
    tenant = "" if space is None else space.tenant
    used = [
        frame
        for frame in project.frames.values()
        if frame.state not in (State.TO_REMOVE, State.FUTURE)
        and frame.reserved_tenant in ("", tenant)
        and frame.reserved_service in ("", port.service)
    ]
    if tenant:
        used = [f for f in used if f.reserved_tenant == tenant] or used
    if port.service:
        used = [f for f in used if f.reserved_service == port.service] or used
    ids = {f.id for f in used}
    zone = _zone_at(project, outlet, space)
    if zone is not None and zone.frame in ids:
        return (zone.frame,)
    return tuple(f for f in serving(project, outlet.floor) if f in ids)


def _zone_at(project: Project, outlet: Outlet, space: Space | None) -> ServingZone | None:
    """The smallest zone that an outlet stands in; none in a space that is served whole."""
    if space is not None and not _divisible(space.use, space.divisible):
        return None
    here = [
        z
        for z in project.serving_zones.values()
        if z.floor == outlet.floor and within(z.outline, outlet.x_mm, outlet.y_mm) is not False
    ]
    return min(here, key=lambda z: (ring_area2(z.outline), z.id), default=None)


def _divisible(use: str, by_hand: bool | None) -> bool:
    return use in USES_DIVISIBLE if by_hand is None else by_hand


def serving(project: Project, floor: str) -> list[str]:
    """The frames in use that may serve a floor, in order of z, x, y, id."""
    floors = project.floors
    own = [f.id for f in floors_from_below(project, floors[floor].building)]
    found = []
    keys = sorted((floors[f.floor].level_mm, f.x_mm, f.y_mm, f.id) for f in project.frames.values())
    for frame in (project.frames[k[3]] for k in keys):
        if frame.state in (State.TO_REMOVE, State.FUTURE):
            continue
        if frame.floor not in own:
            continue
        apart = abs(own.index(frame.floor) - own.index(floor))
        rule = project.settings.serves if frame.serves is None else frame.serves
        if rule is Serves.ANY or apart <= (1 if rule is Serves.NEXT else 0):
            found.append(frame.id)
    return found


def _who_serves(
    graph: Graph, members: list[tuple[Outlet, Port]], *, whole: bool
) -> tuple[str | None, bool]:
    """The frame for these ports, to which the same frames are open, and whether it is sure."""
    outlet, port = members[0]
    open_to = frames_open_to(graph.project, outlet, port, graph.ends[outlet.id].space)
    found: list[tuple[tuple[int, int, int], int, str]] = []
    sure = True
    for rank, frame in enumerate(open_to):
        lost = over = total = 0
        for outlet, port in members:
            if whole and port.frame is not None:
                continue
            ways = graph.ways(outlet.id, frame)
            if ways is None:
                lost += 1
                continue
            sure &= len(ways.splits) == 1
            length = ways.base(min(ways.splits), graph.project.settings.allowance_permille)
            if whole:
                length = installed(graph.project, outlet, port, length)
                over += length > limit(graph.project, outlet, port)
            total += length
        found.append(((lost, over, total), rank, frame))
    return (min(found)[2] if found else None), sure


def limit(project: Project, outlet: Outlet, port: Port) -> int:
    """The limit of the outlet's kind, else of the cable."""
    own = project.outlet_kinds[outlet.kind].limit_mm
    return project.cable_types[port.cable_type].limit_mm if own is None else own


def installed(project: Project, outlet: Outlet, port: Port, base: int) -> int:
    """The installed length from that of the way, dressing and allowance included."""
    state = outlet.state if port.state is None else port.state
    if port.replaced_mm is not None:
        return port.replaced_mm
    if state in LIES and port.test is not None and port.test.length_mm:
        return port.test.length_mm
    kind = project.outlet_kinds[outlet.kind]
    slack = kind.slack_mm if outlet.slack_mm is None else outlet.slack_mm
    slack += project.cable_types[port.cable_type].frame_slack_mm
    return max(0, base + slack + port.added_mm)


def _expected(graph: Graph, outlet: Outlet, port: Port, frame: str | None, sure: bool) -> Expected:
    project = graph.project
    most = limit(project, outlet, port)
    ways = None if frame is None else graph.ways(outlet.id, frame)
    told = bool(port.via or port.never)
    if ways is not None and frame is not None and told:
        wish = frozenset(port.via), frozenset(port.never)
        try:
            ways = graph.told_ways(outlet.id, frame, *wish, MOST_STEPS)
        except TooMany:
            return Expected(None, frozenset(), frozenset(), 0, 0, most, sure, told, False)
    if ways is None:
        return Expected(None, frozenset(), frozenset(), 0, 0, most, sure, told)
    permille = project.settings.allowance_permille
    bases = {ways.base(split, permille) for split in ways.splits}
    lengths = frozenset(installed(project, outlet, port, base) for base in bases)
    return Expected(frame, lengths, ways.splits, ways.length, ways.leg, most, sure, told)
