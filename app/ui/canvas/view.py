"""The canvas widget: one floor, painted and worked on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QShowEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGestureEvent, QPinchGesture, QWidget

from app.editor.document import Document, DocumentChanged
from app.editor.selection import Selection
from app.editor.shown_states import ShownStates
from app.editor.tools.toolbox import TOOLS
from app.standards import RuleSet, load_rules
from app.ui import palette
from app.ui.canvas.camera import Camera
from app.ui.canvas.floor_painter import RunLines
from app.ui.canvas.floor_picture import box_of, floors_of
from app.ui.canvas.navigator import Navigator
from app.ui.canvas.plan_inks import PlanInk
from app.ui.canvas.plan_scene import DrawingSource, joined, no_drawings
from app.ui.canvas.pointer_and_keys import PointerAndKeys
from app.ui.canvas.question_card import QuestionCard
from app.ui.canvas.shown_floor import ShownFloor
from app.ui.canvas.tool_bench import ToolBench, ToolMakers

LEAST_SIZE = QSize(240, 180)
USUAL_SIZE = QSize(960, 640)


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
    preview_changed = Signal(object)
    """The Preview while something is dragged or drawn; None when it is over."""
    edit_requested = Signal(str)
    """The id of a thing that was asked to be opened."""

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
        self._navigator = Navigator(self)
        self._bench = ToolBench(
            document,
            selection,
            rules=load_rules() if rules is None else rules,
            makers=TOOLS if tools is None else tools,
            parent=self,
        )
        self._floor = ShownFloor(document, self._bench, drawings or no_drawings, self)
        self._input = PointerAndKeys(self._bench, self._navigator, selection, self)
        self._question = QuestionCard(self)
        self._wire()
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAcceptDrops(True)
        self.grabGesture(Qt.GestureType.PinchGesture)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMinimumSize(LEAST_SIZE)
        self.setAccessibleName("Floor plan")
        self._fill_widget()
        self.set_floor(next(iter(document.project.floors), None))

    def _wire(self) -> None:
        bench = self._bench
        bench.changed.connect(self.update)
        bench.message.connect(self.message)
        bench.hint_changed.connect(self.hint_changed)
        bench.tool_changed.connect(self._tool_changed)
        bench.pointer_moved.connect(self.pointer_moved)
        bench.preview_changed.connect(self.preview_changed)
        bench.opened.connect(self.edit_requested)
        bench.asked.connect(self._question.ask)
        self._question.answered.connect(bench.answer)
        self._floor.changed.connect(self.update)
        self._input.changed.connect(self._input_changed)
        self._navigator.moved.connect(self.update)
        self._navigator.scale_changed.connect(self.scale_changed)
        self._unsubscribe = [
            self._document.subscribe(self._document_changed),
            self._selection.subscribe(self._selection_changed),
        ]
        worker = self._floor.tiles.worker
        self.destroyed.connect(lambda: worker.stop())

    # --- floor and view -----------------------------------------------------------------

    @property
    def floor_id(self) -> str | None:
        return self._floor.floor_id

    @property
    def camera(self) -> Camera:
        return self._navigator.camera

    def set_floor(self, floor_id: str | None) -> None:
        """Show another floor, as it was looked at last, or whole."""
        before = self._floor.floor_id
        if floor_id == before:
            return
        if before is not None:
            self._navigator.leave(before)
        self._input.point_at_nothing()
        self._bench.show_floor(floor_id)
        self._floor.show(floor_id)
        self._floor.shown.selected = self._selection.ids
        if floor_id is None:
            return
        if not self._navigator.return_to(floor_id):
            self.fit()
        self.setAccessibleDescription(self._floor.in_words())
        self.floor_changed.emit(floor_id)

    def fit(self) -> None:
        """Show the whole floor."""
        self._navigator.fit(self._floor.box(), in_sight=self.isVisible())

    def zoom_to(self, ids: Iterable[str]) -> None:
        """Show these things, on the floor where the first of them is."""
        project = self._document.project
        things = [t for t in (project.get(i) for i in self._drawn_ids(ids)) if t is not None]
        floor = next((f for t in things for f in floors_of(t)), None)
        if floor is None:
            return
        if not any(self.floor_id in floors_of(t) for t in things[:1]):
            self.set_floor(floor)
        box = joined(tuple(box_of(t) for t in things if self.floor_id in floors_of(t)))
        if box is not None:
            self._navigator.close_up(box)

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
        self._navigator.zoom_at(factor, at)

    def pan_by(self, dx_px: float, dy_px: float) -> None:
        """Move the paper by so many pixels."""
        self._navigator.pan_by(dx_px, dy_px)

    # --- what is shown ------------------------------------------------------------------

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
        self._floor.show_runs(mode)

    def show_states(self, shown: ShownStates) -> None:
        """Only things of these states and phases; others are not hit or caught either."""
        self._input.point_at_nothing()
        self._bench.show_states(shown)
        self._floor.show_states(shown)

    def show_fill(self, shown: bool) -> None:
        """Whether pathways show how full they are."""
        self._floor.shown.loads = shown
        self.update()

    def show_ghost(self, shown: bool) -> None:
        """Whether the plan of the floor below shines through."""
        self._floor.ghost = shown
        self._floor.read_plans()

    def set_plan_ink(self, ink: PlanInk) -> None:
        """Plans in ink tones of the paper, or in the colours of their files."""
        self._floor.plan_ink = ink
        self._floor.read_plans()

    def drawings_changed(self) -> None:
        """Drawings of plans have come to hand."""
        self._floor.read_plans()
        if not self._navigator.is_placed:
            self.fit()

    @property
    def is_settled(self) -> bool:
        """Whether the view rests, its plans are sharp and all asked for is painted."""
        return (
            self._floor.tiles.is_sharp
            and self._navigator.is_resting
            and not self._floor.is_gathering
        )

    @property
    def has_painted_plans(self) -> bool:
        """Whether the plans in view stand on the screen, sharp."""
        return self._floor.tiles.has_painted

    # --- following ----------------------------------------------------------------------

    def _document_changed(self, changed: DocumentChanged) -> None:
        if self.floor_id not in (floors := self._document.project.floors):
            self.set_floor(next(iter(floors), None))
            return
        self._input.point_at_nothing()
        has_plan = any(i.startswith("plan-") for i in changed.patch.ids)
        was_empty = has_plan and self._floor.box() is None
        self._floor.follow(changed)
        self.setAccessibleDescription(self._floor.in_words())
        if was_empty:
            self.fit()

    def _selection_changed(self, ids: tuple[str, ...]) -> None:
        self._floor.shown.selected = ids
        self.update()

    def _tool_changed(self, name: str) -> None:
        self._input.point_at_nothing()
        self._input_changed()
        self.tool_changed.emit(name)

    # --- painting -----------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        try:
            self._paint(painter)
        finally:
            painter.end()  # an active painter on a widget that is gone ends the program

    def _paint(self, painter: QPainter) -> None:
        colours = palette.current()
        self._floor.shown.resting = self._navigator.is_resting
        painter.fillRect(QRect(0, 0, self.width(), self.height()), colours.color("sheet"))
        self._floor.paint(painter, self.camera, self.devicePixelRatioF(), self._input.pointer)
        if self.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
            painter.setPen(QPen(colours.color("accent"), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(1, 1, self.width() - 2, self.height() - 2)

    # --- pointer ------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self._input.press(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._input.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._input.release(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self._input.double_click(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        self._input.turn_wheel(event)
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        self._input.leave()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Home:
            self.fit()
        elif not self._input.key_press(event):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if not self._input.key_release(event):
            super().keyReleaseEvent(event)

    def event(self, event: QEvent) -> bool:
        zoom = Qt.NativeGestureType.ZoomNativeGesture
        if isinstance(event, QNativeGestureEvent) and event.gestureType() == zoom:
            self.zoom_at(1.0 + event.value(), event.position())
            return True
        if isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                self.zoom_at(pinch.scaleFactor(), self.mapFromGlobal(pinch.hotSpot()))
                return True
        if event.type() == QEvent.Type.DevicePixelRatioChange:
            self._fill_widget()
        override = event.type() == QEvent.Type.ShortcutOverride
        if override and isinstance(event, QKeyEvent) and self._input.wants_key(event):
            event.accept()
            return True
        return super().event(event)

    def _input_changed(self) -> None:
        self._floor.shown.hovered = self._input.hovered
        if self.cursor().shape() != self._input.cursor:
            self.setCursor(self._input.cursor)
        self.update()

    def _fill_widget(self) -> None:
        self._navigator.resize(self.width(), self.height(), self.devicePixelRatioF())

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._fill_widget()
        if not self._navigator.is_placed:
            self.fit()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if not self._navigator.is_placed:
            self.fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self._input.lose_focus()
        super().focusOutEvent(event)
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._floor.read()
        super().changeEvent(event)

    def sizeHint(self) -> QSize:
        return USUAL_SIZE

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        if paths := [u.toLocalFile() for u in event.mimeData().urls() if u.isLocalFile()]:
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
        self._bench.close()
        self._floor.close()
