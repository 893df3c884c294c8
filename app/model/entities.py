"""The things a project holds: frozen records that refer to one another by id.

Positions are integer millimetres in the site's axes, shared by all its buildings; heights
are millimetres above the finished floor of the thing's own floor; angles are integer
thousandths of a degree, anticlockwise. `None` in a field that has a default elsewhere
(outlet kind, settings) means "as there".
"""

from functools import cache
from typing import Annotated

import msgspec
from msgspec import Meta

from app.model.vocabulary import (
    AccessKind,
    Ceiling,
    Fixture,
    FrameKind,
    FrameRole,
    Medium,
    PathwayKind,
    ProvidedBy,
    RiserKind,
    ScaledBy,
    Serves,
    SpaceUse,
    State,
    Termination,
    WayDown,
)

FURTHEST_MM = 10_000_000
Mm = Annotated[int, Meta(ge=-FURTHEST_MM, le=FURTHEST_MM)]
FarMm = Annotated[int, Meta(ge=-(10**13), le=10**13)]
"""Where the zero of a drawing's own axes may lie: surveyors' coordinates are far away."""
LengthMm = Annotated[int, Meta(ge=0, le=FURTHEST_MM)]
Mdeg = Annotated[int, Meta(ge=-360_000, le=360_000)]
Count = Annotated[int, Meta(ge=0, le=1_000_000)]
Text = Annotated[str, Meta(max_length=4_000)]
Name = Annotated[str, Meta(max_length=200)]
SizeMm = Annotated[float, Meta(gt=0, le=10_000)]
Id = Annotated[str, Meta(max_length=64, pattern="^[a-z][a-z-]*(-[0-9a-z]{8})?$")]

Point = tuple[Mm, Mm]
"""x_mm, y_mm."""
Vertex = tuple[Mm, Mm, Mm]
"""x_mm, y_mm, height_mm above the finished floor."""


@cache
def tag_of(class_name: str) -> str:
    """`OutletKind` -> `outlet-kind`: the tag in files and the prefix of ids."""
    return "".join(f"-{c.lower()}" if c.isupper() else c for c in class_name).lstrip("-")


