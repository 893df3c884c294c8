"""The catalogues of the rule set: what an outlet, cable, box, pathway or space usually is.

Ids and words are those of the model's vocabulary. A field that ends in `_key` names the value
that its companion in millimetres is taken from, so that a house override reaches both.
"""

import msgspec


class OutletKindDefaults(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A sort of outlet. `height_mm` None means at the ceiling; `limit_mm` None, by cable type.

    The first port is designed for `power_class`, the others for `power_class_rest`.
    """

    id: str
    name: str
    symbol: str
    service: str
    height_key: str = ""
    height_mm: int | None = None
    way_down: str
    ports: int
    slack_key: str
    slack_mm: int
    limit_key: str = ""
    limit_mm: int | None = None
    power_class: int
    power_class_rest: int = 0
    fixture: str
    termination: str = "jack"


class CableTypeDefaults(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A cable as bought, with the limit it is held to and the slack it gets."""

    id: str
    name: str
    medium: str
    category: str
    shielded: bool
    od_mm: float
    od_least_mm: float
    od_most_mm: float
    weight_g_per_m: float
    limit_key: str
    limit_mm: int
    frame_slack_key: str
    frame_slack_mm: int
    outlet_slack_key: str = ""
    outlet_slack_mm: int | None = None
    box: str
    iso_class: str = ""


class BoxSize(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A box or reel: what it holds and what of it can be planned with."""

    id: str
    name: str
    holds_mm: int
    usable_mm: int


class PathwayKindDefaults(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A kind of pathway: height, fill and supports; sizes are in tables beside it.

    `entered` is `anywhere`, `at_inserts`, `at_boxes` or `at_ends`.
    """

    id: str
    name: str
    entered: str
    height_key: str
    height_mm: int
    fill_planned_percent: float
    fill_warn_percent: float
    fill_most_percent: float
    support_key: str = ""
    support_mm: int | None = None
    sizes: str


class SpaceUseDefaults(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The outlets that a use of space wants.

    One outlet of `kind` for every begun `area_per_outlet_m2`, at least `least`; None where
    outlets are counted by position or placed by hand. `also` are kinds wanted once a room.
    """

    id: str
    name: str
    kind: str = ""
    area_per_outlet_m2: float | None = None
    least: int = 0
    also: tuple[str, ...] = ()
    excluded: bool = False
