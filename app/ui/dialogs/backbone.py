"""A new backbone cable, or the demarcation extension."""

from PySide6.QtWidgets import QComboBox, QFormLayout, QSpinBox, QWidget

from app.editor.commands.records import add_backbone_cable
from app.model.project import Patch, Project
from app.model.vocabulary import Medium
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.fields.of_things import backbone_ends
from app.ui.session import Session


def likely_backbone_cable(project: Project) -> str | None:
    """The fibre that the backbone has already, else the first fibre, else the first cable."""
    fibres = [c.id for c in project.cable_types.values() if c.medium is Medium.FIBRE]
    used = [c.cable_type for c in project.backbone_cables.values() if c.cable_type in fibres]
    return next(iter([*reversed(used), *fibres, *project.cable_types]), None)


class BackboneDialog(Dialog):
    """Ends, cable type, number of cables and strands."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(
            "Add backbone cable",
            "From frame to frame, or from a demarcation point to a frame: then it is the "
            "demarcation extension. It is routed along the pathways like every run.",
            parent,
            wide=36,
        )
        self._session = session
        project = session.project
        form = QFormLayout()
        self._from, self._to = QComboBox(self), QComboBox(self)
        for thing, name in backbone_ends(project):
            self._from.addItem(name, thing)
            self._to.addItem(name, thing)
        if self._to.count() > 1:
            self._to.setCurrentIndex(1)
        self.cable = QComboBox(self)
        for cable in project.cable_types.values():
            self.cable.addItem(cable.name, cable.id)
        likely = self.cable.findData(likely_backbone_cable(project))
        self.cable.setCurrentIndex(max(0, likely))
        self._count, self._strands = QSpinBox(self), QSpinBox(self)
        self._count.setRange(1, 10_000)
        self._strands.setRange(0, 10_000)
        self._strands.setSpecialValueText("not said: no connectors counted")
        for spin in (self._count, self._strands):
            spin.lineEdit().setTextMargins(look.em(0.3), 0, 0, 0)
        form.addRow("&From", self._from)
        form.addRow("&To", self._to)
        form.addRow("&Cable", self.cable)
        form.addRow("&Number of cables", self._count)
        form.addRow("&Strands or pairs of each", self._strands)
        self.column.addLayout(form)
        self.finish("Add")

    def _patch(self) -> Patch:
        return add_backbone_cable(
            self._session.project,
            self._from.currentData() or "",
            self._to.currentData() or "",
            cable_type=self.cable.currentData() or "",
            count=self._count.value(),
            strands=self._strands.value(),
            retired=self._session.document.retired_numbers,
        )

    def accept(self) -> None:
        if self._session.do(self._patch):
            super().accept()
