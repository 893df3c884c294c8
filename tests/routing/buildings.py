"""Small buildings for routing tests, in a few words.

b = Site3()                 # one building, floors "0", "1", "2" 4.00 m apart
b.pathway("a", "0", [(0, 0, 3000), (9000, 0, 3000)])
b.project()
"""

from __future__ import annotations

from typing import Any

from app.model.entities import (
    AccessPoint,
    Break,
    Building,
    CableType,
    Demarcation,
    DropOut,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    OutletKind,
    Pathway,
    Port,
    PortTemplate,
    Riser,
    Space,
)
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind


def made(tag: str, name: str) -> str:
    """An id that says what it is: `pathway-000000ab` for `ab`."""
    return f"{tag}-{name.rjust(8, '0')}"


class Draft:
    """Collects things; floors are named by their number, things by one or two letters."""

    def __init__(self, *, levels: tuple[int, ...] = (0, 4_000, 8_000), **settings: Any) -> None:
        self.things: list[Entity] = [
            Settings(id="settings", **settings),
            Building(id=made("building", "b"), name="B"),
            CableType(id=made("cable-type", "c"), name="Cat 6A", od_mm=7.5),
            OutletKind(
                id=made("outlet-kind", "k"),
                name="data",
                ports=(PortTemplate(cable_type=made("cable-type", "c")),),
            ),
        ]
        for number, level in enumerate(levels):
            self.floor(number, level)

    def project(self) -> Project:
        return Project(self.things)

    def add(self, thing: Entity) -> Draft:
        self.things.append(thing)
        return self

    def floor(self, number: int, level: int, **more: Any) -> Draft:
        own = {"building": made("building", "b"), "name": str(number)} | more
        return self.add(Floor(id=made("floor", str(number)), level_mm=level, **own))

    def pathway(
        self,
        name: str,
        floor: int,
        vertices: list[tuple[int, int, int]],
        kind: PathwayKind = PathwayKind.BASKET,
        **more: Any,
    ) -> Draft:
        return self.add(
            Pathway(
                id=made("pathway", name),
                floor=made("floor", str(floor)),
                kind=kind,
                vertices=tuple(vertices),
                number=name.upper(),
                **more,
            )
        )

    def conduit(self, name: str, floor: int, vertices: list[tuple[int, int, int]]) -> Draft:
        return self.pathway(name, floor, vertices, PathwayKind.CONDUIT, bore_mm=27.0)

    def box(self, name: str, floor: int, pathway: str, x: int, y: int) -> Draft:
        return self.add(
            AccessPoint(
                id=made("access-point", name),
                floor=made("floor", str(floor)),
                pathway=made("pathway", pathway),
                x_mm=x,
                y_mm=y,
            )
        )

    def drop_out(self, name: str, floor: int, a: str, b: str, x: int, y: int) -> Draft:
        return self._crossing(DropOut, "drop-out", name, floor, a, b, x, y)

    def kept_apart(self, name: str, floor: int, a: str, b: str, x: int, y: int) -> Draft:
        return self._crossing(Break, "break", name, floor, a, b, x, y)

    def _crossing(
        self, of: Any, tag: str, name: str, floor: int, a: str, b: str, x: int, y: int
    ) -> Draft:
        return self.add(
            of(
                id=made(tag, name),
                floor=made("floor", str(floor)),
                pathway_a=made("pathway", a),
                pathway_b=made("pathway", b),
                x_mm=x,
                y_mm=y,
            )
        )

    def riser(
        self,
        name: str,
        lower: int,
        upper: int,
        at: tuple[int, int],
        upper_at: tuple[int, int] | None = None,
        **more: Any,
    ) -> Draft:
        return self.add(
            Riser(
                id=made("riser", name),
                number=name.upper(),
                lower_floor=made("floor", str(lower)),
                upper_floor=made("floor", str(upper)),
                lower=at,
                upper=at if upper_at is None else upper_at,
                **more,
            )
        )

    def duct(
        self, name: str, first: int, last: int, vertices: list[tuple[int, int, int]], **more: Any
    ) -> Draft:
        return self.add(
            OutdoorDuct(
                id=made("outdoor-duct", name),
                from_floor=made("floor", str(first)),
                to_floor=made("floor", str(last)),
                vertices=tuple(vertices),
                **more,
            )
        )

    def frame(self, name: str, floor: int, x: int, y: int, **more: Any) -> Draft:
        return self.add(
            Frame(
                id=made("frame", name),
                floor=made("floor", str(floor)),
                name=name.upper(),
                x_mm=x,
                y_mm=y,
                **more,
            )
        )

    def demarcation(self, name: str, floor: int, x: int, y: int, **more: Any) -> Draft:
        own = made("demarcation", name), made("floor", str(floor))
        return self.add(
            Demarcation(id=own[0], floor=own[1], name=name.upper(), x_mm=x, y_mm=y, **more)
        )

    def outlet(
        self,
        name: str,
        floor: int,
        x: int,
        y: int,
        *,
        ports: int = 1,
        port: dict[str, Any] | None = None,
        **more: Any,
    ) -> Draft:
        own = tuple(
            Port(id=made("port", f"{name}{k}"), cable_type=made("cable-type", "c"), **(port or {}))
            for k in range(1, ports + 1)
        )
        return self.add(
            Outlet(
                id=made("outlet", name),
                floor=made("floor", str(floor)),
                kind=made("outlet-kind", "k"),
                x_mm=x,
                y_mm=y,
                ports=own,
                **more,
            )
        )

    def space(
        self, name: str, floor: int, x0: int, y0: int, x1: int, y1: int, **more: Any
    ) -> Draft:
        outline = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        own = made("space", name), made("floor", str(floor))
        return self.add(Space(id=own[0], floor=own[1], outline=outline, number=name, **more))
