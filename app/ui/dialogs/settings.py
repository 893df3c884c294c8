"""All settings of the project, each with its default and whose word it stands on."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.editor.commands.fields import set_fields
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.dialogs.way_parts import WayParts
from app.ui.fields.editors import Editor, LineEditor, make_editor
from app.ui.fields.of_settings import GROUPS, WAYS_GROUP, Setting, authority_words
from app.ui.panel.pieces import link, words
from app.ui.session import Session


class SettingsDialog(Dialog):
    """Groups on the left; every change is one edit and can be undone."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__("Settings of this project", "", parent, wide=62, high=42)
        self._session = session
        self._editors: dict[str, tuple[Setting, Editor]] = {}
        self._samples: dict[str, QLabel] = {}
        self._groups = QListWidget(self)
        self._groups.setFixedWidth(look.em(10))
        self._pages = QStackedWidget(self)
        self._fill_pages()
        self._groups.currentRowChanged.connect(self._pages.setCurrentIndex)
        self._groups.setCurrentRow(0)
        row = QHBoxLayout()
        row.setSpacing(look.em(1))
        row.addWidget(self._groups)
        row.addWidget(self._pages, 1)
        self.column.addLayout(row, 1)
        self.column.addWidget(
            words(
                "Local codes and the house's own rules come before every default here.",
                "caution",
                self,
            )
        )
        self.finish(cancel="Close")
        session.changed.connect(self._refresh)
        self._refresh()

    def _fill_pages(self) -> None:
        for name, sentence, settings in GROUPS:
            self._groups.addItem(name)
            page = QWidget(self)
            column = QVBoxLayout(page)
            column.setContentsMargins(0, 0, look.em(0.8), 0)
            if sentence:
                column.addWidget(words(sentence, "soft", page))
            grid = QGridLayout()
            grid.setVerticalSpacing(look.em(0.15))
            grid.setHorizontalSpacing(look.em(1))
            grid.setColumnStretch(1, 1)
            for row, setting in enumerate(settings):
                self._add(grid, row * 3, setting, page)
            column.addLayout(grid)
            if name == WAYS_GROUP:
                self.way_parts = WayParts(self._session, page)
                column.addWidget(self.way_parts)
            column.addStretch(1)
            area = QScrollArea(self)
            area.setWidget(page)
            area.setWidgetResizable(True)
            area.setFrameShape(QFrame.Shape.NoFrame)
            area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            self._pages.addWidget(area)

    def _add(self, grid: QGridLayout, row: int, setting: Setting, page: QWidget) -> None:
        field, units = setting.field, self._session.units
        options = field.options(self._session.project) if field.options else []
        editor = make_editor(field, options, units, page)
        editor.setFixedWidth(look.em(16))
        editor.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        editor.edited.connect(lambda value, s=setting: self._edited(s, value))
        label = QLabel(field.label, page)
        label.setBuddy(editor.focusProxy() or editor)
        said = words(authority_words(setting, self._session.rules, units), "soft", page)
        said.setFont(look.small_font())
        back = link("Default", page)
        back.setToolTip("Take the default again")
        back.clicked.connect(lambda _=False, s=setting: self._take_default(s))
        grid.addWidget(label, row, 0)
        grid.addWidget(editor, row, 1)
        grid.addWidget(back, row, 2)
        grid.addWidget(said, row + 1, 1, 1, 2)
        grid.setRowMinimumHeight(row + 1, look.em(1.7))
        self._editors[field.key] = (setting, editor)
        if setting.sample is not None and isinstance(editor, LineEditor):
            sample = words("", "", page)
            editor.line.textEdited.connect(lambda text, k=field.key: self._show_sample(k, text))
            grid.addWidget(sample, row + 2, 1, 1, 2)
            grid.setRowMinimumHeight(row + 2, look.em(2.4))
            self._samples[field.key] = sample

    def _show_sample(self, key: str, text: str) -> None:
        """What a pattern gives, or what is wrong with it, while it is typed."""
        setting, _ = self._editors[key]
        if setting.sample is not None and key in self._samples:
            self._samples[key].setText(setting.sample(self._session.project, text.strip()))

    def sample(self, key: str) -> str:
        """What is said of a pattern."""
        return self._samples[key].text()

    def editor(self, key: str) -> Editor:
        """The editor of one setting."""
        return self._editors[key][1]

    def show_group(self, name: str) -> None:
        """Open one group."""
        self._groups.setCurrentRow([g[0] for g in GROUPS].index(name))

    def _take_default(self, setting: Setting) -> None:
        from app.model.settings import Settings

        self._put(setting.field.key, getattr(Settings(id="settings"), setting.field.key))

    def _edited(self, setting: Setting, value: Any) -> None:
        key = setting.field.key
        self._put(key, round(value * 10) if key == "allowance_permille" else value)

    def _put(self, key: str, value: Any) -> None:
        session = self._session
        session.do(
            lambda: set_fields(session.project, ["settings"], key, value, rules=session.rules)
        )
        self._refresh()

    def _refresh(self, *_: object) -> None:
        self.way_parts.refresh()
        settings = self._session.project.settings
        for setting, editor in self._editors.values():
            editor.show_value(setting.field.value(settings))
            if setting.sample is not None:
                self._show_sample(setting.field.key, setting.field.value(settings))
