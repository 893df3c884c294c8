"""An invented small office: one floor, 24 outlets, for the first five minutes."""

from builder import Builder, mm
from outlet_kinds import KINDS
from terminal_building import Room

from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Building,
    CableType,
    Demarcation,
    Entity,
    Floor,
    Frame,
    Outlet,
    OutletKind,
    Pathway,
    Port,
    PortTemplate,
    Site,
    Space,
)
from app.model.ids import Source
from app.model.settings import Settings
from app.model.vocabulary import (
    Ceiling,
    FrameKind,
    FrameRole,
    Medium,
    PathwayKind,
    ProvidedBy,
    SpaceUse,
)

WIDTH_M, DEPTH_M = 30.0, 16.0
GRID_X = (0.0, 6.0, 12.0, 18.0, 24.0, 30.0)
GRID_Y = (0.0, 7.0, 9.0, 16.0)
ROOMS = (
    Room(0, "01", "Reception", 0, 6, 0, 7, "reception"),
    Room(0, "02", "Office", 6, 12, 0, 7, "office"),
    Room(0, "03", "Office", 12, 18, 0, 7, "office"),
    Room(0, "04", "Meeting room", 18, 24, 0, 7, "meeting", "hard"),
    Room(0, "05", "Store", 24, 27, 0, 7, "store"),
    Room(0, "06", "Telecom room", 27, 30, 0, 7, "telecom", "none", 3.4),
    Room(0, "07", "Corridor", 0, 30, 7, 9, "corridor"),
    Room(0, "08", "Open office", 0, 18, 9, 16, "open_office"),
    Room(0, "09", "Kitchen", 18, 22, 9, 16, "kitchen"),
    Room(0, "10", "Toilets", 22, 25, 9, 16, "toilet"),
    Room(0, "11", "Stair", 25, 30, 9, 16, "stair", "none", 3.4),
)
DESKS = (
    *(("08", "data", x, 15.85, "n") for x in (1.5, 4.5, 7.5, 10.5, 13.5, 16.5)),
    *(("08", "floor_box", x, 12.0, "-") for x in (3.0, 7.0, 11.0, 15.0)),
    *(("02", "data", x, 0.15, "s") for x in (7.5, 10.5)),
    *(("03", "data", x, 0.15, "s") for x in (13.5, 16.5)),
    ("01", "data", 0.15, 2.0, "w"),
    ("01", "data", 0.15, 5.0, "w"),
    ("04", "meeting", 21.0, 3.5, "-"),
    ("04", "display", 23.85, 3.5, "e"),
    ("07", "access_point", 6.0, 8.0, "-"),
    ("07", "access_point", 18.0, 8.0, "-"),
    ("07", "camera", 29.7, 8.0, "e"),
    ("07", "door", 0.15, 8.4, "w"),
    ("09", "data", 18.15, 12.0, "w"),
    ("06", "data", 29.85, 5.0, "e"),
)
FACING = {"n": 270_000, "s": 90_000, "e": 180_000, "w": 0, "-": 90_000}


def office_entities(source: Source) -> list[Entity]:
    """Everything in the office but its plan."""
    made = Builder(source)
    made.add(Site(id="site", name="Small office (invented sample)", revision="A", note="Invented."))
    made.add(Settings(id="settings", outlet_pattern="{nnn}"))
    house = made.add(Building(id=made.id("building"), name="Office"))
    floor = made.add(
        Floor(id=made.id("floor"), building=house, name="0", level_mm=0, floor_to_floor_mm=3_600)
    )
    copper = CableType(
        id=made.id("cable-type"),
        name="Cat 6A U/UTP",
        category="6A",
        od_mm=7.5,
        weight_g_per_m=60.0,
        flame_class="Dca-s2,d1,a1",
    )
    made.add(copper)
    _add_spaces(made, floor)
    _add_pathways(made, floor)
    _add_frame(made, floor)
    _add_outlets(made, floor, copper.id)
    _add_underfloor(made, floor)
    return made.entities


def _add_spaces(made: Builder, floor: str) -> None:
    for room in ROOMS:
        x0, x1, y0, y1 = (mm(v) for v in (room.x0, room.x1, room.y0, room.y1))
        made.add(
            Space(
                id=made.id("space"),
                floor=floor,
                outline=((x0, y0), (x1, y0), (x1, y1), (x0, y1)),
                number=room.number,
                name=room.name,
                use=SpaceUse(room.use),
                ceiling=Ceiling(room.ceiling),
                ceiling_height_mm=mm(room.ceiling_m),
                raised_floor_mm=300 if room.number == "08" else 0,
            )
        )


