"""Draws a floor as an architect would: walls, doors, columns, stairs, rooms' names, grid.

Rooms are boxes in metres; the drawing is in millimetres. The result is a DXF like the ones
that come by mail, not a picture of Drawcord's own model.
"""

import io
from collections.abc import Iterable, Sequence
from typing import NamedTuple, Protocol

import ezdxf
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts import Modelspace
from shapely import MultiPolygon, Polygon, box, unary_union

OUTER_WALL_M, INNER_WALL_M = 0.30, 0.15
DOOR_M, WIDE_DOOR_M = 0.90, 1.80
COLUMN_M = 0.40
TEXT_M = 0.35
LAYERS = (
    ("A-GRID", 8, "CENTER"),
    ("A-WALL", 7, "CONTINUOUS"),
    ("A-COLS", 7, "CONTINUOUS"),
    ("A-DOOR", 3, "CONTINUOUS"),
    ("A-GLAZ", 4, "CONTINUOUS"),
    ("A-STRS", 8, "CONTINUOUS"),
    ("A-FURN", 9, "CONTINUOUS"),
    ("A-ROOM-TEXT", 2, "CONTINUOUS"),
    ("A-DIMS", 8, "CONTINUOUS"),
    ("A-NOTE", 7, "CONTINUOUS"),
)


class Box(Protocol):
    """A room as the architect sees it."""

    @property
    def number(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def x0(self) -> float: ...
    @property
    def x1(self) -> float: ...
    @property
    def y0(self) -> float: ...
    @property
    def y1(self) -> float: ...
    @property
    def use(self) -> str: ...
    @property
    def door(self) -> str: ...


class Grid(NamedTuple):
    xs: Sequence[float]
    ys: Sequence[float]


class Sheet(NamedTuple):
    """One floor to draw. `outside` is its outline; `corridor_y` its corridor's two sides."""

    title: str
    outside: tuple[float, float, float, float]
    rooms: Sequence[Box]
    grid: Grid
    corridor_y: tuple[float, float]
    entrances: Sequence[tuple[float, str]] = ()
    furniture: Sequence[tuple[str, float, float]] = ()


class Door(NamedTuple):
    x: float
    y: float
    wall: str
    width: float


def draw_floor(sheet: Sheet) -> str:
    """The floor as the text of a DXF file, the same text for the same sheet."""
    ezdxf.options.write_fixed_meta_data_for_testing = True
    document = ezdxf.new("R2013", setup=["linetypes"])
    document.header["$INSUNITS"] = 4
    document.header["$MEASUREMENT"] = 1
    for name, colour, linetype in LAYERS:
        document.layers.add(name, color=colour, linetype=linetype)
    space = document.modelspace()
    doors = [door for room in sheet.rooms for door in doors_of(room, sheet.corridor_y)]
    _, south, _, north = sheet.outside
    for x, wall in sheet.entrances:
        doors.append(Door(x, north if wall == "n" else south, wall, WIDE_DOOR_M))
    _draw_grid(space, sheet)
    _draw_walls(space, sheet, doors)
    for door in doors:
        _draw_door(space, door)
    _draw_windows(space, sheet, doors)
    for room in sheet.rooms:
        _draw_room(space, room)
    _draw_furniture(document, space, sheet)
    _draw_dimensions(space, sheet)
    _draw_notes(space, sheet)
    return _text_of(document)


def _text_of(document: Drawing) -> str:
    for name in ("$TDCREATE", "$TDUCREATE", "$TDUPDATE", "$TDUUPDATE"):
        document.header[name] = 2_460_000.0
    for name in ("$VERSIONGUID", "$FINGERPRINTGUID"):
        document.header[name] = "{00000000-0000-0000-0000-000000000000}"
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)  # the library would take them in no fixed order
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def _mm(*values: float) -> tuple[float, ...]:
    return tuple(round(v * 1000.0, 1) for v in values)


def doors_of(room: Box, corridor_y: tuple[float, float]) -> Iterable[Door]:
    """A room's doors: where it says, else in its side towards the corridor."""
    if room.use in ("corridor", "void", "services_shaft"):
        return
    wide = (room.x1 - room.x0) * (room.y1 - room.y0) > 300.0
    width = min(WIDE_DOOR_M if wide else DOOR_M, room.x1 - room.x0 - 0.4)
    wall = room.door
    if not wall:
        wall = "n" if abs(room.y1 - corridor_y[0]) < 0.01 else "s"
    span = room.x1 - room.x0
    places = (0.25, 0.75) if wide and wall in "ns" and not room.door else (0.5,)
    for part in places:
        x = room.x0 + part * span
        if wall == "n":
            yield Door(x, room.y1, wall, width)
        elif wall == "s":
            yield Door(x, room.y0, wall, width)
        else:
            x = room.x0 if wall == "w" else room.x1
            yield Door(x, (room.y0 + room.y1) / 2, wall, min(width, DOOR_M))


