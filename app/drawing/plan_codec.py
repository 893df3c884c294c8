"""A plan's drawing as one compact run of bytes, and back; nothing in it is executed.

The bytes are a magic word, the length of a header, the header (JSON: names, texts, tables and
the shape of each array) and all arrays one after the other, deflated as one. A drawing from a
stranger is untrusted: every size, index and number is checked before it is believed.
"""

from __future__ import annotations

from app.drawing.plan_drawing import PlanDrawing


class PlanDrawingError(Exception):
    """Bytes that are not a plan's drawing, or a damaged one."""


def encode_drawing(drawing: PlanDrawing) -> bytes:
    """The drawing as bytes; the same drawing always gives the same bytes."""
    raise NotImplementedError


def decode_drawing(data: bytes) -> PlanDrawing:
    """The drawing that `encode_drawing` wrote. Raises PlanDrawingError."""
    raise NotImplementedError
