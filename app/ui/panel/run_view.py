"""The run of a port: how long, why, and whether it will work."""

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from app import design as designs
from app.design.alternatives import frames_for, why_this_frame
from app.model.entities import Outlet, Port
from app.model.vocabulary import State, Units
from app.routing.results import ONLY_CUT, Part, PartSort, RunStatus
from app.standards import RuleSet
from app.standards.records import StandardsDataError
from app.takeoff.lying_words import lying_sentence
from app.takeoff.states import is_pulled, state_of
from app.ui import icons, look
from app.ui.lengths import SIGN, column_of_lengths, length, round_length
from app.ui.panel.pieces import heading, set_role, words
from app.ui.pictures.length_bar import LengthBar, Stretch
from app.ui.pictures.parts_column import Line, PartsColumn
from app.ui.words import word

STATE_OF_STATUS = {
    RunStatus.WITHIN: "within",
    RunStatus.NEAR: "near",
    RunStatus.OVER: "over",
    RunStatus.NO_ROUTE: "no_route",
}
_TONE = {
    PartSort.HORIZONTAL: (1.0, False),
    PartSort.VERTICAL: (0.6, False),
    PartSort.ALLOWANCE: (0.1, True),
    PartSort.SLACK: (0.25, False),
    PartSort.ADDED: (0.0, True),
}


NEVER_MEASURED = "It lies there unmeasured; this is the length of its route."
COMES_OUT = "It comes out: nothing is ordered, and no limit holds for it."


