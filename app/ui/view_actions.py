"""What the View menu does: where one looks, and what is shown."""

from PySide6.QtCore import Qt

from app.editor.shown_states import ALL_SHOWN
from app.ui.canvas.floor_painter import RunLines
from app.ui.canvas.plan_inks import PlanInk
from app.ui.workspace import Workspace


class ViewActions:
    """Looking at one workspace."""

    def __init__(self, workspace: Workspace) -> None:
        self._workspace = workspace

    def fit(self) -> None:
        self._workspace.canvas.fit()

    def zoom(self, factor: float) -> None:
        self._workspace.canvas.zoom_by(factor)

    def zoom_to_selection(self) -> None:
        workspace = self._workspace
        workspace.canvas.zoom_to(workspace.session.selection.ids)

    def step_floor(self, up: int) -> None:
        self._workspace.floors.step(up)

    def show_runs(self, mode: RunLines) -> None:
        self._workspace.canvas.show_runs(mode)

    def show_fill(self, *, shown: bool) -> None:
        self._workspace.canvas.show_fill(shown)

    def show_legend(self, *, shown: bool) -> None:
        self._workspace.states.show_legend(wanted=shown)

    def show_all_states(self) -> None:
        self._workspace.session.show_states(ALL_SHOWN)

    def show_ghost(self, *, shown: bool) -> None:
        self._workspace.canvas.show_ghost(shown)

    def show_file_colours(self, *, shown: bool) -> None:
        ink: PlanInk = "file" if shown else "paper"
        self._workspace.canvas.set_plan_ink(ink)

    def focus_canvas(self) -> None:
        self._workspace.canvas.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def focus_panel(self) -> None:
        self._workspace.panel.focus_first()

    def take_tool(self, key: str) -> None:
        """Take a tool in hand, by its key."""
        self._workspace.take_tool(key)
