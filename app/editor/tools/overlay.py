"""What a tool shows above the drawing: plain things in the site's axes, named by role.

The canvas alone decides colours, widths and sizes on screen; text stands at its point and
keeps a readable size at every zoom.
"""

from enum import StrEnum

import msgspec

from app.editor.snapping import Snap
from app.model.project import AnyEntity

At = tuple[float, float]
"""x_mm, y_mm in the site's axes."""


class Role(StrEnum):
    """What a part of an overlay means."""

    DRAFT = "draft"
    """What the next click would make."""
    GUIDE = "guide"
    """A line that only helps the eye: a grid direction, a row, a base line."""
    HANDLE = "handle"
    """A point that can be taken hold of."""
    HELD = "held"
    """The point that is being held."""
    REFUSED = "refused"
    """What cannot be made here."""
    MEASURE = "measure"
    """A length that is only read."""
    CATCH = "catch"
    """The rectangle that selects what it touches."""


class MarkerShape(StrEnum):
    DOT = "dot"
    RING = "ring"
    BOX = "box"
    CROSS = "cross"


class _Part(msgspec.Struct, frozen=True, kw_only=True):
    role: Role


class GuideLine(_Part, frozen=True, kw_only=True):
    """Straight pieces through two or more points; `closed` returns to the first."""

    points: tuple[At, ...]
    closed: bool = False


class Area(_Part, frozen=True, kw_only=True):
    """A filled outline, seen through."""

    points: tuple[At, ...]


class Marker(_Part, frozen=True, kw_only=True):
    """A small sign of constant size on screen."""

    at: At
    shape: MarkerShape = MarkerShape.BOX


class Tag(_Part, frozen=True, kw_only=True):
    """A short text beside a point, such as a length in the user's units."""

    at: At
    text: str


class Ghost(_Part, frozen=True, kw_only=True):
    """A thing as it would stand, drawn with its own symbol, pale."""

    thing: AnyEntity


class Overlay(msgspec.Struct, frozen=True, kw_only=True):
    """Everything to be painted above the drawing. `cue` is where the pointer was caught.

    `entry` is what has been typed so far, shown at the pointer; None where nothing was typed.
    """

    areas: tuple[Area, ...] = ()
    lines: tuple[GuideLine, ...] = ()
    ghosts: tuple[Ghost, ...] = ()
    markers: tuple[Marker, ...] = ()
    tags: tuple[Tag, ...] = ()
    cue: Snap | None = None
    entry: str | None = None


NOTHING = Overlay()
