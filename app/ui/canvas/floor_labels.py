"""Which labels a floor has to offer at a scale: spaces, frames, pathways, outlets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from msgspec.structs import replace
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QFontMetricsF

from app.editor.commands.walked import walked_words
from app.editor.measures import format_area, format_reading
from app.model.entities import (
    Candidate,
    Demarcation,
    Entity,
    Frame,
    OutdoorDuct,
    Pathway,
    Penetration,
    Riser,
    Space,
    WalkedLength,
)
from app.model.vocabulary import Units
from app.routing.results import Fill
from app.ui.canvas.camera import Camera
from app.ui.canvas.floor_picture import FloorPicture, line_of
from app.ui.canvas.label_obstacles import LabelWishes, obstacles, rows_within, within
from app.ui.canvas.label_placer import Label, Occupied, PlacedLabel, place_labels
from app.ui.canvas.outlet_stamps import MIDDLE, spot_offset
from app.ui.canvas.pathway_painter import load_level
from app.ui.canvas.place_painter import place_point, place_reach_px
from app.ui.canvas.plan_writing import is_written, words_within
from app.ui.canvas.space_painter import label_spot, space_area_mm2

PLACE_RANK, SPACE_RANK, PATHWAY_RANK, OUTLET_RANK = 0, 1, 2, 3
OUTLET_LABELS_MOST = 700
"""More outlets than this in sight: numbers would be a grey mass."""

OPENINGS_TOLD_FROM = 0.02
"""Pixels a millimetre: farther out the numbers of penetrations would hide those of rooms."""

LADDER_TOLD_FROM = 0.04
"""Pixels a millimetre from which a frame's label has room for its ladder."""
REASON_TOLD_FROM, LONGEST_REASON = 0.02, 40
"""Pixels a millimetre from which a walked length tells its reason, and how much of it."""
LOAD_TEXT_ROLES = ("ink_soft", "ink", "near_text", "over_text")


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

    def placed(self, picture: FloorPicture, wishes: LabelWishes) -> list[PlacedLabel]:
        """All labels that find room in the view.

        Those of frames, risers and the like may lie on an outlet where nothing else is free.
        """
        scale = wishes.camera.px_per_mm
        occupied = Occupied()
        boxes = obstacles(picture, wishes)
        for box in boxes.places:
            occupied.take(box)
        for box in (*boxes.lines, *boxes.texts, *boxes.outlets):
            occupied.avoid(box)
        first = place_labels(list(self._place_labels(picture, wishes)), occupied, scale)
        for box in boxes.outlets:
            occupied.take(box)
        others = [
            *self._space_labels(picture, wishes),
            *self._zone_labels(picture, wishes),
            *self._pathway_labels(picture, wishes),
            *self._outlet_labels(picture, wishes),
        ]
        return first + place_labels(others, occupied, scale)

    # --- spaces ---------------------------------------------------------------------------

    def _space_labels(self, picture: FloorPicture, wishes: LabelWishes) -> Iterator[Label]:
        known = {}
        for space in picture.spaces.values():
            spot = self._spots.get(space.id)
            if spot is None or spot.space is not space:
                spot = _space_spot(space)
            known[space.id] = spot
            if within(wishes.view, spot.x_mm, spot.y_mm):
                yield from self._labels_of_space(spot, wishes)
        self._spots = known

    def _labels_of_space(self, spot: _SpaceSpot, wishes: LabelWishes) -> Iterator[Label]:
        """As many lines as the room holds: number, name and area, or fewer of them.

        What the plan itself has written there is not said again; a room that it names in full
        gets no label.
        """
        space, scale = spot.space, wishes.camera.px_per_mm
        area = format_area(spot.area_mm2, wishes.units)
        words = words_within(wishes.writing, spot.shape)
        own = tuple(t for t in (space.number, space.name) if t)
        named = tuple(t for t in own if not is_written(t, words, scale))
        if own and not named:
            return
        for lines in dict.fromkeys(((*named, area), named, named[:1])):
            if not lines:
                continue
            wide = max(self._width(t, bold=i == 0) for i, t in enumerate(lines)) + 4
            tall = self._plain.height() * len(lines)
            spots = _spots_within(spot, wide, tall, wishes.camera.px_per_mm)
            if spots:
                yield Label(
                    key=space.id,
                    text=lines,
                    x_mm=spot.x_mm,
                    y_mm=spot.y_mm,
                    width_px=wide,
                    height_px=tall,
                    spots=spots,
                    rank=SPACE_RANK,
                    role="ink_soft",
                    bold=bool(named),
                    centred=True,
                )

    def _zone_labels(self, picture: FloorPicture, wishes: LabelWishes) -> Iterator[Label]:
        """The zone's frame, and its name where that says more, at a corner of it."""
        for zone in picture.zones.values():
            frame = picture.project.frames.get(zone.frame)
            words = [f"served by {frame.name}" if frame is not None else "serving zone"]
            if zone.name and (frame is None or zone.name != frame.name):
                words.insert(0, zone.name)
            text = ", ".join(words)
            x, y = min(zone.outline, key=lambda p: (p[0] - p[1], p))
            if not within(wishes.view, float(x), float(y)):
                continue
            wide, tall = self._width(text, bold=False) + 6, self._plain.height()
            yield Label(
                key=zone.id,
                text=(text,),
                x_mm=float(x),
                y_mm=float(y),
                width_px=wide,
                height_px=tall,
                spots=((6, 4), (6, -tall - 4), (-wide / 2, 4)),
                rank=SPACE_RANK,
                role="frame",
            )

    # --- frames, risers and the like --------------------------------------------------------

    def _place_labels(self, picture: FloorPicture, wishes: LabelWishes) -> Iterator[Label]:
        fills = {} if picture.design is None else picture.design.fills
        for place in picture.places.values():
            at = place_point(picture.project, place, picture.floor_id)
            fill = fills.get(place.id) if wishes.loads_shown else None
            near = wishes.camera.px_per_mm >= LADDER_TOLD_FROM
            own = ladder_text(place, wishes.units) if near else ""
            words = place_text(picture, place, px_per_mm=wishes.camera.px_per_mm)
            text = " ".join(filter(None, (words, own, load_text(fill))))
            if at is None or not text or not within(wishes.view, *at):
                continue
            away = place_reach_px(place, wishes.camera) + 8
            opening = isinstance(place, Penetration)
            if opening and wishes.camera.px_per_mm < OPENINGS_TOLD_FROM:
                continue
            wide, tall = self._width(text, bold=not opening) + 4, self._plain.height()
            yield Label(
                key=place.id,
                text=(text,),
                x_mm=at[0],
                y_mm=at[1],
                width_px=wide,
                height_px=tall,
                spots=_in_sight(_around(wide, tall, away), wide, tall, at, wishes.camera),
                rank=OUTLET_RANK if opening else PLACE_RANK,
                bold=not opening,
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
            if at is None or not within(wishes.view, *at):
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
                lies_on_lines=True,
                role="ink_soft" if level is None else LOAD_TEXT_ROLES[level],
            )

    # --- outlets ----------------------------------------------------------------------------

    def _outlet_labels(self, picture: FloorPicture, wishes: LabelWishes) -> Iterator[Label]:
        rows = picture.outlets
        seen = rows_within(rows.xy_mm, wishes.view)
        if len(seen) > OUTLET_LABELS_MOST:
            return
        tall = self._plain.height()
        for row in seen:
            text = rows.numbers[row]
            if not text:
                continue
            wide = self._width(text, bold=False) + 3
            dx, dy = spot_offset(MIDDLE, float(rows.turn_deg[row]), wishes.outlet_px)
            spots = _around(wide, tall, wishes.outlet_px * 0.68)
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


