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

from app.drawing.symbols import state_look
from app.model.entities import OutdoorDuct, Pathway
from app.model.vocabulary import PathwayKind, State
from app.ui.canvas.camera import Camera
from app.ui.canvas.floor_picture import line_of
from app.ui.canvas.pathway_marks import (
    CROSS,
    CROSS_PERIOD,
    LEAVING,
    hatch_of,
    marks_along,
    pieces_of,
)
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
    PathwayKind.SURFACE_RACEWAY: 4.6,
}
USUAL_LINE_PX = 1.8
BAND_LINE_PX = 2.0
THIN_PX = 0.9
DOTS_PX = (2.0, 3.0)
"""Lines of new pathways, the thinnest of all, and the dots of those to come."""

LOAD_ROLES = ("load_low", "load_planned", "load_high", "load_full")
LOAD_PX = (2.5, 4.0, 5.5, 7.0)
SELECTED_ALPHA = 0.35
LINE_HALF_PX = 3.6
"""Half the width of the hatch on a pathway drawn as a line."""

UNITS_PER_HALF = 4.0
"""Grid units in half the width of a pathway drawn at its true width."""

HOOK_SPACING_MM = 1_200.0
HOOK_LARGER = 1.6

TRUE_WIDTH = 0.0
"""Where a group keeps its marks at true width, among those by scale."""


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
        _paint_band(painter, palette, style, group, role, loads_shown)
    else:
        _paint_line(painter, camera, palette, style, group, role, loads_shown)


def state_role(style: Style) -> str:
    """The ink of a state; a new pathway has the ink of pathways."""
    return "pathway" if style.state is State.NEW else state_look(style.state.value).ink


def _weight(style: Style) -> float:
    """How bold its lines are: those of a new pathway count 1."""
    return state_look(style.state.value).outline / state_look(State.NEW.value).outline


def _pen(
    palette: Palette, role: str, width_px: float, style: Style, *, dashed: bool = False
) -> QPen:
    pen = QPen(palette.color(role), width_px)
    pen.setCosmetic(True)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if state_look(style.state.value).dashes:
        on, off = DOTS_PX
        pen.setDashPattern([on / width_px, off / width_px])
    elif dashed:
        pen.setDashPattern([12 / width_px, 5 / width_px])
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
    width = LINE_PX.get(style.kind, USUAL_LINE_PX) if style.kind else USUAL_LINE_PX
    width = max(THIN_PX, width * _weight(style))
    if loads_shown:
        width = LOAD_PX[style.load or 0]
    painter.setBrush(Qt.BrushStyle.NoBrush)
    dashed = hatch_of(style.kind).edges == "dashed"
    painter.setPen(_pen(palette, role, width, style, dashed=dashed))
    painter.drawPath(group.middle)
    if loads_shown and style.load is not None:
        return
    if style.kind is PathwayKind.SURFACE_RACEWAY:  # its hatch has no marks: two lines tell it
        inside = QPen(palette.color("sheet"), max(1.0, width - 2.2))
        inside.setCosmetic(True)
        painter.setPen(inside)
        painter.drawPath(group.middle)
    marks = QPen(palette.color(role), 1.2)
    marks.setCosmetic(True)
    painter.setPen(marks)
    painter.drawPath(_line_marks(style, group, camera.px_per_mm))


def _line_marks(style: Style, group: Group, px_per_mm: float) -> QPainterPath:
    """The hatch for about this scale; kept for the scales near it."""
    bucket = 2 ** (round(math.log2(px_per_mm) * 2) / 2)
    path = group.marks.get(bucket)
    if path is None:
        strokes = _marks(style, group, unit_mm=1 / bucket, half_mm=LINE_HALF_PX / bucket)
        path = group.marks[bucket] = segments_path(strokes)
    return path


def _band_marks(style: Style, group: Group) -> QPainterPath:
    """The hatch at true width."""
    path = group.marks.get(TRUE_WIDTH)
    if path is None:
        half = style.width_mm / 2
        strokes = _marks(style, group, unit_mm=half / UNITS_PER_HALF, half_mm=half, true=True)
        path = group.marks[TRUE_WIDTH] = segments_path(strokes)
    return path


def _marks(
    style: Style, group: Group, *, unit_mm: float, half_mm: float, true: bool = False
) -> Floats:
    """The strokes of a group's hatch; drawn true, one mark of a hook line is one hook."""
    hatch = hatch_of(style.kind)
    hooks = true and style.kind is PathwayKind.HOOKS
    strokes = marks_along(
        group.pieces,
        hatch.strokes(),
        unit=unit_mm * (HOOK_LARGER if hooks else 1.0),
        half_width=half_mm * (HOOK_LARGER if hooks else 1.0),
        spacing=HOOK_SPACING_MM if hooks else hatch.period * unit_mm,
    )
    look = state_look(style.state.value)
    if not (look.crossed or look.leaving):
        return strokes
    struck = marks_along(
        group.pieces,
        CROSS if look.crossed else LEAVING,
        unit=unit_mm,
        half_width=half_mm * 1.6,
        spacing=CROSS_PERIOD * unit_mm,
    )
    return np.concatenate((strokes, struck))


def _paint_band(
    painter: QPainter,
    palette: Palette,
    style: Style,
    group: Group,
    role: str,
    loads_shown: bool,
) -> None:
    hatch = hatch_of(style.kind)
    if loads_shown:
        painter.fillPath(group.band, palette.color(role, 0.45))
    elif hatch.edges != "none":
        painter.fillPath(group.band, palette.color("sheet", 0.72))
        painter.fillPath(group.band, palette.color(role, 0.10))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    thin = max(THIN_PX, BAND_LINE_PX * _weight(style))
    for drawn, path in ((hatch.edges, group.band), (hatch.centre, group.middle)):
        if drawn != "none":
            painter.setPen(_pen(palette, role, thin, style, dashed=drawn == "dashed"))
            painter.drawPath(path)
    pen = QPen(palette.color(role, 0.6), 1.0)
    pen.setCosmetic(True)
    painter.setPen(pen)
    painter.drawPath(_band_marks(style, group))
