"""The line above the plan: what the tool in hand draws next, and what the next click does."""

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from app.editor.tools.next_drawn import NextDrawn, chosen_kit
from app.model.project import Project
from app.ui import look
from app.ui.fields.editors import ChoiceEditor, Editor, LineEditor, make_editor
from app.ui.fields.spec import Sort
from app.ui.tool_column import NAMES
from app.ui.tool_options import OPTIONS, PATTERN, STATE, Option

LEAST_SHARE = 0.6
"""How far a field may shrink where there is little room."""
NO_SNAP = frozenset({"select", "fill"})
NO_SQUARE = NO_SNAP | {"riser"}
"""A riser goes straight up from one point."""


class ToolLine(QWidget):
    """Name of the tool, its options, and the hint."""

    draws_changed = Signal(object)
    """The `NextDrawn` after a change here."""
    sample: Callable[[str], str] | None = None
    """What a pattern of numbers would give next, in words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._draws = NextDrawn()
        self._project: Project | None = None
        self._tool = ""
        self._editors: dict[str, tuple[Option, Editor, QLabel]] = {}
        rows = QVBoxLayout(self)
        rows.setContentsMargins(look.em(0.7), 2, look.em(0.7), 3)
        rows.setSpacing(0)
        self._row = QHBoxLayout()
        self._row.setSpacing(look.em(0.45))
        rows.addLayout(self._row)
        self._name = QLabel(self)
        self._name.setProperty("role", "heading")
        self._row.addWidget(self._name)
        self._options = QWidget(self)
        self._option_row = QHBoxLayout(self._options)
        self._option_row.setContentsMargins(0, 0, 0, 0)
        self._option_row.setSpacing(look.em(0.4))
        self._row.addWidget(self._options, 100)
        self._hint = QLabel(self)
        self._hint.setProperty("role", "soft")
        self._hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._chosen = QLabel(self)
        self._chosen.setProperty("role", "soft")
        self._chosen.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._row.addWidget(self._chosen, 100)
        self._sample = QLabel(self)
        self._sample.setProperty("role", "soft")
        self._sample.setMinimumWidth(1)
        below = QHBoxLayout()
        below.setSpacing(look.em(1))
        below.addWidget(self._hint, 1)
        below.addWidget(self._sample)
        rows.addLayout(below)
        self._row.addStretch(1)
        self.square = self._toggle(
            "Square", "F8", "Draw square to the floor's grid (F8; Shift: the other)"
        )
        self.snap = self._toggle(
            "Snap", "F9", "Let plan lines and things catch the pointer (F9; Alt: not)"
        )
        self.setFixedHeight(look.em(3.5))

    def _toggle(self, text: str, keys: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setCheckable(True)
        button.setToolTip(tip)
        button.setShortcut(keys)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        key = text.lower()
        button.clicked.connect(lambda on, k=key: self._put(replace(self._draws, **{k: on})))
        self._row.addWidget(button)
        return button

    @property
    def draws(self) -> NextDrawn:
        return self._draws

    def show_hint(self, text: str) -> None:
        """What the next click does."""
        self._hint.setText(text)
        self._hint.setToolTip(text)

    def show_selection(self, text: str) -> None:
        """What is selected, beside the name of the resting tool."""
        self._chosen.setText(text)

    def show_tool(self, key: str, draws: NextDrawn, project: Project) -> None:
        """Show the options of the tool in hand."""
        anew = key != self._tool or self._names(project) != self._names(self._project)
        self._tool, self._draws, self._project = key, draws, project
        self._name.setText(NAMES.get(key, key))
        if anew:
            self._build(key, project)
        self.square.setChecked(draws.square)
        self.square.setVisible(key not in NO_SQUARE)
        self.snap.setChecked(draws.snap)
        self.snap.setVisible(key not in NO_SNAP)
        self._chosen.setVisible(key not in OPTIONS)
        self._options.setVisible(key in OPTIONS)
        self._fill()

    @staticmethod
    def _names(project: Project | None) -> tuple[object, ...]:
        if project is None:
            return ()
        kinds = tuple((k.id, k.name) for k in project.outlet_kinds.values())
        floors = tuple((f.id, f.name) for f in project.floors.values())
        kits = tuple((k.id, k.name) for k in project.kits.values())
        frames = tuple((f.id, f.name) for f in project.frames.values())
        frames = tuple((f.id, f.name) for f in project.frames.values())
        return kinds, frames, floors, kits, frames, project.settings.units

    def _build(self, key: str, project: Project) -> None:
        while self._option_row.count():
            item = self._option_row.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._editors = {}
        self._sample.hide()
        for option in OPTIONS.get(key, ()):
            self._add(option, project)
        self._option_row.addStretch(1)

    def _add(self, option: Option, project: Project) -> None:
        field = option.field
        options = field.options(project) if field.options is not None else []
        editor = make_editor(field, options, project.settings.units, self._options)
        most, least = look.em(option.wide), look.em(option.wide * LEAST_SHARE)
        if field.sort is Sort.FLAG:
            most = least = editor.sizeHint().width()
        editor.setMaximumWidth(most)
        editor.setMinimumWidth(least)
        editor.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        editor.edited.connect(lambda value, o=option: self._edited(o, value))
        label = QLabel(field.label, self._options)
        label.setProperty("role", "soft")
        label.setBuddy(editor.focusProxy() or editor)
        self._option_row.addWidget(label)
        self._option_row.addWidget(editor, round(option.wide))
        self._editors[field.key] = (option, editor, label)
        if option is PATTERN and isinstance(editor, LineEditor):
            self._sample.show()
            editor.line.textEdited.connect(self._show_sample)

    def _show_sample(self, pattern: str) -> None:
        """What the pattern gives next, or what is wrong with it, while it is typed."""
        if PATTERN.field.key in self._editors and self.sample is not None:
            said = self.sample(pattern.strip())
            self._sample.setText(said)
            self._sample.setToolTip(said)

    def _fill(self) -> None:
        for option, editor, label in self._editors.values():
            shown = option.shown is None or option.shown(self._draws)
            editor.setVisible(shown)
            speaks = option is STATE or option.field.sort is Sort.FLAG  # it needs no word before it
            label.setVisible(shown and not speaks)
            none_word = ""
            if option.field.none_word is not None and self._project is not None:
                none_word = option.field.none_word(self._project, self._draws)
            value = option.field.value(self._draws)
            if option.field.key == "outlet_kind" and value is None and self._project is not None:
                value = next(iter(self._project.outlet_kinds), None)
            if option.field.key == "kit" and self._project is not None:
                kit = chosen_kit(self._project, self._draws)
                value = None if kit is None else kit.id
            editor.show_value(value, none_word=none_word)
        self._show_sample(self._draws.number_pattern or "")

    @property
    def sample_text(self) -> str:
        """What is said of the pattern of numbers; empty where none is asked for."""
        return self._sample.text() if not self._sample.isHidden() else ""

    def _edited(self, option: Option, value: Any) -> None:
        self._put(option.put(self._draws, value))

    def _put(self, draws: NextDrawn) -> None:
        self._draws = draws
        self._fill()
        self.draws_changed.emit(draws)

    def editor(self, key: str) -> ChoiceEditor | LineEditor | Editor:
        """The editor of one option."""
        return self._editors[key][1]
