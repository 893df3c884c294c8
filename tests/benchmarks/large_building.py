"""Large invented buildings of plain shape, for measuring."""

from app.model.entities import (
    Building,
    CableType,
    Floor,
    Frame,
    Outlet,
    OutletKind,
    Pathway,
    Port,
    PortTemplate,
    Riser,
    Space,
)
from app.model.ids import counting_source
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind, SpaceUse

BAY_MM = 8_000
DEEP_MM = 36_000
SPINE_MM = 18_000
PER_BAY = 25


def large_building(*, floors: int, outlets: int, frames: int, ports: int = 1) -> Project:
    """So many floors, and outlets and frames in all, spread evenly.

    Each floor has a spine tray, a branch of hooks to either side in every bay of 8 m, a
    corridor, an office to either side of it in every bay, a shaft, and two risers.
    """
    source = counting_source()
    cable = CableType(id=f"cable-type-{source()}", name="Cat 6A", od_mm=7.5)
    kind = OutletKind(
        id=f"outlet-kind-{source()}", name="data", ports=(PortTemplate(cable_type=cable.id),)
    )
    building = Building(id=f"building-{source()}", name="Large")
    things = [Settings(id="settings"), building, cable, kind]
    levels = [
        Floor(id=f"floor-{source()}", building=building.id, name=str(n), level_mm=4_000 * n)
        for n in range(floors)
    ]
    things += levels
    bays = max(4, -(-outlets // floors // PER_BAY))
    for number, floor in enumerate(levels):
        things += _lines_and_spaces(source, floor, bays)
        here = range(outlets * number // floors, outlets * (number + 1) // floors)
        things += _outlets(source, floor, bays, len(here), kind.id, cable.id, ports)
    things += _frames(source, levels, bays, frames)
    for x in (BAY_MM * bays // 4, BAY_MM * bays * 3 // 4):
        things.append(
            Riser(
                id=f"riser-{source()}",
                lower_floor=levels[0].id,
                upper_floor=levels[-1].id,
                lower=(x, SPINE_MM),
                upper=(x, SPINE_MM),
            )
        )
    return Project(things)


def _lines_and_spaces(source, floor, bays):
    wide = BAY_MM * bays

    def line(kind, *vertices):
        return Pathway(id=f"pathway-{source()}", floor=floor.id, kind=kind, vertices=vertices)

    def room(use, x0, y0, x1, y1):
        outline = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        return Space(id=f"space-{source()}", floor=floor.id, use=use, outline=outline)

    yield line(PathwayKind.BASKET, (0, SPINE_MM, 3_000), (wide, SPINE_MM, 3_000))
    yield room(SpaceUse.CORRIDOR, 0, 17_000, wide, 19_000)
    for bay in range(bays):
        x = BAY_MM * bay
        middle = x + BAY_MM // 2
        yield line(PathwayKind.HOOKS, (middle, SPINE_MM, 3_000), (middle, 3_000, 3_000))
        yield line(PathwayKind.HOOKS, (middle, SPINE_MM, 3_400), (middle, 33_000, 3_400))
        yield room(SpaceUse.OFFICE, x, 0, x + BAY_MM, 17_000)
        yield room(SpaceUse.OFFICE, x, 19_000, x + BAY_MM, DEEP_MM)
    yield room(SpaceUse.LIFT_SHAFT, BAY_MM + 200, 20_000, BAY_MM + 2_200, 22_000)


def _outlets(source, floor, bays, count, kind, cable, ports):
    across = max(1, round((count * BAY_MM * bays / DEEP_MM) ** 0.5))
    down = -(-count // across)
    for number in range(count):
        x = (number % across) * BAY_MM * bays // across + 137 + (number * 61) % 97
        y = (number // across) * (DEEP_MM - 1_000) // down + 211 + (number * 37) % 89
        yield Outlet(
            id=f"outlet-{source()}",
            floor=floor.id,
            kind=kind,
            x_mm=x,
            y_mm=y,
            number=f"{floor.name}-{number:04d}",
            ports=tuple(Port(id=f"port-{source()}", cable_type=cable) for _ in range(ports)),
        )


def _frames(source, levels, bays, frames):
    for number in range(frames):
        floor = levels[number * len(levels) // frames]
        here = [n for n in range(frames) if levels[n * len(levels) // frames] is floor]
        share = (number - here[0] + 0.5) / len(here)
        yield Frame(
            id=f"frame-{source()}",
            floor=floor.id,
            name=f"F{number}",
            x_mm=int(BAY_MM * bays * share),
            y_mm=SPINE_MM + 1_500,
            ladder_height_mm=3_000,
        )
