"""The fields of everything that can be selected."""

from typing import Any

from app.editor.measures import format_length
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
    Plan,
    Port,
    Riser,
    Space,
)
from app.model.project import Project
from app.model.vocabulary import (
    OPEN_KINDS,
    AccessKind,
    Ceiling,
    FrameKind,
    PathwayKind,
    ProvidedBy,
    RiserKind,
    Serves,
    SpaceUse,
    State,
    WayDown,
)
from app.ui.fields.spec import SEVERAL, Field, Sort, all_of, things_of
from app.ui.words import word


def _yes_no(yes: str, no: str, none: str) -> Any:
    return lambda _project: [(None, none), (True, yes), (False, no)]


def _none(text: str) -> Any:
    return lambda _project, _thing: text


def _from_settings(name: str, before: str = "as set: ") -> Any:
    def say(project: Project, _thing: Any) -> str:
        return before + format_length(getattr(project.settings, name), project.settings.units)

    return say


NUMBER = Field(key="number", label="Number", sort=Sort.TEXT, tip="As it will be labelled on site")
NAME = Field(key="name", label="Name", sort=Sort.TEXT)
NOTE = Field(key="note", label="Note", sort=Sort.NOTE)
STATE = Field(
    key="state",
    label="State",
    sort=Sort.CHOICE,
    options=all_of(State),
    tip="Takeoff and pulls take the new; fill and panels count existing and new",
)
PHASE = Field(key="phase", label="Phase", sort=Sort.COUNT, most=99, unit="phase")
PROVIDED = Field(key="provided_by", label="Provided", sort=Sort.CHOICE, options=all_of(ProvidedBy))
TURN = Field(key="rotation_mdeg", label="Turned", sort=Sort.ANGLE, tip="Anticlockwise, in degrees")
STANDING = (STATE, PHASE, PROVIDED, NOTE)


# --- outlets --------------------------------------------------------------------------------


def _kind_height(project: Project, outlet: Outlet) -> str:
    kind = project.outlet_kinds[outlet.kind]
    if kind.height_mm is None:
        return "as its kind: at the ceiling"
    return "as its kind: " + format_length(kind.height_mm, project.settings.units)


def _kind_way_down(project: Project, outlet: Outlet) -> str:
    return "as its kind: " + word(project.outlet_kinds[outlet.kind].way_down)


def _kind_slack(project: Project, outlet: Outlet) -> str:
    kind = project.outlet_kinds[outlet.kind]
    return "as its kind: " + format_length(kind.slack_mm, project.settings.units)


OUTLET = (
    NUMBER,
    Field(
        key="height_mm",
        label="Height",
        sort=Sort.LENGTH,
        none_word=_kind_height,
        tip="Of its centre above the finished floor; empty: as its kind",
    ),
    Field(
        key="way_down",
        label="Way down",
        sort=Sort.CHOICE,
        options=all_of(WayDown, none="as its kind"),
        none_word=_kind_way_down,
        tip="How cable gets from the pathway to this outlet",
    ),
    Field(
        key="slack_mm",
        label="Slack",
        sort=Sort.LENGTH,
        none_word=_kind_slack,
        tip="Cable left on purpose at the outlet",
    ),
    TURN,
    *STANDING,
)


def shared_of_ports(outlet: Outlet, key: str) -> Any:
    """The value that all ports of an outlet share, or SEVERAL."""
    values = [getattr(port, key) for port in outlet.ports]
    return values[0] if all(v == values[0] for v in values) else SEVERAL


def _ports_field(key: str, label: str, sort: Sort, **more: Any) -> Field:
    return Field(
        key=key,
        label=label,
        sort=sort,
        get=lambda outlet: shared_of_ports(outlet, key),
        ports_of=lambda outlet: tuple(p.id for p in outlet.ports),
        **more,
    )


POWER_CLASSES = [(0, "none")] + [(n, f"class {n}") for n in range(1, 9)]

PORTS_TOGETHER = (
    _ports_field("cable_type", "Cable", Sort.CHOICE, options=things_of(CableType)),
    _ports_field(
        "frame",
        "Frame",
        Sort.CHOICE,
        options=things_of(Frame, none="nearest by the rules"),
        none_word=_none("nearest by the rules"),
        tip="Fix the frame that serves these ports",
    ),
)


def port_field(port_id: str, key: str, label: str, sort: Sort, **more: Any) -> Field:
    """A field of one port of an outlet."""

    def get(outlet: Outlet) -> Any:
        return getattr(next(p for p in outlet.ports if p.id == port_id), key)

    return Field(
        key=key, label=label, sort=sort, get=get, ports_of=lambda _outlet: (port_id,), **more
    )


