"""What a plan that was read becomes: its unit, its floor, and what was lost on the way."""

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from app.editor.asking import InputProblem
from app.editor.measures import format_length, parse_length
from app.model.project import Project, floors_from_below
from app.plans.imported import ImportedPlan, UnitProposal
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.lengths import length
from app.ui.panel.pieces import heading, set_role, words
from app.ui.pictures.plan_picture import PlanPicture
from app.ui.words import counted

UNIT_WORDS = {
    "mm": "millimetres",
    "cm": "centimetres",
    "dm": "decimetres",
    "m": "metres",
    "km": "kilometres",
    "in": "inches",
    "ft": "feet",
    "yd": "yards",
}

LIKELY_SHOWN = 3
ANOTHER, NOT_KNOWN = 100, 101


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportChoice:
    """What the user chose. `proposal` None: not scaled yet, to be calibrated.

    `floor_id` None: a new floor of `new_floor_name` at `new_level_mm`.
    """

    name: str
    proposal: UnitProposal | None
    floor_id: str | None
    new_floor_name: str = ""
    new_level_mm: int = 0


class ImportPlanDialog(Dialog):
    """A picture, the units it may be drawn in with the reasons, the floor, the report."""

    def __init__(
        self,
        imported: ImportedPlan,
        project: Project,
        *,
        floor_id: str | None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("Import a plan", imported.source_name, parent, wide=68, high=46)
        self._imported = imported
        self._project = project
        self._units = project.settings.units
        sides = QHBoxLayout()
        sides.setSpacing(look.em(1.2))
        left = QVBoxLayout()
        self._picture = PlanPicture(self)
        self._picture.show_drawing(imported.drawing)
        left.addWidget(self._picture, 1)
        left.addWidget(words(self._contents(), "soft", self))
        sides.addLayout(left, 5)
        sides.addLayout(self._choices(floor_id), 6)
        self.column.addLayout(sides, 1)
        self._problem = words("", "fail", self)
        self._problem.hide()
        self.column.addWidget(self._problem)
        self.finish("Import")
        self._unit_chosen()

    def _contents(self) -> str:
        drawing = self._imported.drawing
        texts = sum(len(layer.texts) for layer in drawing.layers)
        lines, layers = (
            counted(drawing.segment_count, "line"),
            counted(len(drawing.layers), "layer"),
        )
        return f"{lines}, {counted(texts, 'text')} on {layers}."

    def _choices(self, floor_id: str | None) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(look.em(0.25))
        column.addWidget(heading("What is one drawing unit?", self))
        self._unit_group = QButtonGroup(self)
        proposals = self._imported.proposals
        for index, proposal in enumerate(proposals[:LIKELY_SHOWN]):
            self._add_unit(column, index, proposal)
        column.addLayout(self._other_units(proposals[LIKELY_SHOWN:]))
        later = QRadioButton("Not known: calibrate it on two points", self)
        self._unit_group.addButton(later, NOT_KNOWN)
        column.addWidget(later)
        sure = bool(proposals) and not self._imported.is_unscaled
        self._unit_group.button(0 if sure else NOT_KNOWN).setChecked(True)
        self._unit_group.idClicked.connect(lambda _: self._unit_chosen())
        self._said = words("", "soft", self)
        column.addWidget(self._said)
        column.addWidget(heading("Where does it lie?", self))
        column.addLayout(self._places(floor_id))
        column.addWidget(heading(self._report_heading(), self))
        report = QListWidget(self)
        report.setWordWrap(True)
        report.setMinimumHeight(look.em(5))
        for note in self._imported.report:
            report.addItem(note.text)
        report.setVisible(bool(self._imported.report))
        column.addWidget(report, 1)
        if not self._imported.report:
            column.addStretch(1)
        return column

    def _other_units(self, proposals: tuple[UnitProposal, ...]) -> QHBoxLayout:
        """The less likely units, in one row."""
        row = QHBoxLayout()
        button = QRadioButton("Another:", self)
        self._unit_group.addButton(button, ANOTHER)
        self._other = QComboBox(self)
        self._other.setAccessibleName("Another unit")
        for proposal in proposals:
            self._other.addItem(UNIT_WORDS.get(proposal.unit, proposal.unit), proposal)
            self._other.setItemData(
                self._other.count() - 1, " ".join(proposal.reasons), Qt.ItemDataRole.ToolTipRole
            )
        self._other.activated.connect(lambda _: self._take_other())
        row.addWidget(button)
        row.addWidget(self._other)
        row.addStretch(1)
        for widget in (button, self._other):
            widget.setVisible(bool(proposals))
        return row

    def _take_other(self) -> None:
        self._unit_group.button(ANOTHER).setChecked(True)
        self._unit_chosen()

    def _report_heading(self) -> str:
        count = len(self._imported.report)
        return "Nothing was lost." if not count else "What to know about it"

    def _add_unit(self, column: QVBoxLayout, index: int, proposal: UnitProposal) -> None:
        name = UNIT_WORDS.get(proposal.unit, proposal.unit)
        button = QRadioButton(f"{name.capitalize()}   ({_likely(proposal.confidence)})", self)
        button.setFont(look.figures_font())
        self._unit_group.addButton(button, index)
        column.addWidget(button)
        if proposal.reasons:
            reasons = words(" ".join(proposal.reasons), "soft", self)
            reasons.setFont(look.small_font())
            reasons.setContentsMargins(look.em(1.6), 0, 0, look.em(0.2))
            column.addWidget(reasons)

    def _places(self, floor_id: str | None) -> QFormLayout:
        form = QFormLayout()
        form.setHorizontalSpacing(look.em(0.8))
        self._name = QLineEdit(_plain_name(self._imported.source_name), self)
        self._floor = QComboBox(self)
        taken = {p.floor for p in self._project.plans.values()}
        free = None
        for building in self._project.buildings.values():
            for floor in floors_from_below(self._project, building.id):
                has = ", has a plan" if floor.id in taken else ""
                level = format_length(floor.level_mm, self._units)
                self._floor.addItem(f"{floor.name} (level {level}{has})", floor.id)
                if free is None and floor.id not in taken:
                    free = floor.id
        self._floor.addItem("a new floor above", None)
        wanted = floor_id if floor_id is not None and floor_id not in taken else free
        self._floor.setCurrentIndex(
            self._floor.findData(wanted) if wanted else self._floor.count() - 1
        )
        self._new_name = QLineEdit(str(len(self._project.floors)), self)
        self._new_level = QLineEdit(format_length(self._next_level(), self._units), self)
        form.addRow("&Name", self._name)
        form.addRow("&Floor", self._floor)
        form.addRow("Na&me of the new floor", self._new_name)
        form.addRow("Its &level", self._new_level)
        self._form = form
        self._floor.currentIndexChanged.connect(lambda _: self._floor_chosen())
        self._floor_chosen()
        return form

    def _next_level(self) -> int:
        tops = [f.level_mm + f.floor_to_floor_mm for f in self._project.floors.values()]
        return max(tops, default=0)

    def _floor_chosen(self) -> None:
        new = self._floor.currentData() is None
        self._form.setRowVisible(self._new_name, new)
        self._form.setRowVisible(self._new_level, new)

    def _unit_chosen(self) -> None:
        proposal = self._chosen_proposal()
        bounds = self._imported.drawing.bounds
        unknown = proposal is None
        set_role(self._said, "warn" if unknown else "soft")
        if proposal is None:
            self._picture.show_size("", "")
            self._said.setText("Until then lengths on it mean nothing, and every screen says so.")
            return
        if bounds is not None:
            wide = (bounds[2] - bounds[0]) * proposal.mm_per_unit
            high = (bounds[3] - bounds[1]) * proposal.mm_per_unit
            sizes = length(wide, self._units), length(high, self._units)
            self._picture.show_size(*sizes)
            self._said.setText(f"So the drawing is {sizes[0]} wide and {sizes[1]} high.")

    def _chosen_proposal(self) -> UnitProposal | None:
        index = self._unit_group.checkedId()
        if index == ANOTHER:
            other: UnitProposal | None = self._other.currentData()
            return other
        return self._imported.proposals[index] if 0 <= index < LIKELY_SHOWN else None

    def choice(self) -> ImportChoice:
        """What was chosen. Raises InputProblem for a level that is no length."""
        floor_id = self._floor.currentData()
        level = 0 if floor_id is not None else parse_length(self._new_level.text(), self._units)
        return ImportChoice(
            name=self._name.text().strip() or self._imported.source_name,
            proposal=self._chosen_proposal(),
            floor_id=floor_id,
            new_floor_name=self._new_name.text().strip(),
            new_level_mm=level,
        )

    def accept(self) -> None:
        try:
            choice = self.choice()
        except InputProblem as problem:
            self._say(str(problem))
            return
        if choice.floor_id is None and not choice.new_floor_name:
            self._say("Give the new floor a name first.")
            return
        super().accept()

    def _say(self, sentence: str) -> None:
        self._problem.setText(sentence)
        self._problem.show()


def _plain_name(source_name: str) -> str:
    return source_name.rsplit(".", 1)[0]


def _likely(share: float) -> str:
    """A guess from signs is never told as certain, nor as impossible."""
    percent = round(100 * share)
    if percent > 99:
        return "over 99 % likely"
    return "under 1 % likely" if percent < 1 else f"{percent} % likely"
