"""What the Edit menu does to the selection: commands, with a word where one is needed."""

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from app.editor.asking import InputProblem, Outcome
from app.editor.commands.aligning import Side, align_on_line, align_things, distribute
from app.editor.commands.copying import copy_things, copy_to_floors, move_to_floor
from app.editor.commands.deleting import delete_things
from app.editor.commands.joining import join_pathways, reverse_pathways
from app.editor.commands.measured import ports_in_order, set_measured
from app.editor.commands.moving import mirror_things, rotate_things, turn_each
from app.editor.commands.numbering import Retired
from app.editor.commands.ports import add_ports
from app.editor.commands.records import apply_candidate
from app.editor.commands.relocating import asked_where_existing
from app.editor.commands.states import set_phase, set_state, with_contents
from app.model.ids import tag_of_id
from app.model.phases import NO_PHASE
from app.model.project import Patch, Project
from app.model.vocabulary import State
from app.routing.results import Runs
from app.ui.dialogs.dialog import show
from app.ui.dialogs.measured import MeasuredDialog
from app.ui.dialogs.phase import PhaseDialog
from app.ui.dialogs.which_floors import FloorsDialog, floors_but
from app.ui.panel.telling_view import ask_end_at, let_go_any_way
from app.ui.session import Session
from app.ui.words import floor_of, names_of

