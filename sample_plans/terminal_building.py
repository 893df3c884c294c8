"""The invented ferry terminal: its rooms, pathways, risers and frames, in metres.

The x axis runs along the quay from the west, the y axis from the street (0) to the quay (32).
"""

from typing import NamedTuple

LENGTH_M, DEPTH_M = 145.0, 32.0
BAY_M = 7.25
ROWS_M = (0.0, 8.0, 16.0, 24.0, 32.0)
SPINE_Y = 15.25


class Storey(NamedTuple):
    name: str
    title: str
    level_m: float
    floor_to_floor_m: float
    spine_height_m: float
    spine_width_mm: float
    spine_from_x: float


STOREYS = (
    Storey("0", "Arrivals, tickets, baggage, border, freight", 0.0, 5.4, 3.10, 400.0, 4.0),
    Storey("1", "Check-in, security, lounge, gates", 5.4, 4.8, 3.30, 400.0, 4.0),
    Storey("2", "Offices and control room", 10.2, 4.2, 3.00, 300.0, 31.0),
)
SPINE_TO_X = 141.0


class Room(NamedTuple):
    floor: int
    number: str
    name: str
    x0: float
    x1: float
    y0: float
    y1: float
    use: str
    ceiling: str = "accessible"
    ceiling_m: float = 2.70
    door: str = ""
    """Where its door is: n (towards the quay), s (street), e, w, or empty for the corridor side."""


ROOMS = (
    Room(0, "0.01", "Entrance facility", 0, 4, 0, 5, "entrance", "none", 4.4, "n"),
    Room(0, "0.09", "Public toilets", 4, 14.5, 0, 14, "toilet"),
    Room(0, "0.20", "Refuse", 0, 4, 5, 14, "store"),
    Room(0, "0.02", "Car hire, tourist desks", 14.5, 29, 0, 14, "service_desk", "hard", 4.2),
    Room(0, "0.03", "Entrance and ticket hall", 29, 72.5, 0, 14, "hall", "hard", 4.2),
    Room(0, "0.04", "Café and kitchen", 72.5, 87, 0, 14, "kitchen", "accessible", 3.0),
    Room(0, "0.05", "Arrivals hall", 87, 123.25, 0, 14, "hall", "hard", 4.2),
    Room(0, "0.06", "Left luggage, taxis", 123.25, 130.5, 0, 14, "service_desk"),
    Room(0, "0.07", "Freight drivers' check-in", 130.5, 145, 0, 14, "service_desk", "hard", 4.2),
    Room(0, "0.08", "Service corridor", 0, 145, 14, 16.5, "corridor"),
    Room(0, "0.10", "Plant", 0, 14.5, 16.5, 32, "plant", "open", 4.8),
    Room(0, "0.11", "LV switch room", 14.5, 21.75, 16.5, 32, "low_voltage", "open", 4.8),
    Room(0, "0.12", "Workshop, stores", 21.75, 36.25, 16.5, 32, "workshop", "open", 4.8),
    Room(0, "0.13", "Core west", 36.25, 43.5, 16.5, 26, "corridor"),
    Room(0, "0.14", "Baggage hall", 43.5, 79.75, 16.5, 32, "hall", "open", 4.8),
    Room(0, "0.18", "Police, first aid", 79.75, 87, 16.5, 32, "office"),
    Room(0, "0.15", "Core east", 87, 94.25, 16.5, 26, "corridor"),
    Room(0, "0.16", "Border control, arrivals", 94.25, 108.75, 16.5, 32, "security"),
    Room(0, "0.17", "Customs offices", 108.75, 123.25, 16.5, 32, "office"),
    Room(0, "0.19", "Vehicle, freight inspection", 123.25, 145, 16.5, 32, "hall", "open", 4.8),
    Room(1, "1.01", "Operator's back office", 0, 14.5, 0, 14, "open_office"),
    Room(1, "1.02", "Check-in hall", 14.5, 65.25, 0, 14, "hall", "hard", 3.4),
    Room(1, "1.03", "Security search, 3 lanes", 65.25, 87, 0, 14, "hall", "hard", 3.4),
    Room(1, "1.04", "Departure lounge", 87, 130.5, 0, 14, "waiting", "hard", 3.4),
    Room(1, "1.05", "Bar and kitchen", 130.5, 145, 0, 14, "kitchen", "accessible", 3.0),
    Room(1, "1.06", "Service corridor", 0, 145, 14, 16.5, "corridor"),
    Room(1, "1.10", "Staff canteen, lockers", 0, 36.25, 16.5, 32, "waiting"),
    Room(1, "1.11", "Equipment room", 36.25, 43.5, 18, 23.5, "equipment", "none", 4.2, "s"),
    Room(1, "1.12", "Core west", 36.25, 43.5, 16.5, 18, "corridor"),
    Room(1, "1.12A", "Lobby", 36.25, 43.5, 23.5, 26, "corridor", door="n"),
    Room(1, "1.13", "Gate lounge A", 43.5, 87, 16.5, 32, "waiting"),
    Room(1, "1.14", "Core east", 87, 94.25, 16.5, 26, "corridor"),
    Room(1, "1.15", "Duty-free shop", 94.25, 116, 16.5, 32, "shop"),
    Room(1, "1.16", "Gate lounge B", 116, 137.75, 16.5, 32, "waiting"),
    Room(1, "1.17", "Exit control booths", 137.75, 145, 16.5, 32, "security"),
    Room(2, "2.00", "Void of the hall below", 29, 145, 0, 14, "void", "none", 4.0),
    Room(2, "2.02", "Corridor, gallery", 29, 145, 14, 16.5, "corridor"),
    Room(2, "2.07", "Plant, lift machines", 29, 43.5, 16.5, 32, "plant", "open", 3.9),
    Room(2, "2.01", "Open-plan office", 43.5, 79.75, 16.5, 32, "open_office"),
    Room(2, "2.08", "Core east", 79.75, 94.25, 16.5, 26, "corridor"),
    Room(2, "2.09", "Archive", 79.75, 87, 26, 32, "store", door="s"),
    Room(2, "2.03", "Meeting rooms", 94.25, 108.75, 16.5, 32, "meeting"),
    Room(2, "2.04", "Operations offices", 108.75, 123.25, 16.5, 32, "office"),
    Room(2, "2.05", "Port control room", 123.25, 137.75, 16.5, 32, "office"),
    Room(2, "2.06", "Harbour master, crew", 137.75, 145, 16.5, 32, "office"),
)

