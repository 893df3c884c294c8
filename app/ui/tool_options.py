"""The options of each tool: fields of what is drawn next, as rows of data."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from msgspec.structs import replace

from app.editor.tools.next_drawn import NextDrawn
from app.model.entities import Frame, Kit, OutletKind
from app.model.vocabulary import (
    OPEN_KINDS,
    AccessKind,
    FrameKind,
    PathwayKind,
    RiserKind,
    SpaceUse,
    State,
)
from app.ui.fields.of_lines import floor_options
from app.ui.fields.spec import Field, Sort, all_of, things_of

Put = Callable[[NextDrawn, Any], NextDrawn]
Shown = Callable[[NextDrawn], bool]


@dataclass(frozen=True, slots=True)
class Option:
    """A field of what is drawn next, and how its value is put there."""

    field: Field
    put: Put
    wide: float = 7.0
    shown: Shown | None = None


def _own(key: str, label: str, sort: Sort, wide: float = 7.0, **more: Any) -> Option:
    field = Field(key=key, label=label, sort=sort, **more)
    return Option(field, lambda draws, value: replace(draws, **{key: value}), wide)


def _within(
    part: str, key: str, label: str, sort: Sort, wide: float = 5.0, shown: Any = None, **more: Any
) -> Option:
    field = Field(
        key=f"{part}.{key}",
        label=label,
        sort=sort,
        get=lambda draws: getattr(getattr(draws, part), key),
        **more,
    )

    def put(draws: NextDrawn, value: Any) -> NextDrawn:
        inner = replace(getattr(draws, part), **{key: value})
        return replace(draws, **{part: inner})

    return Option(field, put, wide, shown)


def _as_kind(_project: Any, _draws: Any) -> str:
    return "as its kind"


def _open_size(draws: NextDrawn) -> bool:
    kind = draws.pathway.kind
    return kind is not PathwayKind.HOOKS and (kind in OPEN_KINDS or kind is not PathwayKind.CONDUIT)


def _conduit(draws: NextDrawn) -> bool:
    return draws.pathway.kind is PathwayKind.CONDUIT


def _slot(draws: NextDrawn) -> bool:
    return draws.riser.kind in (RiserKind.SLOT, RiserKind.SHAFT)


def _sleeves(draws: NextDrawn) -> bool:
    return draws.penetration.bore_mm is not None


KIND = _own("outlet_kind", "Kind", Sort.CHOICE, 13, options=things_of(OutletKind))
HEIGHT = _own("outlet_height_mm", "Height", Sort.LENGTH, 6.5, none_word=_as_kind)
FROM_LIST = _own(
    "from_list",
    "By list",
    Sort.FLAG,
    9,
    tip="Each click places the next outlet that its room is asked to have and has not",
)
PATTERN = _own(
    "number_pattern",
    "Number",
    Sort.TEXT,
    8,
    none_word=lambda project, _draws: project.settings.outlet_pattern,
    tip="How new numbers are made, for this tool; empty: as in the settings. {floor} is the "
    "floor's name, {room} the room's number, {building} the building's name; {nn} counts with two "
    "digits, in every floor and room by itself",
)
STATE = _own(
    "state", "State", Sort.CHOICE, 9, options=all_of(State), tip="The state of what is drawn next"
)
FRAME = Option(
    Field(
        key="frame",
        label="Frame",
        sort=Sort.CHOICE,
        options=things_of(Frame, none="any"),
        tip="Where the runs of these existing outlets end",
    ),
    lambda draws, value: replace(draws, frame=value),
    7,
    lambda draws: draws.state is State.EXISTING,
)
NUMBER = {"least": 1, "most": 10_000, "unit": "mm", "whole": False}
OPTIONS: dict[str, tuple[Option, ...]] = {
    "outlet": (KIND, HEIGHT, FROM_LIST, PATTERN, STATE, FRAME),
    "row": (
        KIND,
        _within("row", "spacing_mm", "Every", Sort.LENGTH, 6),
        _within(
            "row",
            "count",
            "or so many",
            Sort.COUNT,
            4.5,
            least=1,
            most=1_000,
            none_word=lambda _p, _d: "–",
        ),
        PATTERN,
        STATE,
        FRAME,
    ),
    "fill": (PATTERN, STATE, FRAME),
    "number_line": (PATTERN,),
    "kit": (
        _own("kit", "Kit", Sort.CHOICE, 14, options=things_of(Kit)),
        PATTERN,
        _own("turn_to_wall", "Turn to walls", Sort.FLAG, 8),
    ),
    "frame": (
        _own(
            "frame_kind",
            "Kind",
            Sort.CHOICE,
            15,
            options=all_of(FrameKind, "main, then intermediate"),
        ),
        STATE,
    ),
    "pathway": (
        _within("pathway", "kind", "Kind", Sort.CHOICE, 9, options=all_of(PathwayKind)),
        _within(
            "pathway",
            "height_mm",
            "Height",
            Sort.LENGTH,
            6.5,
            none_word=lambda _p, _d: "of its kind",
        ),
        _within("pathway", "width_mm", "Width", Sort.NUMBER, 5.5, _open_size, **NUMBER),
        _within("pathway", "depth_mm", "Depth", Sort.NUMBER, 5.5, _open_size, **NUMBER),
        _within("pathway", "bore_mm", "Bore", Sort.NUMBER, 5.5, _conduit, **NUMBER),
        _within("pathway", "count", "Side by side", Sort.COUNT, 3.5, _conduit, least=1, most=200),
        STATE,
    ),
    "pull_box": (_own("access_kind", "Kind", Sort.CHOICE, 9, options=all_of(AccessKind)),),
    "riser": (
        _within("riser", "kind", "Kind", Sort.CHOICE, 6.6, options=all_of(RiserKind)),
        _within(
            "riser",
            "lower_floor",
            "From",
            Sort.CHOICE,
            7.2,
            options=lambda p: [(None, "this floor"), *floor_options(p)],
        ),
        _within(
            "riser",
            "upper_floor",
            "To",
            Sort.CHOICE,
            7.8,
            options=lambda p: [(None, "floor above"), *floor_options(p)],
        ),
        _within("riser", "count", "Count", Sort.COUNT, 3, least=1, most=200),
        _within("riser", "bore_mm", "Bore", Sort.NUMBER, 5, lambda d: not _slot(d), **NUMBER),
        _within(
            "riser",
            "stubs",
            "Stubs to pathways",
            Sort.FLAG,
            12,
            tip="Join the riser on every floor to the nearest pathway by a short piece of its own",
        ),
    ),
    "penetration": (
        _within(
            "penetration",
            "bore_mm",
            "Bore",
            Sort.NUMBER,
            6,
            none_word=lambda _p, _d: "as the way",
            tip="Of its sleeves; empty: an opening for the pathway as it is",
            **NUMBER,
        ),
        _within("penetration", "count", "Count", Sort.COUNT, 3.5, _sleeves, least=1, most=200),
        _within("penetration", "rating", "Rating", Sort.TEXT, 6),
        _within("penetration", "barrier", "Barrier", Sort.TEXT, 9),
    ),
    "outdoor_duct": (
        _own("duct_count", "Count", Sort.COUNT, 3.5, least=1, most=200),
        _own("duct_bore_mm", "Bore", Sort.NUMBER, 5.5, **NUMBER),
    ),
    "demarcation": (_own("carrier", "Carrier", Sort.TEXT, 10),),
    "walked": (_own("walked_by", "Walked by", Sort.TEXT, 10),),
    "zone": (
        _own("zone_frame", "Frame", Sort.CHOICE, 12, options=things_of(Frame, "the nearest")),
    ),
    "space": (_own("space_use", "Use", Sort.CHOICE, 12, options=all_of(SpaceUse)),),
}
