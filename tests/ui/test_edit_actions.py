"""The Edit menu: floors told apart, things turned together, all of a floor, copies in place."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.editor.commands.floors import add_building, add_floor
from app.model.entities import OutdoorDuct, Riser
from app.model.project import adding
from app.ui import edit_actions
from app.ui.dialogs.which_floors import FloorsDialog, floors_but
from app.ui.edit_actions import EditActions
from app.ui.session import Session

Ticks = Callable[[FloorsDialog], None]


@pytest.fixture
def edit(session: Session) -> EditActions:
    parent = QWidget()
    made = EditActions(session, parent, lambda: next(iter(session.project.floors)))
    made.keeps = parent  # type: ignore[attr-defined]
    return made


def _add_floors(session: Session) -> list[str]:
    """Another floor of the building, and one of the same name in another building."""
    first = next(iter(session.project.floors))
    building = session.project.floors[first].building
    assert session.commit(add_floor(session.project, building, "1"))
    assert session.commit(add_building(session.project, "Shed"))
    floors = [f for f in session.project.floors if f != first]
    if len(floors) == 1:
        other = next(b for b in session.project.buildings if b != building)
        assert session.commit(add_floor(session.project, other, "1"))
    return [f for f in session.project.floors if f != first]


def _answer(monkeypatch: pytest.MonkeyPatch, does: Ticks) -> None:
    def show(dialog: FloorsDialog) -> bool:
        does(dialog)
        return True

    monkeypatch.setattr(edit_actions, "show", show)


def test_floors_of_one_name_are_told_apart_by_their_building(session: Session) -> None:
    others = _add_floors(session)
    listed = floors_but(session.project, next(iter(session.project.floors)))
    assert {i for i, _ in listed} == set(others)
    names = [name for _, name in listed]
    assert len(set(names)) == len(names)
    assert all(" of " in name for name in names)


def test_copies_go_to_every_ticked_floor_in_one_step(
    session: Session, edit: EditActions, monkeypatch: pytest.MonkeyPatch
) -> None:
    others = _add_floors(session)
    outlet = next(iter(session.project.outlets.values()))
    session.select([outlet.id])

    def tick_all(dialog: FloorsDialog) -> None:
        for row in range(dialog.floors.count()):
            dialog.floors.item(row).setCheckState(Qt.CheckState.Checked)

    _answer(monkeypatch, tick_all)
    before = session.project
    edit.copy_to_floor()
    made = [o for o in session.project.outlets.values() if o.id not in before.outlets]
    assert {o.floor for o in made} == set(others)
    assert {(o.x_mm, o.y_mm) for o in made} == {(outlet.x_mm, outlet.y_mm)}
    ports = [p.id for o in session.project.outlets.values() for p in o.ports]
    assert len(set(ports)) == len(ports)
    session.undo()
    assert session.project == before


def test_things_are_taken_to_the_floor_that_was_chosen_though_two_have_its_name(
    session: Session, edit: EditActions, monkeypatch: pytest.MonkeyPatch
) -> None:
    _add_floors(session)
    outlet = next(iter(session.project.outlets))
    session.select([outlet])
    chosen: list[str] = []

    def take_last(dialog: FloorsDialog) -> None:
        dialog.floors.setCurrentRow(dialog.floors.count() - 1)
        chosen.extend(dialog.chosen())

    _answer(monkeypatch, take_last)
    edit.move_to_floor()
    assert session.project.outlets[outlet].floor == chosen[0]


def test_paste_lies_in_place_on_another_floor_and_beside_on_its_own(session: Session) -> None:
    others = _add_floors(session)
    first = next(iter(session.project.floors))
    here = [first]
    edit = EditActions(session, QWidget(), lambda: here[0])
    outlet = next(iter(session.project.outlets.values()))
    session.select([outlet.id])
    edit.copy()
    edit.paste()
    (pasted,) = session.selection.ids
    beside = session.project.outlets[pasted]
    assert (beside.floor, beside.y_mm) == (first, outlet.y_mm)
    assert beside.x_mm != outlet.x_mm
    here[0] = others[0]
    edit.paste()
    (pasted,) = session.selection.ids
    there = session.project.outlets[pasted]
    assert (there.floor, there.x_mm, there.y_mm) == (others[0], outlet.x_mm, outlet.y_mm)


def test_a_selection_turns_about_its_common_middle(session: Session, edit: EditActions) -> None:
    ids = list(session.project.outlets)[:3]
    session.select(ids)
    edit.turn_together(1)
    after = [session.project.outlets[i] for i in ids]
    assert len({o.x_mm for o in after}) == 1, "the row along x now stands along y"
    assert len({o.y_mm for o in after}) == 3


def test_everything_on_the_floor_is_everything_drawn_there(
    session: Session, edit: EditActions
) -> None:
    others = _add_floors(session)
    first = next(iter(session.project.floors))
    made = [
        Riser(
            id="riser-00000001",
            lower_floor=first,
            upper_floor=others[0],
            lower=(100, 100),
            upper=(100, 100),
        ),
        OutdoorDuct(
            id="outdoor-duct-00000001",
            from_floor=first,
            to_floor=others[1],
            vertices=((0, 0, 500), (-9_000, 0, 500)),
        ),
    ]
    assert session.commit(adding("Make", made))
    edit.select_all()
    chosen = set(session.selection.ids)
    assert {"riser-00000001", "outdoor-duct-00000001", "space-00000001"} <= chosen
    assert set(session.project.outlets) <= chosen
    assert not chosen & {*session.project.floors, *session.project.cable_types}
