"""Paints the model of a floor from bottom to top, and keeps what painting needs up to date."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

from PySide6.QtCore import QRectF
from PySide6.QtGui import QFont, QPainter

from app.design import Design
from app.editor.document import Preview
from app.model.entities import Entity, OutdoorDuct, Outlet, Pathway, Riser
from app.model.project import Project
from app.ui.canvas.camera import Box, Camera
from app.ui.canvas.entity_painter import paint_entity, paint_highlight
from app.ui.canvas.floor_labels import FloorLabels
from app.ui.canvas.floor_picture import FloorPicture, Touched, riser_point
from app.ui.canvas.label_obstacles import LabelWishes
from app.ui.canvas.label_painter import box_on_screen, paint_label
from app.ui.canvas.label_placer import Label, Occupied, PlacedLabel, place_labels
from app.ui.canvas.outlet_painter import PALE, OutletPainter
from app.ui.canvas.outlet_rows import OutletRows
from app.ui.canvas.pathway_painter import PathwayPainter
from app.ui.canvas.place_painter import PlaceStamps
from app.ui.canvas.plan_writing import PlanWriting
from app.ui.canvas.relocation_painter import RelocationPainter
from app.ui.canvas.run_painter import RunPaths
from app.ui.canvas.runs_shown import chosen_backbone, chosen_runs, preview_statuses
from app.ui.canvas.space_painter import SpacePainter, paint_zone
from app.ui.canvas.told_painter import paint_told, paint_told_riser, told_ways
from app.ui.palette import Palette

RunLines = Literal["selected", "all", "none"]

HOVER_ALPHA = 0.14
SELECTED_ALPHA = 0.3
LABEL_MARGIN_PX = 300.0
"""Labels are placed so far beyond the edge, so that short pans find them in place."""

PREVIEW_RUNS_MOST = 80


@dataclass(slots=True, kw_only=True)
class Shown:
    """What is shown of the floor besides its things."""

    selected: tuple[str, ...] = ()
    hovered: str | None = None
    preview: Preview | None = None
    moving: frozenset[str] = frozenset()
    run_lines: RunLines = "selected"
    loads: bool = False
    resting: bool = True


@dataclass(frozen=True, slots=True)
class _Painting:
    """What all layers of one painting share."""

    painter: QPainter
    camera: Camera
    palette: Palette
    pixel_ratio: float
    shown: Shown
    outlet_px: int


@dataclass(slots=True)
class _PlacedLabels:
    stamp: tuple[Any, ...]
    scale: float
    region: Box
    placed: list[PlacedLabel] = field(default_factory=list)


class FloorPainter:
    """One floor's painter; told of every change of its picture."""

    def __init__(self, picture: FloorPicture, font: QFont) -> None:
        self.picture = picture
        self._font = font
        self._spaces = SpacePainter()
        self._pathways = PathwayPainter()
        self._outlets = OutletPainter()
        self._relocations = RelocationPainter()
        self._places = PlaceStamps()
        self._labels = FloorLabels(font)
        self._placed: _PlacedLabels | None = None
        self._changes = 0
        self._writing = PlanWriting()
        self._built_for: tuple[Any, ...] | None = None
        self._selected_runs: tuple[tuple[str, ...], RunPaths] | None = None
        self._all_runs: RunPaths | None = None
        self._ungathered: list[Outlet] = []
        self.ways_told = ""
        """What there is to say about the ways painted last; mostly nothing."""
        self._rebuild_relocations()

    def touched(self, touched: Touched) -> None:
        """The picture has followed a patch."""
        self._changes += 1
        self._selected_runs = None
        self._all_runs = None
        loads = touched.fills and self._built_for is not None and self._built_for[0]
        if touched.everything or touched.spaces or touched.pathways or loads:
            self._built_for = None
        if touched.everything or touched.outlets:
            self._rebuild_relocations()

    def _rebuild_relocations(self) -> None:
        leaving = self.picture.old_places.values()
        if leaving or len(self._relocations.rows):
            self._relocations.rebuild(self.picture.project, leaving)

    def plans_changed(self, writing: PlanWriting) -> None:
        """What the plans in sight have written themselves."""
        self._writing = writing
        self._changes += 1

    def outlet_px(self, camera: Camera) -> int:
        """The side of an outlet's symbol at this scale."""
        symbol_mm = self.picture.project.settings.symbol_size_mm
        return self._outlets.size_px(self.picture.outlets, camera, symbol_mm)

    def paint(
        self,
        painter: QPainter,
        camera: Camera,
        palette: Palette,
        pixel_ratio: float,
        shown: Shown,
    ) -> None:
        """Everything of the model, from spaces to labels."""
        picture = self.picture
        self._build(shown)
        on = _Painting(painter, camera, palette, pixel_ratio, shown, self.outlet_px(camera))
        self._spaces.paint(painter, camera, palette)
        for zone in picture.zones.values():
            if zone.id not in shown.moving:
                paint_zone(painter, camera, palette, zone)
        self._paint_highlights(on)
        self._paint_told(on)
        self._pathways.paint(painter, camera, palette)
        self._paint_runs(on)
        for place in picture.places_in_order():
            if place.id not in shown.moving:
                self._places.paint(
                    painter, camera, palette, picture.project, place, picture.floor_id
                )
        self._paint_outlets(on)
        self._paint_labels(on)
        if shown.preview is not None:
            self._paint_preview(on, shown.preview)

    # --- what is kept ---------------------------------------------------------------------

    def _build(self, shown: Shown) -> None:
        """Gather spaces and pathways anew where what they depend on has changed."""
        picture = self.picture
        lines = frozenset(i for i in shown.moving if i in picture.pathways or i in picture.ducts)
        areas = frozenset(i for i in shown.moving if i in picture.spaces)
        wanted = (shown.loads, lines, areas)
        if wanted == self._built_for:
            return
        self._built_for = wanted
        fills = None if picture.design is None else picture.design.fills
        drawn: dict[str, Pathway | OutdoorDuct] = {**picture.pathways, **picture.ducts}
        self._pathways.rebuild(drawn, fills, loads_shown=shown.loads, without=lines)
        self._spaces.rebuild(picture.spaces, without=areas)

    # --- layers ---------------------------------------------------------------------------

    def _paint_highlights(self, on: _Painting) -> None:
        """Under what is selected (outlets have rings of their own) and what is pointed at."""
        picture = self.picture
        wanted = [(i, SELECTED_ALPHA) for i in on.shown.selected if i not in picture.outlets.row_of]
        if on.shown.hovered is not None and on.shown.hovered not in on.shown.selected:
            wanted.append((on.shown.hovered, HOVER_ALPHA))
        for thing_id, alpha in wanted:
            thing = self.thing_here(thing_id)
            if thing is not None and thing_id not in on.shown.moving:
                paint_highlight(
                    on.painter,
                    on.camera,
                    on.palette,
                    picture.project,
                    thing,
                    picture.floor_id,
                    outlet_px=on.outlet_px,
                    alpha=alpha,
                )

    def _paint_told(self, on: _Painting) -> None:
        """What the selected runs are told to pass, and never to pass."""
        picture = self.picture
        for way, passes in told_ways(picture.project, on.shown.selected).items():
            thing = self.thing_here(way)
            if isinstance(thing, Pathway | OutdoorDuct):
                paint_told(on.painter, on.camera, on.palette, thing, passes=passes)
            elif isinstance(thing, Riser):
                at = riser_point(picture.project, thing, picture.floor_id)
                paint_told_riser(on.painter, on.camera, on.palette, at, passes=passes)

    def thing_here(self, thing_id: str) -> Entity | None:
        """A thing of this floor by its id."""
        picture = self.picture
        for table in (
            picture.places,
            picture.pathways,
            picture.ducts,
            picture.spaces,
            picture.zones,
        ):
            if thing_id in table:
                found: Entity = table[thing_id]
                return found
        return picture.project.get(thing_id) if thing_id in picture.outlets.row_of else None

    def _paint_runs(self, on: _Painting) -> None:
        self.ways_told = ""
        if on.shown.run_lines == "none" or self.picture.design is None:
            return
        if on.shown.run_lines == "all" and self._all_runs is not None:
            self._all_runs.paint(on.painter, on.camera, on.palette, thin=True)
        preview = on.shown.preview
        if preview is not None and preview.design is not None:
            ids = tuple(dict.fromkeys((*on.shown.selected, *on.shown.moving)))
            ways = self._ways(preview.project, preview.design, ids, most=PREVIEW_RUNS_MOST)
            ways.paint(on.painter, on.camera, on.palette)
        elif on.shown.selected:
            ways = self._selected_ways(self.picture.design, on.shown.selected)
            ways.paint(on.painter, on.camera, on.palette)

    def _ways(
        self, project: Project, design: Design, ids: tuple[str, ...], most: int | None = None
    ) -> RunPaths:
        """The ways on this floor of what the ids mean; of the first `most` outlets."""
        paths = RunPaths(self.picture.floor_id)
        outlets, only = chosen_runs(project, design, ids)
        paths.add(design, outlets[:most], only)
        if most is not None and len(outlets) > most:
            self.ways_told = f"ways of {most} of {len(outlets)} outlets drawn"
        paths.add_backbone(design, chosen_backbone(project, ids))
        return paths

    def gather_runs(self, outlets: int) -> bool:
        """Take in the ways of the runs of some more outlets; False when all are there.

        Those of this floor come first; runs of other floors may pass through it.
        """
        picture = self.picture
        if picture.design is None:
            return False
        if self._all_runs is None:
            self._all_runs = RunPaths(picture.floor_id)
            every = (o for o in picture.project.outlets.values() if picture.shows(o))
            self._ungathered = sorted(every, key=lambda o: o.floor == picture.floor_id)
        some = [self._ungathered.pop() for _ in range(min(outlets, len(self._ungathered)))]
        self._all_runs.add(picture.design, some, None)
        return bool(self._ungathered)

    def _selected_ways(self, design: Design, selected: tuple[str, ...]) -> RunPaths:
        if self._selected_runs is None or self._selected_runs[0] != selected:
            self._selected_runs = (selected, self._ways(self.picture.project, design, selected))
        return self._selected_runs[1]

    def _paint_outlets(self, on: _Painting) -> None:
        rows, shown = self.picture.outlets, on.shown
        self._relocations.paint_arrows(on.painter, on.camera, on.palette, on.outlet_px)
        self._stamp(on, self._relocations.rows)
        self._stamp(
            on,
            rows,
            selected=[i for i in shown.selected if i not in shown.moving],
            pale=shown.moving,
            statuses=preview_statuses(rows, shown.preview),
        )

    def _stamp(self, on: _Painting, rows: OutletRows, **more: Any) -> None:
        self._outlets.paint(
            on.painter,
            on.camera,
            on.palette,
            rows,
            symbol_mm=self.picture.project.settings.symbol_size_mm,
            pixel_ratio=on.pixel_ratio,
            size=on.outlet_px,
            **more,
        )

    def _paint_preview(self, on: _Painting, preview: Preview) -> None:
        """What is being moved, as it would stand."""
        moving = on.shown.moving
        on.painter.save()
        on.painter.setOpacity(PALE)
        for original in filter(None, map(self.thing_here, moving)):
            if not isinstance(original, Outlet):
                self._paint_single(on, self.picture.project, original)
        on.painter.restore()
        moved = OutletRows()
        for thing_id in moving:
            thing = preview.project.get(thing_id)
            if isinstance(thing, Outlet):
                if thing.floor == self.picture.floor_id:
                    moved.put(thing, preview.project.outlet_kinds.get(thing.kind))
            elif thing is not None and self._is_drawn_here(thing):
                self._paint_single(on, preview.project, thing)
        moved.set_statuses(preview.project, preview.design, moved.ids)
        self._stamp(on, moved, selected=on.shown.selected)

    def _paint_single(self, on: _Painting, project: Project, thing: Entity) -> None:
        paint_entity(
            on.painter,
            on.camera,
            on.palette,
            project,
            thing,
            self.picture.floor_id,
            outlet_px=on.outlet_px,
        )

    def _is_drawn_here(self, thing: Entity) -> bool:
        floor = getattr(thing, "floor", None)
        return self.thing_here(thing.id) is not None or floor == self.picture.floor_id

    # --- labels ---------------------------------------------------------------------------

    def _paint_labels(self, on: _Painting) -> None:
        on.painter.save()
        on.painter.setFont(self._font)
        bold = QFont(self._font)
        bold.setBold(True)
        for placed in self._placed_labels(on.camera, on.shown, on.outlet_px):
            if placed.label.key not in on.shown.moving:
                paint_label(on.painter, on.camera, on.palette, placed, self._font, bold)
        on.painter.restore()

    def label_boxes(self, camera: Camera) -> Iterator[QRectF]:
        """Where the labels that were placed last stand on the screen."""
        placed = [] if self._placed is None else self._placed.placed
        return (box for p in placed if (box := box_on_screen(camera, p)) is not None)

    def _placed_labels(self, camera: Camera, shown: Shown, outlet_px: int) -> list[PlacedLabel]:
        """Where labels stand. In motion the ones placed last are kept, or thinned out."""
        stamp = (self._changes, shown.loads)
        view = camera.visible()
        known = self._placed
        if known is not None and known.scale == camera.px_per_mm:
            same = known.stamp == stamp and _covers(known.region, view)
            if same or not shown.resting:
                return known.placed
        region = camera.visible(LABEL_MARGIN_PX)
        wishes = LabelWishes(
            camera=camera,
            view=region,
            outlet_px=outlet_px,
            units=self.picture.project.settings.units,
            loads_shown=shown.loads,
            writing=self._writing,
        )
        if known is not None and not shown.resting:
            return self._thinned(known.placed, camera, wishes)
        placed = self._labels.placed(self.picture, wishes)
        self._placed = _PlacedLabels(stamp, camera.px_per_mm, region, placed)
        return placed

    def _thinned(
        self, placed: list[PlacedLabel], camera: Camera, wishes: LabelWishes
    ) -> list[PlacedLabel]:
        """Of the labels placed last, those that still have room at another scale."""
        x0, y0, x1, y1 = wishes.view
        labels: list[Label] = [
            p.label for p in placed if x0 <= p.label.x_mm <= x1 and y0 <= p.label.y_mm <= y1
        ]
        return place_labels(labels, Occupied(), camera.px_per_mm)


def _covers(outer: Box, inner: Box) -> bool:
    return (
        outer[0] <= inner[0]
        and outer[1] <= inner[1]
        and outer[2] >= inner[2]
        and outer[3] >= inner[3]
    )
