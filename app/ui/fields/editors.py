"""Widgets that show and edit one value; each says `edited` with the new value."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QObject, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QToolTip,
    QVBoxLayout,
    QWidget,
)

from app.editor.asking import InputProblem
from app.editor.measures import (
    format_angle,
    format_length,
    parse_angle,
    parse_count,
    parse_length,
)
from app.model.vocabulary import FrameRole, Units
from app.ui import look
from app.ui.fields.spec import SEVERAL, Field, Sort
from app.ui.words import SEVERAL as SEVERAL_WORD
from app.ui.words import word

NOT_UNDERSTOOD_MS = 8_000


Show = Callable[[Any, str], None]
"""Shows a value, SEVERAL, or None by the word for it; says nothing."""


class Editor(QWidget):
    """One value, shown by `show`; `edited` is emitted once an entry is complete."""

    edited = Signal(object)

    def __init__(self, show: Show, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._show = show

    def show_value(self, value: Any, *, none_word: str = "") -> None:
        """Show a value, SEVERAL, or None with the word for it; never emits."""
        self._show(value, none_word)


class LineEditor(Editor):
    """Anything that is typed on one line; `parse` and `write` turn it into text and back."""

    def __init__(
        self,
        parse: Callable[[str], Any],
        write: Callable[[Any], str],
        *,
        empty_is_none: bool,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(self._show_it, parent)
        self._parse, self._write, self._empty_is_none = parse, write, empty_is_none
        self._shown = ""
        self.line = QLineEdit(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.line)
        self.setFocusProxy(self.line)
        self.line.editingFinished.connect(self._finish)
        self.line.textEdited.connect(lambda _: self._mark(wrong=False))

    def _show_it(self, value: Any, none_word: str) -> None:
        text = "" if value is SEVERAL or value is None else self._write(value)
        self.line.setPlaceholderText(SEVERAL_WORD if value is SEVERAL else none_word)
        self._shown = text
        self._mark(wrong=False)
        if self.line.text() != text:
            with QSignalBlocker(self.line):
                self.line.setText(text)
                self.line.setCursorPosition(0)

    def _finish(self) -> None:
        text = self.line.text().strip()
        if text == self._shown:
            return
        if not text and not self._empty_is_none:
            self.line.setText(self._shown)
            return
        try:
            value = self._parse(text) if text or not self._empty_is_none else None
        except InputProblem as problem:
            self._mark(wrong=True)
            at = self.line.mapToGlobal(self.line.rect().bottomLeft())
            QToolTip.showText(at, str(problem), self.line, self.line.rect(), NOT_UNDERSTOOD_MS)
            self.line.setToolTip(str(problem))
            return
        self._shown = text
        self.edited.emit(value)

    def _mark(self, *, wrong: bool) -> None:
        if bool(self.line.property("wrong")) != wrong:
            self.line.setProperty("wrong", wrong)
            self.line.style().unpolish(self.line)
            self.line.style().polish(self.line)
            if not wrong:
                self.line.setToolTip(self.toolTip())


class NoteEditor(Editor):
    """Several lines of text, taken when the field is left."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(self._show_it, parent)
        self.text = QPlainTextEdit(self)
        self.text.setTabChangesFocus(True)
        self.text.setFixedHeight(look.em(4.2))
        self._shown = ""
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.text)
        self.setFocusProxy(self.text)
        self.text.installEventFilter(self)

    def _show_it(self, value: Any, none_word: str) -> None:
        self._shown = "" if value is SEVERAL or value is None else str(value)
        self.text.setPlaceholderText(SEVERAL_WORD if value is SEVERAL else none_word)
        if self.text.toPlainText() != self._shown:
            self.text.setPlainText(self._shown)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut and self.text.toPlainText() != self._shown:
            self._shown = self.text.toPlainText()
            self.edited.emit(self._shown)
        return super().eventFilter(watched, event)


class _StillComboBox(QComboBox):
    """A choice that the wheel does not change by accident while the panel is scrolled."""

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


class ChoiceEditor(Editor):
    """One of a list."""

    def __init__(self, options: list[tuple[Any, str]], parent: QWidget | None = None) -> None:
        super().__init__(self._show_it, parent)
        self.combo = _StillComboBox(self)
        self.combo.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.combo.setMinimumContentsLength(8)
        self._values = [value for value, _ in options]
        self.combo.addItems([text for _, text in options])
        for index, (_, text) in enumerate(options):
            self.combo.setItemData(index, text, Qt.ItemDataRole.ToolTipRole)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.combo)
        self.setFocusProxy(self.combo)
        self.combo.activated.connect(self._chosen)
        self._shown = -1

    def _show_it(self, value: Any, none_word: str) -> None:
        index = -1 if value is SEVERAL or value not in self._values else self._values.index(value)
        self.combo.setPlaceholderText(SEVERAL_WORD if value is SEVERAL else none_word)
        if value is None and None in self._values and none_word:
            self.combo.setItemText(self._values.index(None), none_word)
        self.combo.setCurrentIndex(index)
        self._shown = index

    def _chosen(self, index: int) -> None:
        if index >= 0 and index != self._shown:
            self._shown = index
            self.edited.emit(self._values[index])