def _add_pathways(made: Builder, floor: str) -> None:
    def add(kind: str, number: str, points: tuple[tuple[float, float], ...], **size: float) -> str:
        return made.add(
            Pathway(
                id=made.id("pathway"),
                floor=floor,
                kind=PathwayKind(kind),
                number=number,
                vertices=tuple((mm(x), mm(y), 3_000) for x, y in points),
                **size,  # type: ignore[arg-type]
            )
        )

    add("basket", "S1", ((1.0, 8.0), (28.5, 8.0), (28.5, 4.0)), width_mm=200.0, depth_mm=60.0)
    add("hooks", "H1", ((4.5, 8.0), (4.5, 14.5)))
    add("hooks", "H2", ((12.0, 8.0), (12.0, 14.5)))
    conduit = add("conduit", "C1", ((21.0, 8.0), (21.0, 3.5), (23.5, 3.5)), bore_mm=35.1)
    made.add(
        AccessPoint(
            id=made.id("access-point"), floor=floor, pathway=conduit, x_mm=21_000, y_mm=3_500
        )
    )


def _add_underfloor(made: Builder, floor: str) -> None:
    """From the hooks down the corridor wall and under the open office's raised floor."""
    for number, x in (("U1", 4.5), ("U2", 12.0)):
        at, wall, end = mm(x), mm(9.2), mm(12.0)
        made.add(
            Pathway(
                id=made.id("pathway"),
                floor=floor,
                kind=PathwayKind.BASKET,
                number=number,
                vertices=((at, wall, 3_000), (at, wall, -150), (at, end, -150)),
                width_mm=100.0,
                depth_mm=60.0,
            )
        )


def _add_frame(made: Builder, floor: str) -> None:
    frame = made.add(
        Frame(
            id=made.id("frame"),
            floor=floor,
            name="T1",
            kind=FrameKind.MAIN,
            roles=(FrameRole.BUILDING, FrameRole.FLOOR),
            x_mm=28_500,
            y_mm=3_000,
            rotation_mdeg=90_000,
        )
    )
    demarcation = made.add(
        Demarcation(
            id=made.id("demarcation"),
            floor=floor,
            name="Carrier's hand-over",
            x_mm=29_800,
            y_mm=1_000,
            provided_by=ProvidedBy.OTHERS,
        )
    )
    fibre = made.add(
        CableType(
            id=made.id("cable-type"),
            name="Single-mode OS2, 4 strands",
            medium=Medium.FIBRE,
            category="OS2",
            od_mm=4.6,
            limit_mm=3_000_000,
            limit_source="lengths.backbone_single_mode",
            box_mm=1_000_000,
            box_usable_mm=1_000_000,
        )
    )
    made.add(
        BackboneCable(
            id=made.id("backbone-cable"),
            name="Demarcation extension",
            from_id=demarcation,
            to_id=frame,
            cable_type=fibre,
            strands=4,
            slack_from_mm=3_000,
            slack_to_mm=3_000,
        )
    )


def _add_outlets(made: Builder, floor: str, copper: str) -> None:
    kinds: dict[str, OutletKind] = {}
    for key in dict.fromkeys(kind for _, kind, *_ in DESKS):
        row = KINDS[key]
        kinds[key] = OutletKind(
            id=made.id("outlet-kind"),
            name=row.name,
            symbol=row.symbol,
            height_mm=None if row.height_m is None else mm(row.height_m),
            way_down=row.way_down,
            fixture=row.fixture,
            ports=tuple(
                PortTemplate(service=row.service, cable_type=copper, termination=row.termination)
                for _ in range(row.ports)
            ),
        )
        made.add(kinds[key])
    for i, (_, key, x, y, facing) in enumerate(DESKS, start=1):
        ports = tuple(
            Port(
                id=made.id("port"),
                label=str(n + 1),
                service=t.service,
                cable_type=copper,
                cable_number=f"{i:03d}-{n + 1}",
                termination=t.termination,
            )
            for n, t in enumerate(kinds[key].ports)
        )
        made.add(
            Outlet(
                id=made.id("outlet"),
                floor=floor,
                kind=kinds[key].id,
                number=f"{i:03d}",
                x_mm=mm(x),
                y_mm=mm(y),
                rotation_mdeg=FACING[facing],
                ports=ports,
            )
        )
