"""A first idea of a drawing's size, before it is flattened: how fine its curves must be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

import numpy as np
from ezdxf.document import Drawing
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.insert import Insert
from ezdxf.math import Vec3

MOST_POINTS = 20_000
MOST_POINTS_PER_BLOCK = 500
TOLERANCE_RATIO = 1e-5
"""Chords keep within this part of the drawing's size: half a millimetre on a building of 50 m."""


def chord_tolerance(doc: Drawing) -> float:
    """How far a chord may lie from its curve, in file units."""
    points = np.array(list(islice(_places(doc.modelspace()), MOST_POINTS))).reshape(-1, 2)
    points = points[np.isfinite(points).all(axis=1)]
    if len(points) < 2:  # noqa: PLR2004 - one place has no size
        return TOLERANCE_RATIO
    low, high = np.quantile(points, (0.05, 0.95), axis=0)
    size = float(np.max(high - low))
    return size * TOLERANCE_RATIO if size > 0 else TOLERANCE_RATIO


def _places(entities: Iterable[DXFGraphic]) -> Iterator[tuple[float, float]]:
    """Where entities stand; of a block reference, where the things in its block come to stand."""
    for entity in entities:
        try:
            if isinstance(entity, Insert):
                yield from _inserted_places(entity)
            else:
                place = _place(entity)
                if place is not None:
                    yield place.x, place.y
        except Exception:
            continue


def _inserted_places(insert: Insert) -> Iterator[tuple[float, float]]:
    block = insert.block()
    if block is None:
        return
    matrix = insert.matrix44()
    for entity in islice(block, MOST_POINTS_PER_BLOCK):
        place = _place(entity)
        if place is not None:
            moved = matrix.transform(place)
            yield moved.x, moved.y


def _place(entity: DXFGraphic) -> Vec3 | None:
    """The first point of an entity, if it has one that costs nothing to find."""
    kind = entity.dxftype()
    if kind == "LINE":
        return Vec3(entity.dxf.start)
    if kind in ("CIRCLE", "ARC", "ELLIPSE"):
        return Vec3(entity.dxf.center)
    if kind in ("INSERT", "TEXT", "MTEXT"):
        return Vec3(entity.dxf.insert)
    if kind == "LWPOLYLINE" and len(entity.lwpoints):  # type: ignore[attr-defined]
        return Vec3(entity.lwpoints[0][:2])  # type: ignore[attr-defined]
    if kind == "POLYLINE" and entity.vertices:  # type: ignore[attr-defined]
        return Vec3(entity.vertices[0].dxf.location)  # type: ignore[attr-defined]
    return None
