"""What the next thing drawn will be: kinds, sizes and heights as last chosen."""

import msgspec

from app.model.entities import Kit, OutletKind
from app.model.project import Project
from app.model.vocabulary import (
    AccessKind,
    FrameKind,
    PathwayKind,
    ProvidedBy,
    RiserKind,
    SpaceUse,
    State,
)


class NextPathway(msgspec.Struct, frozen=True, kw_only=True):
    """`height_mm` None: the default of its kind in the settings."""

    kind: PathwayKind = PathwayKind.BASKET
    height_mm: int | None = None
    width_mm: float | None = 300.0
    depth_mm: float | None = 60.0
    bore_mm: float | None = 27.0
    opening_mm2: float | None = None
    count: int = 1


class NextRiser(msgspec.Struct, frozen=True, kw_only=True):
    """Floors None: the floor in view and the one above it.

    `stubs`: short pathways join it to the nearest pathway of each floor.
    """

    kind: RiserKind = RiserKind.SLEEVES
    lower_floor: str | None = None
    upper_floor: str | None = None
    count: int = 3
    bore_mm: float = 103.0
    width_mm: float | None = None
    depth_mm: float | None = None
    straight_up: bool = True
    stubs: bool = True


class NextPenetration(msgspec.Struct, frozen=True, kw_only=True):
    """Bore None: as the pathway or riser is; `rating` and `barrier` as typed last."""

    bore_mm: float | None = None
    count: int = 1
    rating: str = ""
    barrier: str = ""


class NextRow(msgspec.Struct, frozen=True, kw_only=True):
    """Outlets along a line: so many, or (count None) one every `spacing_mm`."""

    count: int | None = None
    spacing_mm: int = 2_500


class NextDrawn(msgspec.Struct, frozen=True, kw_only=True):
    """`outlet_kind` None: the first kind of the project; `frame_kind` None: main while there is
    no main frame, then intermediate; `zone_frame` None: the nearest; `number_pattern` None: that
    of the settings. `from_list`: outlets are of the kinds that their room still wants. Change by
    `msgspec.structs.replace`.
    """

    outlet_kind: str | None = None
    outlet_height_mm: int | None = None
    turn_to_wall: bool = True
    kit: str | None = None
    from_list: bool = False
    row: NextRow = NextRow()
    pathway: NextPathway = NextPathway()
    access_kind: AccessKind = AccessKind.PULL_BOX
    riser: NextRiser = NextRiser()
    penetration: NextPenetration = NextPenetration()
    duct_bore_mm: float = 103.0
    duct_count: int = 1
    frame_kind: FrameKind | None = None
    space_use: SpaceUse = SpaceUse.OFFICE
    carrier: str = ""
    zone_frame: str | None = None
    walked_by: str = ""
    plan: str | None = None
    number_pattern: str | None = None
    square: bool = True
    snap: bool = True
    state: State = State.NEW
    frame: str | None = None
    """Where the runs of existing outlets end; None: as the rules have it."""
    phase: int = 0
    provided_by: ProvidedBy = ProvidedBy.US


def chosen_kind(project: Project, draws: NextDrawn) -> OutletKind | None:
    """The outlet kind drawn next, or None where the project has none."""
    kinds = project.outlet_kinds
    if draws.outlet_kind is not None and draws.outlet_kind in kinds:
        return kinds[draws.outlet_kind]
    return next(iter(kinds.values()), None)


def chosen_kit(project: Project, draws: NextDrawn) -> Kit | None:
    """The kit stamped next: the one chosen, else the one made last; None where there is none."""
    kits = project.kits
    if draws.kit is not None and draws.kit in kits:
        return kits[draws.kit]
    return list(kits.values())[-1] if kits else None
