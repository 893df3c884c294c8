"""What the menus do with kits, arrays, whole floors and proposed penetrations."""

from msgspec.structs import replace
from PySide6.QtWidgets import QWidget

from app.editor.asking import InputProblem
from app.editor.commands.copying import copy_to_floors
from app.editor.commands.shapes import things_on
from app.model.entities import OutdoorDuct, Riser
from app.ui.dialogs.arrays import ArrayDialog
from app.ui.dialogs.dialog import show
from app.ui.dialogs.kits import KitsDialog, MakeKitDialog
from app.ui.dialogs.proposed_penetrations import ProposedDialog
from app.ui.dialogs.which_floors import FloorsDialog, floors_but
from app.ui.workspace import Workspace


class KitActions:
    """Dialogs over the window of one workspace."""

    def __init__(self, workspace: Workspace, window: QWidget) -> None:
        self._workspace, self._window = workspace, window
        self._session = workspace.session

    def make_kit(self) -> None:
        """A kit of the selection, taken in hand at once."""
        before = set(self._session.project.kits)
        try:
            dialog = MakeKitDialog(self._session, self._window)
        except InputProblem as problem:
            self._session.refuse(str(problem))
            return
        if show(dialog):
            made = [k for k in self._session.project.kits if k not in before]
            self._take(made[-1])

    def show_kits(self) -> None:
        """The list of kits; the chosen one may be taken in hand."""
        dialog = KitsDialog(self._session, self._window)
        accepted = show(dialog)
        if accepted and dialog.chosen_id is not None:
            self._take(dialog.chosen_id)

    def _take(self, kit_id: str) -> None:
        workspace = self._workspace
        draws = replace(workspace.draws, kit=kit_id)
        workspace.take_up("kit", draws, ())

    def make_array(self) -> None:
        """The selection in rows and columns, or around a point."""
        floor = self._session.project.floors.get(self._workspace.floor_id or "")
        if floor is None or not self._session.selection.ids:
            self._session.refuse("Select something that stands on the plan first.")
            return
        try:
            dialog = ArrayDialog(self._session, floor.id, floor.grid_angle_mdeg, self._window)
        except InputProblem as problem:
            self._session.refuse(str(problem))
            return
        show(dialog)

    def copy_floor(self) -> None:
        """Everything on the floor in view, in place on other floors, in one step."""
        session, here = self._session, self._workspace.floor_id
        if here is None:
            return
        floors = floors_but(session.project, here)
        if not floors:
            session.refuse("There is no other floor; add one under Project, Floors.")
            return
        dialog = FloorsDialog(
            "Copy the whole floor",
            "Rooms, outlets, frames and pathways lie in the same place of each floor. Plans, "
            "risers and outdoor ducts stay.",
            floors,
            self._window,
            several=True,
        )
        if show(dialog):
            chosen = dialog.chosen()
            ids = [
                t.id
                for t in things_on(session.project, here)
                if not isinstance(t, Riser | OutdoorDuct)
            ]
            session.do(
                lambda: copy_to_floors(
                    session.project, ids, chosen, retired=session.document.retired_numbers
                )
            )

    def propose_penetrations(self) -> None:
        """Crossings without a penetration, to be accepted."""
        show(ProposedDialog(self._session, self._workspace.floor_id, self._window))
