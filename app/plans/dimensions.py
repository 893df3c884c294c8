"""Linear dimensions: what they measure, what they say, and a picture for those without one."""

from __future__ import annotations

import math
from collections.abc import Iterable

from ezdxf.entities.dimension import Dimension
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.mtext import MText
from ezdxf.entities.text import Text
from ezdxf.math import Vec3

from app.drawing.plan_drawing import PlanText
from app.drawing.primitives import Point
from app.plans.cleaning import clean
from app.plans.collector import Collector
from app.plans.flat import FlatDimension
from app.plans.text_width import text_width

LINEAR, ALIGNED = 0, 1
KIND_BITS = 7
MEASURED = "<>"
DRAWN_TEXT_RATIO = 0.04
"""Height of the text of a dimension drawn here, as a part of what it measures."""


def linear_dimension(
    dimension: Dimension, block: Iterable[DXFGraphic] | None
) -> FlatDimension | None:
    """The ends of the dimension line and the text of a linear dimension; None for other kinds."""
    kind = int(dimension.dxf.get("dimtype", 0)) & KIND_BITS
    if kind not in (LINEAR, ALIGNED):
        return None
    ends = _line_ends(dimension, kind)
    if ends is None:
        return None
    typed = clean(str(dimension.dxf.get("text", "")))
    shown = _shown_text(block) or _measured_text(dimension, ends)
    is_typed = bool(typed) and MEASURED not in typed
    return FlatDimension(shown, ends[0], ends[1], is_typed)


def _line_ends(dimension: Dimension, kind: int) -> tuple[Point, Point] | None:
    """The measured points, moved square to the dimension line onto it."""
    dxf = dimension.dxf
    if not (dxf.hasattr("defpoint2") and dxf.hasattr("defpoint3") and dxf.hasattr("defpoint")):
        return None
    first, second, on_line = Vec3(dxf.defpoint2), Vec3(dxf.defpoint3), Vec3(dxf.defpoint)
    if kind == ALIGNED:
        angle = math.atan2(second.y - first.y, second.x - first.x)
    else:
        angle = math.radians(float(dxf.get("angle", 0.0)))
        if dimension.ocs().uz.z < 0:
            angle = math.pi - angle
    cos, sin = math.cos(angle), math.sin(angle)

    def foot(point: Vec3) -> Point:
        along = (point.x - on_line.x) * cos + (point.y - on_line.y) * sin
        return (on_line.x + along * cos, on_line.y + along * sin)

    ends = foot(first), foot(second)
    return ends if all(math.isfinite(v) for end in ends for v in end) else None


def _shown_text(block: Iterable[DXFGraphic] | None) -> str:
    """The text in the dimension's own picture."""
    for entity in block or ():
        if isinstance(entity, MText | Text):
            shown = clean(str(entity.plain_text()))
            if shown:
                return shown
    return ""


def _measured_text(dimension: Dimension, ends: tuple[Point, Point]) -> str:
    typed = clean(str(dimension.dxf.get("text", "")))
    if typed and MEASURED not in typed:
        return typed
    measured = f"{math.dist(*ends):.6g}"
    return typed.replace(MEASURED, measured) if typed else measured


def drawn_dimension(collector: Collector, dimension: FlatDimension, pen: int) -> None:
    """Draw a dimension line with its text, for a dimension without a picture."""
    (x0, y0), (x1, y1) = dimension.start, dimension.end
    collector.line(x0, y0, x1, y1, pen)
    height = math.dist(dimension.start, dimension.end) * DRAWN_TEXT_RATIO
    angle = math.degrees(math.atan2(y1 - y0, x1 - x0))
    upright = (angle + 90.0) % 180.0 - 90.0
    if height > 0:
        collector.text(
            PlanText(
                text=dimension.text,
                position=((x0 + x1) / 2, (y0 + y1) / 2),
                height=height,
                width=text_width(dimension.text, height),
                rotation_deg=upright,
                horizontal="center",
                vertical="bottom",
            ),
            pen,
        )
