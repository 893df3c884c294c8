"""What the Numbers menu does: numbers of outlets, panels and ports of runs, what is printed."""

from PySide6.QtWidgets import QWidget

from app.editor.asking import Answer, Outcome, Question
from app.editor.commands.number_samples import next_outlet_words
from app.editor.commands.panel_ports import enter_ports, give_ports, take_ports_back
from app.editor.commands.printing import mark_printed, release_numbers
from app.editor.commands.renumbering import number_clockwise, renumber
from app.editor.tools.number_line import ALREADY
from app.editor.wording import counted as things_counted
from app.model.entities import Outlet
from app.model.project import Project
from app.ui.dialogs.dialog import show
from app.ui.dialogs.number_list import NumberListDialog
from app.ui.dialogs.panels import PanelsDialog
from app.ui.dialogs.pattern import PatternDialog
from app.ui.dialogs.settings import SettingsDialog
from app.ui.words import counted
from app.ui.workspace import Workspace


class NumberActions:
    """Runs the commands on what is selected in a workspace, over its window."""

    def __init__(self, workspace: Workspace, window: QWidget) -> None:
        self._workspace = workspace
        self._session = workspace.session
        self._window = window

    def _chosen(self, table: str) -> tuple[str, ...]:
        things = getattr(self._session.project, table)
        return tuple(i for i in self._session.selection.ids if i in things)

    # --- outlets ------------------------------------------------------------------------

    def in_rows(self) -> None:
        """Ask for the pattern, and number what is selected row by row."""
        session = self._session
        retired = session.document.retired_numbers
        dialog = PatternDialog(
            "Renumber",
            f"{counted(len(session.selection.ids), 'selected thing')}, row by row from the top "
            "left. Printed ones keep their numbers.",
            "Renumber",
            lambda text: next_outlet_words(
                session.project, text, floor_id=self._workspace.floor_id, retired=retired
            ),
            self._window,
            text=session.project.settings.outlet_pattern,
        )
        if show(dialog):
            ids, pattern, before = session.selection.ids, dialog.pattern, session.project
            if session.do(lambda: renumber(session.project, ids, pattern, retired=retired)):
                self._tell_numbered(before, "row by row")

    def room_clockwise(self) -> None:
        """Number the selected room, or the room of the selected outlet beginning with it."""
        session = self._session
        outlets, spaces = self._chosen("outlets"), self._chosen("spaces")
        rooms = dict.fromkeys(r for o in outlets if (r := session.design.space_of.get(o)))
        chosen = list(dict.fromkeys((*spaces, *rooms)))
        if len(chosen) != 1:
            session.refuse(
                "Select one room, or the outlet in it to begin with, first."
                if not chosen
                else f"{len(chosen)} rooms are selected; number them one by one."
            )
            return
        start = outlets[0] if len(outlets) == 1 else None
        before = session.project
        done = session.do(
            lambda: number_clockwise(
                session.project,
                chosen[0],
                start=start,
                pattern=self._workspace.draws.number_pattern,
                retired=session.document.retired_numbers,
            )
        )

        if done:
            self._tell_numbered(before, "clockwise")

    def _tell_numbered(self, before: Project, how: str) -> None:
        after = self._session.project.entities()
        changed = [thing for thing in after if before.get(thing.id) is not thing]
        said = f"{things_counted(changed)} numbered {how}." if changed else ALREADY
        self._session.message.emit(said)

    def along_line(self) -> None:
        """Take the tool that numbers along a line in hand."""
        self._workspace.take_tool("number_line")

    def from_list(self) -> None:
        """Numbers pasted or typed: one column goes to the table of outlets as it is sorted."""
        view = self._workspace.drawer.open_table("outlets")
        show(NumberListDialog(self._session, view.rows_to_fill(), self._window))

    def cables_from_list(self) -> None:
        """Cable numbers and panel ports pasted or typed, for the table of runs as it is sorted."""
        view = self._workspace.drawer.open_table("runs")
        rows = view.rows_to_fill()
        show(NumberListDialog(self._session, rows, self._window, cables=True))

    def patterns(self) -> None:
        """The settings of numbers."""
        dialog = SettingsDialog(self._session, self._window)
        dialog.show_group("Numbers")
        show(dialog)

    # --- panels and ports ---------------------------------------------------------------

    def give(self) -> None:
        """Give panels, ports and cable numbers: at the selected frames, else at all."""
        session = self._session
        frames = self._chosen("frames") or None
        retired = session.document.retired_numbers
        before = session.project
        if session.do(lambda: give_ports(session.design, frame_ids=frames, retired=retired)):
            session.message.emit(_given(before, session.project))

    def enter(self) -> None:
        """Say of existing runs of the selected outlets where they end, in their order."""
        session, before = self._session, self._session.project
        if session.do(lambda: enter_ports(session.design, session.selection.ids)):
            session.message.emit(_given(before, session.project))

    def take_back(self) -> None:
        """Take back the ports of the selected outlets."""
        session, before = self._session, self._session.project
        if session.do(lambda: take_ports_back(session.project, session.selection.ids)):
            count = _having(before) - _having(session.project)
            said = "given back its panel port" if count == 1 else "given back their panel ports"
            session.message.emit(f"{_runs_have(count)} {said}.")

    def panels(self) -> None:
        """The panels of the selected frame, or of the only one."""
        session = self._session
        frames = self._chosen("frames") or tuple(session.project.frames)
        if len(frames) != 1:
            session.refuse("Select one frame first; its panels are shown then.")
            return
        show(PanelsDialog(session, frames[0], self._window))

    # --- printed ------------------------------------------------------------------------

    def mark(self) -> None:
        """Freeze what is selected; where nothing is, everything, after asking."""
        self._session.do(self._marked)

    def _marked(self) -> Outcome:
        project, ids = self._session.project, self._session.selection.ids
        if ids:
            return mark_printed(project, ids)
        patch = mark_printed(project)
        count = sum(isinstance(c.after, Outlet) for c in patch.changes)
        return Question(
            text=f"Nothing is selected. Mark the numbers of all {counted(count, 'outlet')} as "
            "printed? They stay as they are until they are released.",
            answers=(Answer(label="Mark all", patch=patch), Answer(label="Mark none")),
        )

    def release(self) -> None:
        """Let printed numbers of what is selected change again, after asking."""
        session = self._session
        session.do(lambda: release_numbers(session.project, session.selection.ids or None))


def _given(before: Project, after: Project) -> str:
    """What giving has done: ports, else cable numbers alone."""
    count = _having(after) - _having(before)
    if count:
        return f"{_runs_have(count)} got {'a panel port' if count == 1 else 'panel ports'}."
    numbered = _numbered(after) - _numbered(before)
    got = "a number" if numbered == 1 else "numbers"
    return f"{counted(numbered, 'cable has', 'cables have')} got {got}."


def _having(project: Project) -> int:
    """How many runs say on which port of a panel they end."""
    return sum(p.ends_at is not None for o in project.outlets.values() for p in o.ports)


def _numbered(project: Project) -> int:
    return sum(bool(p.cable_number) for o in project.outlets.values() for p in o.ports)


def _runs_have(count: int) -> str:
    return counted(count, "run has", "runs have")
