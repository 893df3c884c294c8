"""Texts of a DXF document, as plan texts with their place and size."""

from __future__ import annotations

import math
import re
from typing import TypeVar

from ezdxf.entities.mtext import MText
from ezdxf.entities.text import Text
from ezdxf.lldxf.encoding import decode_dxf_unicode
from ezdxf.math import Vec3

from app.drawing.plan_drawing import PlanText
from app.drawing.primitives import HorizontalAlign, VerticalAlign
from app.plans.cleaning import clean
from app.plans.limits import MOST_TEXT_LENGTH
from app.plans.placing import transformed_text
from app.plans.text_width import text_width, wrapped

T = TypeVar("T")

ALIGNED, MIDDLE, FIT = 3, 4, 5
BACKWARD, UPSIDE_DOWN = 2, 4
_HORIZONTAL: tuple[HorizontalAlign, ...] = ("left", "center", "right", "left", "center", "left")
_VERTICAL: tuple[VerticalAlign, ...] = ("baseline", "bottom", "middle", "top")

_MTEXT_COLUMNS: tuple[HorizontalAlign, ...] = ("left", "center", "right")
_MTEXT_ROWS: tuple[VerticalAlign, ...] = ("top", "middle", "bottom")

LINE_STEP = 5 / 3
"""Distance of baselines at single spacing, as a part of the height of capitals."""
WRAP_MARGIN = 1.1
"""A text is broken only where it is surely wider than its column."""

_LEADING_HEIGHT = re.compile(r"^(?:\{|\\[ACWQTfF][^;]*;|\\[LOKlok])*\\H([0-9.]+)(x?);")


def text_of_line(entity: Text) -> PlanText | None:
    """A TEXT or ATTRIB in world coordinates; None if it says nothing or stands upright in space."""
    dxf = entity.dxf
    content = clean(_decoded(entity.plain_text()))
    ocs = entity.ocs()
    if not content or not _is_flat(ocs.uz):
        return None
    height = abs(float(dxf.get("height", 1.0)))
    width = text_width(content, height) * abs(float(dxf.get("width", 1.0)) or 1.0)
    halign, valign = int(dxf.get("halign", 0)), int(dxf.get("valign", 0))
    place = Vec3(dxf.get("insert", (0, 0, 0)))
    second = dxf.get("align_point")
    angle = math.radians(float(dxf.get("rotation", 0.0)))
    if second is not None and halign in (ALIGNED, FIT):
        span = Vec3(second) - place
        angle = math.atan2(span.y, span.x)
        if halign == ALIGNED and width > 0:
            height *= span.magnitude / width
        width = span.magnitude
    elif second is not None and (halign or valign):
        place = Vec3(second)
    text = PlanText(
        text=content,
        position=(0.0, 0.0),
        height=height,
        width=width,
        horizontal=_pick(_HORIZONTAL, halign),
        vertical="middle" if halign == MIDDLE else _pick(_VERTICAL, valign),
    )
    turns = int(dxf.get("text_generation_flag", 0))
    along = -1.0 if turns & BACKWARD else 1.0
    up = -1.0 if turns & UPSIDE_DOWN else 1.0
    cos, sin = math.cos(angle), math.sin(angle)
    ux, uy = ocs.to_wcs(Vec3(cos * along, sin * along)), ocs.to_wcs(Vec3(-sin * up, cos * up))
    world = ocs.to_wcs(place)
    return transformed_text(text, (ux.x, ux.y, uy.x, uy.y, world.x, world.y))


def text_of_block(entity: MText) -> PlanText | None:
    """An MTEXT in world coordinates; None if it says nothing or stands upright in space."""
    dxf = entity.dxf
    raw = str(entity.text)[: 4 * MOST_TEXT_LENGTH]
    content = clean(_decoded(str(entity.plain_text())))
    ucs = entity.ucs()
    if not content or not _is_flat(ucs.uz):
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
    text = PlanText(
        text=content,
        position=(0.0, 0.0),
        height=height,
        width=_widest(content, height),
        horizontal=_pick(_MTEXT_COLUMNS, attachment % 3),
        vertical=_pick(_MTEXT_ROWS, attachment // 3),
        line_step=height * LINE_STEP * float(dxf.get("line_spacing_factor", 1.0)),
    )
    place = Vec3(dxf.get("insert", (0, 0, 0)))
    return transformed_text(text, (ucs.ux.x, ucs.ux.y, ucs.uy.x, ucs.uy.y, place.x, place.y))


def _decoded(text: str) -> str:
    """The text with its escaped characters, which newer files may still have, as themselves."""
    return decode_dxf_unicode(text) if "\\U+" in text else text


def _widest(text: str, height: float) -> float:
    return max(text_width(line, height) for line in text.split("\n"))


def _is_flat(extrusion: Vec3) -> bool:
    return math.isclose(extrusion.x, 0, abs_tol=1e-9) and math.isclose(extrusion.y, 0, abs_tol=1e-9)


def _pick(choices: tuple[T, ...], index: int) -> T:
    return choices[index] if 0 <= index < len(choices) else choices[0]
