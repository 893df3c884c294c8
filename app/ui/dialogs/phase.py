"""Which phase something belongs to, and what that phase is called."""

from PySide6.QtWidgets import QFormLayout, QLineEdit, QSpinBox, QWidget

from app.model.phases import NO_PHASE
from app.model.settings import Settings
from app.ui.dialogs.dialog import Dialog

MOST_PHASES = 99


class PhaseDialog(Dialog):
    """A number, and its name."""

    def __init__(self, settings: Settings, phase: int, parent: QWidget | None) -> None:
        super().__init__(
            "Phase",
            "Phases part the work: what belongs to none is done first. The name stands in the "
            "legend and in tables.",
            parent,
            wide=30,
        )
        self._settings = settings
        self.number = QSpinBox(self)
        self.number.setRange(NO_PHASE, MOST_PHASES)
        self.number.setSpecialValueText("none")
        self.number.setAccessibleName("Number of the phase")
        self.name = QLineEdit(self)
        self.name.setMaxLength(200)
        self.name.setAccessibleName("Name of the phase")
        form = QFormLayout()
        form.addRow("&Number", self.number)
        form.addRow("Na&me", self.name)
        self.column.addLayout(form)
        self.number.valueChanged.connect(self._show_name)
        self.number.setValue(phase)
        self._show_name(phase)
        self.finish("Set the phase")

    def _show_name(self, phase: int) -> None:
        known = 0 < phase <= len(self._settings.phases)
        self.name.setText(self._settings.phases[phase - 1] if known else "")
        self.name.setEnabled(phase != NO_PHASE)

    def chosen(self) -> tuple[int, str]:
        """The number, and its name as typed."""
        return self.number.value(), self.name.text().strip()
