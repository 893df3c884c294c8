"""A plan that does not say its unit: it says so everywhere until it is calibrated."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog

from app.model.vocabulary import ScaledBy
from app.resource_files import sample_path
from app.ui.dialogs.import_plan import NOT_KNOWN, ImportPlanDialog
from app.ui.job_steps import Progress
from tests.journeys.conftest import Person
from tests.journeys.test_from_nothing_to_a_takeoff import accept


def test_it_is_said_until_two_points_and_a_length_are_given(
    person: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan_file = str(sample_path("small-office.dxf"))
    monkeypatch.setattr(
        "app.ui.project_files.QFileDialog.getOpenFileNames", lambda *_: ([plan_file], "")
    )
    seen: list[QDialog] = []

    def not_known(dialog: QDialog) -> None:
        assert isinstance(dialog, ImportPlanDialog)
        dialog._unit_group.button(NOT_KNOWN).click()
        seen.append(dialog)
        accept(dialog)

    person.in_dialog(not_known)
    person.push(person.window.start_page.doors["plan"])
    person.bot.waitUntil(lambda: bool(seen), timeout=20_000)
    person.settle(200)
    workspace = person.workspace
    project = workspace.session.project
    (plan,) = project.plans.values()
    assert plan.scaled_by is ScaledBy.NOT_SCALED
    step = workspace.job_bar.button("scale").step
    assert step is not None
    assert step.progress is Progress.OPEN
    assert "not scaled" in step.detail
    assert workspace.bottom._warning.isVisible()
    assert "not scaled" in workspace.bottom._warning.text()

    # a click on the step takes the tool; two points, and the length between them typed
    person.push(workspace.job_bar.button("scale"))
    assert workspace.canvas.tool == "calibrate"
    workspace.canvas.setFocus()
    person.press(Qt.Key.Key_F9)
    drawn_mm = 10_000
    person.click(1_000, 2_000)
    person.click(1_000 + drawn_mm, 2_000)
    person.write("20 m")
    person.press(Qt.Key.Key_Return)
    person.settle(150)
    (after,) = workspace.session.project.plans.values()
    assert after.scaled_by is ScaledBy.CALIBRATED
    assert after.mm_per_unit == pytest.approx(2 * plan.mm_per_unit, rel=0.01)
    assert not workspace.bottom._warning.isVisible()
    step = workspace.job_bar.button("scale").step
    assert step is not None
    assert step.progress is Progress.DONE
