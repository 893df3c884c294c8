"""The building: site, floors, plans, spaces, and what the client asks for in them.

`None` in a field that has a default elsewhere (settings) means "as there".
"""

from typing import Annotated

from msgspec import Meta

from app.model.fields import Count, Entity, FarMm, Id, LengthMm, Mdeg, Mm, Name, Point, Record, Text
from app.model.vocabulary import Ceiling, ScaledBy, SpaceUse


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
    """A room or corridor: outline without repeated first point, either direction.

    `ceiling_hatches`: how many openings give access above a hard ceiling.
    """

    floor: Id
    outline: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    number: Name = ""
    name: Name = ""
    use: SpaceUse = SpaceUse.UNKNOWN
    ceiling: Ceiling = Ceiling.ACCESSIBLE
    ceiling_height_mm: Mm | None = None
    ceiling_hatches: Count = 0
    raised_floor_mm: LengthMm = 0
    grid_angle_mdeg: Mdeg | None = None
    divisible: bool | None = None
    closed_to_cable: bool | None = None
    required: tuple[Requirement, ...] = ()
    tenant: Name = ""
    note: Text = ""


class ServingZone(Entity, frozen=True, kw_only=True):
    """A part of a floor whose outlets a frame serves, drawn over spaces that are divisible."""

    floor: Id
    outline: tuple[Point, ...]
    frame: Id
    name: Name = ""
    note: Text = ""


class ColumnMatch(Record, frozen=True, kw_only=True):
    """What a column of a client's list says: `means` is a field of `RoomLine` or a kind's id."""

    heading: Name
    means: Name


class ClientList(Entity, frozen=True, kw_only=True):
    """A room schedule as it was read in; its columns are matched in the same way next time."""

    name: Name
    source_name: Name = ""
    read_on: Name = ""
    columns: tuple[ColumnMatch, ...] = ()
    note: Text = ""


class RoomLine(Entity, frozen=True, kw_only=True):
    """One line of a client's list. `space` is set where a person said which room is meant;
    else it is the space with the line's number (on the floor of that name, if one is given).
    """

    client_list: Id
    line: Count
    number: Name = ""
    name: Name = ""
    floor_name: Name = ""
    use: Name = ""
    area_m2: Annotated[float, Meta(ge=0, le=1e7)] | None = None
    required: tuple[Requirement, ...] = ()
    space: Id | None = None
    note: Text = ""
