"""Every number a user may set for the whole project, with the default of the trade."""

from typing import Annotated

from msgspec import Meta

from app.model.entities import Count, Entity, LengthMm, Mm, Name, Record, SizeMm
from app.model.vocabulary import PanelKind, ProvidedBy, Serves, Units, WayDown, WayPart

Permille = Annotated[int, Meta(ge=0, le=1_000)]
Percent = Annotated[float, Meta(ge=0, le=1_000)]


class WayRule(Record, frozen=True, kw_only=True):
    """A way down has this part; `provided_by` None: by whoever provides the outlet."""

    way: WayDown
    part: WayPart
    provided_by: ProvidedBy | None = None


_BY_OTHERS = ProvidedBy.OTHERS
WAYS = (
    WayRule(way=WayDown.WALL_CAVITY, part=WayPart.BACK_BOX, provided_by=_BY_OTHERS),
    WayRule(way=WayDown.WALL_CAVITY, part=WayPart.STUB, provided_by=_BY_OTHERS),
    WayRule(way=WayDown.SURFACE_RACEWAY, part=WayPart.RACEWAY),
    WayRule(way=WayDown.SURFACE_RACEWAY, part=WayPart.MOUNTING_BOX),
    WayRule(way=WayDown.SERVICE_POLE, part=WayPart.POLE),
    WayRule(way=WayDown.RAISED_FLOOR, part=WayPart.FLOOR_BOX),
    WayRule(way=WayDown.POKE_THROUGH, part=WayPart.POKE_THROUGH_FITTING),
    WayRule(way=WayDown.POKE_THROUGH, part=WayPart.CORED_HOLE, provided_by=_BY_OTHERS),
    WayRule(way=WayDown.OUTDOOR_CONDUIT, part=WayPart.CONDUIT),
)
"""What a new project takes each way down to be made of. Source: ways.parts."""


class Settings(Entity, frozen=True, kw_only=True):
    """There is one, with id `settings`. Whence each default comes: `resources/standards`."""

    units: Units = Units.METRIC

    # lengths
    allowance_permille: Permille = 50
    trim_mm: LengthMm = 300
    pull_head_mm: LengthMm = 500
    panel_height_mm: Mm = 1_200
    dressing_mm: LengthMm = 800
    near_limit_mm: LengthMm = 5_000

    # routing
    reach_mm: LengthMm = 10_000
    leg_weight: Annotated[int, Meta(ge=1, le=100)] = 3
    join_tolerance_mm: LengthMm = 20
    same_height_mm: LengthMm = 50
    serves: Serves = Serves.OWN
    leg_advised_mm: LengthMm = 6_000
    riser_offset_told_mm: LengthMm = 50

    # heights of what is drawn next
    tray_height_mm: Mm = 3_000
    hooks_height_mm: Mm = 2_950
    ceiling_height_mm: Mm = 2_700
    floor_to_floor_mm: LengthMm = 3_600
    outdoor_duct_height_mm: Mm = -800

    # ways down
    ways: tuple[WayRule, ...] = WAYS
    stub_over_ceiling_mm: LengthMm = 150
    stub_least_mm: LengthMm = 300
    single_gang_ports: Annotated[int, Meta(ge=1, le=24)] = 2

    # supports
    hook_spacing_mm: LengthMm = 1_200
    hook_spacing_most_mm: LengthMm = 1_500
    leg_hooks_from_mm: LengthMm = 1_500
    tray_support_mm: LengthMm = 1_500
    ladder_support_mm: LengthMm = 2_000

    # fill
    tray_fill_planned_percent: Percent = 25.0
    tray_fill_warn_percent: Percent = 40.0
    tray_fill_most_percent: Percent = 50.0
    hook_opening_mm2: Annotated[float, Meta(gt=0, le=1e6)] = 2_660.0
    hook_fill_most_percent: Percent = 40.0
    sleeve_fill_most_percent: Percent = 40.0

    # frames
    growth_percent: Percent = 25.0
    panel_ports: Annotated[int, Meta(ge=1, le=1_000)] = 24
    panel_kind: PanelKind = PanelKind.UNLOADED
    ports_warned: Count = 480
    area_served_warned_m2: Count = 1_000

    # order
    patched_percent: Percent = 70.0
    repull_percent: Percent = 2.0
    spare_boxes: Count = 1
    straight_length_mm: LengthMm = 3_000
    conduit_length_mm: LengthMm = 3_050

    # numbers and phases
    outlet_pattern: Name = "{floor}-{nn}"
    cable_pattern: Name = "{frame}-{panel}{port}"
    phases: tuple[Name, ...] = ()

    # drawing
    symbol_size_mm: SizeMm = 400.0
    author: Name = ""
