"""The drawer of tables under the plan: a strip of names, and the table that is open."""

from collections.abc import Callable

from PySide6.QtCore import QSize, QTimer, Signal
from PySide6.QtGui import QAction, QActionGroup, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMenu,
    QSizePolicy,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.editor.document import DocumentChanged
from app.model.entities import Outlet
from app.sheets.table import Row
from app.sheets.tables import TABLES, row_of, table_of
from app.ui import look
from app.ui.session import Session
from app.ui.tables.live import ANEW, Touched, touched_rows
from app.ui.tables.view import TableView

TITLES = {
    "outlets": "Outlets",
    "runs": "Runs",
    "pathways": "Pathways",
    "risers": "Risers and ducts",
    "frames": "Frames",
    "backbone": "Backbone",
    "spaces": "Spaces",
    "findings": "Findings",
    "penetrations": "Penetrations",
}
FIRST = {
    "runs": (
        "outlet",
        "port",
        "floor",
        "space",
        "installed",
        "margin",
        "status",
        "frame",
        "panel_port",
    ),
    "outlets": ("number", "floor", "space", "kind", "longest", "status", "way_down", "frame"),
    "frames": (
        "name",
        "floor",
        "ports",
        "panels",
        "ports_free",
        "ports_not_given",
        "longest",
        "mean",
        "over",
        "near",
    ),
    "pathways": ("number", "floor", "kind", "size", "cables", "fill", "room"),
    "risers": ("number", "from", "to", "kind", "size", "count", "cables", "fill", "room"),
    "penetrations": ("number", "crossed", "from", "to", "rating", "cables", "barrier"),
    "spaces": ("number", "name", "floor", "use", "required", "difference", "left", "list"),
}
"""The columns one looks for first."""
WIDEST = {"findings": "text"}
SORTED_BY = {"spaces": "number"}
ANEW_AFTER_MS = 40


