"""Penetrations: placed by hand on what passes a wall or a floor, and proposed where it does.

A wall is crossed where a pathway leaves a space, by the spaces' outlines. A floor's slab is
crossed where a riser passes it, on every floor above its lowest.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import msgspec
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.attached import Carrier, direction_at
from app.editor.commands.numbering import Retired, none_retired, numbered
from app.editor.commands.outlets import NEW, Standing
from app.editor.commands.shapes import flat, floors_of, riser_point
from app.editor.wording import capital, counted, name_of
from app.geometry.along_lines import crossing, place_on
from app.geometry.polygons import contains
from app.geometry.similarity import QUARTER_MDEG, normal_mdeg, to_mm
from app.model.entities import Floor, OutdoorDuct, Pathway, Penetration, Point, Riser, Space
from app.model.ids import Source, new_id, random_characters
from app.model.project import Patch, Project, adding
from app.model.vocabulary import Crossed, RiserKind, State

XY = tuple[float, float]
SLEEVE_BORE_MM = 103.0
"""Source: penetrations.sleeve_bore."""
BESIDE_WALL_MM = 300.0
"""Two outlines nearer than this along a pathway are the two faces of one wall. practice"""
SAME_PLACE_MM = 600.0
"""A penetration this near to a crossing of its pathway is that crossing's own. practice"""
OPEN_ALLOWANCE_MM = 50.0
"""An opening for a tray is so much wider and higher than the tray, all round together. practice"""
NO_WALL = 1e-6


class Opening(msgspec.Struct, frozen=True, kw_only=True):
    """What is opened: sleeves of a bore, or an opening; `count` of them, with what closes it."""

    bore_mm: float | None = None
    width_mm: float | None = None
    depth_mm: float | None = None
    count: int = 1
    rating: str = ""
    barrier: str = ""


AS_ITS_CARRIER = Opening()
"""Of the size that the pathway or riser itself has."""


def opening_for(carrier: Carrier) -> Opening:
    """The usual opening for a pathway, riser or duct: sleeves for what is round, else a slot.

    A riser of sleeves is its own sleeves.
    """
    if isinstance(carrier, OutdoorDuct):
        return Opening(bore_mm=carrier.bore_mm, count=carrier.count)
    if carrier.bore_mm is not None and not _is_slot(carrier):
        return Opening(bore_mm=carrier.bore_mm, count=carrier.count)
    if carrier.width_mm is None or carrier.depth_mm is None:
        return Opening(bore_mm=SLEEVE_BORE_MM)
    if isinstance(carrier, Riser):
        return Opening(width_mm=carrier.width_mm, depth_mm=carrier.depth_mm, count=carrier.count)
    return Opening(
        width_mm=carrier.width_mm + OPEN_ALLOWANCE_MM,
        depth_mm=carrier.depth_mm + OPEN_ALLOWANCE_MM,
    )


def _is_slot(carrier: Pathway | Riser) -> bool:
    return isinstance(carrier, Riser) and carrier.kind in (RiserKind.SLOT, RiserKind.SHAFT)


