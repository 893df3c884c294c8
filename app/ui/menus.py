"""The menus: names, keys, and what they call."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

from app.editor.commands.aligning import Side
from app.ui.canvas.view import CanvasView
from app.ui.edit_actions import EditActions
from app.ui.kits_menu import add_proposing, fill_kits_menu
from app.ui.number_menu import fill_numbers_menu
from app.ui.project_actions import ProjectActions
from app.ui.rooms_menu import fill_rooms_menu
from app.ui.state_menu import fill_states_menu
from app.ui.telling_menu import fill_telling_menu
from app.ui.view_actions import ViewActions

if TYPE_CHECKING:
    from app.ui.window import MainWindow

Keys = str | QKeySequence.StandardKey
STD = QKeySequence.StandardKey


class Menus:
    """Builds the menus of a window; actions that want a project are told apart."""

    def __init__(self, window: "MainWindow") -> None:
        self._window = window
        self.wanting_project: list[QAction] = []
        self.wanting_selection: list[QAction] = []
        self.groups: list[tuple[str, list[QAction]]] = []
        self.named: dict[str, QAction] = {}
        self._file()
        self._edit()
        self._view()
        self.tools_menu = self._menu("&Tools")
        self._project()
        fill_numbers_menu(self._menu("&Numbers"), self._add, window)
        fill_rooms_menu(self._menu("&Rooms"), self._add, window)
        self._check()
        self._help()

    def _menu(self, title: str) -> QMenu:
        menu = self._window.menuBar().addMenu(title)
        menu.setToolTipsVisible(True)
        self.groups.append((title.replace("&", ""), []))
        return menu

    def _add(
        self,
        menu: QMenu,
        name: str,
        does: Callable[[], object],
        keys: Keys | None = None,
        *,
        key: str = "",
        project: bool = True,
        selection: bool = False,
        tip: str = "",
    ) -> QAction:
        action = QAction(name, self._window)
        if keys is not None:
            action.setShortcut(QKeySequence(keys))
        if tip:
            action.setToolTip(tip)
        action.triggered.connect(lambda _=False: does())
        menu.addAction(action)
        self.groups[-1][1].append(action)
        if key:
            self.named[key] = action
        if project:
            self.wanting_project.append(action)
        if selection:
            self.wanting_selection.append(action)
        return action

    def _on_selection(
        self, method: Callable[..., object], *arguments: object
    ) -> Callable[[], object]:
        """A command of the Edit menu, on whatever is open when it is called."""
        return lambda: method(self._window.edit(), *arguments)

    def _on_project(
        self, method: Callable[..., object], *arguments: object
    ) -> Callable[[], object]:
        return lambda: method(self._window.actions_here(), *arguments)

    def _on_view(self, method: Callable[..., object], *arguments: object) -> Callable[[], object]:
        return lambda: method(self._window.look_here(), *arguments)

    def _file(self) -> None:
        w, menu = self._window, self._menu("&File")
        self._add(menu, "&New", w.new_project, STD.New, project=False)
        self._add(menu, "&Open a project …", w.ask_to_open, STD.Open, project=False)
        self.recent_menu = menu.addMenu("Open &recent")
        self.samples_menu = menu.addMenu("Open a sa&mple")
        menu.addSeparator()
        self._add(menu, "&Import plans …", w.import_plans, "Ctrl+I", project=False)
        menu.addSeparator()
        self._add(menu, "&Save", w.save, STD.Save)
        self._add(menu, "Save &as …", w.save_as, "Ctrl+Shift+S")
        self._add(menu, "Go &back to the saved file …", w.rescue.go_back, key="go_back")
        self._add(
            menu, "E&dits set aside …", w.rescue.show_set_aside, key="set_aside", project=False
        )
        menu.addSeparator()
        self._add(
            menu, "Write the &takeoff …", self._on_project(ProjectActions.write_takeoff), "Ctrl+T"
        )
        self._add(menu, "Write the r&uns as CSV …", self._on_project(ProjectActions.write_runs))
        self._add(menu, "&Walk sheets …", self._on_project(ProjectActions.walk_sheets), STD.Print)
        menu.addSeparator()
        self._add(menu, "&Close the project", w.close_project, STD.Close)
        self._add(menu, "&Quit", w.close, STD.Quit, project=False)

    def _edit(self) -> None:
        w, menu = self._window, self._menu("&Edit")
        self._add(menu, "&Undo", w.undo, STD.Undo, key="undo")
        redo = self._add(menu, "&Redo", w.redo, key="redo")
        redo.setShortcuts([QKeySequence("Ctrl+Shift+Z"), QKeySequence("Ctrl+Y")])
        menu.addSeparator()
        on = self._on_selection
        self._add(menu, "&Delete", on(EditActions.delete), STD.Delete, key="delete", selection=True)
        self._add(
            menu, "Dupli&cate", on(EditActions.duplicate), "Ctrl+D", key="duplicate", selection=True
        )
        self._add(
            menu,
            "Copy to &floors …",
            on(EditActions.copy_to_floor),
            key="copy_to_floor",
            selection=True,
        )
        for name, does, keys, key in (
            ("C&opy", EditActions.copy, STD.Copy, "copy"),
            ("Paste in plac&e", EditActions.paste, STD.Paste, "paste"),
        ):
            action = self._add(menu, name, on(does), keys, key=key, selection=key == "copy")
            # Tables and fields have a copy and a paste of their own.
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self._add(menu, "Ta&ke to floor …", on(EditActions.move_to_floor), selection=True)
        fill_kits_menu(menu.addMenu("&Kits and copies"), self._add, w)
        menu.addSeparator()
        align = menu.addMenu("&Align")
        for side, name in (
            (Side.LEFT, "&Left sides"),
            (Side.RIGHT, "&Right sides"),
            (Side.TOP, "&Tops"),
            (Side.BOTTOM, "&Bottoms"),
            (Side.MIDDLE_ACROSS, "Middles on an &upright line"),
            (Side.MIDDLE_UP, "Middles on a le&vel line"),
        ):
            self._add(align, name, on(EditActions.align, side), selection=True)
        self._add(align, "On one lin&e", on(EditActions.align_on_line), selection=True)
        self._add(menu, "Space &evenly", on(EditActions.distribute), selection=True)
        self._add(
            menu, "Turn le&ft", on(EditActions.turn, 1), "Ctrl+[", key="turn_left", selection=True
        )
        self._add(
            menu,
            "Turn rig&ht",
            on(EditActions.turn, -1),
            "Ctrl+]",
            key="turn_right",
            selection=True,
        )
        for name, quarters, letter in (
            ("Turn to&gether left", 1, "Ctrl+R"),
            ("Turn together r&ight", -1, "Ctrl+Shift+R"),
        ):
            self._add(
                menu,
                name,
                on(EditActions.turn_together, quarters),
                letter,
                selection=True,
                tip="Everything selected, about its common middle",
            )
        self._add(menu, "&Mirror left and right", on(EditActions.mirror), selection=True)
        menu.addSeparator()
        self._add(menu, "&Join pathways", on(EditActions.join), "Ctrl+J", selection=True)
        self._add(menu, "Re&verse pathways", on(EditActions.reverse), selection=True)
        self._add(menu, "Add a &port", on(EditActions.add_port), selection=True)
        self.telling_menu = menu.addMenu("&Way of the runs")
        fill_telling_menu(self.telling_menu, self._add, w.edit, w.look_here)
        self._add(
            menu,
            "Put a frame at the marked &place",
            on(EditActions.place_becomes_frame),
            selection=True,
        )
        self.states_menu = menu.addMenu("State and phas&e")
        fill_states_menu(self.states_menu, self._add, w.edit)
        menu.addSeparator()
        self._add(
            menu, "&Select everything on this floor", on(EditActions.select_all), STD.SelectAll
        )
        self._add(
            menu,
            "Se&lect all alike",
            on(EditActions.select_alike),
            "Ctrl+Shift+A",
            key="select_alike",
            selection=True,
        )

    def _view(self) -> None:
        w, menu = self._window, self._menu("&View")
        self._add(menu, "&Fit the floor", self._on_view(ViewActions.fit), "Ctrl+0")
        self._add(menu, "Zoom &in", self._on_view(ViewActions.zoom, 1.25), STD.ZoomIn)
        self._add(menu, "Zoom &out", self._on_view(ViewActions.zoom, 0.8), STD.ZoomOut)
        self._add(
            menu,
            "Zoom to the &selection",
            self._on_view(ViewActions.zoom_to_selection),
            "Ctrl+F",
            key="zoom_to_selection",
            selection=True,
        )
        menu.addSeparator()
        self._add(menu, "Floor &up", self._on_view(ViewActions.step_floor, 1), "PgUp")
        self._add(menu, "Floor &down", self._on_view(ViewActions.step_floor, -1), "PgDown")
        menu.addSeparator()
        runs = menu.addMenu("&Runs")
        group = QActionGroup(w)
        for mode, name in (
            ("selected", "Of what is &selected"),
            ("all", "&All"),
            ("none", "&None"),
        ):
            action = self._add(
                runs, name, self._on_view(ViewActions.show_runs, mode), key=f"runs_{mode}"
            )
            action.setCheckable(True)
            action.setChecked(mode == "selected")
            group.addAction(action)
        self._toggle(
            menu,
            "How full &pathways are",
            lambda on: w.look_here().show_fill(shown=on),
            "Ctrl+L",
            key="fill",
        )
        self._toggle(
            menu,
            "Legend of s&tates and phases",
            lambda on: w.look_here().show_legend(shown=on),
            "Ctrl+E, S",
            key="legend",
        )
        self._add(
            menu,
            "Show all states an&d phases",
            self._on_view(ViewActions.show_all_states),
            "Ctrl+E, A",
        )
        self._toggle(
            menu,
            "&Plan of the floor below",
            lambda on: w.look_here().show_ghost(shown=on),
            key="ghost",
        )
        self._toggle(
            menu,
            "Plans in the &colours of their files",
            lambda on: w.look_here().show_file_colours(shown=on),
        )
        menu.addSeparator()
        self.tables_menu = menu.addMenu("&Tables")
        self._add(menu, "Go to the p&lan", self._on_view(ViewActions.focus_canvas), "F6")
        self._add(menu, "Go to the pan&el", self._on_view(ViewActions.focus_panel), "F7")
        menu.addSeparator()
        self._add(menu, "&Larger text", lambda: w.change_text(1), "Ctrl+Shift++", project=False)
        self._add(menu, "S&maller text", lambda: w.change_text(-1), "Ctrl+Shift+-", project=False)
        scheme = menu.addMenu("Li&ght and dark")
        schemes = QActionGroup(w)
        for key, name in (("system", "As the &desktop"), ("light", "&Light"), ("dark", "&Dark")):
            action = self._add(scheme, name, partial(w.change_scheme, key), project=False)
            action.setCheckable(True)
            schemes.addAction(action)
            self.named[f"scheme_{key}"] = action
        self._add(menu, "F&ull screen", w.toggle_full_screen, STD.FullScreen, project=False)

    def _toggle(
        self,
        menu: QMenu,
        name: str,
        does: Callable[[bool], object],
        keys: Keys | None = None,
        *,
        key: str = "",
    ) -> QAction:
        action = self._add(menu, name, lambda: None, keys, key=key)
        action.setCheckable(True)
        action.toggled.connect(does)
        return action

    def _project(self) -> None:
        menu = self._menu("&Project")
        self._add(menu, "S&ite card …", self._on_project(ProjectActions.edit_site))
        self._add(
            menu,
            "&Floors and buildings …",
            self._on_project(ProjectActions.edit_floors),
            "Ctrl+Shift+F",
        )
        self._add(menu, "&Cable types …", self._on_project(ProjectActions.edit_cable_types))
        self._add(menu, "&Outlet kinds …", self._on_project(ProjectActions.edit_outlet_kinds))
        self._add(menu, "Add &backbone cable …", self._on_project(ProjectActions.add_backbone))
        add_proposing(menu, self._add, self._window)
        self._add(menu, "&Restore points …", self._on_project(ProjectActions.restore_points))
        menu.addSeparator()
        self._add(menu, "&Settings …", self._on_project(ProjectActions.edit_settings), "Ctrl+,")

    def _check(self) -> None:
        menu = self._menu("&Check")
        self._add(menu, "&Findings", self._on_project(ProjectActions.attend, "findings"), "F4")
        self._add(menu, "Runs &over their limit", self._on_project(ProjectActions.attend, "over"))
        self._add(menu, "Runs &near their limit", self._on_project(ProjectActions.attend, "near"))
        self._add(
            menu, "Runs without a &route", self._on_project(ProjectActions.attend, "no_route")
        )
        self._add(
            menu, "Outlets without a n&umber", self._on_project(ProjectActions.attend, "unnumbered")
        )
        self._add(
            menu, "Outlets outside every &space", self._on_project(ProjectActions.attend, "outside")
        )
        self._add(
            menu, "Required and not &placed", self._on_project(ProjectActions.attend, "missing")
        )
        menu.addSeparator()
        self._add(
            menu,
            "&Which floor? …",
            self._on_project(ProjectActions.which_floor),
            "Ctrl+Shift+W",
            key="which_floor",
        )

    def _help(self) -> None:
        w, menu = self._window, self._menu("&Help")
        self._add(menu, "&Keys", w.show_keys, "F1", project=False)
        self._add(menu, "&About Drawcord", w.show_about, project=False)

    def context_menu(self) -> QMenu:
        """What is done most to a thing on the plan."""
        menu = QMenu(self._window)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        names = (
            "zoom_to_selection",
            "",
            "delete",
            "copy",
            "paste",
            "duplicate",
            "copy_to_floor",
            "turn_left",
            "turn_right",
            "",
            "select_alike",
        )
        for name in names:
            if name:
                menu.addAction(self.named[name])
            else:
                menu.addSeparator()
        menu.addMenu(self.states_menu)
        menu.addMenu(self.telling_menu)
        return menu

    def put_tools(self, actions: list[QAction], canvas: CanvasView) -> None:
        """The tools of a new workspace; their single letters work while the plan has the keys."""
        self.tools_menu.clear()
        for action in actions:
            self.tools_menu.addAction(action)
            canvas.addAction(action)
        for key in ("copy", "paste"):
            canvas.addAction(self.named[key])
        self.groups[[g[0] for g in self.groups].index("Tools")] = ("Tools", list(actions))

    def put_tables(self, actions: list[QAction]) -> None:
        """The tables of a new workspace."""
        self.tables_menu.clear()
        for action in actions:
            self.tables_menu.addAction(action)
