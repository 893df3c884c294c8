"""Paints pathways and outdoor ducts: lines with their kind's hatch, or bands of true width."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely
from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen

from app.model.entities import OutdoorDuct, Pathway
from app.model.vocabulary import PathwayKind, State
from app.ui.canvas.camera import Camera
from app.ui.canvas.floor_picture import line_of
from app.ui.canvas.pathway_marks import BAND_MARKS, CROSS, LINE_MARKS, marks_along, pieces_of
from app.ui.canvas.qt_arrays import Floats, lines_path, rings_path, segments_path
from app.ui.palette import Palette

BAND_FROM_PX = 6.0
"""From this width on screen a pathway is drawn at its true width."""

USUAL_WIDTH_MM: dict[PathwayKind, float] = {
    PathwayKind.HOOKS: 90.0,
    PathwayKind.SURFACE_RACEWAY: 60.0,
    PathwayKind.CONDUIT: 30.0,
}
WIDTH_MM = 300.0
"""Drawn where a pathway's own size is not given."""

WALL_RATIO = 1.25
"""The outside of a round duct to its bore, with some air between neighbours."""

LINE_PX: dict[PathwayKind, float] = {
    PathwayKind.TRAY: 3.0,
    PathwayKind.LADDER: 1.6,
    PathwayKind.BASKET: 1.8,
}
LOAD_ROLES = ("load_low", "load_planned", "load_high", "load_full")
LOAD_PX = (2.5, 4.0, 5.5, 7.0)
SELECTED_ALPHA = 0.35


@dataclass(frozen=True, slots=True)
class Style:
    """What pathways must share to be drawn in one stroke; `kind` None is an outdoor duct."""

    kind: PathwayKind | None
    state: State
    width_mm: float
    load: int | None


@dataclass(slots=True)
class Group:
    """Pathways of one style; `band` is their outline at true width."""

    pieces: Floats
    middle: QPainterPath
    band: QPainterPath
    marks: dict[float, QPainterPath] = field(default_factory=dict)


def drawn_width_mm(thing: Pathway | OutdoorDuct) -> float:
    """The width on the plan."""
    if isinstance(thing, OutdoorDuct):
        return thing.bore_mm * WALL_RATIO * thing.count
    if thing.width_mm is not None:
        return thing.width_mm
    if thing.kind in (PathwayKind.CONDUIT, *_DUCTS) and thing.bore_mm is not None:
        return thing.bore_mm * WALL_RATIO * thing.count
    return USUAL_WIDTH_MM.get(thing.kind, WIDTH_MM)


_DUCTS = (PathwayKind.UNDERFLOOR_DUCT, PathwayKind.IN_FLOOR_DUCT)


def load_level(fill: Any) -> int | None:
    """0 nearly empty, 1 as planned, 2 above the plan, 3 above the limit; None without a size."""
    if fill is None or fill.ratio is None:
        return None
    if fill.ratio > fill.limit_ratio:
        return 3
    if fill.ratio > fill.planned_ratio:
        return 2
    return 1 if fill.ratio > fill.planned_ratio / 2 else 0


class PathwayPainter:
    """Keeps the pathways of a floor in groups that are painted in one stroke each."""

    def __init__(self) -> None:
        self._groups: dict[Style, Group] = {}
        self._loads_shown = False

    def rebuild(
        self,
        things: Mapping[str, Pathway | OutdoorDuct],
        fills: Mapping[str, Any] | None,
        *,
        loads_shown: bool,
        without: Iterable[str] = (),
    ) -> None:
        """`fills` by id; None where nothing is known of them."""
        left_out = set(without)
        self._loads_shown = loads_shown
        lines: dict[Style, list[Floats]] = {}
        for thing in things.values():
            if thing.id in left_out:
                continue
            fill = None if fills is None else fills.get(thing.id)
            style = Style(
                thing.kind if isinstance(thing, Pathway) else None,
                thing.state,
                drawn_width_mm(thing),
                load_level(fill) if loads_shown else None,
            )
            lines.setdefault(style, []).append(line_of(thing))
        self._groups = {style: _group(style, own) for style, own in lines.items()}

    def paint(self, painter: QPainter, camera: Camera, palette: Palette) -> None:
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setTransform(camera.transform(), True)
        for style, group in self._groups.items():
            paint_group(painter, camera, palette, style, group, loads_shown=self._loads_shown)
        painter.restore()


def paint_one(
    painter: QPainter, camera: Camera, palette: Palette, thing: Pathway | OutdoorDuct
) -> None:
    """One pathway by itself: a draft, or one that is being moved."""
    kind = thing.kind if isinstance(thing, Pathway) else None
    style = Style(kind, thing.state, drawn_width_mm(thing), None)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setTransform(camera.transform(), True)
    paint_group(painter, camera, palette, style, _group(style, [line_of(thing)]))
    painter.restore()


