"""Five years later: a building with its numbers, a few outlets more, one away, one moved.

practice: 24 outlets of two ports, all existing, 48 cables on two full panels of 24. Numbers 001
to 024 stay; the new ones are 025, 026, 027; what was removed is not given again; the moved outlet
keeps its own. 48 − 4 + 8 = 52 ports want one more panel, and 20 ports are free after.
"""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QDialog, QMessageBox

from app.jobs import new_project, save_project
from app.model.entities import Frame, Outlet, Panel, PanelPort, Pathway, Port, Space
from app.model.ids import counting_source
from app.model.project import Project, adding, changing
from app.model.vocabulary import PathwayKind, State
from app.storage.project_file import SavedProject
from app.takeoff.panel_needs import panels_of_frame
from app.ui.dialogs.number_list import NumberListDialog
from app.ui.dialogs.panels import PanelsDialog
from tests.journeys.conftest import Person

FRAME = "frame-00000001"


def old_building() -> Project:
    """24 outlets along a tray of 300 × 60, numbered, printed, on two panels."""
    project = new_project(name="Office", source=counting_source(100))
    floor = next(iter(project.floors))
    kind = next(k for k in project.outlet_kinds.values() if len(k.ports) == 2)
    cable = kind.ports[0].cable_type
    settings = project.settings
    project = project.apply(
        changing("Set", [(settings, replace(settings, outlet_pattern="{nnn}"))])
    )
    panels = tuple(Panel(name=n, cable_type=cable, state=State.EXISTING) for n in "AB")
    things = [
        Pathway(
            id="pathway-00000001",
            floor=floor,
            kind=PathwayKind.TRAY,
            number="T-01",
            vertices=((0, 6_000, 3_000), (60_000, 6_000, 3_000)),
            width_mm=300,
            depth_mm=60,
        ),
        Frame(
            id=FRAME,
            floor=floor,
            name="M",
            x_mm=1_000,
            y_mm=7_500,
            ladder_height_mm=3_000,
            panels=panels,
            state=State.EXISTING,
        ),
        Space(
            id="space-00000001",
            floor=floor,
            number="0.01",
            outline=((0, 0), (60_000, 0), (60_000, 12_000), (0, 12_000)),
        ),
    ]
    for n in range(1, 25):
        ports = tuple(
            Port(
                id=f"port-{n:06d}{i:02d}",
                cable_type=cable,
                cable_number=f"K{2 * n - 1 + i:02d}",
                ends_at=PanelPort(
                    frame=FRAME, panel="AB"[n > 12], port=(2 * n - 1 + i - 1) % 24 + 1
                ),
                printed=True,
            )
            for i in range(2)
        )
        things.append(
            Outlet(
                id=f"outlet-{n:08d}",
                floor=floor,
                kind=kind.id,
                number=f"{n:03d}",
                number_printed=True,
                x_mm=2_000 * n,
                y_mm=4_000,
                ports=ports,
                state=State.EXISTING,
            )
        )
    return project.apply(adding("Survey", things))


@pytest.fixture
def opened(person: Person, tmp_path: Path) -> Person:
    path = tmp_path / "office.drawcord"
    file = save_project(SavedProject(project=old_building()), path)
    if file.lock is not None:
        file.lock.release()
    person.window.open_path(path)
    person.settle(300)
    return person


def numbers(person: Person) -> dict[str, str]:
    """Number by id."""
    return {o.id: o.number for o in person.workspace.session.project.outlets.values()}


def by_number(person: Person, number: str) -> Outlet:
    outlets = person.workspace.session.project.outlets.values()
    return next(o for o in outlets if o.number == number)


def answer(person: Person, label: str) -> None:
    """Press the button of a question that will come."""

    def press(dialog: QDialog) -> None:
        assert isinstance(dialog, QMessageBox)
        next(b for b in dialog.buttons() if b.text().replace("&", "") == label).click()

    person.in_dialog(press)


def test_numbers_stay_and_new_ones_count_on(opened: Person) -> None:
    person, canvas = opened, opened.workspace.canvas
    canvas.setFocus()
    person.press(Qt.Key.Key_O)
    for x in (5_000, 9_000, 13_000):
        person.click(x, 9_000)
    made = sorted(n for n in numbers(person).values() if n > "024")
    assert made == ["025", "026", "027"]

    # one goes for good, and its number with it
    person.press(Qt.Key.Key_Escape)
    person.press(Qt.Key.Key_V)
    gone = by_number(person, "027")
    person.click(gone.x_mm, gone.y_mm)
    person.press(Qt.Key.Key_Delete)
    assert "027" not in numbers(person).values()
    person.press(Qt.Key.Key_O)
    person.click(17_000, 9_000)
    assert sorted(n for n in numbers(person).values() if n > "024") == ["025", "026", "028"]

    # one moves and keeps its own
    person.press(Qt.Key.Key_V)
    moved = by_number(person, "025")
    person.drag((moved.x_mm, moved.y_mm), (moved.x_mm + 6_000, moved.y_mm + 1_000))
    assert by_number(person, "025").id == moved.id
    assert by_number(person, "025").x_mm > moved.x_mm
    old = {i: n for i, n in numbers(person).items() if n <= "024"}
    assert sorted(old.values()) == [f"{n:03d}" for n in range(1, 25)]


