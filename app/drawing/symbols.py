"""The symbols of the plan: one family on a 24-unit grid, as primitives in grid units.

y points up; an outlet's origin is its point on the wall, which lies along x. Inks are roles:
a state's (`new`, `existing`, `to_remove`, `future`) or a run's (`near`, `over`, `no_route`).
`placed` brings a symbol to its place, size and turn.
"""

import math
from collections.abc import Callable, Iterable
from functools import cache
from typing import Literal

import msgspec

from app.drawing.font_metrics import text_width_mm
from app.drawing.primitives import (
    Arc,
    Bounds,
    FilledPath,
    Line,
    Point,
    Polyline,
    Primitive,
    Stroke,
    Text,
)
from app.drawing.symbol_marks import (
    PortCount,
    StateLook,
    SymbolDrawing,
    drawn,
    outlet_drawings,
    state_looks,
    thing_drawings,
)

GRID = 24.0
"""Grid units of a symbol's side."""

Direction = Literal["up", "down", "through"]
RunSign = Literal["near", "over", "no_route"]

_FALLBACK = "generic"
_ARROW = 6.0
_UNDER = 1.5
"""How far under a symbol's box the line lies that says it has been moved there."""
_SIGN_BOLD, _SIGN_THIN = 1.4, 0.9
"""Widths of lines in the sign of a way down, which is smaller than its symbol."""
_QUARTER_DEG = 90.0
_STRUCK_OUTLET = (-11.0, -1.5, 11.0, 13.5)
_STRUCK_THING = (-11.0, -11.0, 11.0, 11.0)
"""The box whose diagonals strike a symbol out: left, bottom, right, top, clear of the count."""


def outlet_symbol_names() -> tuple[str, ...]:
    """The kinds of outlet that have a mark of their own, in the order of the legend."""
    return tuple(outlet_drawings().kinds)


def thing_symbol_names() -> tuple[str, ...]:
    """The things other than outlets and risers that have a symbol, in the legend's order."""
    return tuple(thing_drawings().things)


def riser_kinds() -> tuple[str, ...]:
    """The kinds of riser that have an outline."""
    return tuple(thing_drawings().risers)


def outlet_label(name: str) -> str:
    """What the legend says of an outlet's symbol."""
    return _outlet_kind(name).label


def thing_label(name: str) -> str:
    """What the legend says of another thing's symbol; raises KeyError if it has none."""
    return thing_drawings().things[name].label


def riser_label(kind: str) -> str:
    """What the legend says of a kind of riser; raises KeyError for an unknown one."""
    return thing_drawings().risers[kind].label


def state_look(state: str) -> StateLook:
    """How things of a state are drawn; raises KeyError for an unknown state."""
    return state_looks()[state]


@cache
def outlet_symbol(
    name: str, *, ports: int | None = None, state: str = "new", layer: str = "outlets"
) -> tuple[Primitive, ...]:
    """An outlet's symbol with its number of ports (None: without).

    A name that has no mark of its own is drawn as a generic outlet.
    """
    drawings, look = outlet_drawings(), state_look(state)
    made = drawn(drawings.body.marks, look, layer, bold=True)
    made += drawn(_outlet_kind(name).marks, look, layer)
    if ports is not None:
        made.append(_count_text(str(ports), drawings.count, look, layer))
    return (*made, *_struck(look, layer, _STRUCK_OUTLET))


@cache
def thing_symbol(name: str, *, state: str = "new", layer: str = "things") -> tuple[Primitive, ...]:
    """A frame, candidate, demarcation point, pull box, insert, drop-out or break.

    Raises KeyError for a name that has no symbol.
    """
    look = state_look(state)
    made = drawn(thing_drawings().things[name].marks, look, layer)
    return (*made, *_struck(look, layer, _STRUCK_THING))


@cache
def riser_symbol(
    kind: str, *, direction: Direction, state: str = "new", layer: str = "risers"
) -> tuple[Primitive, ...]:
    """A riser of a kind on one floor, with the way it goes from there."""
    look, drawings = state_look(state), thing_drawings()
    made = drawn(drawings.risers[kind].marks, look, layer)
    made += drawn(drawings.arrows[direction].marks, look, layer)
    return (*made, *_struck(look, layer, _STRUCK_THING))


