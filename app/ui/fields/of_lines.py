"""The fields of what cable lies in: pathways, risers, ducts and boxes."""

from typing import Any

from app.model.entities import Pathway
from app.model.project import Project
from app.model.vocabulary import OPEN_KINDS, AccessKind, Crossed, PathwayKind, RiserKind
from app.ui.fields.of_all import NUMBER, PROVIDED, STANDING, STATE, TURN, from_settings, says
from app.ui.fields.spec import SEVERAL, Field, Sort, all_of


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
        none_word=says("not known"),
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
    none_word=says("by its kind"),
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
        none_word=says("boxes only"),
        shown_if=_is_duct,
    ),
    Field(
        key="hook_spacing_mm",
        label="Hook spacing",
        sort=Sort.LENGTH,
        none_word=from_settings("hook_spacing_mm"),
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


def _text(key: str, label: str, tip: str = "") -> Field:
    return Field(key=key, label=label, sort=Sort.TEXT, tip=tip)


PENETRATION = (
    NUMBER,
    Field(key="crossed", label="Passes", sort=Sort.CHOICE, options=all_of(Crossed)),
    _text("rating", "Rating", "As the fire plan gives it: EI 60, 1 h; empty where it has none"),
    _size("bore_mm", "Bore", None, "Of round sleeves; empty: an opening"),
    _size("width_mm", "Opening wide", lambda t: t.bore_mm is None),
    _size("depth_mm", "Opening high", lambda t: t.bore_mm is None),
    Field(key="count", label="Side by side", sort=Sort.COUNT, least=1, most=200, unit="sleeves"),
    _text("barrier", "Barrier", "The tested system that closes it; its maker's papers decide"),
    Field(
        key="cables_by_hand",
        label="Cables",
        sort=Sort.COUNT,
        most=1_000_000,
        unit="cables",
        none_word=says("as routed"),
        tip="As counted on site, where that is not what lies in its pathway; legs that pass the "
        "wall beside a pathway are not in it",
    ),
    _text("photograph", "Photograph", "Where the pictures before and after are found"),
    _text("inspected_by", "Inspected by"),
    _text("inspected_on", "Inspected on"),
    TURN,
    *STANDING,
)
WALKED = (
    Field(
        key="added_mm",
        label="Added",
        sort=Sort.LENGTH,
        tip="Every cable that passes this place has it",
    ),
    Field(
        key="replaced_mm",
        label="Measured",
        sort=Sort.LENGTH,
        none_word=says("as drawn"),
        tip="Of the straight stretch on which it lies; of a riser, from this floor to the next",
    ),
    _text("reason", "Reason", "What the tape went round, or how it was measured"),
    _text("by", "Walked by"),
    _text("date", "On"),
)
ACCESS_POINT = (
    NUMBER,
    Field(key="kind", label="Kind", sort=Sort.CHOICE, options=all_of(AccessKind)),
    STATE,
    PROVIDED,
)