def add_penetration(
    project: Project,
    *,
    through_id: str,
    floor_id: str,
    at: Point,
    opening: Opening = AS_ITS_CARRIER,
    standing: Standing = NEW,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """One penetration on a pathway, riser or duct, turned across it, numbered by its pattern.

    It snaps to the wall that is crossed nearby. Raises InputProblem where one stands already.
    """
    carrier = carrier_of(project, through_id)
    if floor_id not in floors_of(project, carrier):
        raise InputProblem(f"{capital(name_of(carrier))} does not come to this floor.")
    if isinstance(carrier, Riser) and floor_id == carrier.lower_floor:
        raise InputProblem(
            f"{capital(name_of(carrier))} begins on this floor; mark the slab that it passes on "
            "the floor above."
        )
    bare = _penetration(project, carrier, floor_id, at)
    if standing_near(project.penetrations.values(), bare) is not None:
        raise InputProblem(f"There is a penetration for {name_of(carrier)} here already.")
    made = _as_wished(bare, opening, standing)
    made = replace(made, id=new_id("penetration", project.penetrations, source))
    things = numbered(project, [made], "", retired=retired)
    return adding(f"Place {counted(things)}", things)


def carrier_of(project: Project, thing_id: str) -> Carrier:
    """The pathway, riser or duct. Raises InputProblem where it is none."""
    found = project.get(thing_id)
    if not isinstance(found, Pathway | Riser | OutdoorDuct):
        raise InputProblem("Click on the pathway or riser that passes the wall or floor.")
    return found


def _penetration(project: Project, carrier: Carrier, floor_id: str, at: Point) -> Penetration:
    own = opening_for(carrier)
    if isinstance(carrier, Riser):
        x, y = riser_point(project, carrier, floor_id)
        crossed, turn = Crossed.FLOOR, 0
    else:
        x, y = at
        crossed, turn = Crossed.WALL, _across(carrier, at)
    bare = Penetration(
        id="penetration-00000000",
        floor=floor_id,
        x_mm=to_mm(x),
        y_mm=to_mm(y),
        crossed=crossed,
        through=carrier.id,
        rotation_mdeg=turn,
        rating=carrier.fire_rating if isinstance(carrier, Riser) else "",
    )
    return _as_wished(bare, own, NEW)


def _across(line: Pathway | OutdoorDuct, at: XY) -> int:
    """The direction of a wall that is crossed at right angles, from −90° up to 90°."""
    turn = normal_mdeg(direction_at(line, at) + QUARTER_MDEG)
    if turn > QUARTER_MDEG or turn <= -QUARTER_MDEG:
        turn = normal_mdeg(turn + 2 * QUARTER_MDEG)
    return turn


def _as_wished(bare: Penetration, opening: Opening, standing: Standing) -> Penetration:
    """With the size, rating and barrier that are given; what is not stays as it is."""
    sized = opening.bore_mm is not None or opening.width_mm is not None
    if sized:
        bare = replace(
            bare,
            bore_mm=opening.bore_mm,
            width_mm=opening.width_mm,
            depth_mm=opening.depth_mm,
            count=opening.count,
        )
    return replace(
        bare,
        rating=opening.rating or bare.rating,
        barrier=opening.barrier or bare.barrier,
        state=standing.state,
        phase=standing.phase,
        provided_by=standing.provided_by,
    )


def standing_near(every: Iterable[Penetration], wanted: Penetration) -> Penetration | None:
    """The penetration of the same pathway that stands where one is wanted; None if none does."""
    for there in every:
        same = (there.through, there.floor, there.crossed)
        if same == (wanted.through, wanted.floor, wanted.crossed) and (
            wanted.crossed is Crossed.FLOOR or _apart(there, wanted) <= SAME_PLACE_MM
        ):
            return there
    return None


def _apart(one: Penetration, other: Penetration) -> float:
    return math.dist((one.x_mm, one.y_mm), (other.x_mm, other.y_mm))


def snapped_to_wall(project: Project, pathway: Pathway, at: XY, *, within_mm: float) -> Point:
    """The crossing of a wall that is nearest to a place on a pathway, else the place itself."""
    spaces = [s for s in project.spaces.values() if s.floor == pathway.floor]
    found = [c for c in wall_crossings(pathway, spaces) if math.dist(c, at) <= within_mm]
    place = place_on(flat(pathway.vertices), at)
    x, y = min(found, key=lambda c: (math.dist(c, at), c), default=(place.x, place.y))
    return to_mm(x), to_mm(y)


def wall_crossings(pathway: Pathway, spaces: Sequence[Space]) -> list[XY]:
    """Where a pathway leaves spaces, one place a wall: the middle between its two faces.

    A pathway that only ends at a wall, or runs along it, does not cross it.
    """
    points = flat(pathway.vertices)
    found: list[XY] = []
    for a, b in pairwise(points):
        long = math.dist(a, b)
        if long == 0:
            continue
        along = sorted(t for s in spaces for t in _cuts(a, b, s))
        for first, last in _walls(along, long):
            middle = (first + last) / 2
            before, after = (
                _point(a, b, t)
                for t in (first - BESIDE_WALL_MM / long, last + BESIDE_WALL_MM / long)
            )
            if _passes(points, before, after) and _other_side(before, after, spaces):
                found.append(_point(a, b, middle))
    return found


def _cuts(a: XY, b: XY, space: Space) -> Iterator[float]:
    long = math.dist(a, b)
    for ring in (space.outline, *space.holes):
        for c, d in pairwise((*ring, ring[0])):
            at = crossing(a, b, c, d)
            if at is not None:
                yield math.dist(a, at) / long


def _walls(along: Sequence[float], long_mm: float) -> Iterator[tuple[float, float]]:
    """Shares of a piece gathered into walls: faces that are near to one another."""
    group: list[float] = []
    for share in along:
        if group and (share - group[-1]) * long_mm > BESIDE_WALL_MM:
            yield group[0], group[-1]
            group = []
        group.append(share)
    if group:
        yield group[0], group[-1]


def _point(a: XY, b: XY, share: float) -> XY:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _passes(points: Sequence[XY], before: XY, after: XY) -> bool:
    """Whether the pathway goes on beyond both faces, if only a little."""
    return all(place_on(points, p).distance <= BESIDE_WALL_MM * 0.9 for p in (before, after))


def _other_side(before: XY, after: XY, spaces: Sequence[Space]) -> bool:
    return space_ids_at(before, spaces) != space_ids_at(after, spaces)


def space_ids_at(at: XY, spaces: Iterable[Space]) -> frozenset[str]:
    """The spaces in which a point lies."""
    return frozenset(
        s.id
        for s in spaces
        if contains(s.outline, at) and not any(contains(h, at) for h in s.holes)
    )


def proposed(project: Project, floor_id: str | None = None) -> list[Penetration]:
    """A penetration for every crossing that has none: of walls by pathways, of slabs by risers.

    On one floor, or (None) on all; without ids and numbers. What is to be removed wants none.
    """
    found: list[Penetration] = []
    for bare in _crossed(project, floor_id):
        if standing_near((*project.penetrations.values(), *found), bare) is None:
            found.append(bare)
    return found


def _crossed(project: Project, floor_id: str | None) -> Iterator[Penetration]:
    spaces: dict[str, list[Space]] = {}
    for space in project.spaces.values():
        spaces.setdefault(space.floor, []).append(space)
    for pathway in project.pathways.values():
        if pathway.state is not State.TO_REMOVE and floor_id in (None, pathway.floor):
            for x, y in wall_crossings(pathway, spaces.get(pathway.floor, [])):
                yield _penetration(project, pathway, pathway.floor, (to_mm(x), to_mm(y)))
    for riser in project.risers.values():
        if riser.state is State.TO_REMOVE:
            continue
        for floor in slabs_passed(project, riser):
            if floor_id in (None, floor.id):
                yield _penetration(project, riser, floor.id, (0, 0))


def slabs_passed(project: Project, riser: Riser) -> list[Floor]:
    """The floors whose slabs a riser passes: all that it comes to but the lowest."""
    lowest = project.floors[riser.lower_floor].level_mm
    floors = (project.floors[f] for f in floors_of(project, riser))
    return sorted((f for f in floors if f.level_mm > lowest), key=lambda f: f.level_mm)


def accept_proposed(
    project: Project,
    wanted: Sequence[Penetration],
    *,
    rating: str = "",
    standing: Standing | None = None,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """Proposed penetrations made real, as one patch; those of existing pathways are existing.

    `rating` is that of the walls, where they have one.
    """
    if not wanted:
        raise InputProblem("Choose at least one of the crossings.")
    taken = dict.fromkeys(project.penetrations)
    made = []
    for bare in wanted:
        carrier = carrier_of(project, bare.through or "")
        own = Standing(state=carrier.state, phase=carrier.phase, provided_by=carrier.provided_by)
        wish = Opening(rating="" if bare.rating else rating)
        new = new_id("penetration", taken, source)
        taken[new] = None
        made.append(replace(_as_wished(bare, wish, standing or own), id=new))
    things = numbered(project, made, "", retired=retired)
    return adding(f"Place {counted(things)}", things)
