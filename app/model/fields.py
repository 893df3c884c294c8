"""What fields of records are made of: integers with units and bounds, texts, ids.

Positions are integer millimetres in the site's axes, shared by all its buildings; heights
are millimetres above the finished floor of the thing's own floor; angles are integer
thousandths of a degree, anticlockwise.
"""

from functools import cache
from typing import Annotated

import msgspec
from msgspec import Meta

FURTHEST_MM = 10_000_000
Mm = Annotated[int, Meta(ge=-FURTHEST_MM, le=FURTHEST_MM)]
FarMm = Annotated[int, Meta(ge=-(10**13), le=10**13)]
"""Where the zero of a drawing's own axes may lie: surveyors' coordinates are far away."""
LengthMm = Annotated[int, Meta(ge=0, le=FURTHEST_MM)]
Mdeg = Annotated[int, Meta(ge=-360_000, le=360_000)]
Count = Annotated[int, Meta(ge=0, le=1_000_000)]
Text = Annotated[str, Meta(max_length=4_000)]
Name = Annotated[str, Meta(max_length=200)]
SizeMm = Annotated[float, Meta(gt=0, le=10_000)]
Id = Annotated[str, Meta(max_length=64, pattern="^[a-z][a-z-]*(-[0-9a-z]{8})?$")]

Point = tuple[Mm, Mm]
"""x_mm, y_mm."""
Vertex = tuple[Mm, Mm, Mm]
"""x_mm, y_mm, height_mm above the finished floor."""


@cache
def tag_of(class_name: str) -> str:
    """`OutletKind` -> `outlet-kind`: the tag in files and the prefix of ids."""
    return "".join(f"-{c.lower()}" if c.isupper() else c for c in class_name).lstrip("-")


class Record(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A value inside an entity."""


class Entity(
    msgspec.Struct,
    frozen=True,
    kw_only=True,
    forbid_unknown_fields=True,
    tag_field="entity",
    tag=tag_of,
):
    """A thing with an id; `id` is `tag-xxxxxxxx`, or the bare tag where there is only one."""

    id: Id