CLOSETS = (
    Room(0, "0.13A", "Frame room 0A", 38.5, 41.5, 18.6, 21.4, "telecom", "none", 4.8, "s"),
    Room(1, "1.14A", "Frame room 1B", 90, 93, 18.5, 21.9, "telecom", "none", 4.2, "s"),
)
"""Rooms that stand inside a core; the core's outline has them as holes."""

CORE_ROOMS = tuple(
    room
    for floor, west, east in ((0, "0.13", "0.15"), (1, "1.12", "1.14"), (2, "", "2.08"))
    for room in (
        *(
            (
                Room(floor, f"{west}B", "Toilets", 36.25, 41.5, 26, 28.5, "toilet", door="s"),
                Room(floor, f"{west}C", "Stair", 36.25, 43.5, 28.5, 32, "stair", door="n"),
                Room(floor, f"{west}D", "Lift", 41.5, 43.5, 26, 28.5, "lift_shaft", door="s"),
            )
            if west
            else ()
        ),
        Room(floor, f"{east}B", "Toilets", 87, 92.25, 26, 28.5, "toilet", door="s"),
        Room(floor, f"{east}C", "Stair", 87, 94.25, 28.5, 32, "stair", door="n"),
        Room(floor, f"{east}D", "Lift", 92.25, 94.25, 26, 28.5, "lift_shaft", door="s"),
    )
)

SHAFTS = tuple(
    Room(floor, f"{floor}.S", "Services shaft", 125.2, 126.4, 16.6, 17.3, "services_shaft")
    for floor in (0, 1, 2)
)
"""Drawn, with no sleeves in it: a new riser here would need its holes cored."""


class Branch(NamedTuple):
    floor: int
    kind: str
    x: float
    to_y: float
    height_m: float


def _branches() -> tuple[Branch, ...]:
    made: list[Branch] = []
    for x in (21.75, 36.25, 50.75, 65.25, 79.75, 94.25, 108.75, 126.9, 137.75):
        made.append(Branch(0, "hooks", x, 3.0, 4.40))
    for x in (7.25, 29.0, 83.4, 101.5, 112.4, 119.6):
        made.append(Branch(0, "hooks", x, 28.0, 3.10))
    for x in (50.75, 65.25, 126.9, 141.0):
        made.append(Branch(0, "basket", x, 28.0, 4.60))
    for bay in range(10):
        x = 7.25 + 14.5 * bay
        if x <= 137.75:
            made.append(Branch(1, "hooks", x, 3.0, 3.60))
    for x in (7.25, 21.75, 50.75, 65.25, 79.75, 101.5, 112.4, 123.25, 137.75):
        made.append(Branch(1, "hooks", x, 28.0, 3.60))
    for x in (47.1, 54.4, 61.6, 68.9, 76.1, 101.5, 112.4, 119.6, 130.5, 141.0):
        made.append(Branch(2, "hooks", x, 28.0, 3.00))
    return tuple(made)


BRANCHES = _branches()


UNDERFLOOR_X = (47.1, 54.4, 61.6, 68.9, 76.1)
"""Where baskets leave the hooks of the open-plan office, go down its corridor wall, and run
under its raised floor to the floor boxes."""
UNDERFLOOR_FROM_Y, UNDERFLOOR_TO_Y = 16.7, 28.0
UNDERFLOOR_M, RAISED_FLOOR_M = -0.15, 0.30
RAISED_FLOORS = ("2.01",)


class Stub(NamedTuple):
    """A ladder or basket 300 x 60 from the spine to a frame or a riser."""

    floor: int
    kind: str
    x: float
    to_y: float


STUBS = (
    Stub(0, "ladder", 40.0, 20.0),
    Stub(1, "ladder", 40.0, 21.0),
    Stub(1, "ladder", 91.5, 20.0),
    *(Stub(floor, "basket", x, 17.5) for x in (38.0, 89.0) for floor in (0, 1, 2)),
)

FRAMES = (
    ("0A", 0, "intermediate", 40.0, 20.0),
    ("M", 1, "main", 40.0, 21.0),
    ("1B", 1, "intermediate", 91.5, 20.0),
)
CANDIDATES = (
    ("C0", 0, 124.0, 17.5, "customs store"),
    ("C1", 1, 124.0, 17.5, "10 m² of gate lounge B, which the operator must agree to give up"),
    ("C2", 2, 124.0, 17.5, "control room store"),
)
RISERS = (("R1", 38.0, 17.5), ("R2", 89.0, 17.5))
DEMARCATION = (2.0, 2.0)
ENTRANCE_CONDUITS = ((2.0, 2.0), (2.0, 15.25), (4.0, 15.25))
RATED_WALLS_X = (43.5, 87.0, 101.5)
