"""The line at the bottom: where the pointer is, the scale, and what wants a look."""

from typing import Any

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from app.ui import icons, look
from app.ui.words import counted

COUNTS = (
    ("runs", "runs", "", "Show all runs"),
    ("over", "over", "over", "Show the runs over their limit"),
    ("near", "near", "near", "Show the runs near their limit"),
    ("no_route", "no route", "no_route", "Show the runs without a route"),
    ("unnumbered", "no number", "warn", "Show the outlets without a number"),
    ("outside", "outside", "warn", "Show the outlets outside every space"),
    ("missing", "missing", "warn", "Show what is required and not placed"),
)
_TEXT_ROLE = {
    "over": "over_text",
    "near": "near_text",
    "no_route": "no_route_text",
    "warn": "warn",
}


class CountButton(QToolButton):
    """A number and its word; calm at zero, in its state's colour and with its sign above."""

    def __init__(self, key: str, word: str, state: str, tip: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.key, self._word, self._state, self._tip = key, word, state, tip
        self.setAutoRaise(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.setIconSize(QSize(look.em(1), look.em(1)))
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self._count: int | None = None
        self._shown: tuple[int | None, str] | None = None

    @property
    def count(self) -> int | None:
        return self._count

    def show_count(self, count: int | None) -> None:
        """Show a count; None where it is not known."""
        from app.ui.palette import current

        shown = (count, current().name)
        if shown == self._shown:
            return
        self._shown, self._count = shown, count
        self.setText(f"{'–' if count is None else f'{count:,}'} {self._word}")
        self.setToolTip(f"{self._tip}.")
        loud = bool(count) and bool(self._state)
        role = _TEXT_ROLE[self._state] if loud else "ink_soft"
        weight = 600 if loud else 400
        color = getattr(current(), role)
        self.setStyleSheet(f"QToolButton {{ color: {color}; font-weight: {weight}; }}")
        sign = self._state if loud and self._state != "warn" else None
        self.setIcon(icons.state_icon(sign, look.em(1)) if sign else QIcon())


class BottomLine(QWidget):
    """Coordinates, scale, counts (each a click away from the things), and the last message."""

    asked = Signal(str)
    """The key of the count that was clicked."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(look.em(0.6), 1, look.em(0.6), 1)
        row.setSpacing(look.em(0.15))
        figures = look.figures_font()
        self._coordinates = QLabel(self)
        self._coordinates.setFont(figures)
        self._coordinates.setMinimumWidth(
            self._coordinates.fontMetrics().horizontalAdvance("x −000.00 m   y −000.00 m")
        )
        self._coordinates.setToolTip("Where the pointer is, in the site's axes")
        self._scale = QLabel(self)
        self._scale.setFont(figures)
        self._scale.setMinimumWidth(self._scale.fontMetrics().horizontalAdvance("1 : 10,000 "))
        self._scale.setToolTip("Scale of the plan on this screen")
        self._warning = QToolButton(self)
        self._warning.setAutoRaise(True)
        self._warning.hide()
        self._warning.clicked.connect(lambda: self.asked.emit("scale"))
        self._trouble = QToolButton(self)
        self._trouble.setAutoRaise(True)
        self._trouble.hide()
        self._trouble.clicked.connect(lambda: self.asked.emit("journal"))
        self._hidden = QToolButton(self)
        self._hidden.setAutoRaise(True)
        self._hidden.hide()
        self._hidden.clicked.connect(lambda: self.asked.emit("hidden"))
        self._message = QLabel(self)
        self._message.setMinimumWidth(0)
        row.addWidget(self._coordinates)
        row.addWidget(self._scale)
        row.addWidget(self._warning)
        row.addWidget(self._trouble)
        row.addWidget(self._hidden)
        row.addWidget(self._message, 1)
        self._counts = {}
        for key, word, state, tip in COUNTS:
            button = CountButton(key, word, state, tip, self)
            button.setFont(figures)
            button.clicked.connect(lambda _=False, k=key: self.asked.emit(k))
            row.addWidget(button)
            self._counts[key] = button

    def button(self, key: str) -> CountButton:
        """The button of one count."""
        return self._counts[key]

    def show_pointer(self, x: str, y: str) -> None:
        """Where the pointer is, in words of the user's units."""
        self._coordinates.setText(f"x {x}   y {y}")

    def show_scale(self, px_per_mm: float) -> None:
        """The scale on screen, as 1 : n for a screen of its stated resolution."""
        if px_per_mm <= 0:
            return
        per_mm = self.logicalDpiX() / 25.4
        self._scale.setText(f"1 : {_rounded(per_mm / px_per_mm):,}")

    def show_summary(self, summary: Any) -> None:
        """The counts of a design's summary; None while nothing is known."""
        if summary is None:
            for button in self._counts.values():
                button.show_count(None)
            return
        values = {
            "runs": summary.runs,
            "over": summary.over,
            "near": summary.near,
            "no_route": summary.no_route,
            "unnumbered": summary.unnumbered,
            "outside": summary.outside_spaces,
            "missing": max(0, summary.required - summary.required_placed),
        }
        for key, value in values.items():
            self._counts[key].show_count(value)

    def show_unscaled(self, count: int) -> None:
        """Say that plans of the floor in view have no scale; 0 says nothing."""
        from app.ui.palette import current

        self._warning.setVisible(count > 0)
        self._warning.setText(f"{counted(count, 'plan')} not scaled" if count else "")
        self._warning.setStyleSheet(f"QToolButton {{ color: {current().warn}; font-weight: 600; }}")
        self._warning.setToolTip("Lengths on this floor mean nothing yet. Click to calibrate.")

    def show_hidden(self, count: int | None) -> None:
        """Say how many things are hidden by their state or phase; None: nothing can be."""
        from app.ui.palette import current

        self._hidden.setVisible(count is not None)
        self._hidden.setText("" if count is None else f"{counted(count, 'thing')} hidden")
        self._hidden.setStyleSheet(f"QToolButton {{ color: {current().warn}; font-weight: 600; }}")
        self._hidden.setToolTip(
            "Some states or phases are hidden on the plan and in the tables. Click to show all."
        )

    @property
    def hidden(self) -> QToolButton:
        """The button that says that something is hidden."""
        return self._hidden

    def show_trouble(self, reason: str | None) -> None:
        """Say that edits are not safe from a crash, and why; None says nothing."""
        from app.ui.palette import current

        self._trouble.setVisible(reason is not None)
        self._trouble.setText("" if reason is None else "edits not safe from a crash")
        self._trouble.setStyleSheet(f"QToolButton {{ color: {current().warn}; font-weight: 600; }}")
        self._trouble.setToolTip(
            "" if reason is None else f"{reason.capitalize()}. Click for more."
        )

    @property
    def trouble(self) -> QToolButton:
        """The button that says that edits are not safe."""
        return self._trouble

    @property
    def message(self) -> str:
        """The sentence that is shown."""
        return self._message.text()

    def show_message(self, text: str) -> None:
        """One sentence; it stays until the next edit, tool or sentence."""
        self._message.setText(text)
        self._message.setToolTip(text)


def _rounded(ratio: float) -> int:
    """To two digits that count, for a scale on screen says no more."""
    if ratio < 100:
        return max(1, round(ratio))
    step = 10 ** (len(str(int(ratio))) - 2)
    return round(ratio / step) * step