class Record(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A value inside an entity."""


class Entity(
    msgspec.Struct,
    frozen=True,
    kw_only=True,
    forbid_unknown_fields=True,
    tag_field="entity",
    tag=tag_of,
):
    """A thing with an id; `id` is `tag-xxxxxxxx`, or the bare tag where there is only one."""

    id: Id


# --- the building ---------------------------------------------------------------------------


class Site(Entity, frozen=True, kw_only=True):
    """The project's own card: there is one, with id `site`."""

    name: Name = ""
    client: Name = ""
    address: Text = ""
    drawn_by: Name = ""
    checked_by: Name = ""
    revision: Name = ""
    note: Text = ""


class Building(Entity, frozen=True, kw_only=True):
    name: Name


class Floor(Entity, frozen=True, kw_only=True):
    """One storey. `level_mm` is absolute, of the finished floor."""

    building: Id
    name: Name
    level_mm: Mm
    floor_to_floor_mm: LengthMm = 3_600
    grid_angle_mdeg: Mdeg = 0
    note: Text = ""


class Plan(Entity, frozen=True, kw_only=True):
    """A drawing that lies under a floor.

    A point (u, v) of the file stands at `rotate((u, v) * mm_per_unit) + (x_mm, y_mm)`.
    """

    floor: Id
    name: Name
    source_name: Name
    source_sha256: Name
    drawing_sha256: Name
    mm_per_unit: Annotated[float, Meta(gt=0, le=1e7)]
    scaled_by: ScaledBy = ScaledBy.NOT_SCALED
    scale_note: Text = ""
    x_mm: FarMm = 0
    y_mm: FarMm = 0
    rotation_mdeg: Mdeg = 0
    visible: bool = True
    dim_percent: Annotated[int, Meta(ge=0, le=95)] = 40
    hidden_layers: tuple[Name, ...] = ()
    snap: bool = True
    order: int = 0


class Requirement(Record, frozen=True, kw_only=True):
    """So many outlets of a kind are asked for in a space."""

    kind: Id
    count: Count


class Space(Entity, frozen=True, kw_only=True):
    """A room or corridor: outline without repeated first point, either direction."""

    floor: Id
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    number: Name = ""
    name: Name = ""
    use: SpaceUse = SpaceUse.UNKNOWN
    ceiling: Ceiling = Ceiling.ACCESSIBLE
    ceiling_height_mm: Mm | None = None
    raised_floor_mm: LengthMm = 0
    grid_angle_mdeg: Mdeg | None = None
    divisible: bool | None = None
    closed_to_cable: bool | None = None
    required: tuple[Requirement, ...] = ()
    note: Text = ""


# --- what is laid ---------------------------------------------------------------------------


class CableType(Entity, frozen=True, kw_only=True):
    """A cable as bought. `limit_mm` holds for a run (permanent link) or a backbone cable."""

    name: Name
    medium: Medium = Medium.BALANCED
    category: Name = ""
    shielded: bool = False
    od_mm: SizeMm
    weight_g_per_m: Annotated[float, Meta(ge=0, le=100_000)] = 0.0
    flame_class: Name = ""
    limit_mm: LengthMm = 90_000
    limit_source: Name = "lengths.permanent_link"
    frame_slack_mm: LengthMm = 3_000
    box_mm: LengthMm = 305_000
    box_usable_mm: LengthMm = 302_000
    note: Text = ""


class PortTemplate(Record, frozen=True, kw_only=True):
    """One port of an outlet kind."""

    service: Name = "data"
    cable_type: Id
    power_class: Annotated[int, Meta(ge=0, le=8)] = 0
    termination: Termination = Termination.JACK


class OutletKind(Entity, frozen=True, kw_only=True):
    """A sort of outlet. `height_mm` None means at the ceiling of its space."""

    name: Name
    symbol: Name = "data"
    height_mm: Mm | None = 450
    way_down: WayDown = WayDown.WALL_CAVITY
    ports: tuple[PortTemplate, ...]
    slack_mm: LengthMm = 300
    limit_mm: LengthMm | None = None
    limit_source: Name = ""
    fixture: Fixture = Fixture.FACEPLATE
    note: Text = ""


class TesterRecord(Record, frozen=True, kw_only=True):
    """What a tester said of a run."""

    passed: bool
    length_mm: LengthMm | None = None
    date: Name = ""


class Port(Record, frozen=True, kw_only=True):
    """What is counted and cabled; its id names the run too.

    `added_mm` lengthens the run, `replaced_mm` replaces its whole installed length; both
    want a reason. `frame` is set only where the run's frame is fixed by hand.
    """

    id: Id
    label: Name = ""
    service: Name = "data"
    cable_type: Id
    cable_number: Name = ""
    power_class: Annotated[int, Meta(ge=0, le=8)] = 0
    termination: Termination = Termination.JACK
    frame: Id | None = None
    state: State | None = None
    spare: bool = False
    added_mm: Mm = 0
    replaced_mm: LengthMm | None = None
    length_reason: Text = ""
    test: TesterRecord | None = None


class Outlet(Entity, frozen=True, kw_only=True):
    """One plate at a position, turned to its wall (`rotation_mdeg`), with its ports."""

    floor: Id
    kind: Id
    x_mm: Mm
    y_mm: Mm
    number: Name = ""
    rotation_mdeg: Mdeg = 0
    height_mm: Mm | None = None
    way_down: WayDown | None = None
    slack_mm: LengthMm | None = None
    ports: tuple[Port, ...]
    state: State = State.NEW
    phase: Annotated[int, Meta(ge=0, le=99)] = 0
    provided_by: ProvidedBy = ProvidedBy.US
    note: Text = ""


class Frame(Entity, frozen=True, kw_only=True):
    """A distribution frame.

    Cable comes from a pathway, by the `entry` into the room where one is given, over the
    ladder at `ladder_height_mm` (None: at the pathway's own height) to the panels.
    """

    floor: Id
    name: Name
    kind: FrameKind = FrameKind.INTERMEDIATE
    roles: tuple[FrameRole, ...] = (FrameRole.FLOOR,)
    x_mm: Mm
    y_mm: Mm
    rotation_mdeg: Mdeg = 0
    entry: Point | None = None
    ladder_height_mm: Mm | None = None
    panel_height_mm: Mm | None = None
    dressing_mm: LengthMm | None = None
    serves: Serves | None = None
    reserved_for: Name = ""
    ports_max: Count | None = None
    area_max_m2: Count | None = None
    racks: Annotated[int, Meta(ge=0, le=200)] = 1
    state: State = State.NEW
    phase: Annotated[int, Meta(ge=0, le=99)] = 0
    provided_by: ProvidedBy = ProvidedBy.US
    note: Text = ""


class Candidate(Entity, frozen=True, kw_only=True):
    """A place where a frame could stand, marked to be compared."""

    floor: Id
    name: Name
    x_mm: Mm
    y_mm: Mm
    ladder_height_mm: Mm | None = None
    reason_against: Text = ""


class Demarcation(Entity, frozen=True, kw_only=True):
    """Where a carrier's property ends; `height_mm` is the middle of its board."""

    floor: Id
    name: Name
    x_mm: Mm
    y_mm: Mm
    height_mm: Mm = 1_500
    carrier: Name = ""
    state: State = State.EXISTING
    provided_by: ProvidedBy = ProvidedBy.OTHERS
    note: Text = ""


class BackboneCable(Entity, frozen=True, kw_only=True):
    """Frame to frame, or demarcation to frame (then it is the demarcation extension)."""

    name: Name
    from_id: Id
    to_id: Id
    cable_type: Id
    count: Annotated[int, Meta(ge=1, le=10_000)] = 1
    strands: Count = 0
    slack_from_mm: LengthMm = 5_000
    slack_to_mm: LengthMm = 5_000
    limit_mm: LengthMm | None = None
    added_mm: Mm = 0
    replaced_mm: LengthMm | None = None
    length_reason: Text = ""
    state: State = State.NEW
    phase: Annotated[int, Meta(ge=0, le=99)] = 0
    provided_by: ProvidedBy = ProvidedBy.US
    note: Text = ""


# --- where it lies --------------------------------------------------------------------------


class Pathway(Entity, frozen=True, kw_only=True):
    """A line along which cable can lie; a vertex has its own height, so it may slope or drop.

    Open kinds have `width_mm` and `depth_mm` inside; round ones `bore_mm`; hooks the area of
    one hook's opening as `opening_mm2`. `count` is the number of parallel conduits or ducts.
    """

    floor: Id
    kind: PathwayKind
    vertices: tuple[Vertex, ...]
    number: Name = ""
    width_mm: SizeMm | None = None
    depth_mm: SizeMm | None = None
    bore_mm: SizeMm | None = None
    opening_mm2: Annotated[float, Meta(gt=0, le=1e6)] | None = None
    count: Annotated[int, Meta(ge=1, le=200)] = 1
    fill_limit_percent: Annotated[float, Meta(gt=0, le=100)] | None = None
    insert_spacing_mm: LengthMm | None = None
    hook_spacing_mm: LengthMm | None = None
    state: State = State.NEW
    phase: Annotated[int, Meta(ge=0, le=99)] = 0
    provided_by: ProvidedBy = ProvidedBy.US
    note: Text = ""


class AccessPoint(Entity, frozen=True, kw_only=True):
    """A pull box on a conduit, or an insert or box on a floor duct."""

    floor: Id
    pathway: Id
    x_mm: Mm
    y_mm: Mm
    kind: AccessKind = AccessKind.PULL_BOX
    number: Name = ""
    state: State = State.NEW
    provided_by: ProvidedBy = ProvidedBy.US


class DropOut(Entity, frozen=True, kw_only=True):
    """A fitting that joins two pathways where they cross at different heights."""

    floor: Id
    pathway_a: Id
    pathway_b: Id
    x_mm: Mm
    y_mm: Mm
    state: State = State.NEW
    provided_by: ProvidedBy = ProvidedBy.US


class Break(Entity, frozen=True, kw_only=True):
    """Two pathways that meet here are kept apart by the user."""

    floor: Id
    pathway_a: Id
    pathway_b: Id
    x_mm: Mm
    y_mm: Mm


class Riser(Entity, frozen=True, kw_only=True):
    """A pathway between floors, from the lower floor's point to the upper floor's.

    It passes every floor of the building between the two.
    """

    kind: RiserKind = RiserKind.SLEEVES
    number: Name = ""
    lower_floor: Id
    upper_floor: Id
    lower: Point
    upper: Point
    bore_mm: SizeMm | None = 103.0
    width_mm: SizeMm | None = None
    depth_mm: SizeMm | None = None
    count: Annotated[int, Meta(ge=1, le=200)] = 1
    fill_limit_percent: Annotated[float, Meta(gt=0, le=100)] | None = None
    fire_rating: Name = ""
    state: State = State.NEW
    phase: Annotated[int, Meta(ge=0, le=99)] = 0
    provided_by: ProvidedBy = ProvidedBy.US
    note: Text = ""


class OutdoorDuct(Entity, frozen=True, kw_only=True):
    """A duct between two places outdoors, entered at its ends only.

    Heights of the vertices count from the lower floor level of `from_floor`, the last one's
    from `to_floor`. Horizontal runs may use it only where `horizontal_allowed`.
    """

    from_floor: Id
    to_floor: Id
    vertices: tuple[Vertex, ...]
    number: Name = ""
    bore_mm: SizeMm = 103.0
    count: Annotated[int, Meta(ge=1, le=200)] = 1
    fill_limit_percent: Annotated[float, Meta(gt=0, le=100)] | None = None
    horizontal_allowed: bool = False
    state: State = State.NEW
    phase: Annotated[int, Meta(ge=0, le=99)] = 0
    provided_by: ProvidedBy = ProvidedBy.US
    note: Text = ""


class Waiver(Entity, frozen=True, kw_only=True):
    """A finding somebody answers for, with a reason and a name."""

    finding: Name
    reason: Text
    by: Name
    date: Name = ""
