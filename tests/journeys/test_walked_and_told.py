"""An evening on site: what was walked goes into the plan, runs are told their way, a hall is
shared between two frames, and all of it is taken back by name."""

import pytest
from PySide6.QtCore import Qt

from app.design import parts_of
from app.routing.results import PartSort
from app.ui.panel.telling_view import TellingView
from tests.journeys.conftest import Person
from tests.journeys.test_the_terminal_cured import open_terminal

pytestmark = pytest.mark.usefixtures("as_designed")


def by_name(things, name: str):
    return next(t for t in things.values() if name in (getattr(t, "number", ""), t.id))


def open_floor_one(person: Person):
    open_terminal(person)
    session, workspace = person.workspace.session, person.workspace
    floor = next(f for f in session.project.floors.values() if f.name == "1")
    workspace.show_floor(floor.id)
    workspace.canvas.fit()
    person.settle(120)
    workspace.canvas.setFocus()
    return session, floor


def test_what_was_walked_lengthens_what_passes_and_is_undone_by_name(person: Person) -> None:
    session, floor = open_floor_one(person)
    as_opened = session.project
    spine = next(
        p for p in session.project.pathways.values() if p.floor == floor.id and p.number == "S1"
    )
    (x0, y, _), (x1, _, _) = spine.vertices[0], spine.vertices[-1]
    at = ((x0 + x1) // 2 + 5_000, y)
    before = session.design.runs.installed_mm.copy()

    person.press(Qt.Key.Key_H)
    assert person.workspace.canvas.tool == "walked"
    person.click(*at)
    person.write("+4 round the duct")
    person.press(Qt.Key.Key_Return)
    (walked,) = session.project.walked_lengths.values()
    assert (walked.along, walked.added_mm, walked.reason) == (spine.id, 4_000, "round the duct")
    longer = session.design.runs.installed_mm - before
    assert set(longer.tolist()) <= {0, 4_000}
    assert (longer == 4_000).any()
    port = session.design.runs.port_ids[int(longer.argmax())]
    added = [p for p in parts_of(session.design, port) if p.sort is PartSort.ADDED]
    assert [(p.name, p.length_mm) for p in added] == [("as walked: +4 m round the duct", 4_000)]

    assert person.window.menus.named["undo"].text().endswith(f"Add 4.00 m on basket {spine.number}")
    person.press(Qt.Key.Key_Escape)
    person.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.project == as_opened


def test_a_run_is_told_never_to_pass_a_riser_and_let_go_again(person: Person) -> None:
    session, _ = open_floor_one(person)
    riser = by_name(session.project.risers, "R2")
    below = next(f for f in session.project.floors.values() if f.name == "0")
    row = next(
        r
        for r in range(len(session.design.runs))
        if session.project.outlets[session.design.runs.outlet_ids[r]].floor == below.id
        and any(
            p.thing == riser.id for p in parts_of(session.design, session.design.runs.port_ids[r])
        )
    )
    outlet, port = session.design.runs.outlet_ids[row], session.design.runs.port_ids[row]
    frame = session.design.runs.frame_of(row)
    session.select([outlet])
    person.settle(60)
    view = person.workspace.panel.findChildren(TellingView)[-1]
    person.push(view.links["never_there"])
    assert person.workspace.canvas.tool == "never_there"
    person.click(*riser.lower)
    assert session.project.outlets[outlet].ports[0].never == (riser.id,)
    assert session.selection.ids == (outlet,)
    assert person.workspace.canvas.tool == "select"
    row = session.design.runs.row_of[port]
    passed = {p.thing for p in parts_of(session.design, port)}
    assert riser.id not in passed
    # Still its room's frame, by the other riser, or by none and then it says so.
    assert session.design.runs.frame_of(row) in (frame, None)

    view = person.workspace.panel.findChildren(TellingView)[-1]
    person.push(view.links["any_way"])
    assert not session.project.outlets[outlet].ports[0].never
    assert session.design.runs.frame_of(session.design.runs.row_of[port]) == frame


def test_a_zone_over_the_hall_sends_its_outlets_to_its_frame(person: Person) -> None:
    session, floor = open_floor_one(person)
    as_opened = session.project
    hall = by_name(session.project.spaces, "1.04")
    xs, ys = [x for x, _ in hall.outline], [y for _, y in hall.outline]
    person.press(Qt.Key.Key_Z)
    assert person.workspace.canvas.tool == "zone"
    main = next(f for f in session.project.frames.values() if f.name == "M")
    person.workspace.take_up(
        "zone",
        person.workspace.tool_line.draws.__class__(zone_frame=main.id, snap=False),
        (),
    )
    person.drag((min(xs) + 500, min(ys) + 500), (max(xs) - 500, max(ys) - 500))
    (zone,) = session.project.serving_zones.values()
    assert (zone.floor, zone.frame) == (floor.id, main.id)
    design = session.design
    inside = [o for o, s in design.space_of.items() if s == hall.id]
    assert inside
    xs, ys = [x for x, _ in zone.outline], [y for _, y in zone.outline]
    for outlet in (session.project.outlets[i] for i in inside):
        within = min(xs) < outlet.x_mm < max(xs) and min(ys) < outlet.y_mm < max(ys)
        served = {design.runs.frame_of(design.runs.row_of[p.id]) for p in outlet.ports}
        if within:
            assert served <= {main.id, None}
    person.press(Qt.Key.Key_Escape)
    person.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.project == as_opened