def _space_spot(space: Space) -> _SpaceSpot:
    x, y = label_spot(space)
    shape = shapely.Polygon(space.outline, space.holes)
    shapely.prepare(shape)
    return _SpaceSpot(space, x, y, space_area_mm2(space), shape)


def _spots_within(
    spot: _SpaceSpot, wide: float, tall: float, px_per_mm: float
) -> tuple[tuple[float, float], ...]:
    """Offsets at which a box of so many pixels lies within the space, the middle first."""
    steps = [
        (ix * (wide + 8), iy * (tall * 0.6 + 6))
        for ix, iy in sorted(
            ((ix, iy) for ix in (-2, -1, 0, 1, 2) for iy in (-3, -2, -1, 0, 1, 2, 3)),
            key=lambda step: (abs(step[0]) * 2 + abs(step[1]), step),
        )
    ]
    half_wide, half_tall = wide / 2 / px_per_mm, tall / 2 / px_per_mm
    moved = np.array(steps) / px_per_mm * (1, -1) + (spot.x_mm, spot.y_mm)
    boxes = shapely.box(
        moved[:, 0] - half_wide,
        moved[:, 1] - half_tall,
        moved[:, 0] + half_wide,
        moved[:, 1] + half_tall,
    )
    inside = shapely.contains(spot.shape, boxes)
    return tuple(
        (dx - wide / 2, dy - tall / 2) for (dx, dy), ok in zip(steps, inside, strict=True) if ok
    )


