"""From an empty start to a takeoff: a plan, outlets, a frame, a pathway, a workbook."""

from pathlib import Path

import openpyxl
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox

from app.model.vocabulary import PathwayKind, ScaledBy
from app.resource_files import sample_path
from app.ui.dialogs.import_plan import ImportPlanDialog
from app.ui.dialogs.takeoff import TakeoffDialog
from app.ui.job_steps import Progress
from tests.journeys.conftest import Person


def accept(dialog: QDialog) -> None:
    buttons = dialog.findChild(QDialogButtonBox)
    assert buttons is not None
    verb = next(
        b
        for b in buttons.buttons()
        if buttons.buttonRole(b) is QDialogButtonBox.ButtonRole.AcceptRole
    )
    verb.click()


def import_the_plan(person: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = sample_path("small-office.dxf")
    monkeypatch.setattr(
        "app.ui.project_files.QFileDialog.getOpenFileNames", lambda *_: ([str(plan)], "")
    )
    seen: list[ImportPlanDialog] = []

    def choose(dialog: QDialog) -> None:
        assert isinstance(dialog, ImportPlanDialog)
        seen.append(dialog)
        accept(dialog)

    person.in_dialog(choose)
    person.push(person.window.start_page.doors["plan"])
    person.bot.waitUntil(lambda: bool(seen), timeout=20_000)
    person.settle(150)


def test_a_takeoff_from_an_empty_start(
    person: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import_the_plan(person, monkeypatch)
    session = person.workspace.session
    plan = next(iter(session.project.plans.values()))
    assert plan.scaled_by is not ScaledBy.NOT_SCALED
    person.workspace.canvas.setFocus()

    # a basket along the corridor, square to the grid, its second point by a typed length
    person.press(Qt.Key.Key_P)
    person.click(2_000, 6_000)
    person.click(18_000, 6_000)
    person.press(Qt.Key.Key_Return)
    person.press(Qt.Key.Key_Escape)
    (pathway,) = session.project.pathways.values()
    assert pathway.kind is PathwayKind.BASKET
    assert pathway.vertices[0][1] == pathway.vertices[-1][1]

    # a frame at its end
    person.press(Qt.Key.Key_F)
    person.click(2_000, 7_500)
    person.press(Qt.Key.Key_Escape)
    assert len(session.project.frames) == 1

    # three outlets
    person.press(Qt.Key.Key_O)
    for x in (5_000, 9_000, 13_000):
        person.click(x, 3_000)
    person.press(Qt.Key.Key_Escape)
    assert len(session.project.outlets) == 3
    numbers = [o.number for o in session.project.outlets.values()]
    assert len(set(numbers)) == 3
    assert all(numbers)

    design = session.design
    ports = sum(len(o.ports) for o in session.project.outlets.values())
    assert design.summary.runs == ports
    assert design.summary.no_route == 0
    person.settle(120)
    assert person.workspace.job_bar.button("frames").step.progress is Progress.DONE  # type: ignore[union-attr]
    assert person.workspace.bottom.button("runs").count == ports

    # the takeoff, as a workbook
    target = tmp_path / "takeoff.xlsx"
    monkeypatch.setattr(
        "app.ui.dialogs.takeoff.QFileDialog.getSaveFileName", lambda *_: (str(target), "")
    )

    def write(dialog: QDialog) -> None:
        assert isinstance(dialog, TakeoffDialog)
        accept(dialog)

    person.in_dialog(write)
    person.press(Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    person.settle(200)
    book = openpyxl.load_workbook(target)
    cells = [c.value for sheet in book for row in sheet.iter_rows() for c in row]
    assert "Runs" in cells
    assert ports in cells
    person.settle(120)
    assert person.workspace.job_bar.button("takeoff").step.progress is Progress.DONE  # type: ignore[union-attr]

    # undo everything: the project is as it was begun
    while session.document.undo_label is not None:
        person.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert not session.project.outlets
    assert not session.project.plans
