"""Random small buildings in which every rule of routing has something to decide.

`Mode.ROUND` has coordinates on half metres, so that ties abound; `Mode.ODD` any millimetre.
The same seed gives the same building.
"""

from __future__ import annotations

import math
import random
from enum import Enum
from itertools import combinations, pairwise
from typing import Any

from app.model.entities import (
    BackboneCable,
    Building,
    CableType,
    OutdoorDuct,
    OutletKind,
    Pathway,
    Port,
    PortTemplate,
    Riser,
    ServingZone,
    TesterRecord,
    WalkedLength,
)
from app.model.entities import Outlet as OutletEntity
from app.model.project import Project
from app.model.vocabulary import PathwayKind, Serves, SpaceUse, State, WayDown
from tests.routing.buildings import Draft, made

WIDE_MM, DEEP_MM = 24_000, 16_000
KINDS = (
    (PathwayKind.BASKET, 5),
    (PathwayKind.HOOKS, 3),
    (PathwayKind.LADDER, 2),
    (PathwayKind.TRAY, 2),
    (PathwayKind.SURFACE_RACEWAY, 1),
    (PathwayKind.CONDUIT, 4),
    (PathwayKind.UNDERFLOOR_DUCT, 2),
    (PathwayKind.IN_FLOOR_DUCT, 1),
)
OUTLET_KINDS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("k", {}),
    ("ka", {"height_mm": None, "way_down": WayDown.CEILING, "slack_mm": 2_000}),
    ("kb", {"height_mm": 0, "way_down": WayDown.RAISED_FLOOR, "limit_mm": 25_000}),
    ("kc", {"height_mm": 0, "way_down": WayDown.POKE_THROUGH}),
)
Point3 = tuple[int, int, int]


class Mode(Enum):
    ROUND = 500
    ODD = 1


