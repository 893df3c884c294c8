"""What the menus File, Project and Check, and the way of the job, do to the open project."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QFileDialog, QWidget

from app.jobs import take_off
from app.jobs.reading import runs_csv
from app.jobs.walking import write_pages
from app.siting.cures import cure_of
from app.siting.which_floor import PlaceAnswer
from app.ui import project_files
from app.ui.dialogs.backbone import BackboneDialog
from app.ui.dialogs.catalogue import CableTypesDialog, OutletKindsDialog
from app.ui.dialogs.dialog import show
from app.ui.dialogs.finding import FindingDialog
from app.ui.dialogs.floors import FloorsDialog
from app.ui.dialogs.plan_unit import PlanUnitDialog
from app.ui.dialogs.restore_points import RestorePointsDialog
from app.ui.dialogs.settings import SettingsDialog
from app.ui.dialogs.site import SiteDialog
from app.ui.dialogs.takeoff import TakeoffDialog, tables_of
from app.ui.dialogs.walk import WalkDialog
from app.ui.dialogs.which_floor import WhichFloorDialog, answers_of
from app.ui.worker import run_with_progress
from app.ui.workspace import Workspace

TOOL_OF_STEP = {"spaces": "space", "pathways": "pathway", "outlets": "outlet", "frames": "frame"}


def _written_runs(design: Any, path: Path) -> Path:
    runs_csv(design, path)
    return path


class ProjectActions:
    """Dialogs and jobs on the project of one workspace, over its window."""

    def __init__(
        self, workspace: Workspace, window: QWidget, *, import_plans: Callable[[], None]
    ) -> None:
        self._workspace = workspace
        self._window = window
        self._import_plans = import_plans

    def write_takeoff(self) -> None:
        """Look at the takeoff, and write it."""
        workspace = self._workspace
        session = workspace.session
        design, rules = session.design, session.rules
        tables = project_files.told(
            self._window,
            lambda: run_with_progress(
                self._window, "Taking off", lambda _p: tables_of(design, rules)
            ),
        )
        if tables is None:
            return
        dialog = TakeoffDialog(tables, session, self._window)
        if show(dialog) and dialog.path is not None:
            self.write_takeoff_to(dialog.path)

    def write_takeoff_to(self, path: Path) -> None:
        """Write the takeoff to a file or folder."""
        workspace = self._workspace
        design, rules = workspace.session.design, self._workspace.session.rules
        written = project_files.told(
            self._window,
            lambda: run_with_progress(
                self._window, "Writing the takeoff", lambda _p: take_off(design, path, rules=rules)
            ),
        )
        if written:
            workspace.takeoff_revision = workspace.session.document.revision
            workspace.refresh_counts()
            workspace.bottom.show_message(f"Takeoff written: {path}")

    def write_runs(self) -> None:
        """Write every run with its parts."""
        workspace = self._workspace
        name, _ = QFileDialog.getSaveFileName(
            self._window, "Write the runs", "runs.csv", "CSV (*.csv)"
        )
        if name:
            design = workspace.session.design
            written = project_files.told(
                self._window,
                lambda: run_with_progress(
                    self._window,
                    "Writing the runs",
                    lambda _p: _written_runs(design, Path(name)),
                ),
            )
            if written:
                workspace.bottom.show_message(f"Runs written: {name}")

    def walk_sheets(self) -> None:
        """Look at the walk sheets, and write them."""
        workspace = self._workspace
        session = workspace.session
        hashes = {p.drawing_sha256 for p in session.project.plans.values()}
        drawings = {h: d for h in hashes if (d := session.drawings(h)) is not None}
        dialog = WalkDialog(session, drawings, workspace.floor_id, self._window)
        if not show(dialog) or dialog.path is None:
            return
        path, pages = dialog.path, dialog.pages
        written = project_files.told(
            self._window,
            lambda: run_with_progress(
                self._window,
                "Writing the walk sheets",
                lambda p: write_pages(session.design, pages, path, progress=p),
            ),
        )
        if written:
            workspace.bottom.show_message(f"Walk sheets written: {path}")

    def restore_points(self) -> None:
        """Show the restore points beside the plan."""
        workspace = self._workspace
        dialog = RestorePointsDialog(workspace.session, workspace)
        dialog.thing_asked.connect(lambda thing: workspace.go_to((thing,)))
        dialog.show()

    def do_step(self, key: str) -> None:
        """Do a step of the job."""
        workspace = self._workspace
        project = workspace.session.project
        if key == "plan":
            self._import_plans()
        elif key == "scale":
            plans = [p for p in project.plans.values() if p.floor == workspace.floor_id]
            if plans:
                workspace.session.select([plans[0].id])
                workspace.take_tool("calibrate")
            else:
                self._import_plans()
        elif key == "check":
            self.attend("findings")
        elif key == "takeoff":
            self.write_takeoff()
        elif key == "outlets" and workspace.has_missing():
            self.attend("missing")
        elif key == "pathways" and workspace.wants_riser():
            workspace.take_tool("riser")
        else:
            workspace.take_tool(TOOL_OF_STEP[key])

    def attend(self, key: str) -> None:
        """Open the table that shows what a count speaks of."""
        workspace = self._workspace
        if key == "findings":
            workspace.drawer.open_table("findings")
        else:
            workspace.attend(key)

    def show_finding(self, key: str) -> None:
        """Open one finding."""
        session = self._workspace.session
        finding = next((f for f in session.design.findings if f.key == key), None)
        if finding is None:
            return
        design = session.design
        cure = project_files.told(
            self._window,
            lambda: run_with_progress(
                self._window, "Looking for a cure", lambda p: cure_of(design, finding, p)
            ),
        )
        dialog = FindingDialog(finding, session, self._window, cure=cure or "")
        dialog.thing_asked.connect(lambda thing: self._workspace.go_to((thing,)))
        show(dialog)

    def which_floor(self) -> None:
        """Try every frame and marked place, and show them side by side."""
        answers = self._try_places()
        if answers is None:
            return
        workspace = self._workspace
        dialog = WhichFloorDialog(answers, workspace.session, workspace)
        dialog.thing_asked.connect(lambda thing: workspace.go_to((thing,)))
        dialog.again_asked.connect(lambda: self._try_again(dialog))
        dialog.show()

    def _try_places(self) -> tuple[PlaceAnswer, ...] | None:
        design = self._workspace.session.design
        answers: tuple[PlaceAnswer, ...] | None = project_files.told(
            self._window,
            lambda: run_with_progress(
                self._window, "Trying every frame and marked place", lambda p: answers_of(design, p)
            ),
        )
        return answers

    def _try_again(self, dialog: WhichFloorDialog) -> None:
        answers = self._try_places()
        if answers is not None:
            dialog.show_answers(answers)

    def correct_unit(self, plan_id: str) -> None:
        session = self._workspace.session
        show(PlanUnitDialog(session.project.plans[plan_id], session, self._window))

    def edit_site(self) -> None:
        show(SiteDialog(self._workspace.session, self._window))

    def edit_floors(self) -> None:
        workspace = self._workspace
        show(FloorsDialog(workspace.session, workspace.floor_id, self._window))

    def edit_cable_types(self) -> None:
        show(CableTypesDialog(self._workspace.session, self._window))

    def edit_outlet_kinds(self) -> None:
        show(OutletKindsDialog(self._workspace.session, self._window))

    def add_backbone(self) -> None:
        show(BackboneDialog(self._workspace.session, self._window))

    def edit_settings(self) -> None:
        show(SettingsDialog(self._workspace.session, self._window))
