"""What the Edit menu does to the selection: commands, with a word where one is needed."""

from collections.abc import Callable

from PySide6.QtWidgets import QInputDialog, QWidget

from app.editor.asking import Outcome
from app.editor.commands.aligning import Side, align_on_line, align_things, distribute
from app.editor.commands.copying import copy_things, move_to_floor
from app.editor.commands.deleting import delete_things
from app.editor.commands.joining import join_pathways, reverse_pathways
from app.editor.commands.moving import mirror_things, turn_each
from app.editor.commands.numbering import renumber
from app.editor.commands.ports import add_ports
from app.editor.commands.records import apply_candidate
from app.model.ids import tag_of_id
from app.model.project import Patch, Project
from app.ui.session import Session

Command = Callable[[Project, tuple[str, ...]], Outcome | Patch]
QUARTER_MDEG = 90_000
COPY_STEP_MM = 1_000
PATTERN = "{floor}-{nn}"


class EditActions:
    """Runs commands on what is selected; `floor_of_view` tells the floor in view."""

    def __init__(
        self, session: Session, parent: QWidget, floor_of_view: Callable[[], str | None]
    ) -> None:
        self._session = session
        self._parent = parent
        self._floor_of_view = floor_of_view

    def _run(self, command: Command) -> bool:
        session = self._session
        ids = session.selection.ids
        return session.do(lambda: command(session.project, ids))

    def _grid(self) -> int:
        floor = self._session.project.floors.get(self._floor_of_view() or "")
        return 0 if floor is None else floor.grid_angle_mdeg

    def delete(self) -> None:
        if self._session.selection.ids:
            self._run(delete_things)

    def duplicate(self) -> None:
        """Copies a step to the right, selected."""
        before = self._all_ids()
        done = self._run(
            lambda project, ids: copy_things(project, ids, dx_mm=COPY_STEP_MM, pattern=PATTERN)
        )
        if done:
            self._session.select(i for i in self._all_ids() if i not in before)

    def _all_ids(self) -> dict[str, None]:
        return dict.fromkeys(e.id for e in self._session.project.entities())

    def copy_to_floor(self) -> None:
        floor = self._ask_floor("Copy to floor")
        if floor is not None:
            self._run(
                lambda project, ids: copy_things(project, ids, floor_id=floor, pattern=PATTERN)
            )

    def move_to_floor(self) -> None:
        floor = self._ask_floor("Take to floor")
        if floor is not None:
            self._run(lambda project, ids: move_to_floor(project, ids, floor))

    def _ask_floor(self, title: str) -> str | None:
        here = self._floor_of_view()
        floors = [f for f in self._session.project.floors.values() if f.id != here]
        floors.sort(key=lambda f: f.level_mm)
        if not floors:
            self._session.refuse("There is no other floor; add one under Project, Floors.")
            return None
        names = [f.name for f in floors]
        name, chosen = QInputDialog.getItem(self._parent, title, "Floor", names, 0, False)
        return floors[names.index(name)].id if chosen else None

    def align(self, side: Side) -> None:
        self._run(lambda project, ids: align_things(project, ids, side, grid_mdeg=self._grid()))

    def align_on_line(self) -> None:
        self._run(align_on_line)

    def distribute(self) -> None:
        self._run(distribute)

    def turn(self, quarters: int) -> None:
        self._run(lambda project, ids: turn_each(project, ids, turn_mdeg=quarters * QUARTER_MDEG))

    def mirror(self) -> None:
        """Left becomes right, along the floor's grid."""
        axis = self._grid() + QUARTER_MDEG
        self._run(lambda project, ids: mirror_things(project, ids, axis_mdeg=axis))

    def join(self) -> None:
        self._run(join_pathways)

    def reverse(self) -> None:
        self._run(reverse_pathways)

    def add_port(self) -> None:
        self._run(lambda project, ids: add_ports(project, ids))

    def renumber(self) -> None:
        text, chosen = QInputDialog.getText(
            self._parent,
            "Renumber",
            "Pattern of outlet numbers: {floor} is the floor's name, {nnn} counts.",
            text=PATTERN,
        )
        if chosen and text.strip():
            self._run(lambda project, ids: renumber(project, ids, text.strip()))

    def place_becomes_frame(self) -> None:
        """Put a frame where a place is marked."""
        places = [i for i in self._session.selection.ids if tag_of_id(i) == "candidate"]
        if len(places) != 1:
            self._session.refuse("Select one marked frame place first.")
            return
        self._run(lambda project, _ids: apply_candidate(project, places[0]))

    def select_all(self) -> None:
        """Everything that stands on the floor in view."""
        floor = self._floor_of_view()
        project = self._session.project
        tables = (
            project.outlets,
            project.frames,
            project.pathways,
            project.access_points,
            project.drop_outs,
            project.demarcations,
            project.candidates,
        )
        self._session.select(e.id for table in tables for e in table.values() if e.floor == floor)

    def select_alike(self) -> None:
        """Everything on the floor in view that is of the same kind as what is selected."""
        project, floor = self._session.project, self._floor_of_view()
        chosen = [project.get(i) for i in self._session.selection.ids]
        kinds = {(type(t), getattr(t, "kind", None)) for t in chosen if t is not None}
        self._session.select(
            e.id
            for e in project.entities()
            if (type(e), getattr(e, "kind", None)) in kinds and getattr(e, "floor", floor) == floor
        )
