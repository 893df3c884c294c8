"""The plan and all that stands around it, for one open project."""

from collections.abc import Iterable

import numpy as np
from PySide6.QtCore import QPoint, QPointF, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QMenu, QSplitter, QVBoxLayout, QWidget

from app.editor.commands.number_samples import next_outlet_words
from app.editor.measures import format_length, format_reading
from app.editor.shown_states import ALL_SHOWN
from app.editor.tools.next_drawn import NextDrawn
from app.model.entities import Plan
from app.model.project import floors_from_below
from app.model.vocabulary import ScaledBy
from app.routing.results import RunStatus
from app.ui import look
from app.ui.bottom_line import BottomLine
from app.ui.canvas import CanvasView
from app.ui.counted_rows import open_counted
from app.ui.dialogs.dialog import show
from app.ui.dialogs.number_list import NumberListDialog, clipboard_text
from app.ui.floor_stack import FloorStack, storeys
from app.ui.job_bar import JobBar
from app.ui.job_steps import job_steps
from app.ui.legend_bar import LegendBar
from app.ui.panel.panel import Panel
from app.ui.session import Session
from app.ui.states_told import StatesTold
from app.ui.tables.drawer import Drawer
from app.ui.tool_column import ToolColumn
from app.ui.tool_line import ToolLine
from app.ui.words import floor_of, names_of

STEPS = 8
COUNTS_AFTER_MS = 60
JOURNAL_EVERY_MS = 1_000
DRAWER_SHARE = 0.38
TOOLS_EM = 10.2
STATE_RANK = ((RunStatus.OVER, "over"), (RunStatus.NO_ROUTE, "no_route"))


