"""Where the terminal's 327 outlets stand, in metres."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from terminal_building import CLOSETS, CORE_ROOMS, ROOMS

ROOM = {room.number: room for room in (*ROOMS, *CLOSETS, *CORE_ROOMS)}
INSET = 0.15


class Place(NamedTuple):
    room: str
    floor: int
    kind: str
    x: float
    y: float
    facing: str = "-"
    """The wall it is turned to: n, s, e, w; - for ceiling and floor."""
    height_m: float | None = None
    added_m: float = 0.0
    why: str = ""
    name: str = ""


def along(number: str, kind: str, wall: str, count: int, **more: object) -> Iterator[Place]:
    """So many along a wall of a room, evenly from its middle."""
    room = ROOM[number]
    for i in range(count):
        part = (i + 0.5) / count
        x = room.x0 + part * (room.x1 - room.x0)
        y = room.y0 + part * (room.y1 - room.y0)
        if wall in "ns":
            y = room.y1 - INSET if wall == "n" else room.y0 + INSET
        else:
            x = room.x1 - INSET if wall == "e" else room.x0 + INSET
        yield Place(number, room.floor, kind, round(x, 2), round(y, 2), wall, **more)


def line(number: str, kind: str, y: float, count: int, **more: object) -> Iterator[Place]:
    """So many in a row across the room at one y."""
    room = ROOM[number]
    for i in range(count):
        x = room.x0 + (i + 0.5) / count * (room.x1 - room.x0)
        yield Place(number, room.floor, kind, round(x, 2), y, "-", **more)


def corners(number: str, kind: str, which: str, **more: object) -> Iterator[Place]:
    """One in each named corner: a = street west, b = street east, c = quay west, d = quay east."""
    room = ROOM[number]
    inset = 0.3
    for corner in which:
        x = room.x0 + inset if corner in "ac" else room.x1 - inset
        y = room.y0 + inset if corner in "ab" else room.y1 - inset
        facing = "w" if corner in "ac" else "e"
        yield Place(number, room.floor, kind, round(x, 2), round(y, 2), facing, **more)


def at(number: str, kind: str, x: float, y: float, facing: str = "-", **more: object) -> Place:
    return Place(number, ROOM[number].floor, kind, x, y, facing, **more)


def outlets() -> tuple[Place, ...]:
    """All of them, floor by floor in the order of the rooms."""
    return tuple(_flat((_floor_0(), _floor_1(), _floor_2())))


def _flat(groups: Iterable[Iterable[Place | Iterable[Place]]]) -> Iterator[Place]:
    for group in groups:
        for item in group:
            if isinstance(item, Place):
                yield item
            else:
                yield from item


def _floor_0() -> Iterator[Place | Iterable[Place]]:
    yield at("0.01", "data", 3.85, 4.6, "e")
    yield line("0.02", "desk", 9.0, 3)
    yield at("0.02", "access_point", 21.75, 6.0)
    yield at("0.02", "camera", 28.7, 0.3, "e", height_m=4.0)
    yield at("0.02", "sign", 21.75, 13.85, "n")
    yield line("0.03", "desk", 11.5, 6)
    yield line("0.03", "kiosk", 4.0, 4)
    yield line("0.03", "access_point", 7.0, 3)
    yield corners("0.03", "camera", "abcd", height_m=4.0)
    yield along("0.03", "sign", "n", 3)
    yield at("0.03", "door", 44.0, 0.15, "s")
    yield at("0.03", "door", 58.0, 0.15, "s")
    yield line("0.04", "till", 9.5, 3)
    yield at("0.04", "access_point", 79.75, 7.0)
    yield at("0.04", "camera", 72.8, 0.3, "w")
    yield at("0.04", "sign", 79.75, 0.15, "s")
    yield at("0.05", "desk", 105.0, 11.0)
    yield line("0.05", "access_point", 7.0, 2)
    yield corners("0.05", "camera", "abd", height_m=4.0)
    yield along("0.05", "sign", "s", 2, height_m=3.5)
    yield at("0.05", "door", 106.0, 0.15, "s")
    yield at("0.06", "desk_small", 128.2, 4.0)
    yield at("0.06", "desk_small", 128.2, 2.2)
    yield at("0.06", "camera", 123.55, 0.3, "w")
    yield at("0.07", "desk", 135.9, 1.27, name="freight window 3")
    yield at("0.07", "desk", 135.9, 6.03, name="freight window 2")
    yield at("0.07", "desk", 135.9, 10.8, name="freight window 1")
    yield at("0.07", "access_point", 139.2, 5.5)
    yield at("0.07", "camera", 144.4, 12.0, "e", height_m=4.0)
    yield at("0.07", "camera", 131.0, 12.0, "w", height_m=4.0)
    yield at("0.07", "sign", 141.0, 8.0, "-", height_m=3.5)
    yield at("0.07", "door", 143.2, 13.85, "n")
    for x, kind in ((20, "access_point"), (95, "access_point"), (30, "camera"), (105, "camera")):
        yield at("0.08", kind, x, 15.2)
    yield at("0.08", "door", 43.3, 14.3, "e")
    yield at("0.08", "door", 87.2, 14.3, "w")
    yield at("0.10", "services", 0.2, 22.0, "w")
    yield at("0.10", "services", 14.3, 22.0, "e")
    yield at("0.11", "services", 18.0, 16.7, "s")
    yield along("0.12", "data", "w", 2)
    yield along("0.12", "data", "e", 2)
    yield at("0.12", "access_point", 29.0, 24.0)
    yield at("0.13", "lift", 43.3, 25.6, "e")
    yield at("0.13", "camera", 36.5, 18.0, "w")
    yield at("0.14", "industrial", 50.75, 27.0)
    yield at("0.14", "industrial", 65.25, 27.0)
    yield at("0.14", "industrial", 74.0, 27.0)
    yield at("0.14", "access_point", 54.5, 22.0, height_m=4.4)
    yield at("0.14", "access_point", 69.0, 22.0, height_m=4.4)
    yield corners("0.14", "camera", "ab", height_m=4.0)
    yield at("0.14", "camera", 46.0, 31.7, "n", height_m=4.0)
    yield at("0.14", "camera", 70.0, 31.7, "n", height_m=4.0)
    yield at("0.14", "door", 58.0, 31.85, "n")
    yield at("0.14", "door", 61.0, 16.65, "s")
    yield along("0.18", "data", "e", 2)
    yield along("0.18", "data", "w", 2)
    yield at("0.18", "access_point", 83.4, 24.0)
    yield at("0.18", "door", 85.5, 16.65, "s")
    yield at("0.15", "lift", 92.1, 25.8, "n")
    yield at("0.15", "camera", 87.3, 18.0, "w")
    for x in (96.5, 99.5, 103.5, 106.5):
        yield at("0.16", "desk", x, 23.0)
    yield at("0.16", "desk", 99.5, 26.5)
    yield at("0.16", "desk", 103.5, 26.5)
    yield at("0.16", "access_point", 101.5, 24.0)
    yield corners("0.16", "camera", "acd")
    yield at("0.16", "door", 96.0, 16.65, "s")
    yield at("0.16", "door", 107.0, 31.85, "n")
    yield along("0.17", "data", "w", 4)
    yield along("0.17", "data", "e", 4)
    yield at("0.17", "access_point", 116.0, 24.0)
    yield corners("0.17", "camera", "ad")
    yield at("0.17", "door", 111.0, 16.65, "s")
    yield at("0.17", "door", 121.0, 31.85, "n")
    yield at("0.19", "industrial", 144.95, 31.95, "e", name="weighing desk")
    yield at("0.19", "industrial", 126.9, 23.0)
    yield at("0.19", "industrial", 136.0, 19.5)
    yield at("0.19", "access_point", 142.5, 24.2, height_m=4.4)
    yield at("0.19", "access_point", 130.0, 22.0, height_m=4.4)
    yield at("0.19", "camera", 144.4, 31.45, "e", height_m=4.0)
    yield corners("0.19", "camera", "ab", height_m=4.0)
    yield at("0.19", "camera", 123.6, 31.0, "w", height_m=4.0)
    yield at("0.19", "door", 132.0, 16.65, "s")
    yield at("0.19", "door", 131.0, 31.85, "n")
    conduit = "conduit and mast, as measured"
    for name, x, added in (("Q1", 32.4, 7.0), ("Q2", 126.9, 7.0), ("Q3", 141.0, 9.0)):
        yield Place("", 0, "camera_outdoor", x, 32.0, "s", 3.0, added, conduit, name)


def _floor_1() -> Iterator[Place | Iterable[Place]]:
    yield along("1.01", "data", "s", 4)
    yield along("1.01", "data", "w", 4)
    yield along("1.01", "data", "e", 4)
    yield at("1.01", "access_point", 7.25, 7.0)
    yield line("1.02", "desk", 9.5, 8)
    yield line("1.02", "kiosk", 3.5, 4)
    yield line("1.02", "access_point", 6.5, 3)
    yield corners("1.02", "camera", "abc")
    yield along("1.02", "sign", "n", 3, height_m=3.3)
    for x in (69.0, 76.0, 83.0):
        yield at("1.03", "lane", x, 8.0)
    yield at("1.03", "access_point", 76.0, 9.0)
    yield corners("1.03", "camera", "abcd")
    yield at("1.03", "door", 65.45, 12.0, "w")
    yield at("1.03", "door", 86.8, 12.0, "e")
    yield line("1.04", "access_point", 7.0, 4)
    yield corners("1.04", "camera", "acd")
    yield along("1.04", "sign", "n", 3)
    yield at("1.04", "kiosk", 100.0, 5.0)
    yield at("1.04", "kiosk", 118.0, 5.0)
    yield at("1.05", "till", 136.5, 9.0)
    yield at("1.05", "till", 139.0, 9.0)
    yield at("1.05", "access_point", 137.75, 6.0)
    yield at("1.05", "camera", 144.7, 2.0, "e")
    yield at("1.05", "sign", 137.75, 0.15, "s")
    for x, kind in ((30, "access_point"), (100, "access_point"), (46, "camera"), (98, "camera")):
        yield at("1.06", kind, x, 15.2)
    yield at("1.06", "door", 43.3, 14.3, "e")
    yield at("1.06", "door", 87.2, 14.3, "w")
    yield along("1.10", "data", "s", 4)
    yield at("1.10", "access_point", 9.0, 25.0)
    yield at("1.10", "access_point", 22.5, 25.0)
    yield at("1.10", "sign", 34.5, 31.85, "n")
    yield at("1.11", "data", 43.3, 22.0, "e")
    yield at("1.13", "desk", 57.0, 27.5)
    yield at("1.13", "desk", 72.0, 27.5)
    yield at("1.13", "access_point", 54.0, 23.0)
    yield at("1.13", "access_point", 76.0, 23.0)
    yield corners("1.13", "camera", "ab")
    yield at("1.13", "sign", 65.25, 16.65, "s")
    yield at("1.13", "door", 65.25, 31.85, "n")
    yield at("1.14", "lift", 92.1, 25.8, "n")
    yield at("1.14", "camera", 87.3, 18.0, "w")
    yield line("1.15", "till", 20.0, 4)
    yield line("1.15", "access_point", 24.0, 2)
    yield corners("1.15", "camera", "abcd")
    yield at("1.15", "sign", 105.0, 16.65, "s")
    yield at("1.16", "desk", 124.5, 27.0)
    yield at("1.16", "desk", 134.5, 27.0)
    yield at("1.16", "access_point", 121.5, 23.0)
    yield at("1.16", "access_point", 132.5, 23.0)
    yield corners("1.16", "camera", "ab")
    yield at("1.16", "sign", 127.0, 16.65, "s")
    yield at("1.16", "door", 130.0, 31.85, "n")
    yield at("1.17", "desk", 140.0, 24.0)
    yield at("1.17", "desk", 142.5, 24.0)
    yield at("1.17", "camera", 144.7, 20.0, "e")
    yield at("1.17", "door", 143.0, 27.5, "-")
    bridge = "along the gangway bridge, as measured"
    yield Place("", 1, "camera_outdoor", 56.7, 32.0, "s", 3.0, 12.0, bridge, "Gangway A")
    yield Place("", 1, "camera_outdoor", 126.4, 32.0, "s", 3.0, 12.0, bridge, "Gangway B")


def _floor_2() -> Iterator[Place | Iterable[Place]]:
    for y in (19.0, 24.0, 29.0):
        yield line("2.01", "floor_box", y, 10)
    yield line("2.01", "access_point", 22.0, 3)
    yield at("2.01", "sign", 61.6, 16.65, "s")
    for x, kind in ((60, "access_point"), (105, "access_point"), (62, "camera"), (107, "camera")):
        yield at("2.02", kind, x, 15.2)
    yield at("2.02", "door", 79.5, 14.3, "e")
    yield at("2.02", "door", 94.5, 14.3, "w")
    for x, y in ((98.0, 20.5), (105.0, 20.5), (98.0, 27.5), (105.0, 27.5)):
        yield at("2.03", "meeting", x, y)
    yield at("2.03", "access_point", 101.5, 20.0)
    yield at("2.03", "access_point", 101.5, 27.0)
    for y, wall in ((20.5, "w"), (20.5, "e"), (27.5, "w"), (27.5, "e")):
        yield at("2.03", "display", 94.4 if wall == "w" else 108.6, y, wall)
    yield along("2.04", "data", "w", 5)
    yield along("2.04", "data", "e", 5)
    yield line("2.04", "data", 22.0, 4)
    yield at("2.04", "access_point", 116.0, 24.0)
    for x in (126.5, 130.5, 134.5):
        yield at("2.05", "console", x, 20.0)
        yield at("2.05", "console", x, 24.0)
    yield at("2.05", "access_point", 130.5, 22.0)
    yield at("2.05", "display", 137.6, 23.4, "e", name="wall display east")
    for x in (126.5, 130.5, 134.5):
        yield at("2.05", "display", x, 16.65, "s")
    yield at("2.05", "camera", 123.5, 17.0, "w")
    yield at("2.05", "door", 137.6, 31.7, "e", name="gallery door")
    yield at("2.06", "data", 144.9, 28.2, "e")
    yield at("2.06", "data", 137.9, 29.0, "w")
    yield at("2.06", "data", 144.9, 27.17, "e")
    yield at("2.06", "data", 144.9, 17.0, "e")
    yield at("2.06", "data", 137.9, 17.5, "w")
    yield at("2.06", "data", 137.9, 18.5, "w")
    yield at("2.06", "access_point", 141.4, 22.0)
    yield at("2.07", "services", 43.3, 18.0, "e")
    yield at("2.07", "services", 35.0, 31.8, "n")
    yield at("2.07", "lift", 38.0, 18.5, "-")
