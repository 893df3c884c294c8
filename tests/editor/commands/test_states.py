"""States and phases set at once: of things, of ports, of rooms and floors; and relocating."""

import pytest
from msgspec.structs import replace

from app.design import evaluate
from app.editor.asking import InputProblem, Question
from app.editor.commands.moving import move_things, nudge_things
from app.editor.commands.relocating import CORRECT, RELOCATE, asked_where_existing
from app.editor.commands.states import set_phase, set_state, with_contents
from app.editor.shown_states import ShownStates
from app.model.phases import phase_name
from app.model.ports import own_phase
from app.model.project import changing
from app.model.vocabulary import State
from app.routing.lying import Lying, lying_cable
from tests.published.test_five_years_later import FRAME, TRAY, M, small_building

ONE, OTHER = "outlet-00000001", "outlet-00000002"


def answer(question, label):
    assert isinstance(question, Question)
    return next(a.patch for a in question.answers if a.label == label)


def moved(project, dx_mm=20 * M):
    design = evaluate(project)
    plain = move_things(project, [ONE], dx_mm=dx_mm, dy_mm=0)
    return asked_where_existing(plain, design.runs)


def test_things_of_all_kinds_get_a_state_in_one_step():
    project = small_building()
    patch = set_state(project, [ONE, FRAME, TRAY], State.FUTURE)
    after = project.apply(patch)
    assert {after.get(i).state for i in (ONE, FRAME, TRAY)} == {State.FUTURE}
    assert len(patch.changes) == 3
    assert after.apply(patch.inverse()) == project


def test_what_is_so_already_is_not_changed():
    project = small_building()
    assert set_state(project, [ONE], State.EXISTING).changes == ()


def test_the_ports_of_an_outlet_follow_it_and_a_port_named_has_its_own():
    project = small_building()
    port = project.outlets[ONE].ports[1].id
    project = project.apply(set_state(project, [port], State.TO_REMOVE))
    assert [p.state for p in project.outlets[ONE].ports] == [None, State.TO_REMOVE]
    project = project.apply(set_state(project, [ONE], State.NEW))
    assert [p.state for p in project.outlets[ONE].ports] == [None, None]
    project = project.apply(set_state(project, [port], State.NEW))
    assert [p.state for p in project.outlets[ONE].ports] == [None, None]


def test_what_has_no_state_is_refused():
    project = small_building()
    with pytest.raises(InputProblem, match="has a state"):
        set_state(project, list(project.floors), State.NEW)
    with pytest.raises(InputProblem, match="has a phase"):
        set_phase(project, list(project.floors), 1)


def test_a_floor_means_all_that_stands_on_it_and_a_room_its_outlets():
    project = small_building()
    floor = next(iter(project.floors))
    found = with_contents(project, [floor], {})
    assert set(found) == {*project.outlets, FRAME, TRAY}
    assert with_contents(project, [ONE, TRAY], {}) == [ONE, TRAY]


def test_phases_have_names_set_with_them():
    project = small_building()
    project = project.apply(set_phase(project, [ONE, TRAY], 2, name="After the move"))
    assert (project.outlets[ONE].phase, project.pathways[TRAY].phase) == (2, 2)
    names = [phase_name(project.settings, n) for n in range(4)]
    assert names == ["", "phase 1", "After the move", "phase 3"]
    project = project.apply(set_phase(project, [OTHER], 2, name=""))
    assert project.settings.phases == ()


def test_moving_what_exists_asks_and_correcting_it_only_moves_it():
    project = small_building()
    after = project.apply(answer(moved(project), CORRECT)).outlets[ONE]
    before = project.outlets[ONE]
    assert after == replace(before, x_mm=before.x_mm + 20 * M)


def test_relocating_keeps_the_old_place_the_lengths_and_the_frame():
    project = small_building()
    runs = evaluate(project).runs
    after = project.apply(answer(moved(project), RELOCATE)).outlets[ONE]
    before = project.outlets[ONE]
    assert after.state is State.TO_RELOCATE
    assert (after.was_at.x_mm, after.was_at.y_mm) == (before.x_mm, before.y_mm)
    for port in after.ports:
        assert port.lying_mm == runs.installed_mm[runs.row_of[port.id]]
        assert port.frame == FRAME


