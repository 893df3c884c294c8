"""Every key that does something, in one place."""

from collections.abc import Iterable

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QGridLayout, QScrollArea, QWidget

from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import heading, words

ON_THE_PLAN = (
    ("Click, Shift+click", "Select; add or take from the selection"),
    ("Drag on empty paper", "Select what the rectangle touches"),
    ("Drag a thing", "Move it; with Ctrl copy it"),
    ("Arrow keys", "Nudge what is selected; with Shift further"),
    ("Space+drag, middle button", "Pan"),
    ("Wheel", "Zoom to the pointer"),
    ("Double-click", "Open or zoom; end a line"),
    ("Digits, Enter", "Type a length or an angle while drawing"),
    ("Backspace", "Take back the last point of a line"),
    ("Shift, Alt", "Square drawing the other way; let nothing catch"),
    ("Esc", "Drop what was begun; then put the tool away"),
)


class ShortcutsDialog(Dialog):
    """Keys of the menus, and what the pointer does on the plan."""

    def __init__(
        self, groups: Iterable[tuple[str, list[QAction]]], parent: QWidget | None = None
    ) -> None:
        super().__init__("Keys", "", parent, wide=44, high=44)
        page = QWidget(self)
        grid = QGridLayout(page)
        grid.setColumnStretch(1, 1)
        grid.setHorizontalSpacing(look.em(1.2))
        grid.setVerticalSpacing(look.em(0.2))
        row = 0
        for name, actions in groups:
            keyed = [a for a in actions if not a.shortcut().isEmpty()]
            if not keyed:
                continue
            grid.addWidget(heading(name, page), row, 0, 1, 2)
            row += 1
            for action in keyed:
                native = QKeySequence.SequenceFormat.NativeText
                keys = ", ".join(k.toString(native) for k in action.shortcuts())
                row = self._add(grid, page, row, keys, action.text())
        grid.addWidget(heading("On the plan", page), row, 0, 1, 2)
        row += 1
        for keys, text in ON_THE_PLAN:
            row = self._add(grid, page, row, keys, text)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setWidget(page)
        self.column.addWidget(area, 1)
        self.finish(cancel="Close")

    @staticmethod
    def _add(grid: QGridLayout, page: QWidget, row: int, keys: str, text: str) -> int:
        key = words(keys, "", page)
        key.setWordWrap(False)
        key.setSizePolicy(
            key.sizePolicy().horizontalPolicy().Preferred, key.sizePolicy().verticalPolicy()
        )
        grid.addWidget(key, row, 0)
        grid.addWidget(words(text.replace("&", "").rstrip(" …"), "soft", page), row, 1)
        return row + 1