def port_fields(port: Port) -> tuple[Field, ...]:
    """All fields of one port."""
    own = port.id
    return (
        port_field(own, "label", "Label", Sort.TEXT),
        port_field(own, "cable_number", "Cable number", Sort.TEXT),
        port_field(own, "service", "Service", Sort.TEXT),
        port_field(own, "cable_type", "Cable", Sort.CHOICE, options=things_of(CableType)),
        port_field(
            own, "power_class", "Power class", Sort.CHOICE, options=lambda _p: POWER_CLASSES
        ),
        port_field(
            own,
            "frame",
            "Frame",
            Sort.CHOICE,
            options=things_of(Frame, none="nearest by the rules"),
            none_word=_none("nearest by the rules"),
        ),
        port_field(
            own,
            "state",
            "State",
            Sort.CHOICE,
            options=all_of(State, none="as its outlet"),
            none_word=_none("as its outlet"),
        ),
        port_field(own, "spare", "Spare: never fails a check", Sort.FLAG),
        port_field(
            own, "added_mm", "Added length", Sort.LENGTH, tip="Lengthens the run; give the reason"
        ),
        port_field(
            own,
            "replaced_mm",
            "Known length",
            Sort.LENGTH,
            none_word=_none("as routed"),
            tip="Replaces the whole installed length; give the reason",
        ),
        port_field(own, "length_reason", "Reason", Sort.TEXT, tip="Why the length differs"),
    )


# --- frames, demarcation, backbone ------------------------------------------------------------

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
        key="reserved_for",
        label="Reserved for",
        sort=Sort.TEXT,
        tip="A service or a tenant; only its ports end here",
    ),
    Field(
        key="ladder_height_mm",
        label="Ladder height",
        sort=Sort.LENGTH,
        none_word=_none("at the pathway's height"),
    ),
    Field(
        key="panel_height_mm",
        label="Panel height",
        sort=Sort.LENGTH,
        none_word=_from_settings("panel_height_mm"),
        tip="Mean height of the panels above the floor",
    ),
    Field(
        key="dressing_mm",
        label="Dressing",
        sort=Sort.LENGTH,
        none_word=_from_settings("dressing_mm"),
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
        none_word=_none("at the pathway's height"),
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
        none_word=_none("as its cable type"),
    ),
    Field(key="added_mm", label="Added length", sort=Sort.LENGTH),
    Field(key="replaced_mm", label="Known length", sort=Sort.LENGTH, none_word=_none("as routed")),
    Field(key="length_reason", label="Reason", sort=Sort.TEXT),
    *STANDING,
)


# --- where cable lies -----------------------------------------------------------------------


def _is_open(thing: Any) -> bool:
    return thing.kind in OPEN_KINDS and thing.kind is not PathwayKind.HOOKS


def _is_hooks(thing: Any) -> bool:
    return thing.kind is PathwayKind.HOOKS


def _is_round(thing: Any) -> bool:
    return thing.kind is PathwayKind.CONDUIT


def _is_duct(thing: Any) -> bool:
    return thing.kind in (PathwayKind.UNDERFLOOR_DUCT, PathwayKind.IN_FLOOR_DUCT)


def pathway_height(pathway: Pathway) -> Any:
    """The height of all its vertices, or SEVERAL where it slopes or drops."""
    heights = {v[2] for v in pathway.vertices}
    return heights.pop() if len(heights) == 1 else SEVERAL


def _size(key: str, label: str, shown_if: Any, tip: str = "") -> Field:
    return Field(
        key=key,
        label=label,
        sort=Sort.NUMBER,
        unit="mm",
        least=1,
        most=10_000,
        none_word=_none("not known"),
        shown_if=shown_if,
        tip=tip,
        whole=False,
    )


