"""Sorts flat geometry into the layers of a plan's drawing, about an origin near the plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from app.drawing.plan_bounds import core_bounds, full_bounds
from app.drawing.plan_drawing import (
    Floats,
    Indices,
    PlanDrawing,
    PlanLayer,
    PlanText,
)
from app.drawing.primitives import Point
from app.plans.flat import FlatDimension, FlatGeometry, Pen, offsets
from app.plans.limits import MOST_COORDINATE
from app.plans.notes import Notes
from app.plans.pens import LayerState

NEAR = 20
"""A plan within so many times its own size of zero keeps zero as its origin."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Tables:
    """The drawing's tables, and for each pen its layer and its rows in them."""

    names: list[str]
    colours: list[int]
    widths_mm: list[float]
    dashes: list[tuple[float, ...]]
    layer: Indices
    colour: Indices
    width: Indices
    dash: Indices


def assembled(
    geometry: FlatGeometry, pens: Sequence[Pen], states: dict[str, LayerState], notes: Notes
) -> tuple[PlanDrawing, tuple[FlatDimension, ...]]:
    """The drawing, and its dimensions in the drawing's local coordinates."""
    sane = _without_nonsense(geometry, notes)
    tables = _tables(pens, states)
    visible = np.array(
        [_is_visible(states.get(name.lower())) for name in tables.names], dtype=np.bool_
    )
    shown = visible[tables.layer] if len(tables.layer) else np.zeros(0, dtype=np.bool_)
    origin = _origin(_visible_points(sane, shown))
    local = _about(sane, origin)
    layers = tuple(
        _layer(number, name, states.get(name.lower()), local, tables)
        for number, name in enumerate(tables.names)
    )
    drawing = PlanDrawing(
        origin=origin,
        layers=layers,
        colours=tuple(tables.colours),
        lineweights_mm=tuple(tables.widths_mm),
        dash_patterns=tuple(tables.dashes),
        bounds=core_bounds(layers),
        raw_bounds=full_bounds(layers),
    )
    return drawing, local.dimensions


def _is_visible(state: LayerState | None) -> bool:
    return state is None or (state.is_on and not state.is_frozen)


def _tables(pens: Sequence[Pen], states: dict[str, LayerState]) -> _Tables:
    """Tables of layers (those of the file first, in its order), colours, widths and dashes."""
    names = {state.name: number for number, state in enumerate(states.values())}
    colours: dict[int, int] = {}
    widths: dict[float, int] = {}
    dashes: dict[tuple[float, ...], int] = {(): 0}
    rows = [
        (
            names.setdefault(pen.layer, len(names)),
            colours.setdefault(pen.colour, len(colours)),
            widths.setdefault(pen.width_mm, len(widths)),
            dashes.setdefault(pen.dashes, len(dashes)),
        )
        for pen in pens
    ]
    columns = np.array(rows, dtype=np.int32).reshape(-1, 4).T
    return _Tables(
        names=list(names),
        colours=list(colours),
        widths_mm=list(widths),
        dashes=list(dashes),
        layer=columns[0],
        colour=columns[1],
        width=columns[2],
        dash=columns[3],
    )


def _is_sane(rows: Floats) -> npt.NDArray[np.bool_]:
    """Which rows hold only finite numbers of a believable size."""
    with np.errstate(invalid="ignore"):
        result: npt.NDArray[np.bool_] = np.all(np.abs(rows) <= MOST_COORDINATE, axis=1)
    return result


def _without_nonsense(geometry: FlatGeometry, notes: Notes) -> FlatGeometry:
    """The geometry without lines, arcs, fills and texts that lie nowhere."""
    lines, hatches, arcs = (
        _is_sane(rows) for rows in (geometry.segments, geometry.hatch_lines, geometry.arcs)
    )
    points = _is_sane(geometry.fill_points)
    texts = tuple(item for item in geometry.texts if _is_sane_text(item[0]))
    dropped = int((~lines).sum() + (~hatches).sum() + (~points).sum())
    dropped += len(geometry.texts) - len(texts)
    if dropped:
        notes.add("bad-coordinates", count=dropped)
    result = replace(
        geometry,
        segments=geometry.segments[lines],
        segment_pens=geometry.segment_pens[lines],
        outlines=_outlines_kept(geometry.outlines, lines),
        arcs=geometry.arcs[arcs],
        arc_pens=geometry.arc_pens[arcs],
        hatch_lines=geometry.hatch_lines[hatches],
        hatch_pens=geometry.hatch_pens[hatches],
        texts=texts,
    )
    return result if points.all() else _without_fills(result, points)


def _is_sane_text(text: PlanText) -> bool:
    numbers = (*text.position, text.height, text.width, text.line_step, text.rotation_deg)
    return all(abs(number) <= MOST_COORDINATE for number in numbers)


def _outlines_kept(outlines: Indices, lines: npt.NDArray[np.bool_]) -> Indices:
    """Outlines of which every line is kept, counted anew."""
    kept = np.r_[0, np.cumsum(lines)]
    first, count = outlines[:, 0], outlines[:, 1]
    whole = kept[first + count] - kept[first] == count
    return _as_indices(np.column_stack((kept[first], count))[whole])


def _without_fills(geometry: FlatGeometry, sane: npt.NDArray[np.bool_]) -> FlatGeometry:
    """The geometry without the filled paths that have a point which is not sane."""
    good = np.r_[0, np.cumsum(sane)]
    ends = geometry.fill_rings[geometry.fill_paths]
    whole = good[ends[1:]] - good[ends[:-1]] == ends[1:] - ends[:-1]
    return _some_fills(geometry, np.flatnonzero(whole))


