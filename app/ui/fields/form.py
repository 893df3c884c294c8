"""A form: the fields that things share, one row each, edited together."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from app.model.project import Project
from app.ui import look
from app.ui.fields.editors import Editor, make_editor
from app.ui.fields.spec import Field, Sort

LABELS_EM = 6.6


class Form(QWidget):
    """Labels on the left, editors on the right. Says `edited(field, value)`."""

    edited = Signal(object, object)

    def __init__(
        self,
        fields: Sequence[Field],
        project: Project,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._fields = tuple(fields)
        self._units = project.settings.units
        self._things: tuple[Any, ...] = ()
        self._editors: dict[str, Editor] = {}
        self._labels: dict[str, QLabel] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(look.em(0.6))
        grid.setVerticalSpacing(look.em(0.3))
        grid.setColumnStretch(1, 1)
        grid.setColumnMinimumWidth(0, look.em(LABELS_EM))
        for row, field in enumerate(self._fields):
            self._add(grid, row, field, project)

    def _add(self, grid: QGridLayout, row: int, field: Field, project: Project) -> None:
        options = field.options(project) if field.options is not None else []
        editor = make_editor(field, options, self._units, self)
        editor.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        editor.edited.connect(lambda value, f=field: self._edited(f, value))
        self._editors[field.key] = editor
        label = QLabel(field.label, self)
        label.setProperty("role", "soft")
        label.setBuddy(editor.focusProxy() or editor)
        label.setToolTip(field.tip)
        self._labels[field.key] = label
        top = (
            Qt.AlignmentFlag.AlignTop if field.sort is Sort.NOTE else Qt.AlignmentFlag.AlignVCenter
        )
        if field.sort is Sort.FLAG:
            grid.addWidget(editor, row, 1)
            label.hide()
        else:
            grid.addWidget(label, row, 0, top)
            grid.addWidget(editor, row, 1)

    def holds(self, key: str) -> bool:
        """Whether it has a field of this key."""
        return key in self._editors

    def editor(self, key: str) -> Editor:
        """The editor of one field."""
        return self._editors[key]

    def show_things(self, project: Project, things: Sequence[Any]) -> None:
        """Show the values these things share."""
        self._things = tuple(things)
        for field in self._fields:
            shown = field.shown_if is None or all(field.shown_if(t) for t in things)
            self._editors[field.key].setVisible(shown)
            self._labels[field.key].setVisible(shown and field.sort is not Sort.FLAG)
            none_word = field.none_word(project, things[0]) if field.none_word else ""
            self._editors[field.key].show_value(field.shared(things), none_word=none_word)

    def _edited(self, field: Field, value: Any) -> None:
        if field.sort is Sort.NUMBER and field.whole:
            value = int(value) if value is not None else None
        self.edited.emit(field, value)
