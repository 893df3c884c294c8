"""The floor in view: its plans as tiles, its things, and all that is painted of them."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPointF, QTimer, Signal
from PySide6.QtGui import QFont, QPainter
from PySide6.QtWidgets import QWidget

from app.editor.document import Document, DocumentChanged
from app.editor.shown_states import ALL_SHOWN, ShownStates
from app.editor.tools.tool import usual_reach_px
from app.model.entities import Entity, Frame, Outlet, Plan
from app.model.vocabulary import ScaledBy
from app.ui import look, palette
from app.ui.canvas import furniture
from app.ui.canvas.camera import Box, Camera
from app.ui.canvas.floor_painter import FloorPainter, RunLines, Shown
from app.ui.canvas.floor_picture import FloorPicture
from app.ui.canvas.overlay_painter import paint_card, paint_overlay
from app.ui.canvas.place_painter import place_reach_px
from app.ui.canvas.plan_inks import PlanInk
from app.ui.canvas.plan_scene import (
    DrawingSource,
    PlanScene,
    joined,
    plan_scene,
    visible_plans,
)
from app.ui.canvas.plan_snapping import PlanSnapping
from app.ui.canvas.plan_writing import writing_of
from app.ui.canvas.tiles import TileStore
from app.ui.canvas.tool_bench import ToolBench

ALL_RUNS_SLICE = 30
"""Outlets whose runs are taken in at a time while all runs are being gathered."""


class ShownFloor(QObject):
    """Follows the document for one floor; the floor may be none."""

    changed = Signal()
    """Something has to be painted."""

    def __init__(
        self, document: Document, bench: ToolBench, drawings: DrawingSource, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._bench = bench
        self._drawings = drawings
        self._font = parent.font
        self.floor_id: str | None = None
        self.shown = Shown()
        self.ghost = False
        self.shown_states = ALL_SHOWN
        self.plan_ink: PlanInk = "paper"
        self._scene: PlanScene | None = None
        self._floor: FloorPainter | None = None
        self.tiles = TileStore(self)
        self.tiles.arrived.connect(self.changed)
        self._snapping = PlanSnapping(self)
        self._snapping.ready.connect(bench.catch_on_plans)
        self._camera: Camera | None = None
        bench.reach_px = self.reach_px
        self._gather = QTimer(self)
        self._gather.setInterval(0)
        self._gather.timeout.connect(self._gather_runs)

    # --- what is shown ------------------------------------------------------------------

    def show(self, floor_id: str | None) -> None:
        """Another floor."""
        self.floor_id = floor_id
        self.shown.hovered = None
        self.read()

    def read(self) -> None:
        """Everything anew: another floor, palette or font."""
        self._floor = None
        if self.floor_id is not None:
            document = self._document
            picture = FloorPicture(
                document.project, document.design, self.floor_id, self.shown_states
            )
            self._floor = FloorPainter(picture, _label_font(self._font()))
        self.read_plans()
        self._start_gathering()

    def read_plans(self) -> None:
        """The plans anew: one has come, gone or been moved, or they are drawn otherwise."""
        scene = None
        if self.floor_id is not None:
            scene = plan_scene(
                self._document.project,
                self.floor_id,
                drawings=self._drawings,
                palette=palette.current(),
                ink=self.plan_ink,
                ghost=self.ghost,
            )
            self._snapping.show(self.floor_id, scene)
            if self._floor is not None:
                self._floor.plans_changed(writing_of(scene))
        self._scene = scene
        self.tiles.set_scene(scene)
        self.changed.emit()

    def show_states(self, shown: ShownStates) -> None:
        """Only things of some states and phases."""
        self.shown_states = shown
        if self._floor is not None:
            self._floor.touched(self._floor.picture.show(shown))
        self._start_gathering()
        self.changed.emit()

    def show_runs(self, mode: RunLines) -> None:
        self.shown.run_lines = mode
        self._start_gathering()
        self.changed.emit()

    def follow(self, event: DocumentChanged) -> None:
        """Take a commit in: only what it names is made anew."""
        if any(isinstance(c.after or c.before, Plan) for c in event.patch.changes):
            self.read_plans()
        if self._floor is not None:
            document = self._document
            touched = self._floor.picture.follow(
                document.project, document.design, event.patch, event.design_change
            )
            self._floor.touched(touched)
        self._start_gathering()
        self.changed.emit()

    def in_words(self) -> str:
        """The floor for those who cannot see it."""
        if self._floor is None:
            return ""
        picture = self._floor.picture
        frames = sum(isinstance(place, Frame) for place in picture.places.values())
        counts = (
            (len(picture.outlets), "outlets"),
            (frames, "frames"),
            (len(picture.pathways), "pathways"),
            (len(picture.spaces), "spaces"),
        )
        name = picture.project.floors[picture.floor_id].name
        return f"Floor {name}: " + ", ".join(f"{count} {words}" for count, words in counts)

    def box(self) -> Box | None:
        """Where plans and things are."""
        plans = None if self._scene is None else self._scene.box
        things = None if self._floor is None else self._floor.picture.box()
        return joined((plans, things))

    def reach_px(self, thing: Entity) -> float:
        """How far a thing's symbol reaches from its middle, as it was painted last."""
        if self._floor is None or self._camera is None:
            return usual_reach_px(thing)
        if isinstance(thing, Outlet):
            return self._floor.outlet_px(self._camera) / 2
        return place_reach_px(thing, self._camera)

    @property
    def is_gathering(self) -> bool:
        """Whether the ways of all runs are still being taken in."""
        return self._gather.isActive()

    def close(self) -> None:
        """End the workers."""
        self._gather.stop()
        self._snapping.close()
        self.tiles.close()

    def _start_gathering(self) -> None:
        wanted = self.shown.run_lines == "all" and self._document.design is not None
        if not wanted:
            self._gather.stop()
        elif not self._gather.isActive():
            self._gather.start()

    def _gather_runs(self) -> None:
        if self._floor is None or not self._floor.gather_runs(ALL_RUNS_SLICE):
            self._gather.stop()
        self.changed.emit()

    # --- painting -----------------------------------------------------------------------

    def paint(
        self, painter: QPainter, camera: Camera, pixel_ratio: float, pointer: QPointF | None
    ) -> None:
        """Plans, things, tool and furniture, bottom to top."""
        self._camera = camera
        self.tiles.paint(painter, camera, pixel_ratio)
        floor, bench = self._floor, self._bench
        if floor is None:
            furniture.paint_words(
                painter,
                camera,
                palette.current(),
                "No floor yet",
                "Drop a plan here, or import one: a floor is made for it.",
            )
            return
        self.shown.preview, self.shown.moving = bench.preview, bench.moving
        floor.paint(painter, camera, palette.current(), pixel_ratio, self.shown)
        self._paint_tool(painter, camera, floor, pointer)
        self._paint_furniture(painter, camera, floor.picture)

    def _paint_tool(
        self, painter: QPainter, camera: Camera, floor: FloorPainter, pointer: QPointF | None
    ) -> None:
        overlay, lines = self._bench.overlay, [*self._bench.lines]
        if lines and floor.ways_told:
            lines.append((floor.ways_told, "ink_soft"))
        colours = palette.current()
        paint_overlay(
            painter,
            camera,
            colours,
            floor.picture.project,
            overlay,
            floor.picture.floor_id,
            outlet_px=floor.outlet_px(camera),
            labels=floor.label_boxes(camera),
        )
        if pointer is not None and (overlay.entry is not None or lines):
            paint_card(
                painter,
                camera,
                colours,
                pointer,
                entry=overlay.entry,
                lines=lines,
                below_cue=overlay.cue is not None,
            )

    def _paint_furniture(self, painter: QPainter, camera: Camera, picture: FloorPicture) -> None:
        project, colours = picture.project, palette.current()
        plans = visible_plans(project, picture.floor_id)
        unscaled = [p for p in plans if p.scaled_by is ScaledBy.NOT_SCALED]
        furniture.paint_scale_bar(
            painter, camera, colours, project.settings.units, scaled=not unscaled
        )
        grid = project.floors[picture.floor_id].grid_angle_mdeg
        furniture.paint_north(painter, camera, colours, grid)
        if unscaled:
            furniture.paint_notice(
                painter,
                camera,
                colours,
                f"“{unscaled[0].name}” is not calibrated: lengths on this floor mean nothing yet.",
            )
        if not plans and picture.is_empty and not self._bench.overlay.lines:
            furniture.paint_words(
                painter,
                camera,
                colours,
                "Nothing on this floor yet",
                "Drop a plan here or import one, or take a tool and draw.",
            )


def _label_font(base: QFont) -> QFont:
    font = QFont(base)
    font.setPixelSize(max(11, look.em(0.9)))
    font.setFeature(QFont.Tag("tnum"), 1)
    return font
