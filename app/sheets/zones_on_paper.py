"""Serving zones on paper: their borders in dashes, and which frame serves them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from app.drawing.primitives import Line, Point, Polyline, Primitive, Stroke
from app.model.entities import ServingZone
from app.model.project import Project
from app.sheets.paper_labels import Wish, Words, size_of, spots_around
from app.sheets.viewport import Viewport
from app.sheets.weights import BOLD_MM

LEGEND = "Serving zone"
_BORDER = Stroke(ink="ink_soft", width_mm=BOLD_MM, dashes_mm=(4.0, 1.6))
_TEXT_MM, _OFF_MM = 2.5, 1.0
_STEPS = 8


def zones_on(project: Project, floor_id: str) -> list[ServingZone]:
    """The serving zones of a floor."""
    return [z for z in project.serving_zones.values() if z.floor == floor_id]


def zone_border(zone: ServingZone, view: Viewport) -> Iterator[Primitive]:
    """The border as far as it lies in the viewport."""
    ring = view.all_at(np.array(zone.outline, dtype=float))
    line = shapely.LineString([*ring, ring[0]]).intersection(shapely.box(*view.box))
    for part in shapely.get_parts(shapely.line_merge(line)):
        if isinstance(part, shapely.LineString) and part.length > 0:
            points = tuple((round(x, 3), round(y, 3)) for x, y in part.coords)
            yield Polyline(layer="zones", points=points, stroke=_BORDER)


def zone_mark(wide_mm: float) -> tuple[Primitive, ...]:
    """A piece of border for the legend, about the origin."""
    half = wide_mm / 2
    return (Line(layer="legend", start=(-half, 0.0), end=(half, 0.0), stroke=_BORDER),)


def zone_lines(project: Project, zone: ServingZone) -> tuple[str, ...]:
    """“Shop units”, “served by 0P”; the latter alone where the name says no more."""
    frame = project.frames[zone.frame].name
    served = f"served by {frame}"
    return (zone.name, served) if zone.name not in ("", frame) else (served,)


def zone_wishes(
    project: Project, zone: ServingZone, view: Viewport, *, rank: int
) -> Iterator[Wish]:
    """The words inside the border, in one line or in two; else beside it, with a leader to its
    upper left corner. On one sheet alone: that which shows most of the zone."""
    outline = shapely.Polygon(view.all_at(np.array(zone.outline, dtype=float)))
    parts = shapely.get_parts(shapely.make_valid(outline).intersection(shapely.box(*view.core)))
    own = max((p for p in parts if isinstance(p, shapely.Polygon)), key=shapely.area, default=None)
    if own is None or own.area < outline.area / 2:
        return
    lines = zone_lines(project, zone)
    choices = dict.fromkeys(((", ".join(lines),), lines))
    for texts in choices:
        words = tuple(Words(text=text, capital_mm=_TEXT_MM) for text in texts)
        spots = tuple(_corners_first(own, size_of(words)))
        yield _wish(zone, words, spots, rank)
    corner = min(own.exterior.coords[:-1], key=lambda p: (p[0] - p[1], p))
    spots, near = spots_around((corner[0], corner[1]), size_of(words), _OFF_MM)
    beside = _wish(zone, words, spots, rank)
    yield replace(beside, anchor=(corner[0], corner[1]), near_mm=near)


def _wish(zone: ServingZone, words: tuple[Words, ...], spots: tuple[Point, ...], rank: int) -> Wish:
    return Wish(
        key=zone.id, words=words, spots=spots, rank=rank, layer="zone labels", lies_on_lines=True
    )


def _corners_first(shape: shapely.Polygon, size: tuple[float, float]) -> Iterator[Point]:
    """Places within the shape: from its upper left corner on, row by row."""
    x0, y0, x1, y1 = shape.bounds
    wide, tall = size
    down = np.arange(y1 - tall - _OFF_MM, y0, -tall / 2)
    along = np.linspace(x0 + _OFF_MM, max(x0 + _OFF_MM, x1 - wide - _OFF_MM), _STEPS)
    for y in down.tolist():
        for x in along.tolist():
            if shapely.contains(shape, shapely.box(x, y, x + wide, y + tall)):
                yield x, y
