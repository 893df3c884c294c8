"""Flat geometry put in its place: moved, turned, scaled, mirrored and clipped."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeAlias

import numpy as np
import numpy.typing as npt
import shapely

from app.drawing.plan_drawing import Floats, Indices, PlanText
from app.drawing.primitives import HorizontalAlign, VerticalAlign
from app.plans.flat import FlatDimension, FlatGeometry, offsets

Affine: TypeAlias = tuple[float, float, float, float, float, float]
"""a, b, c, d, e, f of x' = a x + c y + e, y' = b x + d y + f."""

HALF_TURN_DEG = 180.0
FULL_TURN_DEG = 360.0
QUARTER_DEG = 90.0
UPRIGHT_MARGIN_DEG = 1.0
"""Text turned a little past a quarter, as it comes of rounding, still counts as upright."""
SAME_SHAPE = 1e-6

_ACROSS: dict[HorizontalAlign, HorizontalAlign] = {
    "left": "right",
    "right": "left",
    "center": "center",
}
_OVER: dict[VerticalAlign, VerticalAlign] = {
    "baseline": "top",
    "bottom": "top",
    "top": "bottom",
    "middle": "middle",
}


def transformed(geometry: FlatGeometry, affine: Affine) -> FlatGeometry:
    """The geometry under an affine map; arcs that become ellipses are kept as lines only."""
    a, b, c, d, e, f = affine
    matrix = np.array([[a, b], [c, d]])
    shift = np.array([e, f])

    def moved(points: Floats) -> Floats:
        result: Floats = (points.reshape(-1, 2) @ matrix + shift).reshape(points.shape)
        return result

    arcs, arc_pens = _transformed_arcs(geometry.arcs, geometry.arc_pens, affine, moved)

    def moved_dimension(dimension: FlatDimension) -> FlatDimension:
        (x0, y0), (x1, y1) = dimension.start, dimension.end
        return replace(
            dimension,
            start=(a * x0 + c * y0 + e, b * x0 + d * y0 + f),
            end=(a * x1 + c * y1 + e, b * x1 + d * y1 + f),
        )

    return replace(
        geometry,
        segments=moved(geometry.segments),
        arcs=arcs,
        arc_pens=arc_pens,
        hatch_lines=moved(geometry.hatch_lines),
        fill_points=moved(geometry.fill_points),
        texts=tuple((transformed_text(text, affine), pen) for text, pen in geometry.texts),
        dimensions=tuple(moved_dimension(dimension) for dimension in geometry.dimensions),
    )


def _transformed_arcs(
    arcs: Floats, pens: Indices, affine: Affine, moved: Callable[[Floats], Floats]
) -> tuple[Floats, Indices]:
    a, b, c, d, _, _ = affine
    scale = math.hypot(a, b)
    skew = abs(a * c + b * d) + abs(scale - math.hypot(c, d)) * scale
    if not len(arcs) or scale == 0 or skew > SAME_SHAPE * scale * scale:
        return arcs[:0], pens[:0]
    turn = math.degrees(math.atan2(b, a))
    if a * d - b * c < 0:
        start = turn - arcs[:, 3] - arcs[:, 4]
    else:
        start = turn + arcs[:, 3]
    placed = np.column_stack(
        (moved(arcs[:, :2].copy()), arcs[:, 2] * scale, start % FULL_TURN_DEG, arcs[:, 4])
    )
    return placed, pens


def transformed_text(text: PlanText, affine: Affine) -> PlanText:
    """The text under an affine map; it stays readable where the map mirrors it."""
    a, b, c, d, e, f = affine
    cos = math.cos(math.radians(text.rotation_deg))
    sin = math.sin(math.radians(text.rotation_deg))
    along = (a * cos + c * sin, b * cos + d * sin)
    stretch = math.hypot(*along)
    area = abs(a * d - b * c)
    tall = area / stretch if stretch > 0 else 0.0
    horizontal, vertical = text.horizontal, text.vertical
    rotation = math.degrees(math.atan2(along[1], along[0]))
    if a * d - b * c < 0:
        vertical = _OVER[vertical]
        if abs(rotation) > QUARTER_DEG + UPRIGHT_MARGIN_DEG:
            rotation += HALF_TURN_DEG
            horizontal, vertical = _ACROSS[horizontal], _OVER[vertical]
    x, y = text.position
    return replace(
        text,
        position=(a * x + c * y + e, b * x + d * y + f),
        height=text.height * tall,
        line_step=text.line_step * tall,
        width=text.width * stretch,
        rotation_deg=rotation % FULL_TURN_DEG,
        horizontal=horizontal,
        vertical=vertical,
    )


def clipped(
    geometry: FlatGeometry, boundary: Sequence[tuple[float, float]], *, keep_outside: bool
) -> FlatGeometry:
    """What lies inside (or outside) a boundary; outlines and arcs that it cuts lose their name."""
    region = shapely.make_valid(shapely.Polygon(boundary))
    shapely.prepare(region)
    segments, segment_pens = _clipped_lines(
        geometry.segments, geometry.segment_pens, region, keep_outside=keep_outside
    )
    hatch_lines, hatch_pens = _clipped_lines(
        geometry.hatch_lines, geometry.hatch_pens, region, keep_outside=keep_outside
    )

    def kept(points: Floats) -> npt.NDArray[np.bool_]:
        inside: npt.NDArray[np.bool_] = shapely.contains_xy(region, points)
        return ~inside if keep_outside else inside

    whole_arcs = kept(geometry.arcs[:, :2])
    positions = np.array([t.position for t, _ in geometry.texts]).reshape(-1, 2)
    fills = _clipped_fills(geometry, region, keep_outside=keep_outside)
    return replace(
        fills,
        segments=segments,
        segment_pens=segment_pens,
        outlines=np.zeros((0, 2), dtype=np.int32),
        arcs=geometry.arcs[whole_arcs],
        arc_pens=geometry.arc_pens[whole_arcs],
        hatch_lines=hatch_lines,
        hatch_pens=hatch_pens,
        texts=tuple(
            text for text, keep in zip(geometry.texts, kept(positions), strict=True) if keep
        ),
    )


def _clipped_lines(
    lines: Floats, pens: Indices, region: shapely.Geometry, *, keep_outside: bool
) -> tuple[Floats, Indices]:
    if not len(lines):
        return lines, pens
    cut = shapely.difference if keep_outside else shapely.intersection
    pieces, row = shapely.get_parts(
        cut(shapely.linestrings(lines.reshape(-1, 2, 2)), region), return_index=True
    )
    is_line = (shapely.get_type_id(pieces) == shapely.GeometryType.LINESTRING) & (
        shapely.get_num_points(pieces) > 1
    )
    pieces, row = pieces[is_line], row[is_line]
    first = shapely.get_coordinates(shapely.get_point(pieces, 0))
    last = shapely.get_coordinates(shapely.get_point(pieces, -1))
    return np.hstack((first, last)).reshape(-1, 4), pens[row]


def _clipped_fills(
    geometry: FlatGeometry, region: shapely.Geometry, *, keep_outside: bool
) -> FlatGeometry:
    """The geometry with only its fills clipped."""
    cut = shapely.difference if keep_outside else shapely.intersection
    rings: list[Floats] = []
    path_sizes: list[int] = []
    pens: list[int] = []
    for path, pen in enumerate(geometry.fill_pens):
        area = cut(_fill_area(geometry, path), region)
        for part in shapely.get_parts(area):
            if part.geom_type != "Polygon" or part.is_empty:
                continue
            part_rings = [part.exterior, *part.interiors]
            rings.extend(shapely.get_coordinates(ring)[:-1] for ring in part_rings)
            path_sizes.append(len(part_rings))
            pens.append(int(pen))
    return replace(
        geometry,
        fill_points=np.concatenate([np.zeros((0, 2)), *rings]),
        fill_rings=offsets(np.array([len(ring) for ring in rings], dtype=np.int32)),
        fill_paths=offsets(np.array(path_sizes, dtype=np.int32)),
        fill_pens=np.array(pens, dtype=np.int32),
    )


def _fill_area(geometry: FlatGeometry, path: int) -> shapely.Geometry:
    """A filled path as an area, even-odd."""
    area: shapely.Geometry = shapely.Polygon()
    for ring in range(geometry.fill_paths[path], geometry.fill_paths[path + 1]):
        points = geometry.fill_points[geometry.fill_rings[ring] : geometry.fill_rings[ring + 1]]
        area = shapely.symmetric_difference(area, shapely.make_valid(shapely.Polygon(points)))
    return area
