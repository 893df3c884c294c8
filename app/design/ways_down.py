"""The way down of one outlet: its upright parts by name, what it is made of, and by whom."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from app.design.design import Design
from app.design.workings import Workings
from app.model.cabling import Outlet, OutletKind
from app.model.ports import own_state
from app.model.project import Project, floors_from_below
from app.model.settings import Settings
from app.model.vocabulary import Ceiling, Fixture, ProvidedBy, State, WayDown, WayPart
from app.model.ways_down import FROM_ABOVE, ceiling_of, height_of, parts_by, way_of
from app.routing.ground import spaces_at
from app.routing.options import DIRECT, NO_LEG, FloorWork
from app.routing.run_table import leg_of
from app.sizing.conduit_count import conduit_to_outlet
from app.sizing.way_parts import gangs_of_box, stub_length_mm
from app.standards import RuleSet

HANGS = FROM_ABOVE | {WayDown.POKE_THROUGH}
"""Ways down whose leg hangs overhead; raised floors and outdoor conduit carry it otherwise."""
LIE_THERE = frozenset({State.EXISTING, State.NEW, State.TO_RELOCATE})
"""The states of the cables that a conduit is to hold."""
IN_A_BOX = frozenset({Fixture.FACEPLATE, Fixture.NONE})
"""What sits over a back box; a surface box is its own, and a floor box another thing."""
LONGER_THAN_ROUNDING_MM = 0.5


@dataclass(frozen=True, slots=True)
class WayPiece:
    """One part of a way down; `length_mm` 0 where it is counted by the piece.

    `conduit` is the trade size of its bore, None where it has none, or none is large enough.
    """

    part: WayPart
    provided_by: ProvidedBy
    length_mm: int = 0
    conduit: int | None = None
    gangs: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletWay:
    """How cable gets to an outlet; heights above its own finished floor.

    `ceiling_mm` None: none, or open to the slab. `hangs_on` is the floor whose pathways it
    hangs on, None for a poke-through on the lowest floor. `pathway_mm`, where the leg meets its
    pathway, is None without a route. `in_conduit`: the leg runs over a hard ceiling; `conduit`
    is its trade size, `bends` its turns of 90° from the upright on. `void_mm` is the depth of the
    raised floor that it stands on, 0 where none is known.
    """

    way: WayDown
    outlet_mm: int
    ceiling_mm: int | None
    hangs_on: str | None
    pathway_mm: int | None
    leg_mm: int
    bends: int
    in_conduit: bool
    conduit: int | None
    pieces: tuple[WayPiece, ...]
    void_mm: int = 0

    @property
    def drop_mm(self) -> int:
        """The upright part of the run at the outlet."""
        return 0 if self.pathway_mm is None else abs(self.pathway_mm - self.outlet_mm)

    @property
    def upright(self) -> tuple[tuple[str, int], ...]:
        """The upright part by name, from the pathway to the plate."""
        if self.pathway_mm is None:
            return ()
        return upright_parts(
            self.way,
            pathway_mm=self.pathway_mm,
            outlet_mm=self.outlet_mm,
            ceiling_mm=self.ceiling_mm,
        )


def upright_parts(
    way: WayDown, *, pathway_mm: int, outlet_mm: int, ceiling_mm: int | None
) -> tuple[tuple[str, int], ...]:
    """The upright part of a run at its outlet in the words of the trade, pathway first.

    Heights are above the outlet's finished floor; lengths add up to the distance of the two.
    """
    go = "drop" if pathway_mm >= outlet_mm else "rise"
    cut, names = outlet_mm, ("", f"{go} {_IN[way]}")
    if way is WayDown.SERVICE_POLE and ceiling_mm is not None:
        cut, names = ceiling_mm, ("drop to the ceiling", f"{go} in the service pole")
    elif way is WayDown.CEILING:
        names = ("", f"{go} to the {'outlet' if ceiling_mm is None else 'ceiling'}")
    elif way in _FROM_BELOW:
        cut, names = 0, (f"rise {_FROM_BELOW[way]}", f"{go} above the floor")
    low, high = sorted((pathway_mm, outlet_mm))
    if not low < cut < high:
        whole = names[0] if way in _FROM_BELOW and outlet_mm <= 0 else names[1]
        return ((whole, high - low),) if high > low else ()
    return ((names[0], abs(pathway_mm - cut)), (names[1], abs(cut - outlet_mm)))


_IN = {
    WayDown.WALL_CAVITY: "in the wall cavity",
    WayDown.SURFACE_RACEWAY: "in surface raceway",
    WayDown.SERVICE_POLE: "in the service pole",
    WayDown.CEILING: "to the ceiling",
    WayDown.RAISED_FLOOR: "from under the raised floor",
    WayDown.POKE_THROUGH: "through the floor",
    WayDown.OUTDOOR_CONDUIT: "in conduit outdoors",
}
_FROM_BELOW = {
    WayDown.RAISED_FLOOR: "from under the raised floor",
    WayDown.POKE_THROUGH: "through the floor",
}


def leg_place(design: Design, outlet: Outlet, way: WayDown) -> tuple[str | None, str | None]:
    """The floor and the space in which the leg lies: of a poke-through those below the outlet,
    and no floor where there is none below."""
    if way is not WayDown.POKE_THROUGH:
        return outlet.floor, design.space_of.get(outlet.id)
    floors = floors_from_below(design.project, design.project.floors[outlet.floor].building)
    ids = [floor.id for floor in floors]
    at = ids.index(outlet.floor)
    if at == 0:
        return None, None
    rooms = design.workings.base.rooms[ids[at - 1]]
    number = int(spaces_at(rooms, np.array([(outlet.x_mm, outlet.y_mm)], dtype=np.float64))[0])
    return ids[at - 1], rooms.ids[number] if number >= 0 else None


def way_down_of(design: Design, outlet: Outlet, *, rules: RuleSet | None = None) -> OutletWay:
    """The way down of an outlet of the design; all its runs share the longest leg."""
    project = design.project
    kind = project.outlet_kinds[outlet.kind]
    way = way_of(outlet, kind)
    own = design.space_of.get(outlet.id)
    space = None if own is None else project.spaces[own]
    floor, over = leg_place(design, outlet, way)
    hard = over is not None and project.spaces[over].ceiling is Ceiling.HARD
    pathway_z, bends = _leg_end(design, outlet)
    leg_mm = _leg_mm(design, outlet)
    level_mm = project.floors[outlet.floor].level_mm
    bare = OutletWay(
        way=way,
        outlet_mm=height_of(outlet, kind, space, project.settings),
        ceiling_mm=ceiling_of(space, project.settings),
        hangs_on=floor,
        pathway_mm=None if pathway_z is None else pathway_z - level_mm,
        leg_mm=leg_mm,
        bends=bends,
        in_conduit=hard and way in HANGS,
        conduit=conduit_of(project, outlet, design.rules if rules is None else rules),
        pieces=(),
        void_mm=0 if space is None else space.raised_floor_mm,
    )
    return with_pieces(project.settings, outlet, kind, bare)


def _leg_mm(design: Design, outlet: Outlet) -> int:
    runs = design.runs
    return max((int(runs.leg_mm[runs.row_of[p.id]]) for p in outlet.ports), default=0)


def _leg_end(design: Design, outlet: Outlet) -> tuple[int | None, int]:
    """The absolute height at which the longest leg meets its pathway (None: no route), and how
    often it turns."""
    workings, runs = design.workings, design.runs
    rows = [r for p in outlet.ports if runs.frame_index[r := runs.row_of[p.id]] >= 0]
    if not rows:
        return None, 0
    row = max(rows, key=lambda r: int(runs.leg_mm[r]))
    plates, at = workings.plates, int(workings.plates.of[row])
    work, ends = workings.floors[int(plates.floor[at])], plates.ends
    frame, leg = _frame_and_leg(workings, work, at, row)
    if leg == NO_LEG:
        return None, 0
    if leg == DIRECT:
        stands = workings.base.stands
        x, y, z = stands.ends.x[frame], stands.ends.y[frame], int(stands.top[frame])
    else:
        x, y, z = work.legs.x[leg], work.legs.y[leg], int(work.legs.z[leg])
    dx, dy = float(x - ends.x[at]), float(y - ends.y[at])
    cos, sin = float(ends.cos[at]), float(ends.sin[at])
    sides = (dx * cos + dy * sin, dy * cos - dx * sin)
    across = sum(abs(side) > LONGER_THAN_ROUNDING_MM for side in sides)
    straights = across + (z != int(ends.z[at]))
    return z, max(straights - 1, 0)


def _frame_and_leg(workings: Workings, work: FloorWork, outlet: int, row: int) -> tuple[int, int]:
    """The numbers of a run's frame and of its leg among those of its floor."""
    told = workings.told.get(row)
    if told is None:
        leg = leg_of(work.options, workings.columns, outlet, row)
        return int(workings.ways.frame[row]), leg
    if told.leg == DIRECT:
        return told.frame, DIRECT
    return told.frame, int(work.legs.first[work.place(outlet)]) + told.leg


