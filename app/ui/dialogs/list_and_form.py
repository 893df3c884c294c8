"""A list of things on the left, the fields of the chosen one on the right."""

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.editor.commands.deleting import delete_things
from app.editor.commands.fields import set_fields
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.fields.form import Form
from app.ui.fields.spec import Field
from app.ui.session import Session

Entries = Callable[[], Sequence[tuple[str, str, int]]]
"""Ids, names and how far each is set in."""


class ListAndForm(Dialog):
    """Every change is one edit of the project and can be undone."""

    chosen = Signal(str)

    def __init__(
        self,
        title: str,
        sentence: str,
        session: Session,
        parent: QWidget | None,
        *,
        entries: Entries,
        show_thing: Callable[[Any], None],
        wide: float = 62,
        high: float = 40,
    ) -> None:
        """`entries` lists the things; `show_thing` shows the chosen one on the right."""
        super().__init__(title, sentence, parent, wide=wide, high=high)
        self._entries, self._show_thing = entries, show_thing
        self.session = session
        self._filling = False
        self.items = QListWidget(self)
        self.items.setFixedWidth(look.em(19))
        self.left = QVBoxLayout()
        self.left.addWidget(self.items, 1)
        self.right = QVBoxLayout()
        row = QHBoxLayout()
        row.setSpacing(look.em(1.2))
        row.addLayout(self.left)
        row.addLayout(self.right, 1)
        self.column.addLayout(row, 1)
        self.items.currentItemChanged.connect(lambda *_: self._chosen())
        session.changed.connect(self._project_changed)

    @property
    def chosen_id(self) -> str | None:
        """The id of the chosen thing."""
        item = self.items.currentItem()
        return None if item is None else str(item.data(Qt.ItemDataRole.UserRole))

    def choose(self, thing_id: str) -> None:
        """Choose a thing in the list."""
        for index in range(self.items.count()):
            if self.items.item(index).data(Qt.ItemDataRole.UserRole) == thing_id:
                self.items.setCurrentRow(index)

    def _project_changed(self, _changed: object) -> None:
        self.refresh()

    def refresh(self) -> None:
        """Follow the project."""
        wanted, row = self.chosen_id, self.items.currentRow()
        self._filling = True
        self.items.clear()
        for thing_id, name, depth in self._entries():
            item = QListWidgetItem("    " * depth + name)
            item.setData(Qt.ItemDataRole.UserRole, thing_id)
            self.items.addItem(item)
        self._filling = False
        if wanted is not None:
            self.choose(wanted)
        if self.items.currentRow() < 0 and self.items.count():
            self.items.setCurrentRow(min(max(row, 0), self.items.count() - 1))
        self._chosen()

    def _chosen(self) -> None:
        if self._filling or self.chosen_id is None:
            return
        thing = self.session.project.get(self.chosen_id)
        if thing is not None:
            self._show_thing(thing)

    def form(self, fields: tuple[Field, ...]) -> Form:
        """A form on the right whose edits go to the chosen thing."""
        form = Form(fields, self.session.project, self)
        form.edited.connect(self.set_field)
        self.right.addWidget(form)
        return form

    def set_field(self, field: Field, value: Any) -> None:
        """Set one field of the chosen thing."""
        session, chosen = self.session, self.chosen_id
        if chosen is not None:
            session.do(
                lambda: set_fields(session.project, [chosen], field.key, value, rules=session.rules)
            )
            self._chosen()

    def delete_chosen(self) -> None:
        """Delete the chosen thing, if nothing needs it."""
        session, chosen = self.session, self.chosen_id
        if chosen is not None:
            session.do(lambda: delete_things(session.project, [chosen]))

    def add_by(self, command: Callable[[], Any]) -> None:
        """Run a command and choose what it made."""
        before = {thing_id for thing_id, _, _ in self._entries()}
        if self.session.do(command):
            made = [i for i, _, _ in self._entries() if i not in before]
            if made:
                self.choose(made[-1])
