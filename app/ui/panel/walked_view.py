"""The lengths that were walked or measured along a pathway, riser or duct."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.editor.commands.walked import walked_words
from app.model.project import Project
from app.ui.panel.pieces import clear, column, heading, link, words


class WalkedView(QWidget):
    """One line a walked length, which leads to it; a verb for one more."""

    asked = Signal(str)
    tool_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown: object = None
        box = column(self)
        self._rows_holder = QWidget(self)
        self._rows = column(self._rows_holder, gap=0.2)
        more = link("Add what was walked …", self)
        more.clicked.connect(self._more)
        for widget in (heading("Lengths as walked", self), self._rows_holder, more):
            box.addWidget(widget)

    def _more(self) -> None:
        self.tool_asked.emit("walked")

    def show_thing(self, thing_id: str, project: Project) -> None:
        """List the walked lengths of a thing."""
        units = project.settings.units
        lengths = [w for w in project.walked_lengths.values() if w.along == thing_id]
        lines = tuple((w.id, walked_words(w, units)) for w in lengths)
        if (thing_id, lines) == self._shown:
            return
        self._shown = (thing_id, lines)
        clear(self._rows)
        for walked_id, text in lines:
            line = link(text, self._rows_holder)
            line.clicked.connect(lambda _=False, i=walked_id: self.asked.emit(i))
            self._rows.addWidget(line)
        if not lines:
            self._rows.addWidget(words("None: it is as long as it is drawn.", "soft"))
