"""Vertices of polylines, their arcs broken into chords."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.polyline import Polyline
from ezdxf.math import OCS, Vec3

from app.plans.curves import LEAST_STEPS_PER_TURN, MOST_STEPS_PER_TURN

FullVertex = tuple[float, float, float]
"""x, y, bulge (the tangent of a quarter of the arc's angle, positive counter-clockwise)."""

SPLINE_FIT = 4
CONTROL_POINT = 16


def polyline_points(entity: LWPolyline | Polyline, tolerance: float) -> list[tuple[float, float]]:
    """The vertices of a polyline seen from above; a closed one does not repeat its first."""
    if isinstance(entity, LWPolyline):
        rows = np.array(entity.lwpoints.values).reshape(-1, 5)
        vertices = [(float(x), float(y), float(bulge)) for x, y, _, _, bulge in rows.tolist()]
        elevation = float(entity.dxf.get("elevation", 0.0))
    else:
        vertices, elevation = _old_vertices(entity)
    points = _with_arcs(vertices, tolerance, closed=bool(entity.is_closed))
    if isinstance(entity, Polyline) and entity.is_3d_polyline:
        return points
    return _seen_from_above(points, entity.ocs(), elevation)


def _old_vertices(entity: Polyline) -> tuple[list[FullVertex], float]:
    """Vertices and elevation of a POLYLINE; points that only steer a curve are left out."""
    is_fitted = bool(entity.dxf.flags & SPLINE_FIT)
    kept = [v for v in entity.vertices if not (is_fitted and v.dxf.get("flags", 0) & CONTROL_POINT)]
    vertices = []
    for vertex in kept:
        place = Vec3(vertex.dxf.location)
        bulge = 0.0 if entity.is_3d_polyline else float(vertex.dxf.get("bulge", 0.0))
        vertices.append((place.x, place.y, bulge))
    elevation = Vec3(entity.dxf.get("elevation", (0, 0, 0))).z
    return vertices, elevation


def _seen_from_above(
    points: list[tuple[float, float]], ocs: OCS, elevation: float
) -> list[tuple[float, float]]:
    if not ocs.transform:
        return points
    ux, uy, uz = ocs.ux, ocs.uy, ocs.uz
    dx, dy = uz.x * elevation, uz.y * elevation
    return [(ux.x * x + uy.x * y + dx, ux.y * x + uy.y * y + dy) for x, y in points]


def _with_arcs(
    vertices: Sequence[FullVertex], tolerance: float, *, closed: bool
) -> list[tuple[float, float]]:
    points: list[tuple[float, float]] = []
    last = len(vertices) - 1
    for index, (x, y, bulge) in enumerate(vertices):
        points.append((x, y))
        if bulge and (closed or index < last):
            following = vertices[(index + 1) % len(vertices)]
            points.extend(_arc_between((x, y), following[:2], bulge, tolerance))
    return points


def _arc_between(
    start: tuple[float, float], end: tuple[float, float], bulge: float, tolerance: float
) -> list[tuple[float, float]]:
    """Points strictly between the ends of an arc that turns by four times atan(bulge)."""
    sweep = 4 * math.atan(bulge)
    dx, dy = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(dx, dy)
    if chord == 0 or sweep == 0:
        return []
    # The centre lies on the chord's perpendicular bisector, this part of the chord to its left.
    left = (1 - bulge * bulge) / (4 * bulge)
    cx = (start[0] + end[0]) / 2 - dy * left
    cy = (start[1] + end[1]) / 2 + dx * left
    radius = math.hypot(start[0] - cx, start[1] - cy)
    widest = 2 * math.acos(1 - min(tolerance / radius, 1.0))
    widest = min(max(widest, math.tau / MOST_STEPS_PER_TURN), math.tau / LEAST_STEPS_PER_TURN)
    steps = max(math.ceil(abs(sweep) / widest), 1)
    begin = math.atan2(start[1] - cy, start[0] - cx)
    angles = [begin + sweep * step / steps for step in range(1, steps)]
    return [(cx + radius * math.cos(t), cy + radius * math.sin(t)) for t in angles]
