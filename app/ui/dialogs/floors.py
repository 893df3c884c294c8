"""Buildings and their floors."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QInputDialog, QWidget

from app.editor.commands.floors import add_building, add_floor, copy_floor, move_floor
from app.editor.measures import format_length
from app.model.entities import Building, Floor
from app.model.project import floors_from_below
from app.ui.dialogs.list_and_form import ListAndForm
from app.ui.fields.of_all import NAME
from app.ui.fields.of_things import FLOOR
from app.ui.fields.spec import Field
from app.ui.panel.pieces import link, words
from app.ui.session import Session
from app.ui.words import counted


class FloorsDialog(ListAndForm):
    """Floors from the top down under their building."""

    def __init__(
        self, session: Session, floor_id: str | None, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "Floors and buildings",
            "Levels are absolute, of the finished floor. Everything on a floor goes with it.",
            session,
            parent,
            entries=self.entries,
            show_thing=self.show_thing,
            high=34,
        )
        buttons = QHBoxLayout()
        for text, does in (
            ("Add floor", self._add_floor),
            ("Copy floor", self._copy_floor),
            ("Add building", self._add_building),
            ("Delete", self.delete_chosen),
        ):
            button = link(text, self)
            button.clicked.connect(lambda _=False, d=does: d())
            buttons.addWidget(button)
        self.left.addLayout(buttons)
        self._floor_form = self.form(FLOOR)
        self._building_form = self.form((NAME,))
        self._said = words("", "soft", self)
        self.right.addWidget(self._said)
        self.right.addStretch(1)
        self.finish(cancel="Close")
        self.refresh()
        if floor_id is not None:
            self.choose(floor_id)

    def entries(self) -> Sequence[tuple[str, str, int]]:
        project, units = self.session.project, self.session.units
        found: list[tuple[str, str, int]] = []
        for building in project.buildings.values():
            found.append((building.id, building.name, 0))
            for floor in reversed(floors_from_below(project, building.id)):
                level = format_length(floor.level_mm, units)
                found.append((floor.id, f"{floor.name}   ({level})", 1))
        return found

    def show_thing(self, thing: Any) -> None:
        is_floor = isinstance(thing, Floor)
        self._floor_form.setVisible(is_floor)
        self._building_form.setVisible(not is_floor)
        form = self._floor_form if is_floor else self._building_form
        form.show_things(self.session.project, [thing])
        if is_floor:
            project = self.session.project
            outlets = sum(o.floor == thing.id for o in project.outlets.values())
            plans = sum(p.floor == thing.id for p in project.plans.values())
            self._said.setText(f"{counted(plans, 'plan')}, {counted(outlets, 'outlet')}.")
        else:
            self._said.setText("")

    def set_field(self, field: Field, value: Any) -> None:
        session, chosen = self.session, self.chosen_id
        if field.key == "level_mm" and chosen is not None:
            session.do(lambda: move_floor(session.project, chosen, level_mm=value))
            self.refresh()
            return
        super().set_field(field, value)

    def _building_id(self) -> str:
        thing = self.session.project.get(self.chosen_id or "")
        if isinstance(thing, Building):
            return thing.id
        if isinstance(thing, Floor):
            return thing.building
        return next(iter(self.session.project.buildings))

    def _ask_name(self, title: str) -> str | None:
        name, chosen = QInputDialog.getText(self, title, "Name of the floor")
        return name if chosen else None

    def _add_floor(self) -> None:
        name = self._ask_name("Add floor")
        if name is not None:
            building = self._building_id()
            self.add_by(lambda: add_floor(self.session.project, building, name))

    def _copy_floor(self) -> None:
        floor = self.session.project.floors.get(self.chosen_id or "")
        if floor is None:
            self.session.refuse("Choose the floor to be copied first.")
            return
        name = self._ask_name(f"Copy floor {floor.name}")
        if name is not None:
            session = self.session
            retired = session.document.retired_numbers
            self.add_by(lambda: copy_floor(session.project, floor.id, name, retired=retired))

    def _add_building(self) -> None:
        name, chosen = QInputDialog.getText(self, "Add building", "Name of the building")
        if chosen:
            self.add_by(lambda: add_building(self.session.project, name))
