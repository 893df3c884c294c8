"""Measured lengths, typed or pasted: beside each run the line that becomes its length."""

from collections.abc import Sequence

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPlainTextEdit, QWidget

from app.editor.asking import InputProblem
from app.editor.commands.measured import read_lengths
from app.editor.measures import format_length
from app.model.entities import Outlet, Port
from app.model.vocabulary import Units
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import set_role, words
from app.ui.words import counted

MOST_NAMED = 12


class MeasuredDialog(Dialog):
    """One length a line, in the order of the runs."""

    def __init__(
        self, ports: Sequence[tuple[Outlet, Port]], units: Units, parent: QWidget | None
    ) -> None:
        super().__init__(
            "Measured lengths",
            f"{counted(len(ports), 'run')}, in the order of the outlets. Type or paste a length "
            "a line; a dash leaves a run as it is.",
            parent,
            wide=38,
            high=32,
        )
        self._names = [_name(outlet, port) for outlet, port in ports]
        self._units = units
        self.text = QPlainTextEdit(self)
        self.text.setFont(look.figures_font())
        self.text.setAccessibleName("Lengths, one a line")
        self._read = QLabel(self)
        self._read.setMinimumWidth(look.em(15))
        row = QHBoxLayout()
        row.addWidget(self.text, 1)
        row.addWidget(self._read)
        self.column.addLayout(row, 1)
        self._said = words("", "soft", self)
        self.column.addWidget(self._said)
        self.text.textChanged.connect(self._tell)
        self._verb = self.finish("Set the lengths")
        self._tell()

    def lengths_mm(self) -> list[int | None]:
        """The lengths as they are read."""
        return read_lengths(self.text.toPlainText(), self._units)

    def _tell(self) -> None:
        """What every line is taken for, and what is wrong with the list."""
        try:
            found, problem = self.lengths_mm(), ""
        except InputProblem as one:
            found, problem = [], str(one)
        lines = []
        for index, name in enumerate(self._names[:MOST_NAMED]):
            length = found[index] if index < len(found) else None
            lines.append(f"{name}: {'–' if length is None else format_length(length, self._units)}")
        more = len(self._names) - MOST_NAMED
        if more > 0:
            lines.append(f"and {more:,} more")
        self._read.setText("\n".join(lines))
        fits = len(found) == len(self._names)
        if not problem and not fits:
            problem = f"{counted(len(found), 'line')} for {counted(len(self._names), 'run')}."
        self._said.setText(problem)
        set_role(self._said, "caution" if problem and self.text.toPlainText() else "soft")
        if self._verb is not None:
            self._verb.setEnabled(fits and any(length is not None for length in found))


def _name(outlet: Outlet, port: Port) -> str:
    label = port.label or str(outlet.ports.index(port) + 1)
    return f"{outlet.number or 'no number'} {label}"
