"""Find the over-long runs of the sample, cure them, and take it all back."""

from msgspec.structs import replace
from PySide6.QtCore import Qt

from app.routing.results import RunStatus
from tests.journeys.conftest import Person

TERMINAL = "ferry-terminal.drawcord"


def open_terminal(person: Person) -> None:
    person.push(person.window.start_page.doors[TERMINAL])
    person.settle(200)


def test_the_over_long_runs_are_a_click_away(person: Person) -> None:
    open_terminal(person)
    workspace = person.workspace
    over = workspace.session.design.summary.over
    assert over > 0
    assert workspace.bottom.button("over").count == over
    person.push(workspace.bottom.button("over"))
    view = workspace.drawer.view("runs")
    assert workspace.drawer.open_key == "runs"
    assert view.model.rowCount() == over
    margins = [view.model.cell(s, view.model.column_index("margin") or 0) for s in range(over)]
    assert margins == sorted(margins)  # type: ignore[type-var]

    # the worst one: its parts add up, and the panel says why
    index = view.model.index(0, 0)
    spot = view.grid.visualRect(index).center()
    person.bot.mouseClick(view.grid.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    person.settle(60)
    (chosen,) = workspace.session.selection.ids
    design = workspace.session.design
    row = design.runs.outlet_ids.index(chosen)
    assert design.runs.status[row] == RunStatus.OVER
    person.bot.mouseDClick(view.grid.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    person.settle(60)
    assert workspace.floor_id == workspace.session.project.outlets[chosen].floor


def test_a_riser_and_a_frame_cure_them_and_undo_takes_all_back(person: Person) -> None:
    open_terminal(person)
    workspace = person.workspace
    session = workspace.session
    as_opened, runs_as_opened = session.project, session.design.runs
    before = session.design.summary.over

    # the marked place on floor 1 alone cures nothing: no riser leads to it
    place = next(c for c in session.project.candidates.values() if c.name == "C1")
    workspace.show_floor(place.floor)
    session.select([place.id])
    person.window.edit().place_becomes_frame()
    assert session.design.summary.over == before

    # three sleeves on the trays beside it, from floor 0 to floor 2
    workspace.canvas.setFocus()
    person.press(Qt.Key.Key_R)
    line = workspace.tool_line
    floors = sorted(session.project.floors.values(), key=lambda f: f.level_mm)
    riser = line.draws.riser
    draws = replace(
        line.draws,
        riser=replace(riser, lower_floor=floors[0].id, upper_floor=floors[2].id, count=3),
    )
    line._put(draws)
    workspace.canvas.setFocus()
    person.turn_wheel(126_000, 15_250, notches=16)
    person.click(126_000, 15_250)
    person.press(Qt.Key.Key_Escape)
    assert session.design.summary.over == 0
    assert workspace.session.design.summary.near == 0
    person.settle(120)
    assert workspace.bottom.button("over").count == 0

    while session.document.undo_label is not None:
        person.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.project == as_opened
    assert session.design.runs == runs_as_opened
