"""What the Rooms menu does: the client's list, and outlets placed by it."""

from collections.abc import Sequence
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtWidgets import QFileDialog, QWidget

from app.editor.commands.client_list import remove_list, take_names
from app.editor.commands.outlets import NEW, Standing
from app.editor.commands.placing_from_list import place_what_is_left
from app.editor.tools.one_click import standing_of
from app.geometry.walls import Triangle
from app.jobs.client_lists import write_rooms
from app.model.entities import Space
from app.storage.lists import read_list
from app.ui import project_files
from app.ui.dialogs.asking import choose
from app.ui.dialogs.client_list import ClientListDialog, news_words
from app.ui.dialogs.dialog import show
from app.ui.dialogs.estimate import EstimateDialog
from app.ui.words import counted
from app.ui.worker import run_with_progress
from app.ui.workspace import Workspace

LISTS = "Room lists (*.csv *.txt *.tsv *.xlsx *.xlsm)"
WORKBOOK, CSV = "Workbook (*.xlsx)", "CSV (*.csv)"


class RoomActions:
    """Dialogs and commands on the rooms of one workspace, over its window."""

    def __init__(self, workspace: Workspace, window: QWidget) -> None:
        self._workspace = workspace
        self._session = workspace.session
        self._window = window

    # --- the list -----------------------------------------------------------------------

    def read_list(self) -> None:
        """Ask for a list, and read it in."""
        name, _ = QFileDialog.getOpenFileName(
            self._window, "Read the client's list", "", f"{LISTS};;All files (*)"
        )
        if name:
            self.read_list_of(Path(name))

    def read_list_of(self, path: Path) -> None:
        """Read a file, match its columns, and take it in."""
        read = project_files.told(
            self._window,
            lambda: run_with_progress(
                self._window, f"Reading {path.name}", lambda _p: read_list(path)
            ),
        )
        if read is None:
            return
        dialog = ClientListDialog(
            read,
            self._session,
            self._window,
            read_sheet=lambda sheet: read_list(path, sheet=sheet),
        )
        if not show(dialog) or dialog.taken is None:
            return
        told = news_words(dialog.taken)
        rooms = counted(len(dialog.account.lines), "room")
        self._workspace.drawer.open_table("spaces")
        self._session.message.emit(f"{path.name} read in: {rooms}{f'; {told}' if told else ''}.")

    def take_names(self) -> None:
        """Give rooms without a name or use those of the list."""
        session = self._session
        session.do(lambda: take_names(session.project, session.rules))

    def take_out(self) -> None:
        """Take a list with its lines out of the project."""
        lists = list(self._session.project.client_lists.values())
        if not lists:
            self._session.refuse("There is no client's list in this project.")
            return
        verbs = [f"Take out “{entry.name}”" for entry in lists]
        chosen = choose(self._window, "Its lines go with it; outlets that are placed stay.", verbs)
        if chosen is not None:
            entry = lists[chosen]
            self._session.do(lambda: remove_list(self._session.project, entry.id))

    def show_rooms(self) -> None:
        """Open the table of the rooms."""
        self._workspace.drawer.open_table("spaces")

    def write(self) -> None:
        """Write the rooms with the result."""
        name, sort = QFileDialog.getSaveFileName(
            self._window, "Write the rooms", "rooms.xlsx", f"{WORKBOOK};;{CSV}"
        )
        if not name:
            return
        path = Path(name)
        if path.suffix.lower() not in (".xlsx", ".csv"):
            path = path.with_name(path.name + (".csv" if sort == CSV else ".xlsx"))
        design = self._session.design

        def written() -> Path:
            write_rooms(design, path)
            return path

        if project_files.told(
            self._window,
            lambda: run_with_progress(self._window, "Writing the rooms", lambda _p: written()),
        ):
            self._session.message.emit(f"Rooms written: {path}")

    def do(self, what: str) -> None:
        """“place” or “spread” what is left in the selected room."""
        if what == "place":
            self.place_from_list()
        else:
            self.spread_what_is_left()

    # --- placing ------------------------------------------------------------------------

    def place_from_list(self) -> None:
        """Take the outlet tool, placing what the list of each room still asks for."""
        workspace = self._workspace
        draws = replace(workspace.draws, from_list=True)
        workspace.take_up("outlet", draws, workspace.session.selection.ids)

    def _standing(self) -> Standing:
        """The state, phase and provider chosen for what is drawn next."""
        hand = self._workspace.canvas.bench.hand
        return NEW if hand is None else standing_of(hand.context)

    def _doors(self, space: Space) -> Sequence[Triangle]:
        """The leaves of a room's doors, where a plan of its floor is in sight."""
        hand = self._workspace.canvas.bench.hand
        return () if hand is None else hand.catcher.door_leaves(space)

    def spread_what_is_left(self) -> None:
        """Spread over the selected room all that it still wants."""
        session = self._session
        project, design = session.project, session.design
        chosen = session.selection.ids
        rooms = [i for i in chosen if i in project.spaces]
        rooms += [r for o in chosen if (r := design.space_of.get(o)) is not None]
        once = list(dict.fromkeys(rooms))
        if len(once) != 1:
            session.refuse("Select one room first, or an outlet in it.")
            return
        draws, standing = self._workspace.draws, self._standing()
        before = set(project.outlets)
        done = session.do(
            lambda: place_what_is_left(
                project,
                once[0],
                pattern=draws.number_pattern,
                standing=standing,
                doors=self._doors(project.spaces[once[0]]),
                retired=session.document.retired_numbers,
            )
        )
        if done:
            session.select(i for i in session.project.outlets if i not in before)

    def type_count(self) -> None:
        """Type a first count, and spread it."""
        workspace, session = self._workspace, self._session
        dialog = EstimateDialog(
            session,
            workspace.floor_id,
            self._window,
            pattern=workspace.draws.number_pattern,
            standing=self._standing(),
            doors_in=self._doors,
        )
        if not show(dialog) or dialog.made is None:
            return
        made = dialog.made
        here = [i for i in made.placed if session.project.outlets[i].floor == workspace.floor_id]
        session.select(here)
        told = [f"{counted(len(made.placed), 'outlet')} spread"] if made.placed else []
        if made.only_required:
            told.append(
                f"{counted(made.only_required, 'outlet')} only asked for, in rooms not drawn yet"
            )
        session.message.emit(f"{'; '.join(told)}.")