def place_text(picture: FloorPicture, place: Entity, *, px_per_mm: float) -> str:
    """The words beside a thing; a riser names the floors that it joins, a length that was walked
    its reason, from near and as far as a label goes."""
    if isinstance(place, Riser):
        floors = picture.project.floors
        joins = f"{floors[place.lower_floor].name} – {floors[place.upper_floor].name}"
        return f"{place.number}  {joins}" if place.number else joins
    if isinstance(place, Frame | Candidate | Demarcation):
        return place.name
    if isinstance(place, WalkedLength):
        reason = place.reason if px_per_mm >= REASON_TOLD_FROM else ""
        if len(reason) > LONGEST_REASON:
            reason = f"{reason[: LONGEST_REASON - 1].rstrip()}…"
        return walked_words(replace(place, reason=reason), picture.project.settings.units)
    return str(getattr(place, "number", ""))


def ladder_text(place: Entity, units: Units) -> str:
    """The height of a frame's ladder; nothing where cable drops from its pathway."""
    if not isinstance(place, Frame) or place.ladder_height_mm is None:
        return ""
    return f"ladder {format_reading(place.ladder_height_mm, units)}"


def pathway_text(thing: Pathway | OutdoorDuct, fill: Fill | None, *, loads_shown: bool) -> str:
    """A pathway's number, and its load where that is asked for."""
    return "  ".join(filter(None, (thing.number, load_text(fill) if loads_shown else "")))


def load_text(fill: Fill | None) -> str:
    """How many cables, and how full; nothing where nothing is known."""
    if fill is None:
        return ""
    load = "1 cable" if fill.cables == 1 else f"{fill.cables} cables"
    return load if fill.ratio is None else f"{load} · {fill.ratio * 100:.0f} %"


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


def _in_sight(
    spots: tuple[tuple[float, float], ...],
    wide: float,
    tall: float,
    at: tuple[float, float],
    camera: Camera,
) -> tuple[tuple[float, float], ...]:
    """The spots in their order, but those first at which the whole label can be read."""
    point = camera.to_screen(*at)
    screen = QRectF(0, 0, camera.width_px, camera.height_px)

    def is_cut(spot: tuple[float, float]) -> bool:
        return not screen.contains(QRectF(point.x() + spot[0], point.y() + spot[1], wide, tall))

    return tuple(sorted(spots, key=is_cut))


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
