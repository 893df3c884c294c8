"""A door kit made and stamped, penetrations placed and proposed, a floor copied; all undone."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QLabel, QLineEdit

from app.editor.commands.kits import make_kit
from app.editor.commands.shapes import riser_point
from app.model.project import Project, adding, removing
from app.model.vocabulary import Crossed, ProvidedBy
from app.ui.dialogs.arrays import ArrayDialog
from app.ui.dialogs.kits import KitsDialog, MakeKitDialog
from app.ui.dialogs.proposed_penetrations import ProposedDialog
from app.ui.dialogs.which_floors import FLOOR_ID, FloorsDialog
from tests.journeys.conftest import Person

pytestmark = pytest.mark.usefixtures("as_designed")

TERMINAL = "ferry-terminal.drawcord"


def open_terminal(person: Person) -> None:
    person.push(person.window.start_page.doors[TERMINAL])
    person.settle(200)
    floor = next(f for f in person.workspace.session.project.floors.values() if f.name == "0")
    person.workspace.show_floor(floor.id)
    person.settle(50)


def open_bare_terminal(person: Person) -> Project:
    """The terminal without its own kits and penetrations; gives it as it was opened."""
    open_terminal(person)
    session = person.workspace.session
    whole = session.project
    own = [*whole.kits.values(), *whole.penetrations.values()]
    assert session.commit(removing("Take out kits and penetrations", own))
    return whole


def choose(person: Person, key: str) -> None:
    person.window.menus.named[key].trigger()
    person.settle(50)


def undo_all(person: Person) -> None:
    while person.workspace.session.document.undo_label is not None:
        person.window.undo()


def go_into(person: Person, line: QLineEdit) -> None:
    """The keys go to a line of a dialog, as after a click on it."""
    line.window().activateWindow()
    person.bot.waitUntil(lambda: line.window().isActiveWindow())
    person.bot.mouseClick(line, Qt.MouseButton.LeftButton)
    person.bot.waitUntil(line.hasFocus)
    line.selectAll()


def set_in_panel(person: Person, key: str, value: object) -> None:
    """A value typed or chosen in the panel, for all that is selected."""
    person.settle(50)
    person.workspace.panel.form_with(key).editor(key).edited.emit(value)
    person.settle(50)


def place_door(person: Person) -> list[str]:
    """Three outlets at a door: by us, and two by others."""
    session, floor = person.workspace.session, person.workspace.floor_id
    known = set(session.project.outlets)
    person.workspace.take_tool("outlet")
    for x in (30_000, 30_600, 31_200):
        person.click(x, 11_000, keys=Qt.KeyboardModifier.AltModifier)
    made = [o.id for o in session.project.outlets.values() if o.id not in known]
    assert len(made) == 3
    assert {session.project.outlets[o].floor for o in made} == {floor}
    return made


def test_a_door_kit_is_made_stamped_five_times_and_all_undone(person: Person) -> None:
    first = open_bare_terminal(person)
    session = person.workspace.session
    made = place_door(person)
    session.select(made[1:])
    set_in_panel(person, "provided_by", ProvidedBy.OTHERS)
    assert [session.project.outlets[o].provided_by for o in made] == [
        ProvidedBy.US,
        ProvidedBy.OTHERS,
        ProvidedBy.OTHERS,
    ]
    session.select(made)

    def name_it(dialog: QDialog) -> None:
        assert isinstance(dialog, MakeKitDialog)
        person.bot.keyClicks(dialog.name, "door: controller, reader, strike")
        dialog.accept()

    person.in_dialog(name_it)
    choose(person, "make_kit")
    [kit] = session.project.kits.values()
    assert kit.name == "door: controller, reader, strike"
    assert person.workspace.canvas.tool == "kit"  # taken in hand at once

    before = set(session.project.outlets)
    revision = session.document.revision
    person.workspace.canvas.setFocus()
    for k in range(5):
        person.click(40_000 + 3_000 * k, 11_000, keys=Qt.KeyboardModifier.AltModifier)
        person.press(Qt.Key.Key_Left)
    stamped = [o for o in session.project.outlets.values() if o.id not in before]
    assert len(stamped) == 15
    assert session.document.revision == revision + 5  # each stamp is one step
    assert person.workspace.canvas.tool == "kit"
    assert len({o.number for o in stamped}) == 15
    assert [o.provided_by for o in stamped].count(ProvidedBy.OTHERS) == 10
    assert sorted({o.rotation_mdeg for o in stamped}) == [-90_000, 0, 90_000, 180_000]

    for left in (12, 9, 6, 3, 0):
        person.window.undo()
        assert len([o for o in session.project.outlets if o not in before]) == left
    undo_all(person)
    assert session.project == first


def test_kits_are_renamed_and_stamped_from_their_list(person: Person) -> None:
    open_bare_terminal(person)
    session = person.workspace.session
    outlets = [o.id for o in session.project.outlets.values()][:2]
    session.commit(make_kit(session.project, outlets, name="Desk"))

    def rename(dialog: QDialog) -> None:
        assert isinstance(dialog, KitsDialog)
        assert dialog.items.count() == 1
        assert not dialog.items.item(0).icon().isNull()
        line = dialog._form.editor("name").line  # type: ignore[attr-defined]
        go_into(person, line)
        person.bot.keyClicks(line, "Desk, double")
        person.bot.keyClick(line, Qt.Key.Key_Return)  # the name, and then “Stamp it”

    person.in_dialog(rename)
    choose(person, "kits")
    assert [k.name for k in session.project.kits.values()] == ["Desk, double"]
    assert person.workspace.canvas.tool == "kit"
    assert person.workspace.draws.kit == next(iter(session.project.kits))


def test_an_array_is_shown_while_it_is_typed_and_made_in_one_step(person: Person) -> None:
    open_terminal(person)
    session = person.workspace.session
    outlet = next(iter(session.project.outlets))
    session.select([outlet])
    before = len(session.project.outlets)

    def type_it(dialog: QDialog) -> None:
        assert isinstance(dialog, ArrayDialog)
        assert "5 new things" in dialog.said.text()
        line = dialog.form.editor("columns").line  # type: ignore[attr-defined]
        go_into(person, line)
        person.bot.keyClicks(line, "4")
        person.bot.keyClick(line, Qt.Key.Key_Tab)
        assert "7 new things" in dialog.said.text()
        assert len(dialog.picture._things) == 7
        assert len(session.project.outlets) == before  # nothing is made while it is typed
        dialog.accept()

    person.in_dialog(type_it)
    choose(person, "array")
    assert len(session.project.outlets) == before + 7
    person.window.undo()
    assert len(session.project.outlets) == before


def test_penetrations_are_placed_proposed_listed_and_undone(person: Person) -> None:
    first = open_bare_terminal(person)
    workspace = person.workspace
    session = workspace.session
    riser = next(iter(first.risers.values()))
    above = next(f for f in first.floors.values() if f.name == "1")
    workspace.show_floor(above.id)
    person.settle(50)
    workspace.canvas.setFocus()
    person.press(Qt.Key.Key_E)
    assert workspace.canvas.tool == "penetration"
    person.click(*riser_point(first, riser, above.id))
    [made] = session.project.penetrations.values()
    assert (made.crossed, made.through) == (Crossed.FLOOR, riser.id)
    used = {p.number for p in first.penetrations.values()}
    assert made.number.startswith("FS-")
    assert made.number not in used  # what was taken out keeps its number
    assert session.design.passing[made.id].cables > 0

    def accept(dialog: QDialog) -> None:
        assert isinstance(dialog, ProposedDialog)
        found = dialog.crossings.count()
        assert found > 1
        dialog.crossings.item(0).setCheckState(Qt.CheckState.Unchecked)
        dialog.rating.setText("EI 60")
        told = " ".join(label.text() for label in dialog.findChildren(QLabel))
        assert "asbestos register" in told
        assert "structural consent" in told
        dialog.accept()

    person.in_dialog(accept)
    choose(person, "propose_penetrations")
    rated = [p for p in session.project.penetrations.values() if p.rating == "EI 60"]
    assert len(rated) > 1
    workspace.drawer.open_table("penetrations")
    person.settle(80)
    view = workspace.drawer.view("penetrations")
    assert view.model.rowCount() == len(session.project.penetrations)
    assert any(f.rule == "penetration_without_barrier" for f in session.design.findings)

    # the barrier of all of them at once, in the panel
    session.select(session.project.penetrations)
    set_in_panel(person, "barrier", "collar")
    barriers = {p.barrier for p in session.project.penetrations.values()}
    assert barriers == {"collar"}
    assert not any(f.rule == "penetration_without_barrier" for f in session.design.findings)
    undo_all(person)
    assert session.project == first


def test_a_whole_floor_is_copied_to_another_in_one_step(person: Person) -> None:
    open_terminal(person)
    workspace = person.workspace
    session = workspace.session
    here = session.project.floors[workspace.floor_id or ""]
    attic = replace(here, id="floor-attic000", name="attic", level_mm=30_000)
    session.commit(adding("Add a floor", [attic]))
    before = session.project

    def tick(dialog: QDialog) -> None:
        assert isinstance(dialog, FloorsDialog)
        for row in range(dialog.floors.count()):
            if dialog.floors.item(row).data(FLOOR_ID) == attic.id:
                dialog.floors.item(row).setCheckState(Qt.CheckState.Checked)
        dialog.accept()

    person.in_dialog(tick)
    choose(person, "copy_floor")
    for table in ("outlets", "spaces", "pathways", "frames"):
        things = getattr(session.project, table).values()
        assert len([t for t in things if t.floor == attic.id]) == len(
            [t for t in things if t.floor == here.id]
        )
    person.window.undo()
    assert session.project == before
