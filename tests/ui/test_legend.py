"""The legend of states is the filter: of the plan, of what is hit, of tables; and it says so."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.editor.commands.states import set_phase, set_state
from app.editor.document import Document
from app.editor.shown_states import ALL_SHOWN, ShownStates, counted_states, states_of
from app.model.entities import AccessPoint
from app.model.project import Project, adding
from app.model.vocabulary import PathwayKind, State
from app.standards import load_rules
from app.ui.session import Session
from app.ui.workspace import Workspace
from tests.ui.conftest import small_project

PATHWAY = "pathway-00000001"


def mixed_project() -> Project:
    """Three outlets: existing, new, and to remove; the basket is existing and in phase 2."""
    project = small_project()
    first, _, third = project.outlets
    project = project.apply(set_state(project, [first, PATHWAY], State.EXISTING))
    project = project.apply(set_state(project, [third], State.TO_REMOVE))
    return project.apply(set_phase(project, [PATHWAY], 2, name="Later"))


@pytest.fixture
def workspace(dressed: object, qtbot: QtBot) -> Iterator[Workspace]:
    session = Session(Document(mixed_project()), rules=load_rules())
    made = Workspace(session)
    made.resize(1280, 800)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitUntil(lambda: made.canvas.is_settled, timeout=20_000)
    yield made
    made.canvas.shut()


def test_the_legend_counts_what_there_is_by_state_and_phase(workspace: Workspace) -> None:
    legend = workspace.legend
    assert legend.isVisible()
    assert legend.button(State.EXISTING).text() == "existing 2"
    assert legend.button(State.NEW).text() == "new 2"  # an outlet and the frame
    assert legend.button(State.TO_REMOVE).text() == "to remove 1"
    assert legend.button(2).text() == "Later 1"
    assert not workspace.bottom.hidden.isVisible()


def test_a_click_hides_a_state_everywhere_and_the_bottom_line_says_so(
    workspace: Workspace, qtbot: QtBot
) -> None:
    session, outlet = workspace.session, next(iter(workspace.session.project.outlets.values()))

    def hit() -> str | None:
        camera = workspace.canvas.camera
        spot = camera.to_screen(outlet.x_mm, outlet.y_mm)
        return workspace.canvas.bench.thing_at(spot, camera)

    assert hit() == outlet.id
    session.select([outlet.id])
    qtbot.mouseClick(workspace.legend.button(State.EXISTING), Qt.MouseButton.LeftButton)
    assert session.shown_states == ShownStates(hidden_states=frozenset({State.EXISTING}))
    assert hit() != outlet.id
    assert session.selection.ids == ()
    assert workspace.bottom.hidden.text() == "2 things hidden"
    view = workspace.drawer.open_table("outlets")
    assert view.model.rowCount() == len(session.project.outlets) - 1
    qtbot.mouseClick(workspace.bottom.hidden, Qt.MouseButton.LeftButton)
    assert session.shown_states == ALL_SHOWN
    assert view.model.rowCount() == len(session.project.outlets)
    assert hit() == outlet.id
    assert not workspace.bottom.hidden.isVisible()


def test_shift_shows_nothing_else_and_one_click_shows_all(
    workspace: Workspace, qtbot: QtBot
) -> None:
    legend, session = workspace.legend, workspace.session
    shift = Qt.KeyboardModifier.ShiftModifier
    qtbot.mouseClick(legend.button(State.NEW), Qt.MouseButton.LeftButton, shift)
    assert session.shown_states.hidden_states == {State.EXISTING, State.TO_REMOVE}
    qtbot.mouseClick(legend.all, Qt.MouseButton.LeftButton)
    assert session.shown_states == ALL_SHOWN


def test_a_hidden_phase_takes_what_sits_on_its_pathways_along(workspace: Workspace) -> None:
    project = workspace.session.project
    shown = ALL_SHOWN.with_phase(2, shown=False)
    box = AccessPoint(
        id="access-point-00000001",
        floor=project.pathways[PATHWAY].floor,
        pathway=PATHWAY,
        x_mm=0,
        y_mm=0,
    )
    assert project.pathways[PATHWAY].kind is PathwayKind.BASKET
    project = project.apply(adding("Box", [box]))
    assert not shown.shows(project, project.pathways[PATHWAY])
    assert not shown.shows(project, box)
    assert all(shown.shows(project, o) for o in project.outlets.values())


def test_an_outlet_is_in_sight_with_any_of_its_ports() -> None:
    project = mixed_project()
    outlet = next(o for o in project.outlets.values() if o.state is State.EXISTING)
    project = project.apply(set_state(project, [outlet.ports[0].id], State.NEW))
    outlet = project.outlets[outlet.id]
    assert states_of(outlet) == {State.EXISTING, State.NEW}
    shown = ALL_SHOWN.with_state(State.EXISTING, shown=False)
    assert shown.shows(project, outlet)
    hidden = [p for p in outlet.ports if not shown.shows_port(outlet, p)]
    assert hidden == list(outlet.ports[1:])


def test_only_new_things_want_no_legend(dressed: object, qtbot: QtBot) -> None:
    made = Workspace(Session(Document(small_project()), rules=load_rules()))
    qtbot.addWidget(made)
    made.show()
    assert not made.legend.isVisible()
    made.states.show_legend(wanted=True)
    assert made.legend.isVisible()
    made.canvas.shut()


def test_counts_are_of_the_floor_or_of_all() -> None:
    project = mixed_project()
    floor = next(iter(project.floors))
    here = counted_states(project, ALL_SHOWN, floor)
    assert here == counted_states(project, ALL_SHOWN, None)
    assert here.hidden == 0
    shown = ALL_SHOWN.with_state(State.NEW, shown=False)
    assert counted_states(project, shown, None).hidden == here.states[State.NEW]
