"""The kinds of outlet in the invented buildings."""

from builder import Builder, mm

from app.model.entities import OutletKind, PortTemplate
from app.model.vocabulary import Fixture, Termination, WayDown


class Kind:
    """One row of the table of outlet kinds."""

    def __init__(
        self,
        name: str,
        symbol: str,
        height_m: float | None,
        ports: int,
        power: int = 0,
        way_down: WayDown = WayDown.WALL_CAVITY,
        fixture: Fixture = Fixture.FACEPLATE,
        termination: Termination = Termination.JACK,
        service: str = "data",
    ) -> None:
        self.name, self.symbol, self.height_m, self.ports = name, symbol, height_m, ports
        self.power, self.way_down, self.fixture = power, way_down, fixture
        self.termination, self.service = termination, service


BOX, PLUG = Fixture.SURFACE_BOX, Termination.FIELD_PLUG
KINDS = {
    "data": Kind("Data, wall", "data", 0.45, 2, 3),
    "desk": Kind("Service desk", "data", 0.45, 4, 3, WayDown.SERVICE_POLE),
    "desk_small": Kind("Small desk", "data", 0.45, 2, 3, WayDown.SERVICE_POLE),
    "access_point": Kind(
        "Access point", "access_point", None, 2, 6, WayDown.CEILING, BOX, service="wireless"
    ),
    "camera": Kind(
        "Camera", "camera", 2.8, 1, 3, fixture=Fixture.NONE, termination=PLUG, service="camera"
    ),
    "camera_outdoor": Kind(
        "Camera, outdoors",
        "camera",
        4.0,
        1,
        6,
        WayDown.OUTDOOR_CONDUIT,
        Fixture.NONE,
        PLUG,
        "camera",
    ),
    "sign": Kind("Sign", "sign", 2.6, 1, 6, fixture=BOX, service="sign"),
    "display": Kind("Wall display", "sign", 1.5, 1, service="display"),
    "door": Kind("Door controller", "door", 2.4, 1, 4, fixture=BOX, service="access control"),
    "kiosk": Kind("Kiosk", "kiosk", 0.1, 2, way_down=WayDown.SERVICE_POLE, service="kiosk"),
    "till": Kind("Till", "kiosk", 1.1, 2, way_down=WayDown.SERVICE_POLE, service="till"),
    "console": Kind("Console", "console", 0.45, 4, way_down=WayDown.SERVICE_POLE),
    "industrial": Kind("Industrial", "industrial", 1.2, 2, fixture=BOX, service="machine"),
    "services": Kind("Building services", "services", 1.5, 2, fixture=BOX, service="automation"),
    "lift": Kind("Lift", "lift", 1.5, 1, fixture=BOX, service="lift"),
    "meeting": Kind("Meeting table", "data", 0.45, 4, way_down=WayDown.SERVICE_POLE),
    "lane": Kind("Security lane", "data", 0.45, 4, way_down=WayDown.SERVICE_POLE),
    "floor_box": Kind("Floor box", "floor_box", 0.0, 2, 3, WayDown.RAISED_FLOOR, Fixture.FLOOR_BOX),
}


def add_kinds(made: Builder, copper: str) -> dict[str, str]:
    """Add all kinds, whose ports are cabled with `copper`; their ids by key."""
    ids = {}
    for key, kind in KINDS.items():
        rest = 0 if key in ("data", "desk", "desk_small", "floor_box") else kind.power
        ports = tuple(
            PortTemplate(
                service=kind.service,
                cable_type=copper,
                power_class=kind.power if i == 0 else rest,
                termination=kind.termination,
            )
            for i in range(kind.ports)
        )
        ids[key] = made.add(
            OutletKind(
                id=made.id("outlet-kind"),
                name=kind.name,
                symbol=kind.symbol,
                height_mm=None if kind.height_m is None else mm(kind.height_m),
                way_down=kind.way_down,
                ports=ports,
                fixture=kind.fixture,
            )
        )
    return ids