def conduit_of(project: Project, outlet: Outlet, rules: RuleSet) -> int | None:
    """The trade size of a conduit with all cables of an outlet that are to lie in it."""
    types = project.cable_types
    ods_mm = [types[p.cable_type].od_mm for p in outlet.ports if own_state(outlet, p) in LIE_THERE]
    return _size(tuple(ods_mm), rules) if ods_mm else None


@lru_cache(maxsize=256)
def _size(ods_mm: tuple[float, ...], rules: RuleSet) -> int | None:
    return conduit_to_outlet(ods_mm=ods_mm, rules=rules)


def with_pieces(settings: Settings, outlet: Outlet, kind: OutletKind, bare: OutletWay) -> OutletWay:
    """A way down of known heights with what it is made of."""
    by = parts_by(outlet, kind, settings)
    found = (_piece(settings, outlet, kind, bare, part, who) for part, who in by.items())
    return replace(bare, pieces=tuple(p for p in found if p is not None))


def _piece(
    settings: Settings,
    outlet: Outlet,
    kind: OutletKind,
    way: OutletWay,
    part: WayPart,
    by: ProvidedBy,
) -> WayPiece | None:
    """One part as this outlet wants it; None where it wants none."""
    boxed = kind.fixture in IN_A_BOX
    match part:
        case WayPart.BACK_BOX if boxed:
            ports = len(outlet.ports)
            gangs = gangs_of_box(ports=ports, single_gang_ports=settings.single_gang_ports)
            return WayPiece(part, by, gangs=gangs)
        case WayPart.MOUNTING_BOX if kind.fixture is Fixture.FACEPLATE:
            return WayPiece(part, by)
        case WayPart.BACK_BOX | WayPart.MOUNTING_BOX:
            return None
        case WayPart.STUB:
            length_mm = stub_length_mm(
                outlet_mm=way.outlet_mm,
                pathway_mm=way.pathway_mm,
                ceiling_mm=way.ceiling_mm,
                hard=way.in_conduit,
                over_ceiling_mm=settings.stub_over_ceiling_mm,
                least_mm=settings.stub_least_mm,
            )
            wanted = boxed and length_mm > 0
            return WayPiece(part, by, length_mm, way.conduit) if wanted else None
        case WayPart.RACEWAY:
            return WayPiece(part, by, way.drop_mm)
        case WayPart.CONDUIT:
            return WayPiece(part, by, way.drop_mm + way.leg_mm, way.conduit)
        case WayPart.POLE:
            tops = [h for h in (way.ceiling_mm, way.pathway_mm) if h is not None]
            return WayPiece(part, by, max(tops[0], 0) if tops else 0)
    return WayPiece(part, by)