def test_a_measured_length_is_what_lies_there():
    project = small_building()
    outlet = project.outlets[ONE]
    ports = tuple(replace(p, replaced_mm=61_200, length_reason="measured") for p in outlet.ports)
    project = project.apply(changing("Measure", [(outlet, replace(outlet, ports=ports))]))
    patch = answer(moved(project), RELOCATE)
    there = project.apply(patch)
    assert [p.lying_mm for p in there.outlets[ONE].ports] == [61_200] * 2
    assert [p.replaced_mm for p in there.outlets[ONE].ports] == [None] * 2
    question = set_state(there, [ONE], State.EXISTING)
    back = there.apply(answer(question, "Put it back to the old place")).outlets[ONE]
    assert back.was_at is None
    assert (back.x_mm, back.y_mm) == (outlet.x_mm, outlet.y_mm)
    assert [p.replaced_mm for p in back.ports] == [61_200] * 2


def test_what_has_been_moved_stands_at_its_new_place():
    project = small_building(measured=True)
    there = project.apply(answer(moved(project, dx_mm=-M), RELOCATE))
    runs = evaluate(there).runs
    assert {lying_cable(p, runs) for p in there.outlets[ONE].ports} == {Lying.REACHES}
    question = set_state(there, [ONE], State.EXISTING, runs=runs)
    after = there.apply(answer(question, "It stands at its new place")).outlets[ONE]
    was = there.outlets[ONE]
    assert (after.was_at, after.x_mm, after.state) == (None, was.x_mm, State.EXISTING)
    assert [p.replaced_mm for p in after.ports] == [p.lying_mm for p in was.ports]


def test_what_is_to_be_removed_is_taken_out_where_it_stands():
    project = small_building()
    there = project.apply(answer(moved(project), RELOCATE))
    after = there.apply(set_state(there, [ONE], State.TO_REMOVE)).outlets[ONE]
    assert (after.x_mm, after.was_at) == (project.outlets[ONE].x_mm, None)


def test_what_is_marked_to_relocate_finds_its_new_place_without_being_asked():
    project = small_building()
    project = project.apply(set_state(project, [ONE], State.TO_RELOCATE))
    patch = moved(project)
    after = project.apply(patch).outlets[ONE]
    assert after.was_at.x_mm == project.outlets[ONE].x_mm
    again = asked_where_existing(move_things(project.apply(patch), [ONE], dx_mm=M, dy_mm=0), None)
    later = project.apply(patch).apply(again).outlets[ONE]
    assert (later.was_at, later.x_mm) == (after.was_at, after.x_mm + M)


def test_what_is_new_moves_without_a_word_and_an_arrow_key_corrects():
    project = small_building()
    project = project.apply(set_state(project, [ONE], State.NEW))
    assert not isinstance(moved(project), Question)
    patch = nudge_things(project, [OTHER], right=1, up=0, step_mm=100)
    assert project.apply(patch).outlets[OTHER].state is State.EXISTING


def test_what_becomes_of_a_cable():
    project = small_building()
    there = project.apply(answer(moved(project), RELOCATE))
    runs = evaluate(there).runs
    port = there.outlets[ONE].ports[0]
    length = int(runs.installed_mm[runs.row_of[port.id]])
    assert lying_cable(port, runs) is Lying.TOO_SHORT
    assert lying_cable(replace(port, lying_mm=length), runs) is Lying.REACHES
    assert lying_cable(replace(port, lying_mm=length - 1), runs) is Lying.TOO_SHORT
    assert lying_cable(replace(port, lying_mm=None), runs) is Lying.NOT_KNOWN
    assert lying_cable(replace(port, cable_stays=True), runs) is Lying.SAID_TO_STAY
    said = replace(port, lying_mm=length, cable_stays=False)
    assert lying_cable(said, runs) is Lying.SAID_TO_BE_REPLACED


def test_a_port_has_a_phase_of_its_own_until_its_outlet_gets_one():
    project = small_building()
    first, *others = project.outlets[ONE].ports
    project = project.apply(set_phase(project, [first.id], 3))
    outlet = project.outlets[ONE]
    assert [own_phase(outlet, p) for p in outlet.ports] == [3, *(0 for _ in others)]
    late = ShownStates(hidden_phases=frozenset({0}))
    assert [late.shows_port(outlet, p) for p in outlet.ports] == [True, *(False for _ in others)]
    assert late.shows(project, outlet)  # there is work at it in a phase that is shown
    project = project.apply(set_phase(project, [ONE], 1))
    assert all(p.phase is None for p in project.outlets[ONE].ports)
