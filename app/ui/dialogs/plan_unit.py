"""What one unit of a plan's file is, set by hand."""

from PySide6.QtWidgets import QComboBox, QFormLayout, QLabel, QWidget

from app.editor.commands.plans import correct_unit
from app.model.entities import Plan
from app.plans.units import MM_PER_UNIT
from app.ui.dialogs.dialog import Dialog
from app.ui.dialogs.import_plan import UNIT_WORDS
from app.ui.lengths import length
from app.ui.session import Session


class PlanUnitDialog(Dialog):
    """A choice of units, and how large the plan would be."""

    def __init__(self, plan: Plan, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(
            "Correct the unit",
            f"What is one drawing unit of “{plan.name}”? The file's zero stays where it is.",
            parent,
            wide=34,
        )
        self._plan, self._session = plan, session
        self._unit = QComboBox(self)
        for unit, mm in MM_PER_UNIT.items():
            self._unit.addItem(UNIT_WORDS.get(unit, unit), (unit, mm))
            if abs(mm - plan.mm_per_unit) < 1e-9 * mm:
                self._unit.setCurrentIndex(self._unit.count() - 1)
        self._size = QLabel(self)
        form = QFormLayout()
        form.addRow("One &unit is one", self._unit)
        form.addRow("So the plan is", self._size)
        self.column.addLayout(form)
        self._unit.currentIndexChanged.connect(lambda _: self._tell())
        self._tell()
        self.finish("Set the unit")

    def _tell(self) -> None:
        drawing = self._session.drawings(self._plan.drawing_sha256)
        if drawing is None or drawing.bounds is None:
            self._size.setText("of a size that cannot be told")
            return
        _, mm = self._unit.currentData()
        x0, y0, x1, y1 = drawing.bounds
        units = self._session.units
        self._size.setText(f"{length((x1 - x0) * mm, units)} × {length((y1 - y0) * mm, units)}")

    def accept(self) -> None:
        unit, mm = self._unit.currentData()
        session, plan = self._session, self._plan
        name = UNIT_WORDS.get(unit, unit)
        if session.do(
            lambda: correct_unit(session.project, plan.id, mm_per_unit=mm, unit_name=name)
        ):
            super().accept()
