"""The marks that symbols are made of, as their data files hold them, and how they are drawn."""

import math
from functools import cache
from typing import TypeVar

import msgspec

from app.drawing.primitives import Arc, FilledPath, Point, Polyline, Primitive, Stroke
from app.resource_files import read_resource

T = TypeVar("T")

_SIDES_OF_DISC = 32
_HALF_DEG = 180.0


class Mark(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One stroke or solid of a symbol, in grid units; exactly one of the shapes is set.

    `line` and `area`: x, y, x, y, …; `dot` and `ring`: x, y, radius; `arc`: x, y, radius,
    start, sweep in degrees; `half`: x, y, radius and the angle at which the filled half starts.
    """

    line: tuple[float, ...] = ()
    area: tuple[float, ...] = ()
    dot: tuple[float, float, float] | None = None
    ring: tuple[float, float, float] | None = None
    arc: tuple[float, float, float, float, float] | None = None
    half: tuple[float, float, float, float] | None = None
    bold: bool = False


class SymbolDrawing(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The marks of a symbol and its words for the legend."""

    marks: tuple[Mark, ...]
    label: str = ""


class StateLook(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How a state is drawn: ink role; widths of outline and mark, in grid units.

    `dashes` are those of the outline: the marks inside would not survive them. `fill`: solid
    marks are filled, else only outlined. `crossed`: struck out. `leaving`: struck once, with an
    arrow head. `moved`: underlined. `label` is the legend's.
    """

    label: str
    ink: str
    outline: float
    mark: float
    fill: bool
    dashes: tuple[float, ...] = ()
    crossed: bool = False
    leaving: bool = False
    moved: bool = False


class PortCount(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where an outlet's number of ports stands: its left edge, its middle, and its room."""

    x: float
    y: float
    height: float
    width: float


class OutletDrawings(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The outlet's body, the place of its number, and the marks of its kinds."""

    body: SymbolDrawing
    count: PortCount
    kinds: dict[str, SymbolDrawing]


class ThingDrawings(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Everything that is no outlet."""

    things: dict[str, SymbolDrawing]
    risers: dict[str, SymbolDrawing]
    arrows: dict[str, SymbolDrawing]
    signs: dict[str, SymbolDrawing]
    ways: dict[str, SymbolDrawing]


@cache
def outlet_drawings() -> OutletDrawings:
    """The data of `symbols/outlets.toml`."""
    return read_symbols("outlets", OutletDrawings)


@cache
def thing_drawings() -> ThingDrawings:
    """The data of `symbols/things.toml`."""
    return read_symbols("things", ThingDrawings)


@cache
def state_looks() -> dict[str, StateLook]:
    """The data of `symbols/states.toml`, by state."""
    return read_symbols("states", dict[str, StateLook])


def read_symbols(name: str, kind: type[T]) -> T:
    """One of our own data files as a typed value."""
    return msgspec.toml.decode(read_resource(f"symbols/{name}.toml"), type=kind)


def drawn(
    marks: tuple[Mark, ...], look: StateLook, layer: str, *, bold: bool = False
) -> list[Primitive]:
    """The marks as primitives in the look of a state; `bold` gives all the outline's width."""
    return [_drawn_mark(mark, look, _stroke(look, bold=bold or mark.bold), layer) for mark in marks]


def _stroke(look: StateLook, *, bold: bool) -> Stroke:
    if bold:
        return Stroke(ink=look.ink, width_mm=look.outline, dashes_mm=look.dashes)
    return Stroke(ink=look.ink, width_mm=look.mark)


def _drawn_mark(mark: Mark, look: StateLook, stroke: Stroke, layer: str) -> Primitive:
    if mark.ring is not None:
        x, y, radius = mark.ring
        return Arc(layer=layer, center=(x, y), radius=radius, stroke=stroke)
    if mark.arc is not None:
        x, y, radius, start, sweep = mark.arc
        return Arc(
            layer=layer,
            center=(x, y),
            radius=radius,
            start_deg=start,
            sweep_deg=sweep,
            stroke=stroke,
        )
    if mark.line:
        return _line(mark.line, stroke, layer)
    return _solid(_outline(mark), look, stroke, layer)


def _line(numbers: tuple[float, ...], stroke: Stroke, layer: str) -> Polyline:
    points = pairs(numbers)
    closed = points[0] == points[-1]
    return Polyline(
        layer=layer, points=points[:-1] if closed else points, closed=closed, stroke=stroke
    )


def _solid(
    outline: tuple[Point, ...], look: StateLook, stroke: Stroke, layer: str
) -> FilledPath | Polyline:
    if look.fill:
        return FilledPath(layer=layer, rings=(outline,), ink=look.ink)
    return Polyline(layer=layer, points=outline, closed=True, stroke=stroke)


def _outline(mark: Mark) -> tuple[Point, ...]:
    if mark.dot is not None:
        x, y, radius = mark.dot
        return _on_circle(x, y, radius, start_deg=0.0, sweep_deg=2 * _HALF_DEG)[:-1]
    if mark.half is not None:
        x, y, radius, start = mark.half
        return _on_circle(x, y, radius, start_deg=start, sweep_deg=_HALF_DEG)
    return pairs(mark.area)


def _on_circle(
    x: float, y: float, radius: float, *, start_deg: float, sweep_deg: float
) -> tuple[Point, ...]:
    steps = round(_SIDES_OF_DISC * sweep_deg / (2 * _HALF_DEG))
    angles = [math.radians(start_deg + sweep_deg * step / steps) for step in range(steps + 1)]
    return tuple((x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles)


def pairs(numbers: tuple[float, ...]) -> tuple[Point, ...]:
    """x, y, x, y, … as points."""
    return tuple(zip(numbers[::2], numbers[1::2], strict=True))
