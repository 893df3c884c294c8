"""Where cable lies: pathways, what sits on them, risers, ducts, crossings of walls and floors.

`None` in a field that has a default elsewhere (settings) means "as there".
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
    SizeMm,
    Text,
    Vertex,
)
from app.model.vocabulary import AccessKind, Crossed, PathwayKind, ProvidedBy, RiserKind, State


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

    The heights of its ends count from their own floors, all between from the lower of both.
    Horizontal runs may use it only where `horizontal_allowed`.
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


class WalkedLength(Entity, frozen=True, kw_only=True):
    """A length that somebody walked or measured, at a place on a pathway, riser or duct.

    `added_mm` is had by every cable that passes the place ("4 m round the duct").
    `replaced_mm` stands for the drawn length of the straight stretch that the place lies on;
    of a riser: of the storey above `floor`. Either wants a reason.
    """

    floor: Id
    along: Id
    x_mm: Mm
    y_mm: Mm
    added_mm: Mm = 0
    replaced_mm: LengthMm | None = None
    reason: Text = ""
    by: Name = ""
    date: Name = ""


class Penetration(Entity, frozen=True, kw_only=True):
    """A crossing of a wall or a floor: what was opened, by what it is closed, and by whom.

    `through` is the pathway, riser or duct whose cables pass it. A floor is crossed upwards:
    the crossing of a floor is on the floor whose slab it is. Round sleeves have `bore_mm`;
    openings `width_mm` and `depth_mm`. `rating` is as the building's papers give it
    ("EI 60", "1 h").
    """

    floor: Id
    x_mm: Mm
    y_mm: Mm
    crossed: Crossed = Crossed.WALL
    through: Id | None = None
    number: Name = ""
    rotation_mdeg: Mdeg = 0
    rating: Name = ""
    bore_mm: SizeMm | None = None
    width_mm: SizeMm | None = None
    depth_mm: SizeMm | None = None
    count: Annotated[int, Meta(ge=1, le=200)] = 1
    barrier: Name = ""
    photograph: Name = ""
    inspected_by: Name = ""
    inspected_on: Name = ""
    cables_by_hand: Count | None = None
    state: State = State.NEW
    phase: Annotated[int, Meta(ge=0, le=99)] = 0
    provided_by: ProvidedBy = ProvidedBy.US
    note: Text = ""