class FlagEditor(Editor):
    """Yes or no; half-checked where things differ."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(self._show_it, parent)
        self.box = QCheckBox(words, self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.box)
        self.setFocusProxy(self.box)
        self.box.clicked.connect(self._clicked)

    def _show_it(self, value: Any, _none_word: str) -> None:
        self.box.setTristate(value is SEVERAL)
        state = Qt.CheckState.Checked if value else Qt.CheckState.Unchecked
        self.box.setCheckState(Qt.CheckState.PartiallyChecked if value is SEVERAL else state)

    def _clicked(self) -> None:
        self.box.setTristate(False)
        self.edited.emit(self.box.isChecked())


class RolesEditor(Editor):
    """The distributor roles a frame plays: any number of them, at least one."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(self._show_it, parent)
        row = QVBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(look.em(0.1))
        self._boxes: dict[FrameRole, QCheckBox] = {}
        for role in FrameRole:
            box = QCheckBox(word(role), self)
            box.clicked.connect(self._clicked)
            row.addWidget(box)
            self._boxes[role] = box
        self.setFocusProxy(self._boxes[FrameRole.CAMPUS])

    def _show_it(self, value: Any, _none_word: str) -> None:
        for role, box in self._boxes.items():
            box.setTristate(value is SEVERAL)
            if value is SEVERAL:
                box.setCheckState(Qt.CheckState.PartiallyChecked)
            else:
                box.setChecked(role in value)

    def _clicked(self) -> None:
        for box in self._boxes.values():
            box.setTristate(False)
        chosen = tuple(role for role, box in self._boxes.items() if box.isChecked())
        if chosen:
            self.edited.emit(chosen)


def make_editor(
    field: Field, options: list[tuple[Any, str]], units: Units, parent: QWidget
) -> Editor:
    """The widget for a field."""
    empty = field.none_word is not None
    editor: Editor
    if field.sort is Sort.CHOICE:
        editor = ChoiceEditor(options, parent)
    elif field.sort is Sort.FLAG:
        editor = FlagEditor(field.label, parent)
    elif field.sort is Sort.NOTE:
        editor = NoteEditor(parent)
    elif field.sort is Sort.ROLES:
        editor = RolesEditor(parent)
    else:
        parse, write = _reader_and_writer(field, units)
        editor = LineEditor(parse, write, empty_is_none=empty, parent=parent)
        if field.sort is not Sort.TEXT:
            editor.line.setFont(look.figures_font())
    editor.setToolTip(field.tip)
    editor.setAccessibleName(field.label)
    proxy = editor.focusProxy()
    if proxy is not None:
        proxy.setAccessibleName(field.label)
        proxy.setToolTip(field.tip)
    return editor


def _reader_and_writer(
    field: Field, units: Units
) -> tuple[Callable[[str], Any], Callable[[Any], str]]:
    if field.sort is Sort.LENGTH:
        return lambda t: parse_length(t, units), lambda v: format_length(v, units)
    if field.sort is Sort.ANGLE:
        return parse_angle, format_angle
    if field.sort is Sort.COUNT:
        what = field.unit or field.label.lower()
        least, most = int(field.least), int(field.most)
        return (
            lambda t: parse_count(t, least=least, most=most, what=what),
            lambda v: f"{v}",
        )
    if field.sort is Sort.NUMBER:
        return lambda t: parse_number(t, field), lambda v: write_number(v, field)
    return str, str


def parse_number(text: str, field: Field) -> float | int:
    """A typed number with or without the field's unit. Raises InputProblem."""
    plain = text.strip().removesuffix(field.unit).strip().replace(",", ".")
    try:
        value = float(plain)
    except ValueError:
        example = f"{field.least:g} {field.unit}".strip()
        raise InputProblem(f"“{text}” is no number; write it like {example}.") from None
    if not field.least <= value <= field.most:
        raise InputProblem(
            f"{field.label} lies between {field.least:g} and {field.most:g} {field.unit}".strip()
            + "."
        )
    return value


def write_number(value: float, field: Field) -> str:
    """A number with the field's unit and no digits that say nothing."""
    return f"{value:g} {field.unit}".strip()
