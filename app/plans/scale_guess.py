"""A first idea of a drawing's size, before it is flattened: how fine its curves must be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

import numpy as np
from ezdxf.document import Drawing
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.insert import Insert
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.polyline import Polyline
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
                yield from ((place.x, place.y) for place in _own_places(entity))
        except Exception:
            # Damage is reported where the entity is drawn.
            continue


def _inserted_places(insert: Insert) -> Iterator[tuple[float, float]]:
    block = insert.block()
    if block is None:
        return
    matrix = insert.matrix44()
    for entity in islice(block, MOST_POINTS_PER_BLOCK):
        for place in _own_places(entity):
            moved = matrix.transform(place)
            yield moved.x, moved.y


def _own_places(entity: DXFGraphic) -> tuple[Vec3, ...]:
    """One or two points of an entity, if it has any that cost nothing to find."""
    kind = entity.dxftype()
    if kind == "LINE":
        return Vec3(entity.dxf.start), Vec3(entity.dxf.end)
    if kind in ("CIRCLE", "ARC", "ELLIPSE"):
        return (Vec3(entity.dxf.center),)
    if kind in ("INSERT", "TEXT", "MTEXT"):
        return (Vec3(entity.dxf.insert),)
    if isinstance(entity, LWPolyline) and len(entity.lwpoints):
        middle = len(entity.lwpoints) // 2
        return Vec3(entity.lwpoints[0][:2]), Vec3(entity.lwpoints[middle][:2])
    if isinstance(entity, Polyline) and entity.vertices:
        middle = len(entity.vertices) // 2
        return tuple(Vec3(entity.vertices[n].dxf.location) for n in (0, middle))
    return ()