@cache
def run_sign(sign: RunSign, *, layer: str = "signs") -> tuple[Primitive, ...]:
    """The sign of a run's state, in that state's ink, about the origin."""
    look = msgspec.structs.replace(state_look("new"), ink=sign)
    return tuple(drawn(thing_drawings().signs[sign].marks, look, layer))


@cache
def way_sign(way: str, *, layer: str = "signs") -> tuple[Primitive, ...]:
    """The sign of a way down about the origin; raises KeyError for an unknown one."""
    look = msgspec.structs.replace(state_look("new"), outline=_SIGN_BOLD, mark=_SIGN_THIN)
    return tuple(drawn(thing_drawings().ways[way].marks, look, layer))


def placed(
    primitives: Iterable[Primitive],
    *,
    x: float,
    y: float,
    size: float,
    rotation_deg: float = 0.0,
) -> tuple[Primitive, ...]:
    """A symbol turned about its origin and brought to (x, y), its grid `size` long on a side.

    Line widths and dashes grow with it. Text is turned with the symbol, but never upside down.
    """
    scale = size / GRID
    cos = math.cos(math.radians(rotation_deg)) * scale
    sin = math.sin(math.radians(rotation_deg)) * scale

    def at(point: Point) -> Point:
        return x + point[0] * cos - point[1] * sin, y + point[0] * sin + point[1] * cos

    return tuple(_moved(primitive, at, scale, rotation_deg) for primitive in primitives)


def readable_deg(rotation_deg: float) -> float:
    """A turn made readable from below or from the right: above −90° and up to 90°."""
    half = 2 * _QUARTER_DEG
    return _QUARTER_DEG - (_QUARTER_DEG - rotation_deg) % half


def _outlet_kind(name: str) -> SymbolDrawing:
    kinds = outlet_drawings().kinds
    return kinds.get(name, kinds[_FALLBACK])


def _count_text(count: str, place: PortCount, look: StateLook, layer: str) -> Text:
    width = min(place.width, text_width_mm(count, capital_mm=place.height))
    return Text(
        layer=layer,
        text=count,
        position=(place.x + width / 2, place.y),
        height=place.height,
        box=(width, place.height),
        horizontal="center",
        vertical="middle",
        ink=look.ink,
    )


def _struck(look: StateLook, layer: str, box: Bounds) -> tuple[Primitive, ...]:
    """The strokes over a thing that goes: a cross, or one that ends in an arrow head; and the
    line under a thing that stands where it has been moved to.
    """
    left, bottom, right, top = box
    stroke = Stroke(ink=look.ink, width_mm=look.outline)
    falling = Line(layer=layer, start=(right, bottom), end=(left, top), stroke=stroke)
    if look.crossed:
        return falling, Line(layer=layer, start=(left, bottom), end=(right, top), stroke=stroke)
    if look.leaving:
        head = ((left + _ARROW, top), (left, top), (left, top - _ARROW))
        return falling, Polyline(layer=layer, points=head, stroke=stroke)
    if look.moved:
        low = bottom - _UNDER
        return (Line(layer=layer, start=(left, low), end=(right, low), stroke=stroke),)
    return ()


def _moved(
    primitive: Primitive, at: Callable[[Point], Point], scale: float, rotation_deg: float
) -> Primitive:
    replace = msgspec.structs.replace
    match primitive:
        case Line(start=start, end=end, stroke=stroke):
            return replace(primitive, start=at(start), end=at(end), stroke=_scaled(stroke, scale))
        case Polyline(points=points, stroke=stroke):
            moved = tuple(map(at, points))
            return replace(primitive, points=moved, stroke=_scaled(stroke, scale))
        case Arc():
            return replace(
                primitive,
                center=at(primitive.center),
                radius=primitive.radius * scale,
                start_deg=primitive.start_deg + rotation_deg,
                stroke=_scaled(primitive.stroke, scale),
            )
        case FilledPath(rings=rings):
            return replace(primitive, rings=tuple(tuple(map(at, ring)) for ring in rings))
        case Text():
            return replace(
                primitive,
                position=at(primitive.position),
                height=primitive.height * scale,
                box=(primitive.box[0] * scale, primitive.box[1] * scale),
                rotation_deg=readable_deg(primitive.rotation_deg + rotation_deg),
            )


def _scaled(stroke: Stroke, scale: float) -> Stroke:
    return Stroke(
        ink=stroke.ink,
        width_mm=stroke.width_mm * scale,
        dashes_mm=tuple(dash * scale for dash in stroke.dashes_mm),
    )
