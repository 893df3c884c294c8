"""Keeps legend, plan, tables and bottom line at one about which states are in sight."""

from collections.abc import Callable

from PySide6.QtCore import QObject

from app.editor.shown_states import ShownStates, counted_states
from app.model.phases import NO_PHASE
from app.model.vocabulary import State
from app.ui.bottom_line import BottomLine
from app.ui.canvas import CanvasView
from app.ui.legend_bar import LegendBar
from app.ui.session import Session
from app.ui.tables.drawer import Drawer


class StatesTold(QObject):
    """Until somebody says otherwise, the legend is there where it has something to tell."""

    def __init__(
        self,
        session: Session,
        legend: LegendBar,
        *,
        canvas: CanvasView,
        drawer: Drawer,
        bottom: BottomLine,
        floor_of_view: Callable[[], str | None],
    ) -> None:
        super().__init__(legend)
        self._session = session
        self._legend = legend
        self._canvas = canvas
        self._drawer = drawer
        self._bottom = bottom
        self._floor_of_view = floor_of_view
        self._wanted: bool | None = None
        canvas.show_states(session.shown_states)
        legend.chosen.connect(session.show_states)
        session.states_shown.connect(self._follow)

    def show_legend(self, *, wanted: bool) -> None:
        """Show the legend, or put it away."""
        self._wanted = wanted
        self.tell()

    def tell(self) -> None:
        """What there is on the floor in view, and how much of the project is hidden."""
        project, shown = self._session.project, self._session.shown_states
        here = counted_states(project, shown, self._floor_of_view())
        self._legend.show_counts(here, shown, project.settings)
        told = set(here.states) - {State.NEW} or set(here.phases) - {NO_PHASE}
        usual = bool(told) or not shown.are_all
        self._legend.setVisible(usual if self._wanted is None else self._wanted)
        hidden = None if shown.are_all else counted_states(project, shown, None).hidden
        self._bottom.show_hidden(hidden)

    def _follow(self, shown: ShownStates) -> None:
        self._canvas.show_states(shown)
        self._drawer.show_states()
        self.tell()
