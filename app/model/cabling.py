"""Cable and its ends: cable types, outlets with their ports, frames, backbone.

`None` in a field that has a default elsewhere (outlet kind, settings) means "as there".
"""

from typing import Annotated

from msgspec import Meta

from app.model.fields import (
    Count,
    Entity,
    Id,
    LengthMm,
    Mdeg,
    Mm,
    Name,
    Point,
    Record,
    SizeMm,
    Text,
)
from app.model.vocabulary import (
    Fixture,
    FrameKind,
    FrameRole,
    Medium,
    ProvidedBy,
    Serves,
    State,
    Termination,
    WayDown,
)


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
    """A sort of outlet. `height_mm` None means at the ceiling of its space; `way_provided_by`
    None, that the settings say of each part of its way down who provides it."""

    name: Name
    symbol: Name = "data"
    height_mm: Mm | None = 450
    way_down: WayDown = WayDown.WALL_CAVITY
    way_provided_by: ProvidedBy | None = None
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


class PanelPort(Record, frozen=True, kw_only=True):
    """Where a run ends at a frame: the panel by its name, and the port on it from 1."""

    frame: Id
    panel: Name
    port: Annotated[int, Meta(ge=1, le=1_000)]


class Port(Record, frozen=True, kw_only=True):
    """What is counted and cabled; its id names the run too.

    `added_mm` lengthens the run, `replaced_mm` replaces its whole installed length; both
    want a reason. `frame` is set only where the run's frame is fixed by hand. `via` and
    `never` name pathways, risers and ducts that the run must pass, or must not. `printed`
    says that number, panel and port stand on paper or on a label, and stay. `lying_mm` is
    the length of the cable that lies there today, where it is known; `cable_stays` is what a
    person says of it when its outlet is relocated (None: as far as it reaches).
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
    phase: Annotated[int, Meta(ge=0, le=99)] | None = None
    spare: bool = False
    added_mm: Mm = 0
    replaced_mm: LengthMm | None = None
    length_reason: Text = ""
    test: TesterRecord | None = None
    ends_at: PanelPort | None = None
    printed: bool = False
    via: tuple[Id, ...] = ()
    never: tuple[Id, ...] = ()
    lying_mm: LengthMm | None = None
    cable_stays: bool | None = None


class OldPlace(Record, frozen=True, kw_only=True):
    """Where an outlet that is relocated stands today."""

    floor: Id
    x_mm: Mm
    y_mm: Mm
    height_mm: Mm | None = None


class Outlet(Entity, frozen=True, kw_only=True):
    """One plate at a position, turned to its wall (`rotation_mdeg`), with its ports.

    `number_printed` freezes the number; `was_at` is where it stands until it is relocated;
    `way_provided_by` is who provides all parts of its way down (None: as its kind).
    """

    floor: Id
    kind: Id
    x_mm: Mm
    y_mm: Mm
    number: Name = ""
    number_printed: bool = False
    rotation_mdeg: Mdeg = 0
    height_mm: Mm | None = None
    way_down: WayDown | None = None
    way_provided_by: ProvidedBy | None = None
    slack_mm: LengthMm | None = None
    ports: tuple[Port, ...]
    was_at: OldPlace | None = None
    state: State = State.NEW
    phase: Annotated[int, Meta(ge=0, le=99)] = 0
    provided_by: ProvidedBy = ProvidedBy.US
    note: Text = ""


class Panel(Record, frozen=True, kw_only=True):
    """A patch panel for one type of cable; `name` is what its ports are called by (A, B …)."""

    name: Name
    port_count: Annotated[int, Meta(ge=1, le=1_000)] = 24
    cable_type: Id
    state: State = State.NEW


class Frame(Entity, frozen=True, kw_only=True):
    """A distribution frame.

    Cable comes from a pathway, by the `entry` into the room where one is given, over the
    ladder at `ladder_height_mm` (None: at the pathway's own height) to the panels. Reserved
    for a tenant it serves the spaces of that tenant and no others; for a service, the ports
    of that service and no others. `panels` are those that stand and those that were named
    when ports were given; what is needed beyond them is counted by the takeoff.
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
    reserved_tenant: Name = ""
    reserved_service: Name = ""
    ports_max: Count | None = None
    area_max_m2: Count | None = None
    racks: Annotated[int, Meta(ge=0, le=200)] = 1
    panels: tuple[Panel, ...] = ()
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