def _some_fills(geometry: FlatGeometry, paths: npt.NDArray[np.intp]) -> FlatGeometry:
    """The geometry with only some of its filled paths."""
    rings, ring_counts = _runs(geometry.fill_paths, paths)
    points, point_counts = _runs(geometry.fill_rings, rings)
    return replace(
        geometry,
        fill_points=geometry.fill_points[points],
        fill_rings=offsets(point_counts),
        fill_paths=offsets(ring_counts),
        fill_pens=geometry.fill_pens[paths],
    )


def _runs(starts: Indices, chosen: npt.NDArray[np.intp]) -> tuple[npt.NDArray[np.intp], Indices]:
    """The rows of the chosen runs, and the length of each run."""
    counts = (starts[chosen + 1] - starts[chosen]).astype(np.int32)
    before = np.repeat(np.cumsum(counts) - counts, counts)
    rows = np.arange(int(counts.sum())) - before + np.repeat(starts[chosen], counts)
    return rows.astype(np.intp), counts


def _visible_points(geometry: FlatGeometry, shown: npt.NDArray[np.bool_]) -> Floats:
    """Ends of visible lines; where there are none, places of texts, fills and hidden lines."""
    candidates: Iterable[Floats] = (
        geometry.segments[shown[geometry.segment_pens]].reshape(-1, 2),
        np.array([text.position for text, _ in geometry.texts]).reshape(-1, 2),
        geometry.fill_points,
        geometry.segments.reshape(-1, 2),
    )
    return next((points for points in candidates if len(points)), np.zeros((0, 2)))


def _origin(points: Floats) -> Point:
    """Zero for a plan that lies near it, else the middle of the plan in whole units."""
    if not len(points):
        return (0.0, 0.0)
    low, middle, high = np.quantile(points, (0.05, 0.5, 0.95), axis=0)
    size = float(np.max(high - low))
    if np.max(np.abs(middle)) <= NEAR * size:
        return (0.0, 0.0)
    return (float(np.round(middle[0])), float(np.round(middle[1])))


def _about(geometry: FlatGeometry, origin: Point) -> FlatGeometry:
    """The geometry in coordinates about an origin."""
    x, y = origin
    if x == 0 and y == 0:
        return geometry
    shift = np.array(origin)

    def moved(point: Point) -> Point:
        return (point[0] - x, point[1] - y)

    return replace(
        geometry,
        segments=geometry.segments - np.tile(shift, 2),
        arcs=geometry.arcs - np.r_[shift, 0.0, 0.0, 0.0],
        hatch_lines=geometry.hatch_lines - np.tile(shift, 2),
        fill_points=geometry.fill_points - shift,
        texts=tuple(
            (replace(text, position=moved(text.position)), pen) for text, pen in geometry.texts
        ),
        dimensions=tuple(
            replace(d, start=moved(d.start), end=moved(d.end)) for d in geometry.dimensions
        ),
    )


def _layer(
    number: int, name: str, state: LayerState | None, geometry: FlatGeometry, tables: _Tables
) -> PlanLayer:
    on_layer = tables.layer == number
    lines = _rows(on_layer, geometry.segment_pens)
    hatches = _rows(on_layer, geometry.hatch_pens)
    arcs = _rows(on_layer, geometry.arc_pens)
    fills = _some_fills(geometry, _rows(on_layer, geometry.fill_pens))
    line_pens, hatch_pens = geometry.segment_pens[lines], geometry.hatch_pens[hatches]
    return PlanLayer(
        name=name,
        is_on=state is None or state.is_on,
        is_frozen=state is not None and state.is_frozen,
        segments=geometry.segments[lines],
        segment_colours=tables.colour[line_pens],
        segment_weights=tables.width[line_pens],
        segment_dashes=tables.dash[line_pens],
        outlines=_outlines_on(geometry.outlines, lines),
        arcs=geometry.arcs[arcs],
        hatch_lines=geometry.hatch_lines[hatches],
        hatch_colours=tables.colour[hatch_pens],
        hatch_weights=tables.width[hatch_pens],
        fill_points=fills.fill_points,
        fill_rings=fills.fill_rings,
        fill_paths=fills.fill_paths,
        fill_colours=tables.colour[fills.fill_pens],
        texts=tuple(
            replace(text, colour=int(tables.colour[pen]))
            for text, pen in geometry.texts
            if on_layer[pen]
        ),
    )


def _rows(on_layer: npt.NDArray[np.bool_], pens: Indices) -> npt.NDArray[np.intp]:
    return np.flatnonzero(on_layer[pens]) if len(pens) else np.zeros(0, dtype=np.intp)


def _outlines_on(outlines: Indices, lines: npt.NDArray[np.intp]) -> Indices:
    """The outlines among some lines, counted by the lines' place in their layer."""
    if not len(lines) or not len(outlines):
        return np.zeros((0, 2), dtype=np.int32)
    place = np.searchsorted(lines, outlines[:, 0])
    here = lines[np.minimum(place, len(lines) - 1)] == outlines[:, 0]
    return _as_indices(np.column_stack((place, outlines[:, 1]))[here])


def _as_indices(rows: npt.NDArray[np.integer]) -> Indices:
    result: Indices = rows.astype(np.int32)
    return result
