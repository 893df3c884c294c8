"""An imported plan on paper: its lines and fills cut to the viewport, and its legible texts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.plan_drawing import PlanDrawing, PlanText
from app.drawing.plan_lines import line_groups
from app.drawing.primitives import (
    Bounds,
    FilledPath,
    Point,
    Polyline,
    Primitive,
    Stroke,
    Text,
    bounds,
)
from app.drawing.symbols import readable_deg
from app.model.entities import Plan
from app.sheets.viewport import Floats, Viewport, turned
from app.sheets.weights import HATCH_MM, RULE_MM, THIN_MM

LAYER = "plan"
LEAST_TEXT_MM = 1.8
"""A smaller capital cannot be read on paper."""
_HALF = 0.5
_LEAST_FILL_MM2 = 0.02


@dataclass(frozen=True, slots=True)
class PlanOnSite:
    """A plan with its decoded drawing."""

    plan: Plan
    drawing: PlanDrawing

    def to_site(self, local: Floats) -> Floats:
        """Points of the drawing (n, 2) in millimetres of the site."""
        plan = self.plan
        angle = math.radians(plan.rotation_mdeg / 1_000)
        turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
        in_file = (local + np.array(self.drawing.origin)) * plan.mm_per_unit
        placed: Floats = in_file @ turn + np.array([plan.x_mm, plan.y_mm])
        return placed

    def is_shown(self, layer: str) -> bool:
        """Whether file and user show a layer."""
        return self.drawing.layer(layer).is_visible and layer not in self.plan.hidden_layers

    def bounds_mm(self, turn_deg: float) -> Bounds | None:
        """Where the plan itself lies, in the turned axes of the paper."""
        box = self.drawing.bounds
        if box is None:
            return None
        x0, y0, x1, y1 = box
        corners = self.to_site(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], dtype=float))
        us, vs = zip(*(turned(x, y, turn_deg) for x, y in corners.tolist()), strict=True)
        return min(us), min(vs), max(us), max(vs)


def plan_lines(on_site: PlanOnSite, view: Viewport) -> Iterator[Primitive]:
    """Fills first, then the lines, grey and thin, cut to the viewport."""
    yield from _fills(on_site, view)
    hidden = {p.name for p in on_site.drawing.layers if not on_site.is_shown(p.name)}
    for group in line_groups(on_site.drawing):
        if group.layer in hidden or not len(group.segments):
            continue
        ends = view.all_at(on_site.to_site(group.segments.reshape(-1, 2)))
        width_mm = min(max(group.width_mm * _HALF, THIN_MM), RULE_MM)
        stroke = Stroke(ink="plan", width_mm=HATCH_MM if group.is_hatch else width_mm)
        for chain in _chains(cut(ends.reshape(-1, 4), view.box)):
            yield Polyline(layer=LAYER, points=chain, stroke=stroke)


def plan_texts(on_site: PlanOnSite, view: Viewport) -> Iterator[Text]:
    """The texts that stand in the viewport and can be read there, a primitive a line."""
    scale = on_site.plan.mm_per_unit / view.denominator
    turn_deg = on_site.plan.rotation_mdeg / 1_000 + view.turn_deg
    for layer in on_site.drawing.layers:
        if not on_site.is_shown(layer.name):
            continue
        for text in layer.texts:
            if text.height * scale >= LEAST_TEXT_MM:
                yield from _text_lines(on_site, text, view, scale, turn_deg)


def _text_lines(
    on_site: PlanOnSite, text: PlanText, view: Viewport, scale: float, turn_deg: float
) -> Iterator[Text]:
    (place,) = view.all_at(on_site.to_site(np.array([text.position], dtype=float))).tolist()
    rotation_deg = text.rotation_deg + turn_deg
    left, _, right, top = text.box
    for number, line in enumerate(text.text.split("\n")):
        baseline = top - text.height - number * text.line_step
        middle = turned((left + right) / 2 * scale, baseline * scale, rotation_deg)
        # A text that would stand on its head is turned about its own middle.
        up = turned(0.0, text.height * scale / 2, rotation_deg)
        made = Text(
            layer="plan texts",
            text=line,
            position=(place[0] + middle[0] + up[0], place[1] + middle[1] + up[1]),
            height=text.height * scale,
            box=(max(text.width * scale, 0.1), text.height * scale),
            rotation_deg=readable_deg(rotation_deg),
            horizontal="center",
            vertical="middle",
            ink="plan_text",
        )
        if line.strip() and _is_inside(made, view.box):
            yield made


def _is_inside(text: Text, box: Bounds) -> bool:
    own = bounds((text,))
    assert own is not None
    return own[0] >= box[0] and own[1] >= box[1] and own[2] <= box[2] and own[3] <= box[3]


def _fills(on_site: PlanOnSite, view: Viewport) -> Iterator[Primitive]:
    window = shapely.box(*view.box)
    for layer in on_site.drawing.layers:
        if not on_site.is_shown(layer.name):
            continue
        for rings, _ in layer.fills():
            placed = [view.all_at(on_site.to_site(ring)) for ring in rings if len(ring)]
            if not placed or not _touches(np.concatenate(placed), view.box):
                continue
            yield from _cut_fill(placed, window)


def _cut_fill(rings: list[Floats], window: shapely.Polygon) -> Iterator[Primitive]:
    """An even-odd area as far as it lies in the window."""
    area: BaseGeometry = shapely.Polygon()
    for ring in rings:
        if len(ring) > 2:  # noqa: PLR2004 - fewer corners hold no area
            area = area.symmetric_difference(shapely.make_valid(shapely.Polygon(ring)))
    for part in shapely.get_parts(area.intersection(window)):
        if isinstance(part, shapely.Polygon) and part.area > _LEAST_FILL_MM2:
            outlines = (part.exterior, *part.interiors)
            yield FilledPath(
                layer=LAYER,
                rings=tuple(tuple(map(_pair, r.coords[:-1])) for r in outlines),
                ink="plan_fill",
            )


def _pair(point: tuple[float, ...]) -> Point:
    return round(point[0], 3), round(point[1], 3)


def _touches(points: Floats, box: Bounds) -> bool:
    low, high = points.min(axis=0), points.max(axis=0)
    return bool(low[0] < box[2] and high[0] > box[0] and low[1] < box[3] and high[1] > box[1])


def cut(segments: Floats, box: Bounds) -> Floats:
    """The parts of segments (n, 4) that lie in a box."""
    start, delta = segments[:, :2], segments[:, 2:] - segments[:, :2]
    enter, leave = np.zeros(len(segments)), np.ones(len(segments))
    outside = np.zeros(len(segments), dtype=bool)
    for axis, low, high in ((0, box[0], box[2]), (1, box[1], box[3])):
        along, from_ = delta[:, axis], start[:, axis]
        still = along == 0
        outside |= still & ((from_ < low) | (from_ > high))
        safe = np.where(still, 1.0, along)
        first, second = (low - from_) / safe, (high - from_) / safe
        enter = np.where(still, enter, np.maximum(enter, np.minimum(first, second)))
        leave = np.where(still, leave, np.minimum(leave, np.maximum(first, second)))
    kept = ~outside & (enter < leave)
    start, delta = start[kept], delta[kept]
    inside: Floats = np.hstack(
        (start + enter[kept, None] * delta, start + leave[kept, None] * delta)
    )
    return inside


def _chains(segments: Floats) -> Iterator[tuple[Point, ...]]:
    """Segments that follow one another, as lines through all their points."""
    if not len(segments):
        return
    rows = np.round(segments, 3)
    follows = (rows[1:, :2] == rows[:-1, 2:]).all(axis=1)
    starts = np.flatnonzero(np.r_[True, ~follows])
    for start, end in zip(starts, np.r_[starts[1:], len(rows)], strict=True):
        points = [tuple(rows[start, :2].tolist()), *map(tuple, rows[start:end, 2:].tolist())]
        yield tuple(points)
