"""The fields of everything that can be selected."""

from typing import Any

from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Break,
    CableType,
    Candidate,
    Demarcation,
    DropOut,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    Pathway,
    Penetration,
    Plan,
    Riser,
    ServingZone,
    Space,
    WalkedLength,
)
from app.model.project import Project
from app.model.vocabulary import Ceiling, FrameKind, Serves, SpaceUse
from app.ui.fields.of_all import (
    NAME,
    NOTE,
    PROVIDED,
    STANDING,
    STATE,
    TURN,
    from_settings,
    says,
    yes_no,
)
from app.ui.fields.of_lines import ACCESS_POINT, OUTDOOR_DUCT, PATHWAY, PENETRATION, RISER, WALKED
from app.ui.fields.of_outlets import OUTLET
from app.ui.fields.spec import Field, Sort, all_of, things_of
from app.ui.words import word

FRAME = (
    NAME,
    Field(key="kind", label="Kind", sort=Sort.CHOICE, options=all_of(FrameKind)),
    Field(key="roles", label="Roles", sort=Sort.ROLES, tip="Distributor roles of ISO/IEC 11801"),
    Field(
        key="serves",
        label="Serves",
        sort=Sort.CHOICE,
        options=all_of(Serves, none="as in the settings"),
        none_word=lambda p, _: "as set: " + word(p.settings.serves),
        tip="Which floors it may serve",
    ),
    Field(
        key="reserved_tenant",
        label="Reserved for tenant",
        sort=Sort.TEXT,
        tip="Only the outlets in that tenant's spaces end here",
    ),
    Field(
        key="reserved_service",
        label="Reserved for service",
        sort=Sort.TEXT,
        tip="Only ports of that service end here",
    ),
    Field(
        key="ladder_height_mm",
        label="Ladder height",
        sort=Sort.LENGTH,
        none_word=says("at the pathway's height"),
    ),
    Field(
        key="panel_height_mm",
        label="Panel height",
        sort=Sort.LENGTH,
        none_word=from_settings("panel_height_mm"),
        tip="Mean height of the panels above the floor",
    ),
    Field(
        key="dressing_mm",
        label="Dressing",
        sort=Sort.LENGTH,
        none_word=from_settings("dressing_mm"),
        tip="Cable within the rack, from the ladder side to the port",
    ),
    Field(key="racks", label="Racks", sort=Sort.COUNT, most=200, unit="racks"),
    Field(
        key="ports_max",
        label="Most ports",
        sort=Sort.COUNT,
        unit="ports",
        none_word=lambda p, _: f"warned from {p.settings.ports_warned}",
    ),
    Field(
        key="area_max_m2",
        label="Most area",
        sort=Sort.COUNT,
        unit="m²",
        none_word=lambda p, _: f"warned from {p.settings.area_served_warned_m2} m²",
    ),
    TURN,
    *STANDING,
)
CANDIDATE = (
    NAME,
    Field(
        key="ladder_height_mm",
        label="Ladder height",
        sort=Sort.LENGTH,
        none_word=says("at the pathway's height"),
    ),
    Field(key="reason_against", label="Against it", sort=Sort.NOTE, tip="Why not here"),
)
DEMARCATION = (
    NAME,
    Field(key="carrier", label="Carrier", sort=Sort.TEXT),
    Field(key="height_mm", label="Height", sort=Sort.LENGTH),
    STATE,
    PROVIDED,
    NOTE,
)


def backbone_ends(project: Project) -> list[tuple[Any, str]]:
    """Frames and demarcation points, by name."""
    frames = [(f.id, f"frame {f.name}") for f in project.frames.values()]
    return frames + [(d.id, f"demarcation {d.name}") for d in project.demarcations.values()]


BACKBONE = (
    NAME,
    Field(key="from_id", label="From", sort=Sort.CHOICE, options=backbone_ends),
    Field(key="to_id", label="To", sort=Sort.CHOICE, options=backbone_ends),
    Field(key="cable_type", label="Cable", sort=Sort.CHOICE, options=things_of(CableType)),
    Field(key="count", label="Cables", sort=Sort.COUNT, least=1, most=10_000, unit="cables"),
    Field(key="strands", label="Strands or pairs", sort=Sort.COUNT, unit="strands"),
    Field(key="slack_from_mm", label="Slack, first end", sort=Sort.LENGTH),
    Field(key="slack_to_mm", label="Slack, other end", sort=Sort.LENGTH),
    Field(
        key="limit_mm",
        label="Limit",
        sort=Sort.LENGTH,
        none_word=says("as its cable type"),
    ),
    Field(key="added_mm", label="Added length", sort=Sort.LENGTH),
    Field(key="replaced_mm", label="Known length", sort=Sort.LENGTH, none_word=says("as routed")),
    Field(key="length_reason", label="Reason", sort=Sort.TEXT),
    *STANDING,
)


