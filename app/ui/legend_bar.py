"""The legend of states and phases under the plan: it is the filter as well."""

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QIcon, QMouseEvent, QPainter, QPen, QPixmap, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QSizePolicy, QToolButton, QWidget

from app.drawing.states import RELOCATED, look_label
from app.drawing.symbols import state_look
from app.editor.shown_states import ALL_SHOWN, ShownStates, StateCounts
from app.model.phases import NO_PHASE, phase_name
from app.model.settings import Settings
from app.model.vocabulary import State
from app.ui import look, palette
from app.ui.canvas.outlet_stamps import Look, paint_outlet

ORDER = (State.EXISTING, State.NEW, State.TO_REMOVE, State.TO_RELOCATE, State.FUTURE)
WORDS = {
    State.EXISTING: "existing",
    State.NEW: "new",
    State.TO_REMOVE: "to remove",
    State.TO_RELOCATE: "to relocate",
    State.FUTURE: "future",
}
LOOKS = {State.TO_RELOCATE: RELOCATED}
"""The look by which the legend shows a state, where it has several."""
LONGEST_NAME = 18
DOTS = (2.0, 2.0)


class LegendBar(QWidget):
    """A button for each state and phase there is: its look, its name, how many there are."""

    chosen = Signal(object)
    """The `ShownStates` after a click."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = ALL_SHOWN
        self._built: tuple[object, ...] = ()
        self._buttons: dict[State, QToolButton] = {}
        self._phases: dict[int, QToolButton] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(look.em(0.6), 1, look.em(0.6), 1)
        row.setSpacing(look.em(0.2))
        self._row = row
        self._entries = QWidget(self)
        self._entry_row = QHBoxLayout(self._entries)
        self._entry_row.setContentsMargins(0, 0, 0, 0)
        self._entry_row.setSpacing(look.em(0.2))
        self._phase_word = QLabel("Phases", self._entries)
        self._phase_word.setProperty("role", "soft")
        self._phase_word.setContentsMargins(look.em(0.8), 0, 0, 0)
        self._phase_menu = QToolButton(self._entries)
        self._phase_menu.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._phase_menu.setToolTip("Show or hide what belongs to a phase")
        menu = QMenu(self._phase_menu)
        menu.aboutToShow.connect(self._fill_menu)
        self._phase_menu.setMenu(menu)
        row.addWidget(self._entries)
        row.addStretch(1)
        self.all = QToolButton(self)
        self.all.setText("Show all")
        self.all.setToolTip("Show every state and phase again")
        self.all.clicked.connect(lambda: self.chosen.emit(ALL_SHOWN))
        row.addWidget(self.all)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Legend of states and phases")

    def minimumSizeHint(self) -> QSize:
        """The legend gives way, so it does not hold the window open."""
        return QSize(look.em(20), super().minimumSizeHint().height())

    def button(self, key: State | int) -> QToolButton:
        """The button of a state, or of a phase."""
        return self._buttons[key] if isinstance(key, State) else self._phases[key]

    def show_counts(self, counts: StateCounts, shown: ShownStates, settings: Settings) -> None:
        """Show what there is on the floor, and what of it is hidden."""
        self._shown = shown
        states = [s for s in ORDER if s in counts.states or s in shown.hidden_states]
        phases = sorted({*counts.phases, *shown.hidden_phases})
        if phases == [NO_PHASE]:
            phases = []
        built = (tuple(states), tuple(phases), settings.phases, palette.current().name, look.em(1))
        if built != self._built:
            self._built = built
            self._build(states, phases, settings)
        for state, button in self._buttons.items():
            self._fill(
                button,
                name=WORDS[state],
                count=counts.states.get(state, 0),
                is_shown=state not in shown.hidden_states,
            )
        for phase, button in self._phases.items():
            self._fill(
                button,
                name=_short(phase_name(settings, phase) or "no phase"),
                count=counts.phases.get(phase, 0),
                is_shown=phase not in shown.hidden_phases,
            )
        self.all.setVisible(not shown.are_all)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        """Phases that do not fit beside the states go into a menu, so that each can be read."""
        gap = self._entry_row.spacing()
        fixed = [*self._buttons.values(), self._phase_word, self.all]
        phases = list(self._phases.values())
        wanted = sum(w.sizeHint().width() + gap for w in (*fixed, *phases)) + look.em(2)
        narrow = wanted > self.width()
        for button in phases:
            button.setVisible(not narrow)
        self._phase_word.setVisible(bool(phases) and not narrow)
        self._phase_menu.setVisible(bool(phases) and narrow)
        hidden = sum(not b.isChecked() for b in phases)
        self._phase_menu.setText(f"Phases: {hidden} hidden" if hidden else "Phases")

    def _fill(self, button: QToolButton, *, name: str, count: int, is_shown: bool) -> None:
        button.setText(f"{name} {count:,}")
        button.setChecked(is_shown)
        button.ensurePolished()
        font = button.font()
        font.setStrikeOut(not is_shown)
        button.setFont(font)
        button.setMinimumWidth(button.sizeHint().width())

    def _build(self, states: list[State], phases: list[int], settings: Settings) -> None:
        for button in (*self._buttons.values(), *self._phases.values()):
            self._entry_row.removeWidget(button)
            button.hide()
            button.deleteLater()
        pad, soft = look.em(0.35), palette.current().ink_soft
        self._entries.setStyleSheet(
            f"QToolButton {{ padding: 1px {pad}px; color: {soft}; }}"
            f"QToolButton:checked {{ background: transparent; border-color: transparent;"
            f" color: {palette.current().ink}; }}"
        )
        self._buttons = {state: self._state_button(state) for state in states}
        self._entry_row.addWidget(self._phase_word)
        self._phases = {phase: self._phase_button(phase, settings) for phase in phases}
        self._entry_row.addWidget(self._phase_menu)

    def _state_button(self, state: State) -> QToolButton:
        button = self._button(
            f"{_capital(look_label(LOOKS.get(state, state.value)))}. ",
            only=partial(self._only_state, state),
            toggled=partial(self._toggle_state, state),
        )
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setIcon(state_icon(LOOKS.get(state, state.value), look.em(1.4)))
        button.setIconSize(QSize(look.em(2.4), look.em(1.4)))
        return button

    def _phase_button(self, phase: int, settings: Settings) -> QToolButton:
        name = phase_name(settings, phase)
        return self._button(
            f"{_capital(name)}. " if name else "What belongs to no phase. ",
            only=partial(self._only_phase, phase),
            toggled=partial(self._toggle_phase, phase),
        )

    def _button(
        self, tip: str, *, only: Callable[[], None], toggled: Callable[[bool], None]
    ) -> QToolButton:
        button = _LegendButton(self._entries)
        button.setCheckable(True)
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setToolTip(f"{tip}Click to hide or show; Shift-click to show nothing else.")
        button.clicked.connect(lambda on: toggled(on))
        button.only_asked.connect(only)
        self._entry_row.addWidget(button)
        return button

    def _fill_menu(self) -> None:
        menu = self._phase_menu.menu()
        menu.clear()
        for button in self._phases.values():
            action = menu.addAction(button.text())
            action.setCheckable(True)
            action.setChecked(button.isChecked())
            action.triggered.connect(button.click)

    def _toggle_state(self, state: State, shown: bool) -> None:
        self.chosen.emit(self._shown.with_state(state, shown=shown))

    def _toggle_phase(self, phase: int, shown: bool) -> None:
        self.chosen.emit(self._shown.with_phase(phase, shown=shown))

    def _only_state(self, state: State) -> None:
        hidden = frozenset(self._buttons) - {state}
        self.chosen.emit(ShownStates(hidden_states=hidden, hidden_phases=self._shown.hidden_phases))

    def _only_phase(self, phase: int) -> None:
        hidden = frozenset(self._phases) - {phase}
        self.chosen.emit(ShownStates(hidden_states=self._shown.hidden_states, hidden_phases=hidden))


class _LegendButton(QToolButton):
    """A toggle that asks for itself alone where it is clicked with Shift."""

    only_asked = Signal()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        inside = self.rect().contains(event.position().toPoint())
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier and inside:
            self.setDown(False)
            self.only_asked.emit()
            return
        super().mouseReleaseEvent(event)


def state_icon(name: str, height_px: int) -> QIcon:
    """A look as an outlet beside a piece of pathway."""
    ratio = 2.0
    wide = round(height_px * 2.4 / 1.4)
    pixmap = QPixmap(QSize(round(wide * ratio), round(height_px * ratio)))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    colours, side = palette.current(), height_px * 0.95
    painter.save()
    painter.translate(height_px * 0.62, height_px * 0.5)
    paint_outlet(painter, palette=colours, look=Look("data", -1, name), turn_deg=0.0, side_px=side)
    painter.restore()
    style = state_look(name)
    width = max(1.0, style.outline * 1.1)
    pen = QPen(colours.color(style.ink), width)
    if style.dashes:
        pen.setDashPattern([d / width for d in DOTS])
    painter.setPen(pen)
    line = QRectF(height_px * 1.25, height_px * 0.5, wide - height_px * 1.25, 0)
    painter.drawLine(line.topLeft(), line.topRight())
    if style.crossed or style.leaving:
        painter.setPen(QPen(colours.color(style.ink), 1.0))
        middle, arm = line.center(), height_px * 0.16
        along, across = QPointF(arm, arm), QPointF(arm, -arm)
        painter.drawLine(middle - along, middle + along)
        if style.crossed:
            painter.drawLine(middle - across, middle + across)
    painter.end()
    return QIcon(pixmap)


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