class RunView(QWidget):
    """One run in full; buttons for the other ports of the outlet."""

    asked = Signal(str)
    """The id of a thing to look at."""
    port_chosen = Signal(str)

    def __init__(self, rules: RuleSet, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rules = rules
        self._port_id: str | None = None
        self._is_moving = False
        self._port_ids: tuple[str, ...] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.em(0.3))
        self._ports = QWidget(self)
        self._port_row = QHBoxLayout(self._ports)
        self._port_row.setContentsMargins(0, 0, 0, 0)
        self._port_row.setSpacing(2)
        self._group = QButtonGroup(self)
        self._headline = words("", "title", self)
        self._verdict = words("", "", self)
        self._lying = words("", "", self)
        self._bar = LengthBar(self)
        self._parts = PartsColumn(self)
        self._parts.asked.connect(self.asked)
        self._why = words("", "soft", self)
        self._authority = words("", "soft", self)
        self._heading = heading("Run", self)
        column.addWidget(self._heading)
        for widget in (
            self._ports,
            self._headline,
            self._verdict,
            self._lying,
            self._bar,
            self._parts,
            self._why,
            self._authority,
        ):
            column.addWidget(widget)

    @property
    def port_id(self) -> str | None:
        return self._port_id

    @property
    def parts(self) -> PartsColumn:
        return self._parts

    @property
    def headline(self) -> str:
        """The length and the frame, as they are shown."""
        return self._headline.text()

    def show_moving(self, *, moving: bool) -> None:
        """Say whether this is what letting go would give."""
        self._is_moving = moving
        self._show_heading("")

    def _show_heading(self, state: str) -> None:
        parts = ["Run", state, "once you let go" if self._is_moving else ""]
        self._heading.setText(", ".join(filter(None, parts)))

    def choose(self, port_id: str | None) -> None:
        """Show this port's run from the next showing on."""
        self._port_id = port_id

    def show_outlet(self, outlet: Outlet, project: Any, design: Any) -> None:
        """Show the run of the chosen port, or of the first."""
        ids = tuple(port.id for port in outlet.ports)
        if self._port_id not in ids:
            self._port_id = ids[0] if ids else None
        self._show_buttons(outlet, design, ids)
        port = next((p for p in outlet.ports if p.id == self._port_id), None)
        self.setVisible(port is not None and design is not None)
        if port is not None and design is not None:
            self._show_port(outlet, port, project, design)

    def _show_buttons(self, outlet: Outlet, design: Any, ids: tuple[str, ...]) -> None:
        self._ports.setVisible(len(ids) > 1)
        if ids != self._port_ids:
            for button in self._group.buttons():
                self._group.removeButton(button)
                button.deleteLater()
            for index, port in enumerate(outlet.ports):
                self._port_row.insertWidget(index, self._button(port, index))
            if not self._port_ids:
                self._port_row.addStretch(1)
            self._port_ids = ids
        for index, (button, port) in enumerate(
            zip(self._group.buttons(), outlet.ports, strict=True)
        ):
            button.setText(port.label or f"{index + 1}")
            button.setChecked(port.id == self._port_id)
            row = None if design is None else design.runs.row_of.get(port.id)
            if row is not None:
                state = STATE_OF_STATUS[RunStatus(int(design.runs.status[row]))]
                button.setIcon(icons.state_icon(state, look.em(1)))

    def _button(self, port: Port, index: int) -> QToolButton:
        button = QToolButton(self._ports)
        button.setCheckable(True)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setToolTip(f"Port {port.label or index + 1}: {port.service}")
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(lambda _=False, p=port.id: self._clicked(p))
        self._group.addButton(button)
        return button

    def _clicked(self, port_id: str) -> None:
        self._port_id = port_id
        self.port_chosen.emit(port_id)

    def _show_port(self, outlet: Outlet, port: Port, project: Any, design: Any) -> None:
        runs = design.runs
        row = runs.row_of.get(port.id)
        units = project.settings.units
        state = state_of(outlet, port)
        self._show_heading("" if state is State.NEW else word(state))
        if row is None:
            self._headline.setText("No run")
            self._show_length_widgets(shown=False)
            return
        status = RunStatus(int(runs.status[row]))
        limit = int(runs.limit_mm[row])
        self._authority.setText(self._authority_text(outlet, port, project, limit, units))
        self._authority.setVisible(state is not State.TO_REMOVE)
        if status is RunStatus.NO_ROUTE:
            self._headline.setText("No route")
            self._verdict.setText(designs.reason_of(design, port.id))
            set_role(self._verdict, "" if state is State.TO_REMOVE else "fail")
            self._show_length_widgets(shown=False)
        elif state is State.TO_REMOVE:
            self._show_leaving(project, design, port, row)
        else:
            ordered = is_pulled(outlet, port, runs) or state is State.FUTURE
            self._show_route(project, design, port, row, ordered=ordered)
        lying = lying_sentence(outlet, port, runs, units)
        self._lying.setText(lying)
        self._lying.setVisible(bool(lying))

    def _show_length_widgets(self, *, shown: bool) -> None:
        for widget in (self._bar, self._parts, self._why):
            widget.setVisible(shown)

    def _show_route(
        self, project: Any, design: Any, port: Port, row: int, *, ordered: bool
    ) -> None:
        units, runs = project.settings.units, design.runs
        status = RunStatus(int(runs.status[row]))
        installed, limit = int(runs.installed_mm[row]), int(runs.limit_mm[row])
        frame = project.frames.get(runs.frame_of(row))
        name = frame.name if frame is not None else "?"
        self._headline.setText(f"{length(installed, units)} to frame {name}")
        told = verdict(status, installed, limit, units, bool(runs.counted[row]))
        self._verdict.setText(f"{told} {NEVER_MEASURED}" if runs.estimated[row] else told)
        set_role(self._verdict, {RunStatus.OVER: "fail", RunStatus.NEAR: "warn"}.get(status, ""))
        parts = designs.parts_of(design, port.id)
        self._bar.show_length(
            stretches(parts), limit_mm=limit, limit_text=round_length(limit, units)
        )
        self._parts.show_lines(lines_of(parts, units, ordered=ordered))
        self._why.setText(why(project, design, port.id))
        self._show_length_widgets(shown=True)

    def _show_leaving(self, project: Any, design: Any, port: Port, row: int) -> None:
        """A run that comes out: what lies there, and nothing of limits, boxes and other frames."""
        units, runs = project.settings.units, design.runs
        frame = project.frames.get(runs.frame_of(row))
        name = frame.name if frame is not None else "?"
        self._headline.setText(f"{length(int(runs.installed_mm[row]), units)} from frame {name}")
        told = f"{COMES_OUT} {NEVER_MEASURED}" if runs.estimated[row] else COMES_OUT
        self._verdict.setText(told)
        set_role(self._verdict, "")
        parts = designs.parts_of(design, port.id)
        self._parts.show_lines(lines_of(parts, units, ordered=False))
        self._show_length_widgets(shown=False)
        self._parts.show()

    def _authority_text(
        self, outlet: Outlet, port: Port, project: Any, limit_mm: int, units: Units
    ) -> str:
        cable = project.cable_types[port.cable_type]
        kind = project.outlet_kinds[outlet.kind]
        of_kind = kind.limit_mm is not None
        source = kind.limit_source if of_kind else cable.limit_source
        holder = f"outlet kind “{kind.name}”" if of_kind else f"cable type “{cable.name}”"
        try:
            authority = self._rules.value(source).authority if source else "set in this project"
        except StandardsDataError:
            authority = source
        return f"Limit {round_length(limit_mm, units)}: {holder}, {authority}."


