"""Texts of a DXF document, as plan texts with their place and size."""

from __future__ import annotations

import math
import re
from typing import TypeVar

from ezdxf.entities.mtext import MText
from ezdxf.entities.text import Text
from ezdxf.math import Vec3

from app.drawing.plan_drawing import PlanText
from app.drawing.primitives import HorizontalAlign, VerticalAlign
from app.plans.limits import MOST_TEXT_LENGTH
from app.plans.placing import transformed_text
from app.plans.text_width import text_width, wrapped

T = TypeVar("T")

ALIGNED, MIDDLE, FIT = 3, 4, 5
_HORIZONTAL: tuple[HorizontalAlign, ...] = ("left", "center", "right", "left", "center", "left")
_VERTICAL: tuple[VerticalAlign, ...] = ("baseline", "bottom", "middle", "top")

_MTEXT_COLUMNS: tuple[HorizontalAlign, ...] = ("left", "center", "right")
_MTEXT_ROWS: tuple[VerticalAlign, ...] = ("top", "middle", "bottom")

LINE_STEP = 5 / 3
"""Distance of baselines at single spacing, as a part of the height of capitals."""
WRAP_MARGIN = 1.1
"""A text is broken only where it is surely wider than its column."""

_LEADING_HEIGHT = re.compile(r"^(?:\{|\\[ACWQTfF][^;]*;|\\[LOKlok])*\\H([0-9.]+)(x?);")
_NOT_PRINTED = re.compile(r"[\x00-\x09\x0b-\x1f\x7f\ud800-\udfff]")


def clean(text: str) -> str:
    """Text that can be shown and stored: of bounded length, without control characters."""
    return _NOT_PRINTED.sub(" ", text[:MOST_TEXT_LENGTH]).strip(" \n")


def text_of_line(entity: Text) -> PlanText | None:
    """A TEXT or ATTRIB in world coordinates; None if it says nothing or stands upright in space."""
    dxf = entity.dxf
    content = clean(entity.plain_text())
    extrusion = Vec3(dxf.get("extrusion", (0, 0, 1)))
    if not content or not _is_flat(extrusion):
        return None
    height = abs(float(dxf.get("height", 1.0)))
    width = text_width(content, height) * abs(float(dxf.get("width", 1.0)) or 1.0)
    halign, valign = int(dxf.get("halign", 0)), int(dxf.get("valign", 0))
    insert = Vec3(dxf.get("insert", (0, 0, 0)))
    second = dxf.get("align_point")
    rotation = float(dxf.get("rotation", 0.0))
    position = insert
    if second is not None and halign in (ALIGNED, FIT):
        span = Vec3(second) - insert
        rotation = math.degrees(math.atan2(span.y, span.x))
        if halign == ALIGNED and width > 0:
            height *= span.magnitude / width
        width = span.magnitude
    elif second is not None and (halign or valign):
        position = Vec3(second)
    text = PlanText(
        text=content,
        position=(position.x, position.y),
        height=height,
        width=width,
        rotation_deg=rotation,
        horizontal=_pick(_HORIZONTAL, halign),
        vertical="middle" if halign == MIDDLE else _pick(_VERTICAL, valign),
    )
    return transformed_text(text, (-1, 0, 0, 1, 0, 0)) if extrusion.z < 0 else text


def text_of_block(entity: MText) -> PlanText | None:
    """An MTEXT in world coordinates; None if it says nothing or stands upright in space."""
    dxf = entity.dxf
    raw = str(entity.text)[: 4 * MOST_TEXT_LENGTH]
    content = clean(str(entity.plain_text()))
    ucs = entity.ucs()
    if not content or not _is_flat(Vec3(ucs.uz)):
        return None
    height = abs(float(dxf.get("char_height", 1.0)))
    leading = _LEADING_HEIGHT.match(raw)
    if leading is not None:
        value = float(leading[1])
        height = height * value if leading[2] else value
    column = float(dxf.get("width", 0.0))
    if column > 0 and _widest(content, height) > column * WRAP_MARGIN:
        content = wrapped(content, height, column)
    attachment = int(dxf.get("attachment_point", 1)) - 1
    insert = Vec3(dxf.get("insert", (0, 0, 0)))
    direction = Vec3(ucs.ux)
    return PlanText(
        text=content,
        position=(insert.x, insert.y),
        height=height,
        width=_widest(content, height),
        rotation_deg=math.degrees(math.atan2(direction.y, direction.x)),
        horizontal=_pick(_MTEXT_COLUMNS, attachment % 3),
        vertical=_pick(_MTEXT_ROWS, attachment // 3),
        line_step=height * LINE_STEP * float(dxf.get("line_spacing_factor", 1.0)),
    )


def _widest(text: str, height: float) -> float:
    return max(text_width(line, height) for line in text.split("\n"))


def _is_flat(extrusion: Vec3) -> bool:
    return math.isclose(extrusion.x, 0, abs_tol=1e-9) and math.isclose(extrusion.y, 0, abs_tol=1e-9)


def _pick(choices: tuple[T, ...], index: int) -> T:
    return choices[index] if 0 <= index < len(choices) else choices[0]
