"""Which labels a floor has to offer at a scale: spaces, frames, pathways, outlets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import shapely
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QFontMetricsF

from app.editor.measures import format_area
from app.model.entities import (
    Candidate,
    Demarcation,
    Entity,
    Frame,
    OutdoorDuct,
    Pathway,
    Riser,
    Space,
)
from app.model.vocabulary import Units
from app.ui.canvas.camera import Box, Camera
from app.ui.canvas.floor_picture import FloorPicture, line_of
from app.ui.canvas.label_placer import Label, Occupied
from app.ui.canvas.outlet_stamps import COUNT_FROM_PX, MIDDLE, spot_offset
from app.ui.canvas.pathway_painter import load_level
from app.ui.canvas.place_painter import place_point, place_reach_px
from app.ui.canvas.space_painter import label_spot, space_area_mm2

PLACE_RANK, SPACE_RANK, PATHWAY_RANK, OUTLET_RANK = 0, 1, 2, 3
OUTLET_LABELS_MOST = 700
"""More outlets than this in sight: their numbers would be a grey mass."""

LOAD_TEXT_ROLES = ("ink_soft", "ink", "near_text", "over_text")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWishes:
    """What the labels depend on besides the floor."""

    camera: Camera
    view: Box
    outlet_px: int
    units: Units
    loads_shown: bool


@dataclass(frozen=True, slots=True)
class _SpaceSpot:
    space: Space
    x_mm: float
    y_mm: float
    area_mm2: float
    shape: shapely.Polygon


class FloorLabels:
    """Makes the labels of a floor; remembers where the labels of its spaces stand."""

    def __init__(self, font: QFont) -> None:
        self._plain = QFontMetricsF(font)
        bold = QFont(font)
        bold.setBold(True)
        self._bold = QFontMetricsF(bold)
        self._spots: dict[str, _SpaceSpot] = {}
        self._widths: dict[tuple[str, bool], float] = {}

    def labels(self, picture: FloorPicture, wishes: LabelWishes) -> list[Label]:
        """All that lie in the view."""
        return [
            *self._place_labels(picture, wishes),
            *self._space_labels(picture, wishes),
            *self._pathway_labels(picture, wishes),
            *self._outlet_labels(picture, wishes),
        ]

    def obstacles(self, picture: FloorPicture, wishes: LabelWishes) -> Occupied:
        """Symbols that no label may lie on, in pixels from the site's origin."""
        occupied = Occupied()
        scale = wishes.camera.px_per_mm
        for place in picture.places.values():
            at = place_point(picture.project, place, picture.floor_id)
            if at is not None and _within(wishes.view, *at):
                reach = place_reach_px(place, wishes.camera)
                occupied.take(_box_about(at[0] * scale, -at[1] * scale, reach))
        if wishes.outlet_px >= COUNT_FROM_PX:
            rows = picture.outlets
            half = wishes.outlet_px * 0.5
            for row in _rows_within(rows.xy_mm, wishes.view):
                dx, dy = spot_offset(MIDDLE, float(rows.turn_deg[row]), wishes.outlet_px)
                x, y = rows.xy_mm[row]
                occupied.take(_box_about(x * scale + dx, -y * scale - dy, half))
        return occupied

    # --- spaces ---------------------------------------------------------------------------

    def _space_labels(self, picture: FloorPicture, wishes: LabelWishes) -> Iterator[Label]:
        known = {}
        for space in picture.spaces.values():
            spot = self._spots.get(space.id)
            if spot is None or spot.space is not space:
                x, y, _ = label_spot(space)
                shape = shapely.Polygon(space.outline, space.holes)
                shapely.prepare(shape)
                spot = _SpaceSpot(space, x, y, space_area_mm2(space), shape)
            known[space.id] = spot
            if _within(wishes.view, spot.x_mm, spot.y_mm):
                label = self._space_label(spot, wishes)
                if label is not None:
                    yield label
        self._spots = known

    def _space_label(self, spot: _SpaceSpot, wishes: LabelWishes) -> Label | None:
        """As many lines as the room holds: number, name, area; the number alone at least."""
        space = spot.space
        area = format_area(spot.area_mm2, wishes.units)
        full = [t for t in (space.number, space.name) if t]
        choices = [(*full, area), tuple(full), tuple(full[:1])]
        for lines in choices:
            if not lines:
                continue
            wide = max(self._width(t, bold=i == 0) for i, t in enumerate(lines)) + 4
            tall = self._plain.height() * len(lines)
            scale = wishes.camera.px_per_mm
            box = shapely.box(
                spot.x_mm - wide / 2 / scale,
                spot.y_mm - tall / 2 / scale,
                spot.x_mm + wide / 2 / scale,
                spot.y_mm + tall / 2 / scale,
            )
            if spot.shape.contains(box):
                steps = (0.0, -tall - 6, tall + 6)
                return Label(
                    key=space.id,
                    text=lines,
                    x_mm=spot.x_mm,
                    y_mm=spot.y_mm,
                    width_px=wide,
                    height_px=tall,
                    spots=tuple((-wide / 2, -tall / 2 + step) for step in steps),
                    rank=SPACE_RANK,
                    role="ink_soft",
                    bold=True,
                    centred=True,
                )
        return None

    # --- frames, risers and the like --------------------------------------------------------

    def _place_labels(self, picture: FloorPicture, wishes: LabelWishes) -> Iterator[Label]:
        for place in picture.places.values():
            at = place_point(picture.project, place, picture.floor_id)
            text = place_text(picture, place)
            if at is None or not text or not _within(wishes.view, *at):
                continue
            away = place_reach_px(place, wishes.camera) + 4
            wide, tall = self._width(text, bold=True) + 4, self._plain.height()
            yield Label(
                key=place.id,
                text=(text,),
                x_mm=at[0],
                y_mm=at[1],
                width_px=wide,
                height_px=tall,
                spots=_around(wide, tall, away),
                rank=PLACE_RANK,
                bold=True,
            )

    # --- pathways ---------------------------------------------------------------------------

    def _pathway_labels(self, picture: FloorPicture, wishes: LabelWishes) -> Iterator[Label]:
        fills = None if picture.design is None else picture.design.fills
        drawn: list[Pathway | OutdoorDuct] = [*picture.pathways.values(), *picture.ducts.values()]
        for thing in drawn:
            fill = None if fills is None else fills.get(thing.id)
            text = pathway_text(thing, fill, loads_shown=wishes.loads_shown)
            if not text:
                continue
            wide, tall = self._width(text, bold=False) + 6, self._plain.height()
            at = _label_point(thing, wide / wishes.camera.px_per_mm)
            if at is None or not _within(wishes.view, *at):
                continue
            level = load_level(fill) if wishes.loads_shown else None
            yield Label(
                key=thing.id,
                text=(text,),
                x_mm=at[0],
                y_mm=at[1],
                width_px=wide,
                height_px=tall,
                spots=((-wide / 2, -tall / 2), (-wide / 2, -tall - 5), (-wide / 2, 5)),
                rank=PATHWAY_RANK,
                role="ink_soft" if level is None else LOAD_TEXT_ROLES[level],
            )

    # --- outlets ----------------------------------------------------------------------------

    def _outlet_labels(self, picture: FloorPicture, wishes: LabelWishes) -> Iterator[Label]:
        if wishes.outlet_px < COUNT_FROM_PX:
            return
        rows = picture.outlets
        seen = _rows_within(rows.xy_mm, wishes.view)
        if len(seen) > OUTLET_LABELS_MOST:
            return
        tall = self._plain.height()
        for row in seen:
            text = rows.numbers[row]
            if not text:
                continue
            wide = self._width(text, bold=False) + 3
            dx, dy = spot_offset(MIDDLE, float(rows.turn_deg[row]), wishes.outlet_px)
            spots = _around(wide, tall, wishes.outlet_px * 0.55)
            yield Label(
                key=rows.ids[row],
                text=(text,),
                x_mm=float(rows.xy_mm[row, 0]),
                y_mm=float(rows.xy_mm[row, 1]),
                width_px=wide,
                height_px=tall,
                spots=tuple((sx + dx, sy - dy) for sx, sy in spots),
                rank=OUTLET_RANK,
                role="ink",
            )

    def _width(self, text: str, *, bold: bool) -> float:
        width = self._widths.get((text, bold))
        if width is None:
            measure = self._bold if bold else self._plain
            width = self._widths[(text, bold)] = measure.horizontalAdvance(text)
        return width


