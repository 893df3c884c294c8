"""The main window: the start page, or the workspace of the open project."""

from pathlib import Path

from PySide6.QtCore import QEvent, QPoint, QSettings, Qt, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QMainWindow, QStackedWidget

from app.jobs import UnfoldedProject
from app.standards import RuleSet
from app.storage.recovery import FoundJournal
from app.ui import look, palette, project_files, recent
from app.ui.dialogs.about import AboutDialog
from app.ui.dialogs.dialog import show
from app.ui.dialogs.shortcuts import ShortcutsDialog
from app.ui.edit_actions import EditActions
from app.ui.menus import Menus
from app.ui.project_actions import ProjectActions
from app.ui.project_files import PROJECT_SUFFIX
from app.ui.rescue import Rescue
from app.ui.room_actions import RoomActions
from app.ui.samples import standing_samples
from app.ui.session import Session
from app.ui.start_page import PLAN_SUFFIXES, StartPage
from app.ui.view_actions import ViewActions
from app.ui.workspace import Workspace


class MainWindow(QMainWindow):
    """Opens, shows and saves one project at a time."""

    def __init__(self, rules: RuleSet) -> None:
        super().__init__()
        self._rules = rules
        self.workspace: Workspace | None = None
        self._edit: EditActions | None = None
        self._actions: ProjectActions | None = None
        self._look: ViewActions | None = None
        self._rooms: RoomActions | None = None
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self._tell_state)
        self._stack = QStackedWidget(self)
        self.start_page = StartPage(standing_samples(), self)
        self._stack.addWidget(self.start_page)
        self.setCentralWidget(self._stack)
        self.rescue = Rescue(self, rules)
        self.menus = Menus(self)
        self._wire_start_page()
        self.fill_file_menus()
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
        page.set_aside_asked.connect(self.rescue.show_set_aside)
        page.file_asked.connect(lambda name: self.open_path(Path(name)))
        page.files_dropped.connect(self.take_files)

    def fill_file_menus(self) -> None:
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
        aside = len(project_files.left_aside())
        self.start_page.show_set_aside(aside)
        self.menus.named["set_aside"].setEnabled(aside > 0)

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

    def show_opened(self, found: UnfoldedProject | None) -> bool:
        """Show an opened project in place of what was open."""
        if found is None:
            return False
        self._drop_workspace()
        session = project_files.session_of(found, self._rules)
        session.ask_in(self)
        self._show_session(session)
        self.fill_file_menus()
        project_files.say_soon(self, found.opened.notes)
        return True

    def _show_session(self, session: Session) -> Workspace:
        """Make the workspace of a session, and show it."""
        workspace = Workspace(session, self)
        self.workspace = workspace
        self._edit = EditActions(session, self, lambda: workspace.floor_id)
        self._actions = ProjectActions(workspace, self, import_plans=self.import_plans)
        self._look = ViewActions(workspace)
        self._stack.addWidget(workspace)
        self._stack.setCurrentWidget(workspace)
        self._wire_workspace(workspace)
        self.menus.put_tools(list(workspace.tools.actions_by_key.values()), workspace.canvas)
        self.menus.put_tables(list(workspace.drawer.actions_by_key.values()))
        self._tell_title()
        self._enable_actions()
        workspace.canvas.setFocus(Qt.FocusReason.OtherFocusReason)
        return workspace

    def _wire_workspace(self, workspace: Workspace) -> None:
        session = workspace.session
        session.changed.connect(self._after_change)
        session.selected.connect(self._after_selection)
        workspace.step_asked.connect(self.actions_here().do_step)
        workspace.trouble_asked.connect(self.rescue.tell_trouble)
        workspace.finding_asked.connect(self.actions_here().show_finding)
        workspace.drawer.which_floor_asked.connect(self.actions_here().which_floor)
        workspace.panel.import_asked.connect(lambda: self.import_plans())
        workspace.panel.finding_asked.connect(self.actions_here().show_finding)
        workspace.panel.tool_asked.connect(workspace.take_tool)
        self._rooms = RoomActions(workspace, self)
        workspace.panel.room_asked.connect(self._rooms.do)
        workspace.panel.unit_asked.connect(self.actions_here().correct_unit)
        workspace.canvas.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        workspace.canvas.customContextMenuRequested.connect(self._show_context_menu)
        workspace.canvas.files_dropped.connect(self.take_files)
        workspace.canvas.edit_requested.connect(lambda _: workspace.panel.focus_first())

    def _show_context_menu(self, at: QPoint) -> None:
        if self.workspace is not None:
            self.workspace.show_context_menu(at, self.menus.context_menu())

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
        self.workspace = self._edit = self._actions = self._look = self._rooms = None
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
            self.open_file(Path(name))

    def open_file(self, path: Path) -> bool:
        """Open a project file, which may be the one that is open."""
        leaving = None if self.workspace is None else self.workspace.session.document
        return self.show_opened(project_files.open_file(self, path, self._rules, leaving=leaving))

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
                self.open_file(projects[0])
            return
        self.import_plans(paths)

    def close_project(self) -> None:
        """Back to the start page."""
        if self.may_drop():
            self._drop_workspace()
            self._stack.setCurrentWidget(self.start_page)
            self.fill_file_menus()
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
        imported = project_files.import_all(
            self, workspace.session, chosen, floor_id=workspace.floor_id
        )
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
            self.fill_file_menus()
        self._tell_title()
        return done

    # --- editing ------------------------------------------------------------------------

    def _need(self) -> Workspace:
        assert self.workspace is not None
        return self.workspace

    def edit(self) -> EditActions:
        """The commands of the Edit menu."""
        assert self._edit is not None
        return self._edit

    def actions_here(self) -> ProjectActions:
        """The commands of File, Project and Check that want an open project."""
        assert self._actions is not None
        return self._actions

    def look_here(self) -> ViewActions:
        """The commands of the View menu that want an open project."""
        assert self._look is not None
        return self._look

    def undo(self) -> None:
        self._need().session.undo()

    def redo(self) -> None:
        self._need().session.redo()

    # --- looking ------------------------------------------------------------------------

    def change_text(self, steps: int) -> None:
        """Larger or smaller text, kept for next time."""
        look.step_scale(steps)
        self._dress()

    def change_scheme(self, scheme: str) -> None:
        """Light, dark, or as the desktop; kept for next time."""
        QSettings().setValue("look/scheme", scheme)
        self._dress()

    def _dress(self) -> None:
        """Everything is made anew, so that nothing keeps an old size or colour."""
        workspace = self.workspace
        floor = table = draws = None
        tool = "select"
        chosen: tuple[str, ...] = ()
        if workspace is not None:
            floor, table = workspace.floor_id, workspace.drawer.open_key
            tool, draws = workspace.canvas.tool, workspace.draws
            chosen = workspace.session.selection.ids
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
        self.fill_file_menus()
        self._stack.setCurrentWidget(self.start_page)
        if workspace is not None:
            made = self._show_session(workspace.session)
            made.show_floor(floor)
            if table is not None:
                made.drawer.open_table(table)
            if draws is not None:
                made.take_up(tool, draws, chosen)

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