FILL_LIMIT = Field(
    key="fill_limit_percent",
    label="Fill limit",
    sort=Sort.NUMBER,
    unit="%",
    least=1,
    most=100,
    none_word=_none("by its kind"),
    whole=False,
)
PATHWAY = (
    NUMBER,
    Field(key="kind", label="Kind", sort=Sort.CHOICE, options=all_of(PathwayKind)),
    Field(
        key="height_mm",
        label="Height",
        sort=Sort.LENGTH,
        get=pathway_height,
        tip="Of its bottom above the finished floor; sets every point of it",
    ),
    _size("width_mm", "Width inside", lambda t: _is_open(t) or _is_duct(t)),
    _size("depth_mm", "Depth inside", lambda t: _is_open(t) or _is_duct(t)),
    _size("bore_mm", "Bore", _is_round, "Inside diameter"),
    Field(
        key="opening_mm2",
        label="Hook opening",
        sort=Sort.NUMBER,
        unit="mm²",
        least=1,
        most=1e6,
        none_word=lambda p, _: f"as set: {p.settings.hook_opening_mm2:g} mm²",
        shown_if=_is_hooks,
        whole=False,
    ),
    Field(
        key="count",
        label="Side by side",
        sort=Sort.COUNT,
        least=1,
        most=200,
        unit="conduits",
        shown_if=lambda t: _is_round(t) or _is_duct(t),
    ),
    FILL_LIMIT,
    Field(
        key="insert_spacing_mm",
        label="Insert spacing",
        sort=Sort.LENGTH,
        none_word=_none("boxes only"),
        shown_if=_is_duct,
    ),
    Field(
        key="hook_spacing_mm",
        label="Hook spacing",
        sort=Sort.LENGTH,
        none_word=_from_settings("hook_spacing_mm"),
        shown_if=_is_hooks,
    ),
    *STANDING,
)


def floor_options(project: Project) -> list[tuple[Any, str]]:
    several = len(project.buildings) > 1
    return [
        (f.id, f"{f.name} ({project.buildings[f.building].name})" if several else f.name)
        for f in sorted(project.floors.values(), key=lambda f: f.level_mm)
    ]


RISER = (
    NUMBER,
    Field(key="kind", label="Kind", sort=Sort.CHOICE, options=all_of(RiserKind)),
    Field(key="lower_floor", label="From floor", sort=Sort.CHOICE, options=floor_options),
    Field(key="upper_floor", label="To floor", sort=Sort.CHOICE, options=floor_options),
    Field(key="count", label="Side by side", sort=Sort.COUNT, least=1, most=200, unit="sleeves"),
    _size("bore_mm", "Bore", lambda t: t.kind in (RiserKind.SLEEVES, RiserKind.CONDUIT)),
    _size("width_mm", "Width inside", lambda t: t.kind in (RiserKind.SLOT, RiserKind.SHAFT)),
    _size("depth_mm", "Depth inside", lambda t: t.kind in (RiserKind.SLOT, RiserKind.SHAFT)),
    FILL_LIMIT,
    Field(key="fire_rating", label="Fire rating", sort=Sort.TEXT, tip="Of the floors it passes"),
    *STANDING,
)
OUTDOOR_DUCT = (
    NUMBER,
    _size("bore_mm", "Bore", None),
    Field(key="count", label="Side by side", sort=Sort.COUNT, least=1, most=200, unit="ducts"),
    FILL_LIMIT,
    Field(
        key="horizontal_allowed",
        label="Horizontal runs may use it",
        sort=Sort.FLAG,
        tip="Two earths: four-pair copper between buildings wants protection at both ends",
    ),
    *STANDING,
)
ACCESS_POINT = (
    NUMBER,
    Field(key="kind", label="Kind", sort=Sort.CHOICE, options=all_of(AccessKind)),
    STATE,
    PROVIDED,
)


# --- the building ---------------------------------------------------------------------------


SPACE = (
    Field(key="number", label="Number", sort=Sort.TEXT),
    NAME,
    Field(key="use", label="Use", sort=Sort.CHOICE, options=all_of(SpaceUse)),
    Field(key="ceiling", label="Ceiling", sort=Sort.CHOICE, options=all_of(Ceiling)),
    Field(
        key="ceiling_height_mm",
        label="Ceiling height",
        sort=Sort.LENGTH,
        none_word=_from_settings("ceiling_height_mm"),
    ),
    Field(key="raised_floor_mm", label="Raised floor", sort=Sort.LENGTH, tip="Height of its void"),
    Field(
        key="grid_angle_mdeg",
        label="Grid angle",
        sort=Sort.ANGLE,
        none_word=_none("as the floor"),
        tip="The direction legs run square to",
    ),
    Field(
        key="divisible",
        label="Served by",
        sort=Sort.CHOICE,
        options=_yes_no("each outlet its nearest frame", "one frame", "as its use"),
        none_word=_none("as its use"),
    ),
    Field(
        key="closed_to_cable",
        label="Cable",
        sort=Sort.CHOICE,
        options=_yes_no("may not cross it", "may cross it", "as its use"),
        none_word=_none("as its use"),
    ),
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


__all__ = [
    "FIELDS",
    "PORTS_TOGETHER",
    "floor_options",
    "pathway_height",
    "port_fields",
    "shared_fields",
]
