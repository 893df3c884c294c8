"""Passing: how many cables pass each penetration, by the loads of its pathway at that place.

Counted is what lies in the pathway, riser or duct itself, the greater of just before and just
after the place. Legs are not: where they lie is reckoned square to the grid, not surveyed, so
which hole in a wall they take is for a person to count.
"""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from app.geometry.polygons import contains
from app.model.entities import Penetration
from app.model.project import Project
from app.model.vocabulary import Crossed
from app.routing.loads import Laid, Traffic, fullest
from app.routing.network import Network
from app.routing.results import IntArray, Load
from app.routing.stretches import OFFSET_BITS, Stretches

UNDER_SLAB_MM = 1


def passing_loads(
    project: Project,
    network: Network,
    laid: Laid,
    traffic: Traffic,
    areas: Sequence[float],
    penetrations: Iterable[Penetration],
) -> dict[str, Load]:
    """By penetration, the load of what it is for at its place; none where nothing passes."""
    things = {thing: k for k, thing in enumerate(network.joints.stretches.things)}
    ids: list[str] = []
    of: list[int] = []
    sections: list[IntArray] = []
    for penetration in penetrations:
        thing = things.get(penetration.through or "")
        if thing is None:
            continue
        stretch, offset = _place(project, network.joints.stretches, thing, penetration)
        for section in _sections(network, laid, traffic, stretch, offset):
            of.append(len(ids))
            sections.append(section)
        ids.append(penetration.id)
    if not sections:
        return {}
    return fullest(ids, np.array(of, dtype=np.int64), np.stack(sections), traffic.types, areas)


def _place(
    project: Project, stretches: Stretches, thing: int, penetration: Penetration
) -> tuple[int, int]:
    """The stretch and the offset at which a penetration lies on its thing."""
    rows = range(int(stretches.first_of_thing[thing]), int(stretches.first_of_thing[thing + 1]))
    slab_mm = None
    if penetration.crossed is Crossed.FLOOR:
        slab_mm = slab_level_mm(project, penetration) - UNDER_SLAB_MM
    at = (penetration.x_mm, penetration.y_mm)
    found = [_nearest(stretches, row, at, slab_mm) for row in rows]
    best = min(range(len(found)), key=lambda k: (found[k][0], k))
    row = rows[best]
    return row, min(stretches.offset(row, found[best][1]), int(stretches.length[row]))


def slab_level_mm(project: Project, penetration: Penetration) -> int:
    """The absolute height of the slab that is crossed: under a raised floor lies its void."""
    at = (penetration.x_mm, penetration.y_mm)
    raised = (
        s.raised_floor_mm
        for s in project.spaces.values()
        if s.floor == penetration.floor and s.raised_floor_mm and contains(s.outline, at)
    )
    return project.floors[penetration.floor].level_mm - max(raised, default=0)


def _nearest(
    stretches: Stretches, row: int, at: tuple[int, int], z_mm: int | None
) -> tuple[float, float]:
    """How far a stretch is from a place in plan, or of a slab in height, and the share there."""
    (x0, y0, z0), (x1, y1, z1) = stretches.start[row].tolist(), stretches.end[row].tolist()
    if z_mm is not None and z0 != z1:
        share = min(1.0, max(0.0, (z_mm - z0) / (z1 - z0)))
        return abs(z0 + share * (z1 - z0) - z_mm), share
    square = (x1 - x0) ** 2 + (y1 - y0) ** 2
    share = 0.0
    if square:
        share = ((at[0] - x0) * (x1 - x0) + (at[1] - y0) * (y1 - y0)) / square
        share = min(1.0, max(0.0, share))
    away = np.hypot(at[0] - x0 - share * (x1 - x0), at[1] - y0 - share * (y1 - y0))
    if z_mm is not None:
        away = max(float(away), float(abs(z0 - z_mm)))
    return float(away), share


def _sections(
    network: Network, laid: Laid, traffic: Traffic, stretch: int, offset: int
) -> list[IntArray]:
    """What lies just before and just after a place, as rows of the traffic."""
    key = (stretch << OFFSET_BITS) + offset
    found = []
    for side in ("left", "right"):
        before = side == "left"
        cut = int(np.searchsorted(network.key, key, side="left" if before else "right")) - 1
        if cut < 0 or int(network.key[cut]) >> OFFSET_BITS != stretch:
            continue
        piece = int(network.piece_of_cut[cut])
        if piece < 0:
            continue
        at = offset - (int(network.key[cut]) & ((1 << OFFSET_BITS) - 1))
        found.append(traffic.through[piece] + _hanging(laid, traffic, piece, at, before=before))
    return found


def _hanging(laid: Laid, traffic: Traffic, piece: int, at: int, *, before: bool) -> IntArray:
    """The runs that hang on a piece and pass a place of it."""
    rows = np.flatnonzero(laid.piece == piece)
    offset, forward = laid.offset[rows], laid.to_high[rows]
    behind = offset < at if before else offset <= at
    passing = np.where(forward, behind, ~behind)
    counted: IntArray = np.bincount(
        laid.code[rows[passing]], minlength=traffic.through.shape[1]
    ).astype(np.int64)
    return counted


def passed_again(
    penetrations: Mapping[str, Penetration], things: Iterable[str]
) -> list[Penetration]:
    """The penetrations of these pathways, risers and ducts."""
    wanted = set(things)
    return [p for p in penetrations.values() if p.through in wanted]