class _Maker:
    def __init__(self, seed: int, mode: Mode, scale: int) -> None:
        self.rng = random.Random(f"{seed} {mode.name}")
        self.step, self.scale = mode.value, scale
        self.lines: dict[int, list[tuple[str, list[Point3], PathwayKind]]] = {}
        self.names = 0
        rng = self.rng
        count = rng.choice((1, 1, 2, 2, 3, 4))
        levels = [0]
        for _ in range(count - 1):
            levels.append(levels[-1] + self.whole(rng.choice((3_000, 3_600, 4_000, 5_400)), 137))
        self.floors = list(range(count))
        self.draft = Draft(
            levels=(),
            leg_weight=rng.choice((1, 2, 3, 3, 4, 5)),
            reach_mm=rng.choice((3_000, 5_000, 8_000, 12_000)),
            join_tolerance_mm=rng.choice((0, 20, 20, 100)),
            same_height_mm=rng.choice((0, 50, 50, 400)),
            allowance_permille=rng.choice((0, 0, 50, 33)),
            tray_height_mm=rng.choice((3_000, 2_600)),
            panel_height_mm=rng.choice((1_200, 900)),
            dressing_mm=rng.choice((0, 800)),
            near_limit_mm=rng.choice((0, 5_000)),
            ceiling_height_mm=rng.choice((2_700, 3_000)),
            serves=rng.choice((Serves.OWN, Serves.NEXT, Serves.ANY, Serves.ANY)),
        )
        other = count > 1 and rng.random() < 0.3
        if other:
            self.draft.add(Building(id=made("building", "bb"), name="Other"))
        for number, level in enumerate(levels):
            last = other and number == count - 1
            self.draft.floor(
                number,
                level,
                building=made("building", "bb" if last else "b"),
                grid_angle_mdeg=rng.choice((0, 0, 0, 30_000, -12_345, 90_000)),
            )
        self.apart = {count - 1} if other else set()
        self.draft.add(
            CableType(
                id=made("cable-type", "d"),
                name="Cat 6",
                od_mm=6.1,
                limit_mm=40_000,
                frame_slack_mm=0,
            )
        )
        for name, fields in OUTLET_KINDS[1:]:
            ports = (PortTemplate(cable_type=made("cable-type", "c")),)
            self.draft.add(
                OutletKind(id=made("outlet-kind", name), name=name, ports=ports, **fields)
            )

    # --- values ----------------------------------------------------------------------------

    def name(self) -> str:
        self.names += 1
        return f"n{self.names}"

    def whole(self, value: int, spread: int) -> int:
        return value if self.step > 1 else value + self.rng.randrange(-spread, spread + 1)

    def place(self) -> tuple[int, int]:
        x, y = (self.rng.randrange(0, most + 1, self.step) for most in (WIDE_MM, DEEP_MM))
        return x, y

    def height(self) -> int:
        return self.whole(self.rng.choice((3_000, 3_000, 3_000, 3_400, 2_500, -150)), 40)

    def beside(self, point: tuple[int, ...]) -> tuple[int, int]:
        """The point, now and then a little off it."""
        off = self.rng.choice((0, 0, 0, 7, 15, 19, 25))
        turn = self.rng.choice(((1, 0), (0, 1), (-1, 0), (0, -1)))
        return point[0] + off * turn[0], point[1] + off * turn[1]

    # --- pathways --------------------------------------------------------------------------

    def on_a_line(self, floor: int) -> Point3 | None:
        """A vertex of a line that stands, or a point between two."""
        if not self.lines.get(floor):
            return None
        _, line, _ = self.rng.choice(self.lines[floor])
        at = self.rng.randrange(len(line) - 1)
        a, b = line[at], line[at + 1]
        t = self.rng.choice((0.0, 1.0, 0.5, self.rng.random()))
        x, y, z = (round(p + t * (q - p)) for p, q in zip(a, b, strict=True))
        return x, y, z

    def pathway(self, floor: int) -> None:
        rng = self.rng
        start = self.on_a_line(floor) if rng.random() < 0.85 else None
        height = self.height()
        if start is None:
            start = (*self.place(), height)
        else:
            same = rng.random() < 0.7
            start = (*self.beside(start), start[2] if same else height)
        line = [start]
        for _ in range(rng.choice((1, 1, 2, 3, 4))):
            line.append(self._next(line[-1]))
        if len(line) > 3 and rng.random() < 0.1:
            line.append(line[0])
        line = [p for k, p in enumerate(line) if k == 0 or p != line[k - 1]]
        if len(line) < 2:
            return
        kind = rng.choices([k for k, _ in KINDS], [w for _, w in KINDS])[0]
        name = self.name()
        ducts = kind in (PathwayKind.UNDERFLOOR_DUCT, PathwayKind.IN_FLOOR_DUCT)
        spacing = rng.choice((None, 2_000, 1_700)) if ducts else None
        self.draft.pathway(name, floor, line, kind, insert_spacing_mm=spacing)
        self.lines.setdefault(floor, []).append((name, line, kind))
        if kind in (PathwayKind.CONDUIT, PathwayKind.UNDERFLOOR_DUCT):
            for _ in range(rng.choice((0, 0, 1, 2))):
                at = rng.randrange(len(line) - 1)
                t = rng.choice((0.0, 0.5, rng.random()))
                a, b = line[at], line[at + 1]
                x, y = (round(p + t * (q - p)) for p, q in zip(a[:2], b[:2], strict=True))
                self.draft.box(self.name(), floor, name, *self.beside((x, y)))

    def _next(self, at: Point3) -> Point3:
        rng = self.rng
        way = rng.random()
        x, y, z = at
        if way < 0.12:
            return x, y, self.height()
        level = z if rng.random() < 0.8 else self.height()
        if way < 0.3:
            return (*self.place(), level)
        if way < 0.65:
            return rng.randrange(0, WIDE_MM + 1, self.step), y, level
        return x, rng.randrange(0, DEEP_MM + 1, self.step), level

    def fittings(self, floor: int) -> None:
        """Drop-outs and breaks where lines cross or meet, and a few that lie nowhere."""
        rng = self.rng
        for one, other in combinations(self.lines.get(floor, []), 2):
            for x, y in meetings(one[1], other[1]):
                chance = rng.random()
                if chance < 0.25:
                    self.draft.drop_out(self.name(), floor, one[0], other[0], x, y)
                elif chance < 0.4:
                    self.draft.kept_apart(self.name(), floor, one[0], other[0], x, y)

    def risers_and_ducts(self) -> None:
        rng = self.rng
        own = [f for f in self.floors if f not in self.apart]
        for _ in range(rng.choice((0, 1, 1, 2)) if len(own) > 1 else 0):
            low, high = sorted(rng.sample(own, 2))
            lower = self.on_a_line(low)
            lower = (*self.place(), 0) if lower is None else lower
            upper = self.on_a_line(high) if rng.random() < 0.4 else lower
            upper = lower if upper is None else upper
            self.draft.riser(self.name(), low, high, self.beside(lower), self.beside(upper))
            if rng.random() < 0.7:  # a stub to the riser on the floor above
                z = self.height()
                stub = [(*upper[:2], z), self._next((*upper[:2], z))]
                if stub[0] != stub[1]:
                    name = self.name()
                    self.draft.pathway(name, high, stub, PathwayKind.TRAY)
                    self.lines.setdefault(high, []).append((name, stub, PathwayKind.TRAY))
        for _ in range(rng.choice((0, 0, 1, 2)) if len(self.floors) > 1 else 0):
            first, last = rng.sample(self.floors, 2)
            ends = [self.on_a_line(f) or (*self.place(), 0) for f in (first, last)]
            line = [ends[0], (*self.place(), -800), ends[1]]
            line = [p for k, p in enumerate(line) if k == 0 or p != line[k - 1]]
            if len(line) > 1:
                opened = rng.random() < 0.6
                self.draft.duct(self.name(), first, last, line, horizontal_allowed=opened)

    def walked(self) -> None:
        """Lengths added and measured, most of them on their line, a few beside it."""
        rng = self.rng
        laid = [
            (thing.id, floor, points)
            for floor, lines in self.lines.items()
            for name, points, _ in lines
            for thing in self.draft.things
            if thing.id == made("pathway", name)
        ]
        risers = [t for t in self.draft.things if isinstance(t, Riser)]
        ducts = [t for t in self.draft.things if isinstance(t, OutdoorDuct)]
        for _ in range(rng.choice((0, 1, 2, 4, 6))):
            chance = rng.random()
            if chance < 0.2 and risers:
                riser = rng.choice(risers)
                floor = rng.choice((riser.lower_floor, riser.upper_floor))
                along, (x, y) = riser.id, riser.lower
            elif chance < 0.3 and ducts:
                duct = rng.choice(ducts)
                along, floor, (x, y) = duct.id, duct.from_floor, rng.choice(duct.vertices)[:2]
            elif laid:
                along, number, points = rng.choice(laid)
                floor = made("floor", str(number))
                at = rng.randrange(len(points) - 1)
                t = rng.choice((0.0, 0.5, rng.random()))
                ends = zip(points[at][:2], points[at + 1][:2], strict=True)
                x, y = self.beside(tuple(round(p + t * (q - p)) for p, q in ends))
            else:
                continue
            measured = rng.choice((None, None, 800, 4_000, 15_000, 61_200))
            self.draft.add(
                WalkedLength(
                    id=made("walked-length", self.name()),
                    floor=floor,
                    along=along,
                    x_mm=x,
                    y_mm=y,
                    added_mm=0 if measured else rng.choice((500, 4_000, 12_345)),
                    replaced_mm=measured,
                    reason="round the duct",
                )
            )

    # --- the rest --------------------------------------------------------------------------

    def spaces(self, floor: int) -> None:
        rng = self.rng
        for _ in range(rng.choice((1, 2, 4, 6))):
            x, y = self.place()
            closed = rng.random() < 0.35
            wide, deep = (
                rng.randrange(1_000, (4_000 if closed else 12_000), max(self.step, 1)) for _ in "xy"
            )
            uses = (
                (SpaceUse.LIFT_SHAFT, SpaceUse.STAIR, SpaceUse.NO_CABLE)
                if closed
                else (SpaceUse.OFFICE, SpaceUse.OFFICE, SpaceUse.HALL, SpaceUse.TELECOM)
            )
            self.draft.space(
                self.name(),
                floor,
                x,
                y,
                x + wide,
                y + deep,
                use=rng.choice(uses),
                divisible=rng.choice((None, None, True, False)),
                closed_to_cable=rng.choice((None, None, None, None, True, False)),
                grid_angle_mdeg=rng.choice((None, None, 0, 45_000, 17_500)),
                ceiling_height_mm=rng.choice((None, 2_400, 3_100)),
                tenant=rng.choice(("",) * 4 + ("customs", "kiosk")),
            )

    def frame(self) -> str:
        rng = self.rng
        floor = rng.choice(self.floors)
        near = self.on_a_line(floor) if rng.random() < 0.8 else None
        x, y = self.place() if near is None else near[:2]
        x, y = (v + rng.randrange(-2_000, 2_001, self.step) for v in (x, y))
        entry = None
        if rng.random() < 0.3:
            entry = (
                x + rng.randrange(-1_000, 1_001, self.step),
                y + rng.randrange(-1_000, 1_001, self.step),
            )
        name = self.name()
        self.draft.frame(
            name,
            floor,
            x,
            y,
            entry=entry,
            ladder_height_mm=rng.choice((None, self.whole(2_400, 60), 3_000)),
            panel_height_mm=rng.choice((None, None, 1_500)),
            dressing_mm=rng.choice((None, None, 0)),
            serves=rng.choice((None, None, None, *Serves)),
            reserved_tenant=rng.choice(("",) * 7 + ("customs", "customs", "nobody")),
            reserved_service=rng.choice(("",) * 8 + ("cctv",)),
            state=rng.choice((State.NEW,) * 6 + (State.EXISTING, State.FUTURE, State.TO_REMOVE)),
        )
        return made("frame", name)

    def zones(self, frames: list[str]) -> None:
        rng = self.rng
        for _ in range(rng.choice((0, 0, 1, 1, 3))):
            x, y = self.place()
            wide, deep = (rng.randrange(2_000, 14_000, max(self.step, 1)) for _ in "xy")
            corners = ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))
            self.draft.add(
                ServingZone(
                    id=made("serving-zone", self.name()),
                    floor=made("floor", str(rng.choice(self.floors))),
                    outline=corners[:: rng.choice((1, -1))],
                    frame=rng.choice(frames),
                )
            )

    def backbone(self, ends: list[str]) -> None:
        rng = self.rng
        for _ in range(rng.randrange(3) if len(ends) > 1 else 0):
            one, other = rng.sample(ends, 2)
            self.draft.add(
                BackboneCable(
                    id=made("backbone-cable", self.name()),
                    name="trunk",
                    from_id=one,
                    to_id=other,
                    cable_type=made("cable-type", "d"),
                    slack_to_mm=rng.choice((5_000, 0)),
                    limit_mm=rng.choice((None, 20_000)),
                    added_mm=rng.choice((0, 0, 2_000)),
                )
            )

    def outlets(self, frames: list[str]) -> None:
        rng = self.rng
        for _ in range(rng.randrange(4, 14) * self.scale):
            floor = rng.choice(self.floors)
            near = self.on_a_line(floor) if rng.random() < 0.8 else None
            x, y = self.place()
            if near is not None:
                x, y = (v + rng.randrange(-3_000, 3_001, self.step) for v in near[:2])
            name = self.name()
            kind = rng.choices([k for k, _ in OUTLET_KINDS], (6, 3, 1, 2))[0]
            self.draft.add(
                OutletEntity(
                    id=made("outlet", name),
                    floor=made("floor", str(floor)),
                    kind=made("outlet-kind", kind),
                    x_mm=x,
                    y_mm=y,
                    height_mm=rng.choice((None, None, None, self.height())),
                    slack_mm=rng.choice((None, None, 0)),
                    state=rng.choice((State.NEW, State.NEW, State.EXISTING)),
                    ports=tuple(self._port(frames) for _ in range(rng.choice((1, 1, 2)))),
                )
            )

    def _told(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """What a run is told to pass, and never to pass: mostly nothing."""
        rng = self.rng
        laid = [t.id for t in self.draft.things if isinstance(t, Pathway | Riser | OutdoorDuct)]
        some = rng.sample(laid, min(len(laid), rng.choice((1, 1, 2, 3))))
        split = rng.choice((0, 1, len(some)))
        return (tuple(some[:split]), tuple(some[split:])) if rng.random() < 0.2 else ((), ())

    def _port(self, frames: list[str]) -> Port:
        rng = self.rng
        via, never = self._told()
        tested = rng.random() < 0.1
        return Port(
            id=made("port", self.name()),
            cable_type=made("cable-type", rng.choice("ccd")),
            service=rng.choice(("data", "data", "cctv")),
            via=via,
            never=never,
            frame=rng.choice(frames) if frames and rng.random() < 0.15 else None,
            state=rng.choice((None, None, None, State.FUTURE, State.EXISTING)),
            added_mm=rng.choice((0, 0, 0, 0, 1_500, -700)),
            replaced_mm=rng.choice((None,) * 9 + (33_333,)),
            test=TesterRecord(passed=True, length_mm=rng.choice((None, 21_000)))
            if tested
            else None,
        )


def random_building(seed: int, mode: Mode, *, scale: int = 1, lines: int = 5) -> Project:
    """A random building; `scale` multiplies outlets, `lines` bounds pathways a floor."""
    maker = _Maker(seed, mode, scale)
    rng = maker.rng
    for floor in maker.floors:
        for _ in range(rng.randrange(1, lines + 1)):
            maker.pathway(floor)
    maker.risers_and_ducts()
    maker.walked()
    for floor in maker.floors:
        maker.fittings(floor)
        maker.spaces(floor)
    frames = [maker.frame() for _ in range(rng.choice((2, 2, 3, 4)))]
    ends = list(frames)
    if rng.random() < 0.4:
        floor, name = rng.choice(maker.floors), maker.name()
        near = maker.on_a_line(floor) or maker.place()
        maker.draft.demarcation(name, floor, *maker.beside(near))
        ends.append(made("demarcation", name))
    maker.zones(frames)
    maker.outlets(frames)
    maker.backbone(ends)
    return maker.draft.project()


def small_building(seed: int, mode: Mode) -> Project:
    """So small that every simple path can be tried."""
    maker = _Maker(seed, mode, 1)
    for floor in maker.floors[:2]:
        maker.pathway(floor)
        maker.pathway(floor)
    maker.risers_and_ducts()
    frames = [maker.frame()]
    maker.outlets(frames)
    project = maker.draft.project()
    few = list(project.outlets.values())[:3]
    return Project([e for e in project.entities() if not isinstance(e, OutletEntity) or e in few])


def meetings(one: list[Point3], other: list[Point3]) -> list[tuple[int, int]]:
    """Where two lines cross or touch in plan, in whole millimetres."""
    found = []
    for a, b in pairwise(one):
        for c, d in pairwise(other):
            dx, dy, ex, ey = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
            cross = dx * ey - dy * ex
            if cross == 0:
                continue
            t = ((c[0] - a[0]) * ey - (c[1] - a[1]) * ex) / cross
            s = ((c[0] - a[0]) * dy - (c[1] - a[1]) * dx) / cross
            near = 25 / max(1.0, math.hypot(dx, dy)), 25 / max(1.0, math.hypot(ex, ey))
            if -near[0] <= t <= 1 + near[0] and -near[1] <= s <= 1 + near[1]:
                found.append((round(a[0] + t * dx), round(a[1] + t * dy)))
    return found