def walls(sheet: Sheet, doors: Sequence[Door]) -> MultiPolygon:
    """The solid of all walls, openings taken out, in metres."""
    half = INNER_WALL_M / 2
    inner = [
        box(r.x0, r.y0, r.x1, r.y1).exterior.buffer(half, cap_style="square", join_style="mitre")
        for r in sheet.rooms
    ]
    outline = box(*sheet.outside)
    outer = outline.buffer(OUTER_WALL_M - half, join_style="mitre").difference(
        outline.buffer(-half, join_style="mitre")
    )
    openings = []
    for door in doors:
        a, b = door.width / 2, OUTER_WALL_M + half
        across = door.wall in "ns"
        dx, dy = (a, b) if across else (b, a)
        openings.append(box(door.x - dx, door.y - dy, door.x + dx, door.y + dy))
    columns = [
        box(x - COLUMN_M / 2, y - COLUMN_M / 2, x + COLUMN_M / 2, y + COLUMN_M / 2)
        for x in sheet.grid.xs
        for y in sheet.grid.ys
    ]
    solid = unary_union([*inner, outer]).difference(unary_union(openings))
    solid = solid.difference(unary_union(columns))
    parts = [solid] if isinstance(solid, Polygon) else list(solid.geoms)
    return MultiPolygon([p for p in parts if isinstance(p, Polygon) and p.area > 0.001])


def _draw_walls(space: Modelspace, sheet: Sheet, doors: Sequence[Door]) -> None:
    for polygon in walls(sheet, doors).normalize().geoms:
        for ring in (polygon.exterior, *polygon.interiors):
            points = [_mm(*xy) for xy in ring.coords[:-1]]
            space.add_lwpolyline(points, close=True, dxfattribs={"layer": "A-WALL"})
    for x in sheet.grid.xs:
        for y in sheet.grid.ys:
            half = COLUMN_M / 2
            points = [
                _mm(x + dx * half, y + dy * half) for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
            ]
            space.add_lwpolyline(points, close=True, dxfattribs={"layer": "A-COLS"})
            hatch = space.add_hatch(color=8, dxfattribs={"layer": "A-COLS"})
            hatch.paths.add_polyline_path(points, is_closed=True)


def _draw_door(space: Modelspace, door: Door) -> None:
    """One leaf up to a metre, two above; it swings into the room."""
    leaves = 1 if door.width <= 1.0 else 2
    leaf = door.width / leaves
    along = {"n": (1, 0), "s": (1, 0), "e": (0, 1), "w": (0, 1)}[door.wall]
    into = {"n": (0, -1), "s": (0, 1), "e": (-1, 0), "w": (1, 0)}[door.wall]
    for side in (-1, 1)[:leaves]:
        hx = door.x + side * along[0] * door.width / 2
        hy = door.y + side * along[1] * door.width / 2
        tip = (hx + into[0] * leaf, hy + into[1] * leaf)
        style = {"layer": "A-DOOR"}
        space.add_line(_mm(hx, hy), _mm(*tip), dxfattribs=style)
        start = _angle(-side * along[0], -side * along[1])
        end = _angle(*into)
        if (end - start) % 360.0 > 180.0:
            start, end = end, start
        space.add_arc(_mm(hx, hy), leaf * 1000.0, start, end, dxfattribs=style)


def _draw_windows(space: Modelspace, sheet: Sheet, doors: Sequence[Door]) -> None:
    """One window to a bay in the two long sides, where no door or wall end stands."""
    x0, y0, x1, y1 = sheet.outside
    half, style = OUTER_WALL_M / 2, {"layer": "A-GLAZ"}
    ends = {edge for room in sheet.rooms for edge in (room.x0, room.x1)}
    for a, b in zip(sheet.grid.xs, sheet.grid.xs[1:], strict=False):
        left, right = a + 1.4, b - 1.4
        if left < x0 or right > x1 or any(left - 0.2 < e < right + 0.2 for e in ends):
            continue
        for y, out in ((y0, -1), (y1, 1)):
            if any(abs(d.y - y) < half and left - 1 < d.x < right + 1 for d in doors):
                continue
            for offset in (0.02, 0.08):
                line = y + out * offset
                space.add_line(_mm(left, line), _mm(right, line), dxfattribs=style)


def _angle(dx: float, dy: float) -> float:
    return {(1, 0): 0.0, (0, 1): 90.0, (-1, 0): 180.0, (0, -1): 270.0}[(int(dx), int(dy))]


