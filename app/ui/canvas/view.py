"""The canvas widget: one floor, painted and worked on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QEnterEvent,
    QFocusEvent,
    QFont,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from app.editor.document import Document, DocumentChanged
from app.editor.selection import Selection
from app.model.entities import Plan
from app.model.vocabulary import ScaledBy
from app.standards import RuleSet, load_rules
from app.ui import look, palette
from app.ui.canvas import furniture
from app.ui.canvas.camera import Box, Camera
from app.ui.canvas.floor_painter import FloorPainter, RunLines, Shown
from app.ui.canvas.floor_picture import FloorPicture, outline_of, spots_of
from app.ui.canvas.gestures import KEYS, SCROLLS, Panning, modifiers_of, typed_text, wheel
from app.ui.canvas.overlay_painter import paint_card, paint_overlay
from app.ui.canvas.picking import thing_at
from app.ui.canvas.plan_inks import PlanInk
from app.ui.canvas.plan_scene import DrawingSource, joined, plan_scene, visible_plans
from app.ui.canvas.plan_snapping import PlanSnapping
from app.ui.canvas.question_card import QuestionCard
from app.ui.canvas.routes import route_of
from app.ui.canvas.tiles import TileStore
from app.ui.canvas.tool_bench import RESTING, ToolBench, ToolMakers

REST_MS = 90
"""Labels are placed anew when the view has stood still for so long."""

ALL_RUNS_SLICE = 60
"""Outlets whose runs are taken in at a time while all runs are being gathered."""

EMPTY_FLOOR_MM = 40_000.0
"""The width shown of a floor on which nothing stands."""

CLOSE_UP_MM = 6_000.0
"""At least so much is shown around a thing that is zoomed to."""


def no_drawings(sha256: str) -> None:
    """Where no drawing is at hand."""


class CanvasView(QWidget):
    """A floor of the document: what lies on it, what is selected, and the tool in hand."""

    pointer_moved = Signal(float, float)
    """x_mm, y_mm of the site, after snapping."""
    scale_changed = Signal(float)
    """Logical pixels per millimetre."""
    hint_changed = Signal(str)
    message = Signal(str)
    tool_changed = Signal(str)
    floor_changed = Signal(str)
    files_dropped = Signal(list)
    """Paths (str) of the files let go over the canvas."""
    edit_requested = Signal(str)
    """The id of what was double-clicked."""

    def __init__(
        self,
        document: Document,
        selection: Selection,
        parent: QWidget | None = None,
        *,
        drawings: DrawingSource | None = None,
        rules: RuleSet | None = None,
        tools: ToolMakers | None = None,
    ) -> None:
        """`drawings` gives a plan's drawing by its `drawing_sha256`; `tools` stand in in tests."""
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._drawings: DrawingSource = drawings or no_drawings
        self._camera = Camera()
        self._floor_id: str | None = None
        self._seen: dict[str, Camera] = {}
        self._fitted = False
        self._painter_of_floor: FloorPainter | None = None
        self._shown = Shown()
        self._ghost = False
        self._plan_ink: PlanInk = "paper"
        self._pointer: QPointF | None = None
        self._panning = Panning()
        self._tiles = TileStore(self)
        self._tiles.arrived.connect(self.update)
        self._bench = _bench(document, selection, rules, tools, self)
        self._snapping = PlanSnapping(self)
        self._question = QuestionCard(self)
        self._wire()
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._has_come_to_rest)
        self._gather = QTimer(self)
        self._gather.setInterval(0)
        self._gather.timeout.connect(self._gather_runs)
        self._unsubscribe = [
            document.subscribe(self._document_changed),
            selection.subscribe(self._selection_changed),
        ]
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAcceptDrops(True)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMinimumSize(240, 180)
        self.setAccessibleName("Floor plan")
        self.destroyed.connect(self._tiles_closer())
        first = next(iter(document.project.floors), None)
        if first is not None:
            self.set_floor(first)

    def _wire(self) -> None:
        bench = self._bench
        bench.changed.connect(self.update)
        bench.message.connect(self.message)
        bench.hint_changed.connect(self.hint_changed)
        bench.tool_changed.connect(self.tool_changed)
        bench.pointer_moved.connect(self.pointer_moved)
        bench.opened.connect(self.edit_requested)
        bench.asked.connect(self._question.ask)
        self._snapping.ready.connect(bench.catch_on_plans)
        self._question.answered.connect(bench.answer)

    def _tiles_closer(self) -> Any:
        worker = self._tiles.worker
        return lambda: worker.stop()

    # --- floor and view -----------------------------------------------------------------------

    @property
    def floor_id(self) -> str | None:
        return self._floor_id

    @property
    def camera(self) -> Camera:
        return self._camera

    def set_floor(self, floor_id: str | None) -> None:
        """Show another floor, as it was looked at last, or whole."""
        if floor_id == self._floor_id:
            return
        if self._floor_id is not None and self._fitted:
            self._seen[self._floor_id] = self._camera
        self._floor_id = floor_id
        self._shown.hovered = None
        self._bench.show_floor(floor_id)
        self._read_floor()
        if floor_id is None:
            self.update()
            return
        known = self._seen.get(floor_id)
        if known is None:
            self.fit()
        else:
            self._set_camera(known.resized(self.width(), self.height()))
        self.floor_changed.emit(floor_id)

    def fit(self) -> None:
        """Show the whole floor."""
        box = self._floor_box()
        if box is None:
            half = EMPTY_FLOOR_MM / 2
            box = (-half, -half, half, half)
        self._fitted = self.width() > 240 and self.isVisible()
        self._set_camera(self._camera.resized(self.width(), self.height()).fitted(box))

    def zoom_to(self, ids: Iterable[str]) -> None:
        """Show these things, on the floor where the first of them is."""
        things = [t for t in (self._document.project.get(i) for i in self._drawn_ids(ids)) if t]
        floor = next((f for f in (_floor_of(t) for t in things) if f is not None), None)
        if floor is None:
            return
        self.set_floor(floor)
        boxes = tuple(_box_of(t) for t in things if floor in _floors_of(t))
        box = joined(boxes)
        if box is None:
            return
        grow_x = max(0.0, CLOSE_UP_MM - (box[2] - box[0])) / 2
        grow_y = max(0.0, CLOSE_UP_MM - (box[3] - box[1])) / 2
        roomy = (box[0] - grow_x, box[1] - grow_y, box[2] + grow_x, box[3] + grow_y)
        self._fitted = True
        self._set_camera(self._camera.resized(self.width(), self.height()).fitted(roomy))

    def _drawn_ids(self, ids: Iterable[str]) -> list[str]:
        """The ids of things; a port stands for its outlet."""
        design = self._document.design
        rows = {} if design is None else design.runs.row_of
        return [design.runs.outlet_ids[rows[i]] if i in rows else i for i in ids]

    def zoom_by(self, factor: float) -> None:
        """Zoom about the middle of the canvas."""
        self.zoom_at(factor, QPointF(self.width() / 2, self.height() / 2))

    def zoom_at(self, factor: float, at: QPointF) -> None:
        """Zoom with the point of the screen staying where it is."""
        self._fitted = True
        self._set_camera(self._camera.zoomed(self._camera.px_per_mm * factor, at.x(), at.y()))

    def pan_by(self, dx_px: float, dy_px: float) -> None:
        """Move the paper by so many pixels."""
        self._fitted = True
        self._set_camera(self._camera.panned(dx_px, dy_px))

    # --- what is shown ------------------------------------------------------------------------

    @property
    def tool(self) -> str:
        """The name of the tool in hand."""
        return self._bench.tool_name

    @property
    def hint(self) -> str:
        """What the next click does."""
        return self._bench.hint

    @property
    def bench(self) -> ToolBench:
        """The tool in hand and what it previews."""
        return self._bench

    def set_tool(self, tool_name: str, **options: Any) -> None:
        """Take a tool in hand; options are fields of what is drawn next."""
        self._bench.take(tool_name, options)

    def show_runs(self, mode: RunLines) -> None:
        """Which runs are drawn as lines."""
        self._shown.run_lines = mode
        self._start_gathering()
        self.update()

    def show_fill(self, shown: bool) -> None:
        """Whether pathways show how full they are."""
        self._shown.loads = shown
        self.update()

    def show_ghost(self, shown: bool) -> None:
        """Whether the plan of the floor below shines through."""
        self._ghost = shown
        self._read_plans()

    def set_plan_ink(self, ink: PlanInk) -> None:
        """Plans in ink tones of the paper, or in the colours of their files."""
        self._plan_ink = ink
        self._read_plans()

    def drawings_changed(self) -> None:
        """Drawings of plans have come to hand."""
        self._read_plans()
        if not self._fitted:
            self.fit()

    @property
    def is_sharp(self) -> bool:
        """Whether the plans were last painted from tiles of this very scale."""
        return self._tiles.is_sharp

    # --- following the document -----------------------------------------------------------------

    def _document_changed(self, changed: DocumentChanged) -> None:
        project = self._document.project
        if self._floor_id is None or self._floor_id not in project.floors:
            self.set_floor(next(iter(project.floors), None))
            return
        if any(isinstance(c.after or c.before, Plan) for c in changed.patch.changes):
            self._read_plans()
        painter = self._painter_of_floor
        if painter is not None:
            picture = painter.picture
            touched = picture.follow(
                project, self._document.design, changed.patch, changed.design_change
            )
            painter.touched(touched)
        self._start_gathering()
        self.update()

    def _selection_changed(self, ids: tuple[str, ...]) -> None:
        self._shown.selected = ids
        self.update()

    def _read_floor(self) -> None:
        self._painter_of_floor = None
        if self._floor_id is not None:
            document = self._document
            picture = FloorPicture(document.project, document.design, self._floor_id)
            self._painter_of_floor = FloorPainter(picture, _label_font(self.font()), route_of)
        self._shown.selected = self._selection.ids
        self._read_plans()
        self._start_gathering()

    def _read_plans(self) -> None:
        scene = None
        if self._floor_id is not None:
            scene = plan_scene(
                self._document.project,
                self._floor_id,
                drawings=self._drawings,
                palette=palette.current(),
                ink=self._plan_ink,
                ghost=self._ghost,
            )
            self._snapping.show(self._floor_id, scene)
        self._scene = scene
        self._tiles.set_scene(scene)
        self.update()

    def _floor_box(self) -> Box | None:
        plans = None if self._scene is None else self._scene.box
        things = None if self._painter_of_floor is None else self._painter_of_floor.picture.box()
        return joined((plans, things))

    # --- all runs, a few at a time ------------------------------------------------------------

    def _start_gathering(self) -> None:
        wanted = self._shown.run_lines == "all" and self._document.design is not None
        if wanted and not self._gather.isActive():
            self._gather.start()
        elif not wanted:
            self._gather.stop()

    def _gather_runs(self) -> None:
        painter = self._painter_of_floor
        if painter is None or not painter.gather_runs(ALL_RUNS_SLICE):
            self._gather.stop()
        self.update()

    # --- camera -------------------------------------------------------------------------------

    def _set_camera(self, camera: Camera) -> None:
        ratio = self.devicePixelRatioF()
        before = self._camera
        self._camera = camera.on_whole_pixels(ratio)
        self._shown.resting = False
        self._rest.start()
        if before.px_per_mm != self._camera.px_per_mm:
            self.scale_changed.emit(self._camera.px_per_mm)
        self.update()

    def _has_come_to_rest(self) -> None:
        self._shown.resting = True
        self.update()

    # --- painting -----------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        self.paint_all(painter)
        painter.end()

    def paint_all(self, painter: QPainter) -> None:
        """The whole canvas, bottom to top."""
        colours = palette.current()
        camera = self._camera
        ratio = self.devicePixelRatioF()
        painter.fillRect(QRect(0, 0, self.width(), self.height()), colours.color("sheet"))
        self._tiles.paint(painter, camera, ratio)
        floor = self._painter_of_floor
        if floor is None:
            furniture.paint_words(
                painter,
                camera,
                colours,
                "No floor yet",
                "Drop a plan here, or import one: a floor is made for it.",
            )
        else:
            self._shown.preview = self._bench.preview
            self._shown.moving = self._bench.moving
            floor.paint(painter, camera, colours, ratio, self._shown)
            self._paint_tool(painter, floor)
            self._paint_furniture(painter, floor)
        if self.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
            painter.setPen(QPen(colours.color("accent"), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(1, 1, self.width() - 2, self.height() - 2)

    def _paint_tool(self, painter: QPainter, floor: FloorPainter) -> None:
        overlay = self._bench.overlay
        picture = floor.picture
        colours = palette.current()
        paint_overlay(
            painter,
            self._camera,
            colours,
            picture.project,
            overlay,
            picture.floor_id,
            outlet_px=floor.outlet_px(self._camera),
        )
        if self._pointer is not None and (overlay.entry is not None or self._bench.lines):
            paint_card(
                painter,
                self._camera,
                colours,
                self._pointer,
                entry=overlay.entry,
                lines=self._bench.lines,
            )

    def _paint_furniture(self, painter: QPainter, floor: FloorPainter) -> None:
        project = floor.picture.project
        camera, colours = self._camera, palette.current()
        plans = visible_plans(project, floor.picture.floor_id)
        unscaled = [p for p in plans if p.scaled_by is ScaledBy.NOT_SCALED]
        furniture.paint_scale_bar(
            painter, camera, colours, project.settings.units, scaled=not unscaled
        )
        furniture.paint_north(
            painter, camera, colours, project.floors[floor.picture.floor_id].grid_angle_mdeg
        )
        if unscaled:
            furniture.paint_notice(
                painter,
                camera,
                colours,
                f"“{unscaled[0].name}” is not calibrated: lengths on this floor mean nothing yet.",
            )
        if not plans and floor.picture.is_empty and not self._bench.overlay.lines:
            furniture.paint_words(
                painter,
                camera,
                colours,
                "Nothing on this floor yet",
                "Drop a plan here or import one, or take a tool and draw.",
            )

    # --- pointer ------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        at = event.position()
        middle = event.button() == Qt.MouseButton.MiddleButton
        left = event.button() == Qt.MouseButton.LeftButton
        if middle or (left and self._panning.by_space):
            self._panning.start(at)
            self._set_cursor()
        elif left:
            self._bench.press(at, self._camera, modifiers_of(event.modifiers()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        self._pointer = at
        if self._panning.is_held:
            self._panning.moved(at, self)
            return
        self._bench.move(at, self._camera, modifiers_of(event.modifiers()))
        if not event.buttons():
            self._hover(at)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._panning.is_held:
            self._panning.end()
            self._set_cursor()
        elif event.button() == Qt.MouseButton.LeftButton:
            held = modifiers_of(event.modifiers())
            self._bench.release(event.position(), self._camera, held)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton or self._panning.by_space:
            return
        at = event.position()
        held = modifiers_of(event.modifiers())
        self._bench.double_click(at, self._camera, held)
        if self.tool == RESTING:
            found = self.thing_at(at)
            if found is not None:
                self.edit_requested.emit(found)

    def thing_at(self, at: QPointF) -> str | None:
        """The id of what is shown at a point of the canvas, the topmost first."""
        floor = self._painter_of_floor
        if floor is None:
            return None
        outlet_px = floor.outlet_px(self._camera)
        return thing_at(floor.picture, self._camera, at.x(), at.y(), outlet_px=outlet_px)

    def _hover(self, at: QPointF) -> None:
        found = self.thing_at(at) if self.tool == RESTING else None
        if found != self._shown.hovered:
            self._shown.hovered = found
            self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        wheel(event, self)
        event.accept()

    def event(self, event: QEvent) -> bool:
        zoom = Qt.NativeGestureType.ZoomNativeGesture
        if isinstance(event, QNativeGestureEvent) and event.gestureType() == zoom:
            self.zoom_at(1.0 + event.value(), event.position())
            return True
        override = event.type() == QEvent.Type.ShortcutOverride
        if override and isinstance(event, QKeyEvent) and self._wants_key(event):
            event.accept()
            return True
        return super().event(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        self._pointer = event.position()

    def leaveEvent(self, event: QEvent) -> None:
        self._pointer = None
        self._shown.hovered = None
        self._bench.leave()

    # --- keys -----------------------------------------------------------------------------------

    def _wants_key(self, event: QKeyEvent) -> bool:
        """Keys that belong to the canvas even where the window has them as shortcuts."""
        if self._bench.takes(typed_text(event)):
            return True
        if self._bench.entry:
            return event.key() in KEYS
        return event.key() == Qt.Key.Key_Space and not event.modifiers()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not self._bench.entry:
            self._panning.by_space = True
            self._set_cursor()
            return
        held = modifiers_of(event.modifiers())
        key = KEYS.get(event.key())
        if key in SCROLLS and not self._bench.entry and not self._arrows_nudge():
            self.pan_by(*SCROLLS[key])
        elif key is not None:
            self._bench.key(key, held)
        elif event.key() == Qt.Key.Key_Home:
            self.fit()
        elif self._bench.takes(typed_text(event)):
            self._bench.character(event.text())
        else:
            super().keyPressEvent(event)

    def _arrows_nudge(self) -> bool:
        """Arrow keys move what is selected; with nothing selected they move the paper."""
        return self.tool == RESTING and bool(self._selection.ids)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._panning.by_space = False
            self._set_cursor()
        else:
            super().keyReleaseEvent(event)

    def _set_cursor(self) -> None:
        if self._panning.is_held:
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif self._panning.by_space:
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif self.tool == RESTING:
            self.unsetCursor()
        else:
            self.setCursor(Qt.CursorShape.CrossCursor)

    # --- the widget -------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        if self._fitted:
            self._set_camera(self._camera.resized(self.width(), self.height()))
        else:
            self.fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self._panning.by_space = False
        super().focusOutEvent(event)
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._read_floor()
        super().changeEvent(event)

    def sizeHint(self) -> QSize:
        return QSize(960, 640)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        paths = [url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            event.acceptProposedAction()
            self.files_dropped.emit(paths)

    def closeEvent(self, event: QCloseEvent) -> None:
        self.shut()
        super().closeEvent(event)

    def shut(self) -> None:
        """Let go of the document and end the worker."""
        for unsubscribe in self._unsubscribe:
            unsubscribe()
        self._unsubscribe = []
        self._gather.stop()
        self._bench.close()
        self._snapping.close()
        self._tiles.close()


def _bench(
    document: Document,
    selection: Selection,
    rules: RuleSet | None,
    tools: ToolMakers | None,
    parent: QWidget,
) -> ToolBench:
    from app.ui.canvas.routes import tool_makers

    return ToolBench(
        document,
        selection,
        rules=load_rules() if rules is None else rules,
        makers=tool_makers() if tools is None else tools,
        parent=parent,
    )


def _label_font(base: QFont) -> QFont:
    font = QFont(base)
    font.setPixelSize(max(11, look.em(0.9)))
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


def _floors_of(thing: Any) -> tuple[str, ...]:
    names = ("floor", "lower_floor", "upper_floor", "from_floor", "to_floor")
    found = (getattr(thing, name, None) for name in names)
    return tuple(f for f in found if f is not None)


def _floor_of(thing: Any) -> str | None:
    return next(iter(_floors_of(thing)), None)


def _box_of(thing: Any) -> Box | None:
    points = outline_of(thing) if hasattr(thing, "outline") or hasattr(thing, "vertices") else []
    points = points or spots_of(thing)
    if not points:
        return None
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)
