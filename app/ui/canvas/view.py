"""The canvas widget: one floor, painted and worked on."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Literal

from PySide6.QtCore import Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.drawing.plan_drawing import PlanDrawing
from app.ui import palette
from app.ui.canvas.camera import Camera

RunLines = Literal["selected", "all", "none"]
PlanInk = Literal["paper", "file"]
DrawingSource = Callable[[str], PlanDrawing | None]
"""The drawing of a plan by its `drawing_sha256`; None where it is not at hand."""


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
        document: Any,
        selection: Any,
        parent: QWidget | None = None,
        *,
        drawings: DrawingSource | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._selection = selection
        self._drawings = drawings
        self._camera = Camera()
        self._floor_id: str | None = None
        self._tool_name = "select"
        self._run_lines: RunLines = "selected"
        self._fill_shown = False

    @property
    def floor_id(self) -> str | None:
        return self._floor_id

    @property
    def tool(self) -> str:
        """The name of the tool in hand."""
        return self._tool_name

    def set_floor(self, floor_id: str | None) -> None:
        """Show another floor, as it was looked at last, or whole."""
        self._floor_id = floor_id
        self.update()

    def fit(self) -> None:
        """Show the whole floor."""

    def zoom_to(self, ids: Iterable[str]) -> None:
        """Show these things, on the floor where the first of them is."""

    def zoom_by(self, factor: float) -> None:
        """Zoom about the middle of the canvas."""

    def set_tool(self, tool_name: str, **options: Any) -> None:
        """Take a tool in hand; `options` are the tool's own."""
        self._tool_name = tool_name
        self.tool_changed.emit(tool_name)

    def show_runs(self, mode: RunLines) -> None:
        """Which runs are drawn as lines."""
        self._run_lines = mode
        self.update()

    def show_fill(self, shown: bool) -> None:
        """Whether pathways show how full they are."""
        self._fill_shown = shown
        self.update()

    def show_ghost(self, shown: bool) -> None:
        """Whether the plan of the floor below shines through."""

    def set_plan_ink(self, ink: PlanInk) -> None:
        """Plans in ink tones of the paper, or in the colours of their files."""

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(event.rect(), palette.current().color("sheet"))
        painter.end()
