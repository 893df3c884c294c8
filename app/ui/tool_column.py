"""The tools, with their names, and under them the floors."""

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from app.ui import icons, look


@dataclass(frozen=True, slots=True)
class ToolEntry:
    """A tool of the canvas: its key there, its name and what it is for."""

    key: str
    name: str
    icon: str
    tip: str
    shortcut: str = ""
    in_column: bool = True


TOOLS = (
    ToolEntry("select", "&Select", "select", "Select, move and copy what is placed", "V"),
    ToolEntry("outlet", "&Outlet", "outlet", "Place an outlet", "O"),
    ToolEntry("row", "Outlet ro&w", "row", "Place outlets along a line", "W"),
    ToolEntry("fill", "Fill a s&pace", "fill", "Place the outlets that a space's use wants", "L"),
    ToolEntry("kit", "K&it", "kit", "Stamp a kit: things that belong together", "G"),
    ToolEntry("pathway", "Pathwa&y", "pathway", "Draw tray, basket, hooks, conduit or duct", "P"),
    ToolEntry("split", "Spli&t", "split", "Cut a pathway in two where you click", "S"),
    ToolEntry("pull_box", "Pull bo&x", "pull_box", "Put a pull box or insert on a closed way", "X"),
    ToolEntry("drop_out", "&Drop-out", "drop_out", "Join two pathways that cross in height", "D"),
    ToolEntry("break", "&Keep apart", "break", "Keep two pathways apart where they cross", "K"),
    ToolEntry("riser", "R&iser", "riser", "Join floors: sleeves, slot, shaft, conduit", "R"),
    ToolEntry(
        "penetration",
        "Penetratio&n",
        "penetration",
        "Mark where a pathway or riser passes a wall or floor, and how it is closed",
        "E",
    ),
    ToolEntry(
        "walked",
        "Walked len&gth",
        "walked",
        "Add what was walked on a pathway or riser, or say what was measured, and why",
        "H",
    ),
    ToolEntry("outdoor_duct", "Outdoor d&uct", "outdoor_duct", "Join buildings", "U"),
    ToolEntry("frame", "&Frame", "frame", "Place a distribution frame", "F"),
    ToolEntry(
        "candidate", "Frame pla&ce", "candidate", "Mark a place where a frame could stand", "N"
    ),
    ToolEntry("demarcation", "Demar&cation", "demarcation", "Where a carrier's property ends", "C"),
    ToolEntry("space", "Sp&ace", "space", "Draw the outline of a room or corridor", "A"),
    ToolEntry(
        "number_line",
        "&Number along",
        "row",
        "Number outlets in the order in which a line passes them",
        "",
        in_column=False,
    ),
    ToolEntry("zone", "Serving &zone", "zone", "Draw the part of a hall that a frame serves", "Z"),
    ToolEntry("measure", "&Measure", "measure", "Measure on the plan", "M"),
    ToolEntry("calibrate", "Cali&brate", "calibrate", "Two points and the true length", "B"),
    ToolEntry(
        "move_plan", "Mo&ve a plan", "move_plan", "Move a plan under its floor", "", in_column=False
    ),
    ToolEntry(
        "pass_here",
        "Pass &here …",
        "pathway",
        "Click on what the selected runs are to pass",
        "",
        in_column=False,
    ),
    ToolEntry(
        "never_there",
        "Ne&ver there …",
        "break",
        "Click on what the selected runs are never to pass",
        "",
        in_column=False,
    ),
    ToolEntry(
        "turn_plan", "&Turn a plan", "move_plan", "Turn a plan under its floor", "", in_column=False
    ),
)
NAMES = {entry.key: entry.name.replace("&", "") for entry in TOOLS}


class ToolColumn(QWidget):
    """Buttons in one column; the tool in hand is pressed."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(look.em(0.35), look.em(0.4), look.em(0.35), look.em(0.3))
        self._column.setSpacing(0)
        self._group = QActionGroup(self)
        self.actions_by_key: dict[str, QAction] = {}
        holder = QWidget(self)
        tools = QVBoxLayout(holder)
        tools.setContentsMargins(0, 0, 0, 0)
        tools.setSpacing(1)
        for entry in TOOLS:
            button = self._button(entry, holder)
            if entry.in_column:
                tools.addWidget(button)
            else:
                button.hide()
        tools.addStretch(1)
        self._column.addWidget(_scrolled(holder, self), 1)

    def _button(self, entry: ToolEntry, parent: QWidget) -> QToolButton:
        action = QAction(entry.name, self)
        action.setIcon(icons.icon(entry.icon))
        action.setCheckable(True)
        action.setShortcut(QKeySequence(entry.shortcut))
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        action.setToolTip(f"{entry.tip} ({entry.shortcut})" if entry.shortcut else entry.tip)
        action.setData(entry.key)
        action.triggered.connect(lambda _=False, k=entry.key: self.chosen.emit(k))
        self._group.addAction(action)
        self.actions_by_key[entry.key] = action
        button = QToolButton(parent)
        button.setDefaultAction(action)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setIconSize(QSize(look.em(1.4), look.em(1.4)))
        button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def add_below(self, widget: QWidget) -> None:
        """Put a widget under the tools."""
        line = QFrame(self)
        line.setProperty("role", "rule")
        self._column.addWidget(line)
        self._column.addWidget(widget)

    def show_tool(self, key: str) -> None:
        """Press the button of the tool in hand."""
        action = self.actions_by_key.get(key)
        if action is not None:
            action.setChecked(True)

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange:
            for entry in TOOLS:
                if entry.key in getattr(self, "actions_by_key", {}):
                    self.actions_by_key[entry.key].setIcon(icons.icon(entry.icon))
        super().changeEvent(event)


def _scrolled(widget: QWidget, parent: QWidget) -> QScrollArea:
    area = QScrollArea(parent)
    area.setWidget(widget)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setMinimumHeight(look.em(6))
    return area