def why(project: Any, design: Any, port_id: str) -> str:
    """Why the run goes to its frame, and what it would be to the others."""
    units = project.settings.units
    others = []
    for one in frames_for(design, port_id):
        if not one.taken and one.frame_id in project.frames:
            name = project.frames[one.frame_id].name
            told = "no route" if one.installed_mm is None else length(one.installed_mm, units)
            others.append(f"{told} to frame {name}")
    sentence = why_this_frame(design, port_id)
    return f"{sentence} Else it would be {', '.join(others)}." if others else sentence


def verdict(
    status: RunStatus, installed_mm: int, limit_mm: int, units: Units, counted: bool
) -> str:
    """Whether the run will work, in one sentence."""
    margin = limit_mm - installed_mm
    if status is RunStatus.OVER:
        text = f"{length(-margin, units)} over the limit of {round_length(limit_mm, units)}."
        return text if counted else f"{text} It fails no check: existing, spare or future."
    if status is RunStatus.NEAR:
        return f"Near its limit: {length(margin, units)} left of {round_length(limit_mm, units)}."
    return f"{length(margin, units)} left of {round_length(limit_mm, units)}."


def stretches(parts: tuple[Part, ...]) -> tuple[Stretch, ...]:
    """The bar's stretches: what the installed length is made of, like with like."""
    found = []
    for sort, (tone, hatched) in _TONE.items():
        total = sum(p.length_mm for p in parts if p.sort is sort)
        if total > 0:
            found.append(Stretch(sort.value, total, tone, hatched))
    return tuple(found)


def lines_of(parts: tuple[Part, ...], units: Units, *, ordered: bool = True) -> tuple[Line, ...]:
    """The column of parts, its sum, and where it is `ordered` what only comes off the box."""
    own = [p for p in parts if p.sort not in ONLY_CUT]
    cut = [p for p in parts if p.sort in ONLY_CUT and ordered]
    figures = column_of_lengths([p.length_mm for p in own], units)
    unit = SIGN[units]
    lines = [Line(p.name, f"{f} {unit}", p.thing) for p, f in zip(own, figures, strict=True)]
    installed = sum(p.length_mm for p in own)
    lines.append(
        Line("installed", f"{column_of_lengths([installed], units)[0]} {unit}", total=True)
    )
    if cut:
        figures = column_of_lengths([p.length_mm for p in cut], units)
        lines += [Line(p.name, f"{f} {unit}", soft=True) for p, f in zip(cut, figures, strict=True)]
        total = installed + sum(p.length_mm for p in cut)
        text = f"{column_of_lengths([total], units)[0]} {unit}"
        lines.append(Line("cut from the box", text, total=True))
    return tuple(lines)