Command = Callable[[Project, tuple[str, ...]], Outcome | Patch]
QUARTER_MDEG = 90_000
COPY_STEP_MM = 1_000


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
            lambda project, ids: copy_things(
                project, ids, dx_mm=COPY_STEP_MM, retired=self._retired
            )
        )
        if done:
            self._session.select(i for i in self._all_ids() if i not in before)

    @property
    def _retired(self) -> Retired:
        """Numbers of removed things, which are not given again."""
        return self._session.document.retired_numbers

    def _all_ids(self) -> dict[str, None]:
        return dict.fromkeys(e.id for e in self._session.project.entities())

    def copy_to_floor(self) -> None:
        """Copies in the same place of one or several floors, in one edit."""
        floors = self._ask_floors(
            "Copy to floors", "The copies lie in the same place of each.", several=True
        )
        if floors:
            retired = self._retired
            self._run(lambda project, ids: copy_to_floors(project, ids, floors, retired=retired))

    def move_to_floor(self) -> None:
        floors = self._ask_floors("Take to floor", "Everything keeps its place.", several=False)
        if floors:
            runs = self._runs
            self._run(
                lambda project, ids: asked_where_existing(
                    move_to_floor(project, ids, floors[0]), runs
                )
            )

    def _ask_floors(self, title: str, sentence: str, *, several: bool) -> tuple[str, ...]:
        floors = floors_but(self._session.project, self._floor_of_view())
        if not floors:
            self._session.refuse("There is no other floor; add one under Project, Floors.")
            return ()
        dialog = FloorsDialog(title, sentence, floors, self._parent, several=several)
        return dialog.chosen() if show(dialog) else ()

    def copy(self) -> None:
        """Keep in mind what is selected, to be pasted."""
        session = self._session
        session.copied = session.selection.ids
        names = names_of(session.project, session.copied)
        session.message.emit(f"{names} copied; paste on any floor.")

    def paste(self) -> None:
        """Copies of what was copied, selected: in place on another floor, beside it on its own."""
        session, here = self._session, self._floor_of_view()
        ids = [i for i in session.copied if session.project.get(i) is not None]
        if not ids or here is None:
            session.refuse("Nothing is copied, or it is no longer there; select and copy first.")
            return
        own = {floor_of(session.project, i) for i in ids} == {here}
        before = self._all_ids()
        done = session.do(
            lambda: copy_things(
                session.project,
                ids,
                dx_mm=COPY_STEP_MM if own else 0,
                floor_id=None if own else here,
                retired=self._retired,
            )
        )
        if done:
            session.select(i for i in self._all_ids() if i not in before)

    def align(self, side: Side) -> None:
        self._run(lambda project, ids: align_things(project, ids, side, grid_mdeg=self._grid()))

    def align_on_line(self) -> None:
        self._run(align_on_line)

    def distribute(self) -> None:
        self._run(distribute)

    def turn(self, quarters: int) -> None:
        self._run(lambda project, ids: turn_each(project, ids, turn_mdeg=quarters * QUARTER_MDEG))

    def turn_together(self, quarters: int) -> None:
        """Turn all that is selected about its common middle."""
        self._run(
            lambda project, ids: rotate_things(project, ids, turn_mdeg=quarters * QUARTER_MDEG)
        )

    def mirror(self) -> None:
        """Left becomes right, along the floor's grid."""
        axis = self._grid() + QUARTER_MDEG
        self._run(lambda project, ids: mirror_things(project, ids, axis_mdeg=axis))

    def any_way(self) -> None:
        let_go_any_way(self._session)

    def end_at(self) -> None:
        """Send the selected ports to a frame, asked for by its name."""
        ask_end_at(self._session, self._parent)

    def join(self) -> None:
        self._run(join_pathways)

    def reverse(self) -> None:
        self._run(reverse_pathways)

    def add_port(self) -> None:
        self._run(lambda project, ids: add_ports(project, ids))

    @property
    def _runs(self) -> Runs | None:
        design = self._session.design
        return None if design is None else design.runs

    def _of_selection(self, ids: tuple[str, ...]) -> list[str]:
        """What is selected, with the outlets of a room in its place."""
        design = self._session.design
        return with_contents(self._session.project, ids, {} if design is None else design.space_of)

    def set_state(self, state: State) -> None:
        """The state of all that is selected; of a room, of its outlets."""
        runs = self._runs
        self._run(
            lambda project, ids: set_state(project, self._of_selection(ids), state, runs=runs)
        )

    def set_phase(self) -> None:
        """The phase of all that is selected, asked for by its name or number."""
        project, ids = self._session.project, self._session.selection.ids
        phases = {getattr(project.get(i), "phase", None) for i in self._of_selection(ids)} - {None}
        phase = phases.pop() if len(phases) == 1 else NO_PHASE
        dialog = PhaseDialog(project.settings, int(phase or NO_PHASE), self._parent)
        if show(dialog):
            number, name = dialog.chosen()
            self._run(
                lambda project, ids: set_phase(project, self._of_selection(ids), number, name=name)
            )

    def set_measured(self) -> None:
        """Measured lengths of the runs of what is selected, typed or pasted."""
        session, ids = self._session, self._of_selection(self._session.selection.ids)
        try:
            ports = ports_in_order(session.project, ids)
        except InputProblem as problem:
            session.refuse(str(problem))
            return
        dialog = MeasuredDialog(ports, session.units, self._parent)
        if show(dialog):
            self._run(lambda project, _ids: set_measured(project, ids, dialog.lengths_mm()))

    def place_becomes_frame(self) -> None:
        """Put a frame where a place is marked."""
        places = [i for i in self._session.selection.ids if tag_of_id(i) == "candidate"]
        if len(places) != 1:
            self._session.refuse("Select one marked frame place first.")
            return
        self._run(lambda project, _ids: apply_candidate(project, places[0], retired=self._retired))

    def select_all(self) -> None:
        """Everything drawn on the floor in view, but not its plans.

        Risers and outdoor ducts that begin or end here are among it.
        """
        floor = self._floor_of_view()
        project = self._session.project
        tables = (
            project.spaces,
            project.outlets,
            project.frames,
            project.pathways,
            project.risers,
            project.outdoor_ducts,
            project.access_points,
            project.drop_outs,
            project.breaks,
            project.demarcations,
            project.candidates,
            project.penetrations,
            project.walked_lengths,
            project.serving_zones,
        )
        self._session.select(
            e.id
            for table in tables
            for e in table.values()
            if floor in floors_touched(e) and self._session.sees(e)
        )

    def select_alike(self) -> None:
        """Everything on the floor in view that is of the same kind as what is selected."""
        project, floor = self._session.project, self._floor_of_view()
        chosen = [project.get(i) for i in self._session.selection.ids]
        kinds = {(type(t), getattr(t, "kind", None)) for t in chosen if t is not None}
        self._session.select(
            e.id
            for e in project.entities()
            if (type(e), getattr(e, "kind", None)) in kinds
            and getattr(e, "floor", floor) == floor
            and self._session.sees(e)
        )


def floors_touched(thing: object) -> set[str]:
    """The floors on which a thing stands, begins or ends."""
    names = ("floor", "lower_floor", "upper_floor", "from_floor", "to_floor")
    return {floor for name in names if (floor := getattr(thing, name, None)) is not None}
