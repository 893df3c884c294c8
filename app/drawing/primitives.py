"""The plain primitives that every sheet, elevation, symbol and diagram is made of.

A drawing on paper is a list of these, in millimetres, y upwards, on named layers. Backends
(screen, PDF, DXF, SVG) only draw them, so that screen and paper cannot differ. Colours are
roles ("ink", "accent", ...), never values; a backend looks them up in its palette.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal, TypeAlias

import msgspec

Point: TypeAlias = tuple[float, float]
Bounds: TypeAlias = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""

HorizontalAlign: TypeAlias = Literal["left", "center", "right"]
VerticalAlign: TypeAlias = Literal["baseline", "bottom", "middle", "top"]

DEGREES_PER_TURN = 360.0
QUARTER_DEG = 90.0


class Stroke(msgspec.Struct, frozen=True, kw_only=True):
    """How a line is drawn: its colour role, its width, and dashes (on, off, ...) if any."""

    ink: str = "ink"
    width_mm: float = 0.25
    dashes_mm: tuple[float, ...] = ()


class _Primitive(msgspec.Struct, frozen=True, kw_only=True, tag_field="kind"):
    """What all primitives share: the layer they lie on."""

    layer: str


class Line(_Primitive, frozen=True, kw_only=True, tag="line"):
    """A straight line between two points."""

    start: Point
    end: Point
    stroke: Stroke = Stroke()


class Polyline(_Primitive, frozen=True, kw_only=True, tag="polyline"):
    """Straight pieces through two or more points; closed ones return to their first point."""

    points: tuple[Point, ...]
    closed: bool = False
    stroke: Stroke = Stroke()


class Arc(_Primitive, frozen=True, kw_only=True, tag="arc"):
    """A circular arc, counter-clockwise from its start angle; a sweep of 360 is a circle."""

    center: Point
    radius: float
    start_deg: float = 0.0
    sweep_deg: float = DEGREES_PER_TURN
    stroke: Stroke = Stroke()


class FilledPath(_Primitive, frozen=True, kw_only=True, tag="filled"):
    """A filled polygon with holes: rings without a repeated last point, filled even-odd."""

    rings: tuple[tuple[Point, ...], ...]
    ink: str = "ink"


class Text(_Primitive, frozen=True, kw_only=True, tag="text"):
    """One line of text and the box it must stay in.

    `position` is the point named by the two alignments, `height` the height of a capital,
    `box` the width and height that the text may take, measured in the direction of the text;
    a backend narrows text that would be wider than its box. Rotation is about `position`.
    """

    text: str
    position: Point
    height: float
    box: tuple[float, float]
    rotation_deg: float = 0.0
    horizontal: HorizontalAlign = "left"
    vertical: VerticalAlign = "baseline"
    ink: str = "ink"
    bold: bool = False


Primitive: TypeAlias = Line | Polyline | Arc | FilledPath | Text


def text_corners(text: Text) -> tuple[Point, Point, Point, Point]:
    """The four corners of a text's box, counter-clockwise from the text's lower left."""
    width, height = text.box
    left = {"left": 0.0, "center": -width / 2, "right": -width}[text.horizontal]
    bottom = {"baseline": 0.0, "bottom": 0.0, "middle": -height / 2, "top": -height}[text.vertical]
    cos = math.cos(math.radians(text.rotation_deg))
    sin = math.sin(math.radians(text.rotation_deg))
    x0, y0 = text.position

    def turned(x: float, y: float) -> Point:
        return (x0 + x * cos - y * sin, y0 + x * sin + y * cos)

    right, top = left + width, bottom + height
    return turned(left, bottom), turned(right, bottom), turned(right, top), turned(left, top)


def arc_point(arc: Arc, angle_deg: float) -> Point:
    """The point of an arc's circle at an angle."""
    angle = math.radians(angle_deg)
    return (
        arc.center[0] + arc.radius * math.cos(angle),
        arc.center[1] + arc.radius * math.sin(angle),
    )


def _arc_extremes(arc: Arc) -> Iterator[Point]:
    """The ends of an arc and the points where it turns back in x or y."""
    end_deg = arc.start_deg + arc.sweep_deg
    yield arc_point(arc, arc.start_deg)
    yield arc_point(arc, end_deg)
    quarter = math.ceil(arc.start_deg / QUARTER_DEG)
    while quarter * QUARTER_DEG < end_deg:
        yield arc_point(arc, quarter * QUARTER_DEG)
        quarter += 1


def _extremes(primitive: Primitive) -> Iterable[Point]:
    match primitive:
        case Line():
            return (primitive.start, primitive.end)
        case Polyline():
            return primitive.points
        case Arc():
            return _arc_extremes(primitive)
        case FilledPath():
            return (point for ring in primitive.rings for point in ring)
        case Text():
            return text_corners(primitive)


def bounds(primitives: Iterable[Primitive]) -> Bounds | None:
    """The smallest upright rectangle around all primitives (line widths apart), or None."""
    points = [point for primitive in primitives for point in _extremes(primitive)]
    if not points:
        return None
    xs = [x for x, _ in points]
    ys = [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)