def _draw_room(space: Modelspace, room: Box) -> None:
    x, y = (room.x0 + room.x1) / 2, (room.y0 + room.y1) / 2
    if room.x1 - room.x0 > 12.0:
        x += 1.9  # beside the grid line, not upon it
    if room.use == "stair":
        y = room.y0 + 0.9
    elif room.use == "corridor" and room.y1 - room.y0 > 3.0:
        y = room.y1 - 1.4  # a core has rooms in its middle
    area = (room.x1 - room.x0) * (room.y1 - room.y0)
    height = TEXT_M if min(room.x1 - room.x0, room.y1 - room.y0) > 2.0 else TEXT_M / 2
    if room.use == "services_shaft":
        height = 0.10
    for line, text in enumerate((room.number, room.name, f"{int(area + 0.5)} m²")):
        style = {"layer": "A-ROOM-TEXT", "height": height * 1000.0}
        entity = space.add_text(text, dxfattribs=style)
        place = _mm(x, y + (0.7 - line) * height * 1.7)
        entity.set_placement(place, align=TextEntityAlignment.MIDDLE_CENTER)
    style = {"layer": "A-STRS"}
    if room.use == "stair":
        for i in range(1, int((room.x1 - room.x0 - 1.6) / 0.28)):
            tread = room.x0 + 0.8 + i * 0.28
            space.add_line(_mm(tread, room.y0 + 0.2), _mm(tread, room.y1 - 0.2), dxfattribs=style)
        space.add_line(_mm(room.x0 + 0.8, y), _mm(room.x1 - 0.8, y), dxfattribs=style)
    if room.use in ("lift_shaft", "services_shaft"):
        space.add_line(_mm(room.x0, room.y0), _mm(room.x1, room.y1), dxfattribs=style)
        space.add_line(_mm(room.x0, room.y1), _mm(room.x1, room.y0), dxfattribs=style)


def _draw_grid(space: Modelspace, sheet: Sheet) -> None:
    x0, y0, x1, y1 = sheet.outside
    style = {"layer": "A-GRID"}
    for i, x in enumerate(sheet.grid.xs):
        space.add_line(_mm(x, y0 - 4.0), _mm(x, y1 + 2.0), dxfattribs=style)
        _bubble(space, str(i + 1), x, y0 - 4.8)
    for i, y in enumerate(sheet.grid.ys):
        space.add_line(_mm(x0 - 4.0, y), _mm(x1 + 2.0, y), dxfattribs=style)
        _bubble(space, "ABCDEFGH"[i], x0 - 4.8, y)


def _bubble(space: Modelspace, text: str, x: float, y: float) -> None:
    style = {"layer": "A-GRID"}
    space.add_circle(_mm(x, y), 800.0, dxfattribs=style)
    label = space.add_text(text, dxfattribs={**style, "height": 700.0})
    label.set_placement(_mm(x, y), align=TextEntityAlignment.MIDDLE_CENTER)


def _draw_furniture(document: Drawing, space: Modelspace, sheet: Sheet) -> None:
    for name, width, depth in (("DESK", 1.6, 0.8), ("SEATS", 2.4, 0.6), ("BELT", 6.0, 1.2)):
        block = document.blocks.new(name)
        corners = [_mm(*p) for p in ((0, 0), (width, 0), (width, depth), (0, depth))]
        block.add_lwpolyline(corners, close=True, dxfattribs={"layer": "0"})
        if name == "DESK":
            block.add_circle(_mm(width / 2, depth + 0.4), 250.0, dxfattribs={"layer": "0"})
        else:
            for i in range(1, 4):
                x = width * i / 4
                block.add_line(_mm(x, 0), _mm(x, depth), dxfattribs={"layer": "0"})
    for name, x, y in sheet.furniture:
        space.add_blockref(name, _mm(x, y), dxfattribs={"layer": "A-FURN"})


def _draw_dimensions(space: Modelspace, sheet: Sheet) -> None:
    xs, ys = sheet.grid.xs, sheet.grid.ys
    x0, y0, x1, _ = sheet.outside
    rows = [((xs[0], y0), (xs[1], y0), y0 - 2.0, 0.0), ((x0, y0), (x1, y0), y0 - 3.2, 0.0)]
    rows.append(((x0, ys[0]), (x0, ys[1]), x0 - 2.0, 90.0))
    for a, b, base, angle in rows:
        where = _mm(a[0], base) if angle == 0.0 else _mm(base, a[1])
        override = {"dimtxt": 400.0, "dimasz": 300.0, "dimexo": 300.0, "dimdec": 0, "dimlfac": 1.0}
        dimension = space.add_linear_dim(
            base=where,
            p1=_mm(*a),
            p2=_mm(*b),
            angle=angle,
            override=override,
            dxfattribs={"layer": "A-DIMS"},
        )
        dimension.render()


def _draw_notes(space: Modelspace, sheet: Sheet) -> None:
    x0, y0, *_ = sheet.outside
    notes = (sheet.title, "All dimensions in millimetres. Do not scale from a print.")
    for line, text in enumerate(notes):
        style = {"layer": "A-NOTE", "height": 900.0 if line == 0 else 450.0}
        space.add_text(text, dxfattribs=style).set_placement(_mm(x0, y0 - 8.0 - 1.2 * line))