class Drawer(QWidget):
    """One table at a time; only the open one is kept in step, the others when opened."""

    things_selected = Signal(tuple)
    things_opened = Signal(tuple)
    row_chosen = Signal(str, tuple)
    """Key of the table, and all that its current row speaks of."""
    finding_opened = Signal(str)
    """The key of the finding that was double-clicked."""
    which_floor_asked = Signal()
    numbers_pasted = Signal(str, tuple)
    """Numbers are to be pasted to these rows of a table (outlets or runs), in this order."""
    message = Signal(str)
    opened = Signal(bool)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._open_key: str | None = None
        self._stale: set[str] = set(TABLES)
        self._views: dict[str, TableView] = {}
        self.actions_by_key: dict[str, QAction] = {}
        self._group = QActionGroup(self)
        self._group.setExclusionPolicy(QActionGroup.ExclusionPolicy.ExclusiveOptional)
        self._stack = QStackedWidget(self)
        self._strip = QHBoxLayout()
        self._strip.setContentsMargins(look.em(0.3), 1, look.em(0.3), 1)
        self._strip.setSpacing(1)
        self._buttons: list[QToolButton] = []
        for number, key in enumerate(TABLES, start=1):
            self._add(key, number)
        self.every = QToolButton(self)
        self.every.setText("Tables")
        self.every.setToolTip("Open or close a table")
        self.every.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(self.every)
        menu.addActions(list(self.actions_by_key.values()))
        self.every.setMenu(menu)
        self.every.hide()
        self._strip.addWidget(self.every)
        self._strip.addStretch(1)
        self._which = which = QToolButton(self)
        which.setText("Which floor? …")
        which.setToolTip("Try every frame and marked place, side by side (Ctrl+Shift+W)")
        which.clicked.connect(self.which_floor_asked)
        self._strip.addWidget(which)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._strip)
        column.addWidget(self._stack, 1)
        self._stack.hide()
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(ANEW_AFTER_MS)
        self._later.timeout.connect(self._refresh)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        session.changed.connect(self._document_changed)
        session.selected.connect(self._selection_changed)

    def _add(self, key: str, number: int) -> None:
        action = QAction(TITLES.get(key, key.capitalize()), self)
        action.setCheckable(True)
        action.setShortcut(QKeySequence(f"Ctrl+{number}"))
        action.setToolTip(f"Open or close the table of {TITLES[key].lower()} (Ctrl+{number})")
        action.triggered.connect(lambda on, k=key: self.open_table(k) if on else self.close_table())
        self._group.addAction(action)
        self.actions_by_key[key] = action
        button = QToolButton(self)
        button.setDefaultAction(action)
        self._strip.addWidget(button)
        self._buttons.append(button)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Names that do not fit side by side go into a menu, so that each can be read."""
        super().resizeEvent(event)
        gap = self._strip.spacing()
        every = [*self._buttons, self._which]
        wanted = sum(b.sizeHint().width() + gap for b in every) + look.em(1)
        narrow = wanted > self.width()
        self.every.setVisible(narrow)
        for button in self._buttons:
            button.setVisible(not narrow)

    def minimumSizeHint(self) -> QSize:
        """The names give way, so they do not hold the window open."""
        return QSize(look.em(20), self.strip_height())

    # --- opening ------------------------------------------------------------------------

    @property
    def open_key(self) -> str | None:
        """The key of the table that is open."""
        return self._open_key

    def strip_height(self) -> int:
        """The height of the strip of names alone."""
        return self._strip.sizeHint().height()

    def view(self, key: str) -> TableView:
        """The view of a table, made when first asked for."""
        if key not in self._views:
            view = TableView(
                TITLES[key],
                self,
                first=FIRST.get(key, ()),
                widest=WIDEST.get(key, ""),
                sorted_by=SORTED_BY.get(key, ""),
            )
            view.things_selected.connect(self._view_selected)
            view.things_opened.connect(self.things_opened)
            view.row_chosen.connect(lambda things, k=key: self.row_chosen.emit(k, things))
            view.message.connect(self.message)
            if key in ("outlets", "runs"):
                view.rows_pasted.connect(lambda rows, k=key: self.numbers_pasted.emit(k, rows))
            if key == "findings":
                view.row_opened.connect(self.finding_opened)
            self._views[key] = view
            self._stack.addWidget(view)
            self._show_seen(key, view)
        return self._views[key]

    def show_states(self) -> None:
        """Other states and phases are in sight."""
        for key, view in self._views.items():
            self._show_seen(key, view)

    def _show_seen(self, key: str, view: TableView) -> None:
        """Findings are told whatever is hidden."""
        all_seen = key == "findings" or self._session.shown_states.are_all
        view.show_seen(None if all_seen else self._sees)

    def _sees(self, things: tuple[str, ...]) -> bool:
        """Whether a row speaks of something in sight; of a run its port decides."""
        project, shown = self._session.project, self._session.shown_states
        thing = project.get(things[0]) if things else None
        if thing is None:
            return True
        if isinstance(thing, Outlet) and len(things) > 1:
            return any(shown.shows_port(thing, p) for p in thing.ports if p.id == things[1])
        return shown.shows(project, thing)

    def open_table(
        self,
        key: str,
        *,
        only_name: str = "",
        only: Callable[[str, Row], bool] | None = None,
    ) -> TableView:
        """Open a table, filtered where `only` says so."""
        view = self.view(key)
        self._open_key = key
        if key in self._stale:
            self._fill(key)
        view.show_only(only_name, only)
        self._stack.setCurrentWidget(view)
        self._stack.show()
        self.actions_by_key[key].setChecked(True)
        self.opened.emit(True)
        view.select_things(self._session.selection.ids, again=True)
        return view

    def close_table(self) -> None:
        """Close the drawer down to its strip."""
        if self._open_key is not None:
            self.actions_by_key[self._open_key].setChecked(False)
        self._open_key = None
        self._stack.hide()
        self.opened.emit(False)

    # --- keeping in step ----------------------------------------------------------------

    def _fill(self, key: str) -> None:
        if self._session.design is not None:
            self.view(key).show_table(table_of(self._session.design, key))
            self._stale.discard(key)

    def _document_changed(self, changed: DocumentChanged) -> None:
        for key in TABLES:
            if key != self._open_key:
                self._stale.add(key)
        if self._open_key is None or self._open_key in self._stale:
            self._later.start()
            return
        runs = self._session.design.runs
        outlet_of = _OutletOf(runs)
        touched = touched_rows(self._open_key, changed, outlet_of)
        if touched == ANEW or touched.anew:
            self._stale.add(self._open_key)
            self._later.start()
        else:
            self._change_rows(self._open_key, touched)

    def _change_rows(self, key: str, touched: Touched) -> None:
        if not touched.rows:
            return
        design, view = self._session.design, self.view(key)
        rows: dict[str, tuple[Row, tuple[str, ...]]] = {}
        removed: list[str] = []
        for row_id in touched.rows:
            row = row_of(design, key, row_id)
            if row is None:
                removed.append(row_id)
            elif key == "runs":
                outlet = design.runs.outlet_ids[design.runs.row_of[row_id]]
                rows[row_id] = (row, (outlet, row_id))
            else:
                rows[row_id] = (row, (row_id,))
        view.model.change_rows(rows, removed)
        view.rows_changed()

    def _refresh(self) -> None:
        if self._open_key is not None and self._open_key in self._stale:
            self._fill(self._open_key)

    # --- selection ----------------------------------------------------------------------

    def _view_selected(self, ids: tuple[str, ...]) -> None:
        self.things_selected.emit(ids)

    def _selection_changed(self, ids: tuple[str, ...]) -> None:
        if self._open_key is not None:
            self.view(self._open_key).select_things(ids)


class _OutletOf(dict[str, str]):
    """The outlet of a port, looked up in the runs when asked."""

    def __init__(self, runs: object) -> None:
        super().__init__()
        self._runs = runs

    def __contains__(self, port_id: object) -> bool:
        return port_id in self._runs.row_of  # type: ignore[attr-defined]

    def __getitem__(self, port_id: str) -> str:
        runs = self._runs
        return runs.outlet_ids[runs.row_of[port_id]]  # type: ignore[attr-defined]
