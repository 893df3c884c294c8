"""Hatches: filled areas, and areas drawn with a pattern."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from ezdxf.entities.pattern import PatternLine
from ezdxf.entities.polygon import DXFPolygon
from ezdxf.math import Vec3
from ezdxf.path import Path
from ezdxf.render import hatching

from app.drawing.plan_drawing import Floats
from app.plans.collector import Collector
from app.plans.hatches import LineFamily, TooDense, TooFine, hatch_lines
from app.plans.limits import MOST_HATCH_BOUNDARY, MOST_HATCH_LINES

Flattener = Callable[[Path], list[tuple[float, float]]]


def draw_hatch(
    polygon: DXFPolygon, collector: Collector, pen: int, flattened: Flattener
) -> list[str]:
    """Draw a HATCH or MPOLYGON into a collector; gives the codes of what there is to report."""
    rings = _rings(polygon, flattened)
    if not rings:
        return []
    pattern = polygon.pattern
    if polygon.dxf.get("solid_fill", 0) or pattern is None or not pattern.lines:
        collector.fill([_in_world(ring, polygon).tolist() for ring in rings], pen)
        return []
    if sum(len(ring) for ring in rings) > MOST_HATCH_BOUNDARY:
        return ["hatch-dense"]
    try:
        lines = hatch_lines(
            rings,
            [_family(line) for line in pattern.lines],
            most_lines=MOST_HATCH_LINES,
            least_step=collector.tolerance,
        )
    except TooFine:
        collector.fill([_in_world(ring, polygon).tolist() for ring in rings], pen)
        return ["hatch-solid"]
    except TooDense:
        return ["hatch-dense"]
    collector.hatch(_in_world(lines, polygon), pen)
    return []


def _rings(polygon: DXFPolygon, flattened: Flattener) -> list[Floats]:
    """The hatch's boundary in the plane of the hatch, without repeated last points."""
    rings = []
    for path in hatching.hatch_boundary_paths(polygon, filter_text_boxes=True):
        points = np.array(flattened(path)).reshape(-1, 2)
        if len(points) > 1 and (points[0] == points[-1]).all():
            points = points[:-1]
        if len(points) > 2 and np.isfinite(points).all():  # noqa: PLR2004 - encloses something
            rings.append(points)
    return rings


def _family(line: PatternLine) -> LineFamily:
    return LineFamily(
        angle_deg=line.angle,
        base=(line.base_point.x, line.base_point.y),
        offset=(line.offset.x, line.offset.y),
        items=tuple(float(item) for item in line.dash_length_items),
    )


def _in_world(rows: Floats, polygon: DXFPolygon) -> Floats:
    """Points (n, 2) or lines (n, 4) of the hatch's plane, seen from above."""
    ocs = polygon.ocs()
    if not ocs.transform:
        return rows
    ux, uy, uz = ocs.ux, ocs.uy, ocs.uz
    elevation = Vec3(polygon.dxf.get("elevation", (0, 0, 0))).z
    points = rows.reshape(-1, 2)
    x = ux.x * points[:, 0] + uy.x * points[:, 1] + uz.x * elevation
    y = ux.y * points[:, 0] + uy.y * points[:, 1] + uz.y * elevation
    return np.column_stack((x, y)).reshape(rows.shape)
