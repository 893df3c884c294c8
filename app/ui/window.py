"""The main window: the start page, or the workspace of the open project."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEvent, QSettings, Qt, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QMainWindow, QStackedWidget

from app.jobs import take_off
from app.jobs.reading import runs_csv
from app.resource_files import sample_path
from app.siting.cures import cure_of
from app.standards import RuleSet
from app.storage.recovery import FoundJournal
from app.ui import look, palette, project_files, recent
from app.ui.dialogs.about import AboutDialog
from app.ui.dialogs.backbone import BackboneDialog
from app.ui.dialogs.catalogue import CableTypesDialog, OutletKindsDialog
from app.ui.dialogs.dialog import show
from app.ui.dialogs.finding import FindingDialog
from app.ui.dialogs.floors import FloorsDialog
from app.ui.dialogs.plan_unit import PlanUnitDialog
from app.ui.dialogs.settings import SettingsDialog
from app.ui.dialogs.shortcuts import ShortcutsDialog
from app.ui.dialogs.site import SiteDialog
from app.ui.dialogs.takeoff import TakeoffDialog
from app.ui.dialogs.which_floor import WhichFloorDialog, answers_of
from app.ui.edit_actions import EditActions
from app.ui.menus import Menus
from app.ui.project_files import PROJECT_SUFFIX, Opened
from app.ui.session import Session
from app.ui.start_page import PLAN_SUFFIXES, StartPage
from app.ui.words import name_of
from app.ui.worker import run_with_progress
from app.ui.workspace import Workspace

SAMPLES = (
    (
        "ferry-terminal.drawcord",
        "Open the ferry terminal",
        "A sample of three floors, with runs that are too long.",
    ),
    (
        "small-office.drawcord",
        "Open the small office",
        "A sample for the first five minutes: one floor, 24 outlets.",
    ),
)
TOOL_OF_STEP = {"spaces": "space", "pathways": "pathway", "outlets": "outlet", "frames": "frame"}


class MainWindow(QMainWindow):
    """Opens, shows and saves one project at a time."""

    def __init__(self, rules: RuleSet) -> None:
        super().__init__()
        self._rules = rules
        self.workspace: Workspace | None = None
        self._edit: EditActions | None = None
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self._tell_state)
        self._stack = QStackedWidget(self)
        self.start_page = StartPage(standing_samples(), self)
        self._stack.addWidget(self.start_page)
        self.setCentralWidget(self._stack)
        self.menus = Menus(self)
        self._wire_start_page()
        self._fill_file_menus()
        self.menus.named[f"scheme_{look.stored_scheme()}"].setChecked(True)
        self.resize(1280, 800)
        self.setMinimumSize(look.em(60), look.em(38))
        self._tell_title()
        self._enable_actions()

    # --- start page and menus -----------------------------------------------------------

    def _wire_start_page(self) -> None:
        page = self.start_page
        page.plan_asked.connect(self.import_plans)
        page.project_asked.connect(self.ask_to_open)
        page.sample_asked.connect(self.open_sample)
        page.new_asked.connect(self.new_project)
        page.file_asked.connect(lambda name: self.open_path(Path(name)))
        page.files_dropped.connect(self.take_files)

    def _fill_file_menus(self) -> None:
        menus, files = self.menus, recent.recent_files()
        menus.recent_menu.clear()
        for path in files:
            action = menus.recent_menu.addAction(path.name)
            action.setToolTip(str(path))
            action.setEnabled(path.exists())
            action.triggered.connect(lambda _=False, p=path: self.open_path(p))
        menus.recent_menu.setEnabled(bool(files))
        if not menus.samples_menu.actions():
            for name, title, _ in standing_samples():
                action = menus.samples_menu.addAction(title)
                action.triggered.connect(lambda _=False, n=name: self.open_sample(n))
        menus.samples_menu.setEnabled(bool(menus.samples_menu.actions()))
        self.start_page.show_recent(files)

    def _enable_actions(self) -> None:
        workspace = self.workspace
        for action in self.menus.wanting_project:
            action.setEnabled(workspace is not None)
        chosen = workspace is not None and bool(workspace.session.selection.ids)
        for action in self.menus.wanting_selection:
            action.setEnabled(chosen)
        for menu in (self.menus.tools_menu, self.menus.tables_menu):
            menu.setEnabled(workspace is not None)
        self._tell_undo()

    def _tell_undo(self) -> None:
        document = None if self.workspace is None else self.workspace.session.document
        for key, label in (
            ("undo", None if document is None else document.undo_label),
            ("redo", None if document is None else document.redo_label),
        ):
            action, verb = self.menus.named[key], key.capitalize()
            action.setEnabled(label is not None)
            action.setText(f"&{verb}: {label}" if label else f"&{verb}")

    def _tell_title(self) -> None:
        if self.workspace is None:
            self.setWindowTitle("Drawcord")
            self.setWindowModified(False)
            return
        document = self.workspace.session.document
        name = document.path.name if document.path else document.project.site.name or "Unsaved"
        self.setWindowTitle(f"{name}[*] – Drawcord")
        edited = document.undo_label is not None or document.file is not None
        self.setWindowModified(edited and not document.is_saved)

    # --- opening and closing ------------------------------------------------------------

    def show_opened(self, found: Opened | None) -> bool:
        """Show an opened project in place of what was open."""
        if found is None:
            return False
        self._drop_workspace()
        session = project_files.session_of(found, self._rules)
        session.ask_in(self)
        self._show_session(session)
        self._fill_file_menus()
        self._say_notes(found.opened.notes)
        return True

    def _show_session(self, session: Session) -> Workspace:
        """Make the workspace of a session, and show it."""
        workspace = Workspace(session, self)
        self.workspace = workspace
        self._edit = EditActions(session, self, lambda: workspace.floor_id)
        self._stack.addWidget(workspace)
        self._stack.setCurrentWidget(workspace)
        self._wire_workspace(workspace)
        self.menus.put_tools(list(workspace.tools.actions_by_key.values()), workspace.canvas)
        self.menus.put_tables(list(workspace.drawer.actions_by_key.values()))
        self._tell_title()
        self._enable_actions()
        workspace.canvas.setFocus(Qt.FocusReason.OtherFocusReason)
        return workspace

    def _say_notes(self, notes: Sequence[str]) -> None:
        if notes:
            sentence = "\n\n".join(notes)
            QTimer.singleShot(0, lambda: project_files.say(self, sentence, title="Worth knowing"))

    def _wire_workspace(self, workspace: Workspace) -> None:
        session = workspace.session
        session.changed.connect(self._after_change)
        session.selected.connect(self._after_selection)
        workspace.step_asked.connect(self.do_step)
        workspace.finding_asked.connect(self.show_finding)
        workspace.drawer.which_floor_asked.connect(self.which_floor)
        workspace.panel.import_asked.connect(lambda: self.import_plans())
        workspace.panel.tool_asked.connect(workspace.take_tool)
        workspace.panel.unit_asked.connect(self.correct_unit)
        workspace.canvas.files_dropped.connect(self.take_files)
        workspace.canvas.edit_requested.connect(lambda _: self.focus_panel())

    def _after_selection(self, _ids: tuple[str, ...]) -> None:
        self._enable_actions()

    def _after_change(self, _changed: object) -> None:
        self._soon.start()

    def _tell_state(self) -> None:
        self._tell_title()
        self._tell_undo()

    def _drop_workspace(self) -> None:
        workspace = self.workspace
        if workspace is None:
            return
        session = workspace.session
        self._drop_widgets(workspace)
        session.close()
        session.document.close()

    def _drop_widgets(self, workspace: Workspace) -> None:
        self.workspace, self._edit = None, None
        workspace.session.changed.disconnect(self._after_change)
        workspace.session.selected.disconnect(self._after_selection)
        self.menus.tools_menu.clear()
        self.menus.tables_menu.clear()
        self._stack.removeWidget(workspace)
        workspace.hide()
        workspace.canvas.shut()
        workspace.deleteLater()

    def may_drop(self) -> bool:
        """Whether what is open may go: asks about edits that are not saved."""
        if self.workspace is None:
            return True
        return project_files.may_close(self, self.workspace.session.document)

    def new_project(self) -> None:
        if self.may_drop():
            self.show_opened(project_files.begin_empty(self, self._rules))

    def ask_to_open(self) -> None:
        if not self.may_drop():
            return
        name, _ = QFileDialog.getOpenFileName(
            self, "Open a project", "", project_files.PROJECT_FILES
        )
        if name:
            self.show_opened(project_files.open_file(self, Path(name), self._rules))

    def open_path(self, path: Path) -> None:
        """Open a project, or begin one with a plan."""
        self.take_files([str(path)])

    def open_sample(self, name: str) -> None:
        if self.may_drop():
            self.show_opened(project_files.open_sample(self, name, self._rules))

    def recover(self, journal: FoundJournal) -> None:
        """Open what a crash left of a project that never had a file."""
        if self.may_drop():
            self.show_opened(project_files.recover(self, journal, self._rules))

    def take_files(self, names: list[str]) -> None:
        """Files let fall here: the first project is opened, plans are imported."""
        paths = [Path(n) for n in names]
        projects = [p for p in paths if p.suffix.lower() == PROJECT_SUFFIX]
        if projects:
            if self.may_drop():
                self.show_opened(project_files.open_file(self, projects[0], self._rules))
            return
        self.import_plans(paths)

    def close_project(self) -> None:
        """Back to the start page."""
        if self.may_drop():
            self._drop_workspace()
            self._stack.setCurrentWidget(self.start_page)
            self._fill_file_menus()
            self._tell_title()
            self._enable_actions()

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.may_drop():
            event.ignore()
            return
        self._drop_workspace()
        QSettings().setValue("window/geometry", self.saveGeometry())
        event.accept()

    # --- files --------------------------------------------------------------------------

    def import_plans(self, paths: list[Path] | None = None) -> None:
        """Import plans into the open project, or into a new one."""
        chosen = project_files.ask_for_plans(self) if paths is None else paths
        if not chosen:
            return
        strange = [p for p in chosen if p.suffix.lower() not in PLAN_SUFFIXES]
        if len(strange) == len(chosen) and not chosen[0].exists():
            project_files.say(self, f"There is no file “{chosen[0]}”.")
            return
        if self.workspace is None and not self.show_opened(
            project_files.begin_empty(self, self._rules)
        ):
            return
        workspace = self.workspace
        assert workspace is not None
        imported = None
        for path in chosen:
            floor = project_files.import_into(
                self, workspace.session, path, floor_id=workspace.floor_id
            )
            imported = floor or imported
        if imported is not None:
            workspace.show_floor(imported)
            workspace.canvas.drawings_changed()
            workspace.canvas.fit()
        elif not workspace.session.project.plans and workspace.session.document.undo_label is None:
            self.close_project()

    def save(self) -> bool:
        if self.workspace is None:
            return False
        done = project_files.save(self, self.workspace.session.document)
        return self._after_saving(done)

    def save_as(self) -> bool:
        if self.workspace is None:
            return False
        return self._after_saving(project_files.save_as(self, self.workspace.session.document))

    def _after_saving(self, done: bool) -> bool:
        if done and self.workspace is not None:
            self.workspace.bottom.show_message("Saved.")
            self._fill_file_menus()
        self._tell_title()
        return done

    def write_takeoff(self) -> None:
        """Look at the takeoff, and write it."""
        workspace = self._need()
        dialog = TakeoffDialog(workspace.session, self)
        if show(dialog) and dialog.path is not None:
            self.write_takeoff_to(dialog.path)

    def write_takeoff_to(self, path: Path) -> None:
        """Write the takeoff to a file or folder."""
        workspace = self._need()
        design, rules = workspace.session.design, self._rules
        written = project_files.told(
            self,
            lambda: run_with_progress(
                self, "Writing the takeoff", lambda _p: take_off(design, path, rules=rules)
            ),
        )
        if written:
            workspace.takeoff_revision = workspace.session.document.revision
            workspace.refresh_counts()
            workspace.bottom.show_message(f"Takeoff written: {path}")

    def write_runs(self) -> None:
        """Write every run with its parts."""
        workspace = self._need()
        name, _ = QFileDialog.getSaveFileName(self, "Write the runs", "runs.csv", "CSV (*.csv)")
        if name:
            design = workspace.session.design
            project_files.told(self, lambda: runs_csv(design, Path(name)))
            workspace.bottom.show_message(f"Runs written: {name}")

    # --- editing ------------------------------------------------------------------------

    def _need(self) -> Workspace:
        assert self.workspace is not None
        return self.workspace

    def edit(self) -> EditActions:
        """The commands of the Edit menu."""
        assert self._edit is not None
        return self._edit

    def undo(self) -> None:
        self._need().session.undo()

    def redo(self) -> None:
        self._need().session.redo()

    def do_step(self, key: str) -> None:
        """Do a step of the job."""
        workspace = self._need()
        project = workspace.session.project
        if key == "plan":
            self.import_plans()
        elif key == "scale":
            plans = [p for p in project.plans.values() if p.floor == workspace.floor_id]
            if plans:
                workspace.session.select([plans[0].id])
                workspace.take_tool("calibrate")
            else:
                self.import_plans()
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
        workspace = self._need()
        if key == "findings":
            workspace.drawer.open_table("findings")
        else:
            workspace.attend(key)

    def show_finding(self, key: str) -> None:
        """Open one finding."""
        session = self._need().session
        finding = next((f for f in session.design.findings if f.key == key), None)
        if finding is None:
            return
        design = session.design
        cure = project_files.told(
            self,
            lambda: run_with_progress(
                self, "Looking for a cure", lambda p: cure_of(design, finding, p)
            ),
        )
        dialog = FindingDialog(finding, session, self, cure=cure or "")
        dialog.thing_asked.connect(lambda thing: self._need().go_to((thing,)))
        show(dialog)

    def which_floor(self) -> None:
        """Try every frame and marked place, and show them side by side."""
        workspace = self._need()
        design = workspace.session.design
        answers = project_files.told(
            self,
            lambda: run_with_progress(
                self, "Trying every frame and marked place", lambda p: answers_of(design, p)
            ),
        )
        if answers is None:
            return
        dialog = WhichFloorDialog(answers, workspace.session, self)
        dialog.thing_asked.connect(lambda thing: workspace.go_to((thing,)))
        dialog.show()

    def correct_unit(self, plan_id: str) -> None:
        session = self._need().session
        show(PlanUnitDialog(session.project.plans[plan_id], session, self))

    def edit_site(self) -> None:
        show(SiteDialog(self._need().session, self))

    def edit_floors(self) -> None:
        workspace = self._need()
        show(FloorsDialog(workspace.session, workspace.floor_id, self))

    def edit_cable_types(self) -> None:
        show(CableTypesDialog(self._need().session, self))

    def edit_outlet_kinds(self) -> None:
        show(OutletKindsDialog(self._need().session, self))

    def add_backbone(self) -> None:
        show(BackboneDialog(self._need().session, self))

    def edit_settings(self) -> None:
        show(SettingsDialog(self._need().session, self))

    # --- looking ------------------------------------------------------------------------

    def fit(self) -> None:
        self._need().canvas.fit()

    def zoom(self, factor: float) -> None:
        self._need().canvas.zoom_by(factor)

    def zoom_to_selection(self) -> None:
        workspace = self._need()
        workspace.canvas.zoom_to(workspace.session.selection.ids)

    def step_floor(self, up: int) -> None:
        self._need().floors.step(up)

    def show_runs(self, mode: Any) -> None:
        self._need().canvas.show_runs(mode)

    def show_fill(self, shown: bool) -> None:
        self._need().canvas.show_fill(shown)

    def show_ghost(self, shown: bool) -> None:
        self._need().canvas.show_ghost(shown)

    def show_file_colours(self, shown: bool) -> None:
        self._need().canvas.set_plan_ink("file" if shown else "paper")

    def focus_canvas(self) -> None:
        self._need().canvas.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def focus_panel(self) -> None:
        self._need().panel.focus_first()

    def change_text(self, steps: int) -> None:
        """Larger or smaller text, kept for next time."""
        scales = look.TEXT_SCALES
        nearest = min(range(len(scales)), key=lambda i: abs(scales[i] - look.stored_scale()))
        scale = scales[max(0, min(len(scales) - 1, nearest + steps))]
        QSettings().setValue("look/text_scale", scale)
        self._dress()

    def change_scheme(self, scheme: str) -> None:
        """Light, dark, or as the desktop; kept for next time."""
        QSettings().setValue("look/scheme", scheme)
        self._dress()

    def _dress(self) -> None:
        """Everything is made anew, so that nothing keeps an old size or colour."""
        workspace = self.workspace
        floor = table = None
        if workspace is not None:
            floor, table = workspace.floor_id, workspace.drawer.open_key
            self._drop_widgets(workspace)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            look.dress(
                app,
                scheme=look.stored_scheme(),
                scale=look.stored_scale(),
                screen_height=self.screen().availableGeometry().height(),
            )
        self.start_page.deleteLater()
        self.start_page = StartPage(standing_samples(), self)
        self._stack.insertWidget(0, self.start_page)
        self._wire_start_page()
        self.start_page.show_recent(recent.recent_files())
        self._stack.setCurrentWidget(self.start_page)
        if workspace is not None:
            made = self._show_session(workspace.session)
            made.show_floor(floor)
            if table is not None:
                made.drawer.open_table(table)

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.ThemeChange and look.stored_scheme() == "system":
            wanted = palette.named("system")
            if wanted is not palette.current():
                self._dress()
        super().changeEvent(event)

    def toggle_full_screen(self) -> None:
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    def show_keys(self) -> None:
        show(ShortcutsDialog(self.menus.groups, self))

    def show_about(self) -> None:
        show(AboutDialog(self))

    def name_of_thing(self, thing: str) -> str:
        """What people call a thing of the open project."""
        return name_of(self._need().session.project, thing)


def standing_samples() -> tuple[tuple[str, str, str], ...]:
    """The samples that this installation has."""
    found = []
    for sample in SAMPLES:
        try:
            sample_path(sample[0])
        except FileNotFoundError:
            continue
        found.append(sample)
    return tuple(found)


__all__ = ["MainWindow", "standing_samples"]