def test_new_runs_go_to_one_more_panel_and_20_ports_are_free(opened: Person) -> None:
    person, session = opened, opened.workspace.session
    project = session.project
    before = {p.id: p.ends_at for o in project.outlets.values() for p in o.ports}
    standing = [
        (by_number(person, "023"), State.TO_REMOVE),
        (by_number(person, "024"), State.TO_RELOCATE),
    ]
    session.commit(changing("Say", [(o, replace(o, state=s)) for o, s in standing]))
    opened.workspace.canvas.setFocus()
    person.press(Qt.Key.Key_O)
    for x in (5_000, 9_000, 13_000):
        person.click(x, 9_000)
    person.press(Qt.Key.Key_Escape)
    session.select(())
    person.press(Qt.Key.Key_G, Qt.KeyboardModifier.ControlModifier)
    assert session.document.undo_label == "Give 6 runs panel ports"
    project = session.project
    ends = {p.id: p for o in project.outlets.values() for p in o.ports}
    assert {i: p.ends_at for i, p in ends.items() if i in before} == before
    new = [p for o in project.outlets.values() if o.number > "024" for p in o.ports]
    assert [(p.ends_at.panel, p.ends_at.port, p.cable_number) for p in new if p.ends_at] == [
        ("C", n, f"M-C{n:02d}") for n in range(1, 7)
    ]
    (panels,) = panels_of_frame(project, session.design.runs, FRAME)
    assert (panels.need.standing, panels.need.new, panels.need.free_after) == (2, 1, 20)
    table = opened.workspace.drawer.open_table("runs")
    column = table.model.column_index("panel_port")
    shown = {table.model.cell(s, column) for s in range(table.model.rowCount())}
    assert {"M-A01", "M-B24", "M-C06"} <= shown

    # the frame's panels can be looked at and are followed
    session.select([FRAME])
    seen: list[list[str]] = []

    def look(dialog: QDialog) -> None:
        assert isinstance(dialog, PanelsDialog)
        seen.append([dialog.items.item(i).text() for i in range(dialog.items.count())])
        dialog.reject()

    person.in_dialog(look)
    person.window.menus.named["panels"].trigger()
    assert [text.split(":")[0] for text in seen[0]] == ["A", "B", "C"]
    assert seen[0][2].endswith("new, 18 free")


def test_what_is_printed_is_released_only_when_asked(opened: Person) -> None:
    person, session = opened, opened.workspace.session
    outlet = by_number(person, "007")
    session.select([outlet.id])
    person.settle(100)
    said: list[str] = []

    def read(dialog: QDialog) -> None:
        assert isinstance(dialog, QMessageBox)
        said.append(dialog.text())
        dialog.accept()

    person.in_dialog(read)
    person.press(
        Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    )
    assert said == ["All 24 are printed and keep their numbers; release them first."]
    answer(person, "Release")
    person.window.menus.named["release_numbers"].trigger()
    assert not by_number(person, "007").number_printed
    assert by_number(person, "008").number_printed
    form = opened.workspace.panel.form_with("number")
    person.settle(100)
    line = form.editor("number").line  # type: ignore[attr-defined]
    line.setFocus()
    line.selectAll()
    person.in_dialog(read)
    person.write("008")
    person.press(Qt.Key.Key_Return)
    assert "008 is carried by outlet 008" in said[1]
    assert by_number(person, "007").id == outlet.id


def test_numbers_of_the_building_are_pasted_and_misfits_stay(opened: Person) -> None:
    person, session = opened, opened.workspace.session
    answer(person, "Release")
    person.window.menus.named["release_numbers"].trigger()
    view = opened.workspace.drawer.open_table("outlets")
    view.sort_by("number")
    person.settle(100)
    QGuiApplication.clipboard().setText("001\tE-1\n002\tE-2\n099\tE-3\n")
    left: list[str] = []

    def paste(dialog: QDialog) -> None:
        assert isinstance(dialog, NumberListDialog)
        assert dialog.pasted is not None
        dialog.accept()
        left.append(dialog.text.toPlainText())
        dialog.reject()

    person.in_dialog(paste)
    view.grid.setFocus()
    person.press(Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert left == ["099\tE-3"]
    assert {"E-1", "E-2", "003"} <= set(numbers(person).values())
    session.undo()
    assert {"001", "002"} <= set(numbers(person).values())