def paint_selected(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    thing: Pathway | OutdoorDuct,
    alpha: float = SELECTED_ALPHA,
) -> None:
    """A band of the accent colour under a pathway."""
    width = max(9.0, drawn_width_mm(thing) * camera.px_per_mm + 7.0)
    pen = QPen(palette.color("accent", alpha), width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(camera.transform().map(lines_path([line_of(thing)])))


def _group(style: Style, lines: list[Floats]) -> Group:
    usable = [line for line in lines if len(line) > 1]
    bands = shapely.buffer(
        [shapely.LineString(line) for line in usable],
        style.width_mm / 2,
        cap_style="flat",
        join_style="mitre",
    )
    rings = [
        shapely.get_coordinates(ring)
        for band in bands
        for part in shapely.get_parts(band)
        for ring in shapely.get_rings(part)
    ]
    band = rings_path(rings)
    band.setFillRule(Qt.FillRule.WindingFill)
    pieces = [pieces_of(line) for line in usable]
    return Group(np.concatenate(pieces) if pieces else np.zeros((0, 4)), lines_path(usable), band)


def paint_group(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    style: Style,
    group: Group,
    *,
    loads_shown: bool = False,
) -> None:
    """Paint a group with the painter in millimetres of the site."""
    width_px = style.width_mm * camera.px_per_mm
    role = state_role(style)
    if loads_shown:
        role = "load_low" if style.load is None else LOAD_ROLES[style.load]
    if width_px >= BAND_FROM_PX:
        _paint_band(painter, camera, palette, style, group, role, loads_shown)
    else:
        _paint_line(painter, camera, palette, style, group, role, loads_shown)


def state_role(style: Style) -> str:
    match style.state:
        case State.NEW:
            return "pathway"
        case State.FUTURE:
            return "future"
        case _:
            return "existing"


def _pen(palette: Palette, role: str, width_px: float, style: Style) -> QPen:
    pen = QPen(palette.color(role), width_px)
    pen.setCosmetic(True)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if style.state is State.FUTURE:
        pen.setDashPattern([6 / width_px, 4 / width_px])
    elif style.kind is None:
        pen.setDashPattern([14 / width_px, 4 / width_px, 2 / width_px, 4 / width_px])
    elif style.kind is PathwayKind.UNDERFLOOR_DUCT:
        pen.setDashPattern([12 / width_px, 5 / width_px])
    elif style.kind is PathwayKind.IN_FLOOR_DUCT:
        pen.setDashPattern([12 / width_px, 4 / width_px, 3 / width_px, 4 / width_px])
    return pen


def _paint_line(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    style: Style,
    group: Group,
    role: str,
    loads_shown: bool,
) -> None:
    width = 1.4 if style.kind is None else LINE_PX.get(style.kind, 1.4)
    if style.state is State.EXISTING:
        width *= 0.75
    if loads_shown:
        width = LOAD_PX[style.load or 0]
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(_pen(palette, role, width, style))
    painter.drawPath(group.middle)
    if loads_shown and style.load is not None:
        return
    fixed = _pen(palette, role, 1.2, Style(PathwayKind.TRAY, State.NEW, 0, None))
    painter.setPen(fixed)
    painter.drawPath(_line_marks(style, group, camera.px_per_mm))


def _line_marks(style: Style, group: Group, px_per_mm: float) -> QPainterPath:
    """The hatch for about this scale; kept for the scales near it."""
    bucket = 2 ** (round(math.log2(px_per_mm) * 2) / 2)
    path = group.marks.get(bucket)
    if path is None:
        strokes = np.zeros((0, 4))
        if style.kind is not None and style.kind in LINE_MARKS:
            mark, half, spacing = LINE_MARKS[style.kind]
            strokes = marks_along(
                group.pieces,
                mark,
                half_along=half / bucket,
                half_across=half / bucket,
                spacing=spacing / bucket,
            )
        if style.state is State.TO_REMOVE:
            strokes = np.concatenate((strokes, _crossings_out(group, bucket)))
        path = group.marks[bucket] = segments_path(strokes)
    return path


def _crossings_out(group: Group, px_per_mm: float) -> Floats:
    half = 6.0 / px_per_mm
    return marks_along(
        group.pieces, CROSS, half_along=half, half_across=half, spacing=40.0 / px_per_mm
    )


def _paint_band(
    painter: QPainter,
    camera: Camera,
    palette: Palette,
    style: Style,
    group: Group,
    role: str,
    loads_shown: bool,
) -> None:
    if loads_shown:
        painter.fillPath(group.band, palette.color(role, 0.45))
    else:
        painter.fillPath(group.band, palette.color("sheet", 0.72))
        painter.fillPath(group.band, palette.color(role, 0.10))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    thin = 1.0 if style.state is State.EXISTING else 1.5
    painter.setPen(_pen(palette, role, thin, style))
    painter.drawPath(group.band)
    marks = group.marks.get(0.0)
    if marks is None:
        strokes = np.zeros((0, 4))
        if style.kind is not None and style.kind in BAND_MARKS:
            mark, spacing = BAND_MARKS[style.kind]
            half = style.width_mm / 2
            strokes = marks_along(
                group.pieces, mark, half_along=half, half_across=half, spacing=spacing
            )
        if style.state is State.TO_REMOVE:
            strokes = np.concatenate((strokes, _crossings_out(group, 0.03)))
        marks = group.marks[0.0] = segments_path(strokes)
    pen = QPen(palette.color(role, 0.55), 1.0)
    pen.setCosmetic(True)
    painter.setPen(pen)
    painter.drawPath(marks)
