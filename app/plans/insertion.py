"""Where a block reference puts its block, and what it cuts off."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ezdxf.entities.insert import Insert
from ezdxf.math import Vec3
from ezdxf.xclip import XClip

from app.plans.placing import Affine


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipBoundary:
    """A polygon, in the coordinates of the block's surroundings, that cuts a block reference."""

    polygon: tuple[tuple[float, float], ...]
    keeps_outside: bool


def insertions(insert: Insert) -> Iterator[tuple[Affine, ClipBoundary | None]]:
    """Every place of a block reference (several where it is an array), seen from above."""
    boundary = _boundary(insert)
    m = tuple(insert.matrix44())
    affine: Affine = (m[0], m[1], m[4], m[5], m[12], m[13])
    if not all(math.isfinite(value) for value in affine):
        raise ValueError("a block reference has no finite place")
    if insert.mcount <= 1:
        yield affine, boundary
        return
    dxf = insert.dxf
    ocs = insert.ocs()
    across = ocs.to_wcs(Vec3(dxf.column_spacing, 0, 0).rotate_deg(dxf.rotation))
    up = ocs.to_wcs(Vec3(0, dxf.row_spacing, 0).rotate_deg(dxf.rotation))
    for row in range(dxf.row_count if dxf.row_spacing else 1):
        for column in range(dxf.column_count if dxf.column_spacing else 1):
            shift = across * column + up * row
            yield (*affine[:4], affine[4] + shift.x, affine[5] + shift.y), boundary


def _boundary(insert: Insert) -> ClipBoundary | None:
    if not insert.has_extension_dict:
        return None
    clip = XClip(insert)
    if not (clip.has_clipping_path and clip.is_clipping_enabled):
        return None
    path = clip.get_wcs_clipping_path()
    polygon = tuple((float(v.x), float(v.y)) for v in path.inner_polygon())
    if len(polygon) < 3:  # noqa: PLR2004 - two points enclose nothing
        return None
    return ClipBoundary(polygon=polygon, keeps_outside=path.is_inverted_clip)
