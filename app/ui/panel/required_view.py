"""What a space is asked to have, against what is placed in it."""

from collections.abc import Mapping

import msgspec
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QSpinBox, QWidget

from app.model.entities import Requirement, Space
from app.model.project import changing
from app.model.rooms import lines_of
from app.model.vocabulary import State
from app.ui import look
from app.ui.panel.pieces import clear, column, heading, link, set_role, words
from app.ui.session import Session


class RequiredView(QWidget):
    """One row a kind of outlet: required, placed; another kind can be added.

    What the client's list asks for stands as it says; the rest can be set here.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._space: Space | None = None
        self._shown: object = None
        box = column(self)
        self._rows_holder = QWidget(self)
        self._rows = column(self._rows_holder, gap=0.2)
        box.addWidget(heading("Outlets required", self))
        box.addWidget(self._rows_holder)

    def show_space(self, space: Space) -> None:
        """Show the requirements of a space and what stands in it."""
        self._space = space
        placed = self._placed(space)
        kinds = tuple((k.id, k.name) for k in self._session.project.outlet_kinds.values())
        listed = self._listed(space)
        shown = (space.id, space.required, tuple(placed.items()), kinds, tuple(listed.items()))
        if shown == self._shown:
            return
        self._shown = shown
        clear(self._rows)
        for kind, count in listed.items():
            self._rows.addWidget(self._listed_row(kind, count, placed.pop(kind, 0)))
        for requirement in space.required:
            if requirement.kind not in listed:
                self._rows.addWidget(self._row(requirement, placed.pop(requirement.kind, 0)))
        for kind, count in placed.items():
            name = self._session.project.outlet_kinds[kind].name
            self._rows.addWidget(words(f"{name}: {count} placed, none required", "soft"))
        self._rows.addWidget(self._adder(space, listed))

    def _listed(self, space: Space) -> dict[str, int]:
        """What lines of clients' lists ask for in the space, by kind."""
        counts: dict[str, int] = {}
        for line in lines_of(self._session.project, space.id):
            for item in line.required:
                counts[item.kind] = counts.get(item.kind, 0) + item.count
        return counts

    def _listed_row(self, kind: str, count: int, placed: int) -> QWidget:
        holder = QWidget(self._rows_holder)
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        name = self._session.project.outlet_kinds[kind].name
        said = QLabel(f"{count} by the list, {placed} placed", holder)
        said.setFont(look.figures_font())
        set_role(said, "warn" if placed < count else "soft")
        row.addWidget(words(name, "", holder), 1)
        row.addWidget(said)
        return holder

    def _placed(self, space: Space) -> dict[str, int]:
        design = self._session.design
        counts: dict[str, int] = {}
        if design is None:
            return counts
        for outlet in self._session.project.outlets.values():
            inside = design.space_of.get(outlet.id) == space.id
            if inside and outlet.state is not State.TO_REMOVE:
                counts[outlet.kind] = counts.get(outlet.kind, 0) + 1
        return counts

    def _row(self, requirement: Requirement, placed: int) -> QWidget:
        holder = QWidget(self._rows_holder)
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        name = self._session.project.outlet_kinds[requirement.kind].name
        label = words(name, "", holder)
        count = QSpinBox(holder)
        count.setRange(0, 10_000)
        count.setValue(requirement.count)
        count.setKeyboardTracking(False)
        count.setAccessibleName(f"Required: {name}")
        count.setToolTip("How many are required; 0 takes the line away")
        count.valueChanged.connect(lambda n, k=requirement.kind: self._set(k, n))
        short = placed < requirement.count
        said = QLabel(f"{placed} placed", holder)
        said.setFont(look.figures_font())
        set_role(said, "warn" if short else "soft")
        row.addWidget(label, 1)
        row.addWidget(count)
        row.addWidget(said)
        return holder

    def _adder(self, space: Space, listed: Mapping[str, int]) -> QWidget:
        holder = QWidget(self._rows_holder)
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        asked = {r.kind for r in space.required} | listed.keys()
        kinds = [k for k in self._session.project.outlet_kinds.values() if k.id not in asked]
        choice = QComboBox(holder)
        choice.setAccessibleName("Kind of outlet to require")
        choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        choice.setMinimumContentsLength(8)
        for kind in kinds:
            choice.addItem(kind.name, kind.id)
        button = link("Require one", holder)
        button.clicked.connect(lambda: self._set(choice.currentData(), 1))
        row.addWidget(choice, 1)
        row.addWidget(button)
        holder.setVisible(bool(kinds))
        return holder

    def _set(self, kind: str | None, count: int) -> None:
        space = self._space
        if space is None or kind is None:
            return
        counts = {r.kind: r.count for r in space.required}
        counts[kind] = count
        required = tuple(Requirement(kind=k, count=n) for k, n in counts.items() if n > 0)
        after = msgspec.structs.replace(space, required=required)
        label = f"Set the outlets required in {space.number or space.name or 'a space'}"
        self._session.commit(changing(label, [(space, after)]), merge=f"required:{space.id}")