class Workspace(QWidget):
    """Canvas, tools, floors, panel, tables and lines, kept in step with a session."""

    step_asked = Signal(str)
    finding_asked = Signal(str)
    trouble_asked = Signal()
    """Somebody wants to know why edits are not safe from a crash."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.takeoff_revision: int | None = None
        self.draws = NextDrawn()
        self.canvas = CanvasView(
            session.document,
            session.selection,
            self,
            drawings=session.drawings,
            rules=session.rules,
        )
        self.job_bar = JobBar(STEPS, self)
        self.tools = ToolColumn(self)
        self.floors = FloorStack(self)
        self.tool_line = ToolLine(self)
        self.tool_line.sample = self._next_numbers
        self.panel = Panel(session, self)
        self.drawer = Drawer(session, self)
        self.legend = LegendBar(self)
        self.bottom = BottomLine(self)
        self._lay_out()
        self._connect()
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(COUNTS_AFTER_MS)
        self._later.timeout.connect(self.refresh_counts)
        self._just_said = QTimer(self)
        self._just_said.setSingleShot(True)
        self._just_said.setInterval(0)
        self._journal_watch = QTimer(self)
        self._journal_watch.setInterval(JOURNAL_EVERY_MS)
        self._journal_watch.timeout.connect(self._tell_journal)
        self._journal_watch.start()
        session.changed.connect(self._project_changed)
        self.show_floor(self._first_floor())
        self.take_tool("select")
        self.refresh_counts()

    # --- layout -------------------------------------------------------------------------

    def _lay_out(self) -> None:
        self.tools.add_below(self.floors)
        self.tools.setFixedWidth(look.em(TOOLS_EM))
        self.canvas.setMinimumSize(look.em(20), look.em(12))
        sheet = QWidget(self)
        sheet_column = QVBoxLayout(sheet)
        sheet_column.setContentsMargins(0, 0, 0, 0)
        sheet_column.setSpacing(0)
        sheet_column.addWidget(self.tool_line)
        sheet_column.addWidget(_line(self))
        sheet_column.addWidget(self.canvas, 1)
        sheet_column.addWidget(self.legend)
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(sheet)
        self.split.addWidget(self.drawer)
        self.split.setStretchFactor(0, 1)
        self.split.setStretchFactor(1, 0)
        self.sides = QSplitter(Qt.Orientation.Horizontal, self)
        self.sides.setChildrenCollapsible(False)
        self.sides.addWidget(self.split)
        self.sides.addWidget(self.panel)
        self.sides.setStretchFactor(0, 1)
        self.sides.setStretchFactor(1, 0)
        self.panel.setMinimumWidth(look.em(19))
        self.sides.setSizes([10_000, look.em(23)])
        middle = QHBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        middle.addWidget(self.tools)
        middle.addWidget(_line(self, upright=True))
        middle.addWidget(self.sides, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.job_bar)
        column.addWidget(_line(self))
        column.addLayout(middle, 1)
        column.addWidget(_line(self))
        column.addWidget(self.bottom)
        self._drawer_height = 0
        self._fold_drawer(is_open=False)

    def _fold_drawer(self, *, is_open: bool) -> None:
        """A closed drawer is its strip alone; an open one has any height."""
        strip = self.drawer.strip_height()
        if not is_open:
            if self.drawer.maximumHeight() > strip:
                self._drawer_height = self.drawer.height()
            self.drawer.setMinimumHeight(strip)
            self.drawer.setMaximumHeight(strip)
            self.split.setSizes([max(1, self.split.height() - strip), strip])
            return
        was_closed = self.drawer.maximumHeight() <= strip
        self.drawer.setMaximumHeight(16_777_215)
        self.drawer.setMinimumHeight(strip + look.em(6))
        if was_closed:
            wanted = self._drawer_height
            if wanted < strip + look.em(8):
                wanted = round(self.split.height() * DRAWER_SHARE)
            self.split.setSizes([max(1, self.split.height() - wanted), wanted])

    # --- wiring -------------------------------------------------------------------------

    def _connect(self) -> None:
        session, canvas, bottom = self.session, self.canvas, self.bottom
        self.job_bar.chosen.connect(self.step_asked)
        self.tools.chosen.connect(self.take_tool)
        self.floors.chosen.connect(self.show_floor)
        self.tool_line.draws_changed.connect(self._draws_changed)
        self.drawer.opened.connect(lambda is_open: self._fold_drawer(is_open=is_open))
        self.drawer.things_selected.connect(session.select)
        self.drawer.things_opened.connect(self.go_to)
        self.drawer.row_chosen.connect(self._row_chosen)
        self.drawer.finding_opened.connect(self.finding_asked)
        self.drawer.message.connect(self._say)
        self.drawer.numbers_pasted.connect(self._numbers_pasted)
        self.panel.thing_asked.connect(lambda thing: self.go_to((thing,)))
        bottom.asked.connect(self.attend)
        self.states = StatesTold(
            session,
            self.legend,
            canvas=canvas,
            drawer=self.drawer,
            bottom=bottom,
            floor_of_view=lambda: self.floor_id,
        )
        canvas.pointer_moved.connect(self._show_pointer)
        canvas.scale_changed.connect(bottom.show_scale)
        canvas.hint_changed.connect(self.tool_line.show_hint)
        canvas.message.connect(self._say)
        canvas.preview_changed.connect(self.panel.show_preview)
        canvas.tool_changed.connect(self._tool_changed)
        canvas.tool_changed.connect(self._unsay)
        canvas.floor_changed.connect(self._floor_changed)
        session.message.connect(self._say)
        session.selected.connect(self._show_selection)
        self.tool_line.show_hint(canvas.hint)

    def _say(self, sentence: str) -> None:
        self.bottom.show_message(sentence)
        self._just_said.start()

    def _unsay(self) -> None:
        """What was said of an earlier edit or tool goes; what was said just now stays."""
        if not self._just_said.isActive():
            self.bottom.show_message("")

    def _tell_journal(self) -> None:
        self.bottom.show_trouble(self.session.document.journal_problem)

    def _show_pointer(self, x_mm: float, y_mm: float) -> None:
        units = self.session.units
        self.bottom.show_pointer(
            format_reading(round(x_mm), units), format_reading(round(y_mm), units)
        )

    def take_tool(self, key: str) -> None:
        """Take a tool in hand."""
        if key != self.canvas.tool:
            self._unsay()
        self.canvas.set_tool(key)
        self._tool_changed(key)
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def take_up(self, key: str, draws: NextDrawn, chosen: Iterable[str]) -> None:
        """Go on with a tool, what it draws and what was selected."""
        self._draws_changed(draws)
        self.take_tool(key)
        self.session.select(chosen)
        self._show_selection(self.session.selection.ids)

    def _tool_changed(self, key: str) -> None:
        self.tools.show_tool(key)
        self.tool_line.show_tool(key, self.draws, self.session.project)

    def _next_numbers(self, pattern: str) -> str:
        """What a pattern gives next on the floor in view."""
        session = self.session
        retired = session.document.retired_numbers
        return next_outlet_words(session.project, pattern, floor_id=self.floor_id, retired=retired)

    def _numbers_pasted(self, table: str, in_order: tuple[str, ...]) -> None:
        """Numbers pasted into the table of outlets or runs go to its rows in their order."""
        text, cables = clipboard_text(), table == "runs"
        show(NumberListDialog(self.session, in_order, self, text=text, cables=cables))

    def _draws_changed(self, draws: NextDrawn) -> None:
        self.draws = draws
        hand = self.canvas.bench.hand
        if hand is not None:
            hand.context.draws = draws
            hand.tool.refresh()
            self.canvas.update()

    def _show_selection(self, ids: tuple[str, ...]) -> None:
        text = f"{names_of(self.session.project, ids)} selected" if ids else ""
        self.tool_line.show_selection(text)

    def _row_chosen(self, table: str, things: tuple[str, ...]) -> None:
        if table == "runs" and len(things) > 1:
            self.panel.show_port(things[1])

    def show_context_menu(self, at: QPoint, menu: QMenu) -> None:
        """A menu on what lies under the pointer, which is selected first."""
        if self.canvas.tool != "select":
            return
        thing = self.canvas.bench.thing_at(QPointF(at), self.canvas.camera)
        chosen = self.session.selection.ids
        if thing is not None and thing not in chosen:
            self.session.select([thing])
        menu.popup(self.canvas.mapToGlobal(at))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc in the panel or a table, where nobody else wants it, gives the keys to the plan."""
        if event.key() == Qt.Key.Key_Escape and not self.canvas.hasFocus():
            self.canvas.setFocus(Qt.FocusReason.ShortcutFocusReason)
            return
        super().keyPressEvent(event)

    # --- floors -------------------------------------------------------------------------

    def _first_floor(self) -> str | None:
        """The lowest floor with a plan or an outlet, else the lowest of all."""
        project = self.session.project
        used = {p.floor for p in project.plans.values()}
        used |= {o.floor for o in project.outlets.values()}
        every = [f for b in project.buildings for f in floors_from_below(project, b)]
        chosen = next((f for f in every if f.id in used), every[0] if every else None)
        return None if chosen is None else chosen.id

    @property
    def floor_id(self) -> str | None:
        """The floor in view."""
        return self.canvas.floor_id

    def show_floor(self, floor_id: str | None) -> None:
        """Look at a floor."""
        self.canvas.set_floor(floor_id)
        self._floor_changed(floor_id)

    def _floor_changed(self, floor_id: str | None) -> None:
        self.panel.show_floor(floor_id)
        self.floors.show_floor(floor_id)
        self._later.start()

    def _project_changed(self, _changed: object) -> None:
        self._unsay()
        self._later.start()
        if self.floor_id not in self.session.project.floors:
            self.show_floor(self._first_floor())

    # --- counts -------------------------------------------------------------------------

    def refresh_counts(self) -> None:
        """Bring the bars up to the design: after a pause, off the path of an edit."""
        session = self.session
        project, design = session.project, session.design
        current = self.takeoff_revision == session.document.revision
        self.job_bar.show_steps(job_steps(project, design, takeoff_current=current))
        self.bottom.show_summary(None if design is None else design.summary)
        unscaled = [p for p in self._plans_here() if p.scaled_by is ScaledBy.NOT_SCALED]
        self.bottom.show_unscaled(len(unscaled))
        self.states.tell()
        self._tell_journal()
        units = session.units
        found = storeys(project, self._floor_states(), lambda mm: format_length(mm, units))
        self.floors.show_storeys(found, self.floor_id)
        self.tool_line.show_tool(self.canvas.tool, self.draws, project)

    def _plans_here(self) -> list[Plan]:
        return [p for p in self.session.project.plans.values() if p.floor == self.floor_id]

    def _floor_states(self) -> dict[str, str]:
        """The gravest state of a run on each floor, for the floors where something fails."""
        design = self.session.design
        if design is None:
            return {}
        runs, outlets = design.runs, self.session.project.outlets
        states: dict[str, str] = {}
        for status, state in reversed(STATE_RANK):
            for row in np.flatnonzero((runs.status == int(status)) & runs.counted).tolist():
                states[outlets[runs.outlet_ids[row]].floor] = state
        return states

    def has_missing(self) -> bool:
        """Whether outlets are required that are not placed."""
        design = self.session.design
        return design is not None and design.summary.required > design.summary.required_placed

    def wants_riser(self) -> bool:
        """Whether outlets stand on floors that no frame serves and no riser leads to."""
        project = self.session.project
        served = {f.floor for f in project.frames.values()}
        alone = {o.floor for o in project.outlets.values()} - served
        return bool(alone) and bool(project.pathways) and not project.risers

    # --- going to things ----------------------------------------------------------------

    def go_to(self, ids: Iterable[str]) -> None:
        """Select things and look at them, on their floor."""
        project = self.session.project
        things = tuple(i for i in ids if project.get(i) is not None)
        if not things:
            return
        floors = [i for i in things if i in project.floors]
        if floors and len(things) == 1:
            self.session.select(())
            self.show_floor(floors[0])
            return
        things = tuple(i for i in things if i not in project.floors)
        floor = floor_of(project, things[0])
        if floor is not None and floor != self.floor_id:
            self.show_floor(floor)
        self.session.select(things)
        self.canvas.zoom_to(things)

    def attend(self, key: str) -> None:
        """Show the things a count at the bottom speaks of."""
        if key == "scale":
            self.step_asked.emit("scale")
            return
        if key == "journal":
            self.trouble_asked.emit()
            return
        if key == "hidden":
            self.session.show_states(ALL_SHOWN)
            return
        opened = open_counted(key, self.drawer, self.session)
        if opened is not None:
            view = self.drawer.view(opened)
            view.grid.setFocus(Qt.FocusReason.OtherFocusReason)


def _line(parent: QWidget, *, upright: bool = False) -> QFrame:
    line = QFrame(parent)
    line.setProperty("role", "rule")
    if upright:
        line.setFixedWidth(1)
        line.setMaximumHeight(16_777_215)
        line.setStyleSheet("max-height: 16777215px;")
    else:
        line.setFixedHeight(1)
    return line
