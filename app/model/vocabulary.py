"""The closed lists of words an entity's field may hold, as they are stored."""

from enum import StrEnum


class State(StrEnum):
    """Whether a thing stands, comes, goes or waits."""

    EXISTING = "existing"
    NEW = "new"
    TO_REMOVE = "to_remove"
    TO_RELOCATE = "to_relocate"
    FUTURE = "future"


class ProvidedBy(StrEnum):
    """Who brings a thing to site; only what is by us is ordered."""

    US = "us"
    OTHERS = "others"
    OWNER = "owner"
    REUSED = "reused"


class Units(StrEnum):
    METRIC = "metric"
    US = "us"


class Ceiling(StrEnum):
    ACCESSIBLE = "accessible"
    HARD = "hard"
    OPEN = "open"
    NONE = "none"


class SpaceUse(StrEnum):
    """What a space is for; some uses close it to cable (see `closed_to_cable`)."""

    UNKNOWN = "unknown"
    OFFICE = "office"
    OPEN_OFFICE = "open_office"
    MEETING = "meeting"
    RECEPTION = "reception"
    SERVICE_DESK = "service_desk"
    SHOP = "shop"
    SECURITY = "security"
    CLASSROOM = "classroom"
    CLINIC = "clinic"
    WAITING = "waiting"
    HALL = "hall"
    CORRIDOR = "corridor"
    STORE = "store"
    WORKSHOP = "workshop"
    PLANT = "plant"
    LOW_VOLTAGE = "low_voltage"
    TELECOM = "telecom"
    EQUIPMENT = "equipment"
    ENTRANCE = "entrance"
    KITCHEN = "kitchen"
    TOILET = "toilet"
    SERVICES_SHAFT = "services_shaft"
    LIFT_SHAFT = "lift_shaft"
    STAIR = "stair"
    VOID = "void"
    NO_CABLE = "no_cable"
    OUTSIDE = "outside"


USES_CLOSED_TO_CABLE = frozenset(
    {
        SpaceUse.LIFT_SHAFT,
        SpaceUse.STAIR,
        SpaceUse.VOID,
        SpaceUse.NO_CABLE,
        SpaceUse.OUTSIDE,
    }
)
USES_DIVISIBLE = frozenset(
    {SpaceUse.OPEN_OFFICE, SpaceUse.HALL, SpaceUse.CORRIDOR, SpaceUse.WAITING}
)


class WayDown(StrEnum):
    """How cable gets from a pathway to its outlet, and whose floor's pathway that is."""

    WALL_CAVITY = "wall_cavity"
    SURFACE_RACEWAY = "surface_raceway"
    SERVICE_POLE = "service_pole"
    CEILING = "ceiling"
    RAISED_FLOOR = "raised_floor"
    POKE_THROUGH = "poke_through"
    OUTDOOR_CONDUIT = "outdoor_conduit"


class WayPart(StrEnum):
    """What a way down is made of, besides the plate and the cable."""

    BACK_BOX = "back_box"
    STUB = "stub"
    RACEWAY = "raceway"
    MOUNTING_BOX = "mounting_box"
    POLE = "pole"
    FLOOR_BOX = "floor_box"
    POKE_THROUGH_FITTING = "poke_through_fitting"
    CORED_HOLE = "cored_hole"
    CONDUIT = "conduit"


class PathwayKind(StrEnum):
    LADDER = "ladder"
    TRAY = "tray"
    BASKET = "basket"
    HOOKS = "hooks"
    SURFACE_RACEWAY = "surface_raceway"
    CONDUIT = "conduit"
    UNDERFLOOR_DUCT = "underfloor_duct"
    IN_FLOOR_DUCT = "in_floor_duct"


OPEN_KINDS = frozenset(
    {
        PathwayKind.LADDER,
        PathwayKind.TRAY,
        PathwayKind.BASKET,
        PathwayKind.HOOKS,
        PathwayKind.SURFACE_RACEWAY,
    }
)
"""Cable enters and leaves these anywhere along the way."""

INSERT_KINDS = frozenset({PathwayKind.UNDERFLOOR_DUCT, PathwayKind.IN_FLOOR_DUCT})
"""Cable enters these at inserts and boxes, and at their ends."""


class AccessKind(StrEnum):
    """A place made on a closed pathway so that cable can enter it there."""

    PULL_BOX = "pull_box"
    INSERT = "insert"


class RiserKind(StrEnum):
    SLEEVES = "sleeves"
    SLOT = "slot"
    SHAFT = "shaft"
    CONDUIT = "conduit"


class Crossed(StrEnum):
    """What a penetration goes through."""

    WALL = "wall"
    FLOOR = "floor"


class FrameKind(StrEnum):
    MAIN = "main"
    INTERMEDIATE = "intermediate"


class FrameRole(StrEnum):
    """The distributor roles of ISO/IEC 11801; one frame may play several."""

    CAMPUS = "campus"
    BUILDING = "building"
    FLOOR = "floor"


class Serves(StrEnum):
    """Which floors a frame may serve, counted from its own."""

    OWN = "own"
    NEXT = "next"
    ANY = "any"


class Medium(StrEnum):
    BALANCED = "balanced"
    FIBRE = "fibre"
    COAX = "coax"


class Termination(StrEnum):
    """What ends a run at the outlet."""

    JACK = "jack"
    FIELD_PLUG = "field_plug"


class PanelKind(StrEnum):
    """How panels come: with jacks, without, or to be punched down."""

    LOADED = "loaded"
    UNLOADED = "unloaded"
    PUNCH_DOWN = "punch_down"


class Fixture(StrEnum):
    """What the outlet's ports sit in."""

    FACEPLATE = "faceplate"
    SURFACE_BOX = "surface_box"
    FLOOR_BOX = "floor_box"
    NONE = "none"


class ScaledBy(StrEnum):
    """On whose authority a plan has its scale; `NOT_SCALED` is said everywhere."""

    NOT_SCALED = "not_scaled"
    FILE_HEADER = "file_header"
    EVIDENCE = "evidence"
    USER_UNIT = "user_unit"
    CALIBRATED = "calibrated"