def place_text(picture: FloorPicture, place: Entity) -> str:
    """The words beside a thing; a riser names the floors that it joins."""
    if isinstance(place, Riser):
        floors = picture.project.floors
        joins = f"{floors[place.lower_floor].name} – {floors[place.upper_floor].name}"
        return f"{place.number}  {joins}" if place.number else joins
    if isinstance(place, Frame | Candidate | Demarcation):
        return place.name
    return str(getattr(place, "number", ""))


def pathway_text(thing: Pathway | OutdoorDuct, fill: Any, *, loads_shown: bool) -> str:
    """A pathway's number, and its load where that is asked for."""
    if not loads_shown or fill is None:
        return thing.number
    load = f"{fill.cables} cables" if fill.cables != 1 else "1 cable"
    if fill.ratio is not None:
        load += f" · {fill.ratio * 100:.0f} %"
    return f"{thing.number}  {load}" if thing.number else load


def _label_point(thing: Pathway | OutdoorDuct, room_mm: float) -> tuple[float, float] | None:
    """The middle of the longest piece, where that is longer than the label."""
    line = line_of(thing)
    delta = line[1:] - line[:-1]
    lengths = (delta**2).sum(axis=1) ** 0.5
    longest = int(lengths.argmax())
    if lengths[longest] < room_mm * 1.15:
        return None
    middle = (line[longest] + line[longest + 1]) / 2
    return float(middle[0]), float(middle[1])


def _around(wide: float, tall: float, away: float) -> tuple[tuple[float, float], ...]:
    """Offsets of a box about a symbol: right, left, below, above, and the lower corners."""
    return (
        (away, -tall / 2),
        (-away - wide, -tall / 2),
        (-wide / 2, away),
        (-wide / 2, -away - tall),
        (away * 0.7, away * 0.7),
        (-away * 0.7 - wide, away * 0.7),
    )


def _box_about(x: float, y: float, reach: float) -> QRectF:
    return QRectF(x - reach, y - reach, 2 * reach, 2 * reach)


def _within(view: Box, x: float, y: float) -> bool:
    return view[0] <= x <= view[2] and view[1] <= y <= view[3]


def _rows_within(xy_mm: Any, view: Box) -> list[int]:
    x, y = xy_mm[:, 0], xy_mm[:, 1]
    inside = (x >= view[0]) & (x <= view[2]) & (y >= view[1]) & (y <= view[3])
    rows: list[int] = inside.nonzero()[0].tolist()
    return rows