SPACE = (
    Field(key="number", label="Number", sort=Sort.TEXT),
    NAME,
    Field(key="use", label="Use", sort=Sort.CHOICE, options=all_of(SpaceUse)),
    Field(key="ceiling", label="Ceiling", sort=Sort.CHOICE, options=all_of(Ceiling)),
    Field(
        key="ceiling_height_mm",
        label="Ceiling height",
        sort=Sort.LENGTH,
        none_word=from_settings("ceiling_height_mm"),
    ),
    Field(
        key="ceiling_hatches",
        label="Hatches",
        sort=Sort.COUNT,
        unit="hatches",
        tip="Openings that give access above a hard ceiling",
    ),
    Field(key="raised_floor_mm", label="Raised floor", sort=Sort.LENGTH, tip="Height of its void"),
    Field(
        key="grid_angle_mdeg",
        label="Grid angle",
        sort=Sort.ANGLE,
        none_word=says("as the floor"),
        tip="The direction legs run square to",
    ),
    Field(
        key="divisible",
        label="Served by",
        sort=Sort.CHOICE,
        options=yes_no("each outlet its nearest frame", "one frame", "as its use"),
        none_word=says("as its use"),
    ),
    Field(
        key="closed_to_cable",
        label="Cable",
        sort=Sort.CHOICE,
        options=yes_no("may not cross it", "may cross it", "as its use"),
        none_word=says("as its use"),
    ),
    Field(
        key="tenant",
        label="Tenant",
        sort=Sort.TEXT,
        tip="Its outlets go to frames reserved for this tenant, where there are any",
    ),
    NOTE,
)
ZONE = (
    NAME,
    Field(key="frame", label="Served by", sort=Sort.CHOICE, options=things_of(Frame)),
    NOTE,
)
FLOOR = (
    NAME,
    Field(key="level_mm", label="Level", sort=Sort.LENGTH, tip="Of the finished floor"),
    Field(
        key="floor_to_floor_mm",
        label="Floor to floor",
        sort=Sort.LENGTH,
    ),
    Field(
        key="grid_angle_mdeg",
        label="Grid angle",
        sort=Sort.ANGLE,
        tip="The direction legs and square drawing follow",
    ),
    NOTE,
)
PLAN = (
    NAME,
    Field(key="visible", label="Show it", sort=Sort.FLAG),
    Field(key="snap", label="Its lines catch the pointer", sort=Sort.FLAG),
    Field(
        key="dim_percent",
        label="Dimmed by",
        sort=Sort.NUMBER,
        unit="%",
        most=95,
        tip="0: full ink; 95: barely seen",
    ),
    Field(key="x_mm", label="Shifted in x", sort=Sort.LENGTH),
    Field(key="y_mm", label="Shifted in y", sort=Sort.LENGTH),
    TURN,
)

FIELDS: dict[type[Entity], tuple[Field, ...]] = {
    Outlet: OUTLET,
    Frame: FRAME,
    Candidate: CANDIDATE,
    Demarcation: DEMARCATION,
    BackboneCable: BACKBONE,
    Pathway: PATHWAY,
    Riser: RISER,
    OutdoorDuct: OUTDOOR_DUCT,
    AccessPoint: ACCESS_POINT,
    Penetration: PENETRATION,
    WalkedLength: WALKED,
    ServingZone: ZONE,
    DropOut: (STATE, PROVIDED),
    Break: (),
    Space: SPACE,
    Floor: FLOOR,
    Plan: PLAN,
}


def shared_fields(types: set[type[Entity]]) -> tuple[Field, ...]:
    """The fields that all these types have, as the first of them words them."""
    if not types:
        return ()
    ordered = sorted(types, key=lambda t: t.__name__)
    first = FIELDS.get(ordered[0], ())
    if len(ordered) == 1:
        return first
    keys = [{(f.key, f.sort) for f in FIELDS.get(t, ()) if _is_plain(f)} for t in ordered]
    return tuple(f for f in first if all((f.key, f.sort) in k for k in keys))


def _is_plain(field: Field) -> bool:
    """Whether a field is read alike from things of any type that have it."""
    return field.get is None and field.none_word is None and field.shown_if is None
