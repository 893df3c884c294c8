"""Numbers are told apart, kept once printed, and released only when asked."""

import pytest

from app.editor.asking import InputProblem, Question
from app.editor.commands.copying import copy_things
from app.editor.commands.deleting import delete_things
from app.editor.commands.fields import set_fields, set_port_fields
from app.editor.commands.panels import add_panels, change_panel, remove_panel
from app.editor.commands.printing import mark_printed, release_numbers
from app.editor.commands.renumbering import renumber
from app.editor.document import Document
from app.model.entities import PanelPort, Port
from app.model.project import Patch, Project
from tests.editor.small_building import (
    CABLE,
    MAIN,
    OUTLET_1,
    OUTLET_2,
    OUTLET_3,
    RULES,
    SECOND,
    TRAY,
    building,
)


def typed(project: Project, ids: list[str], field: str, value: object, **more):
    return set_fields(project, ids, field, value, rules=RULES, **more)


def port_of(project: Project, outlet: str, index: int = 0) -> Port:
    return project.outlets[outlet].ports[index]


def done(project: Project, outcome: object) -> Project:
    assert isinstance(outcome, Patch)
    return project.apply(outcome)


@pytest.mark.parametrize(
    ("thing", "field", "value", "other"),
    [
        (OUTLET_1, "number", "0-02", "outlet 0-02 on floor 0"),
        (OUTLET_1, "number", " 0-02 ", "outlet 0-02 on floor 0"),
        (SECOND, "name", "M1", "frame M1 on floor 0"),
        (TRAY, "number", "H-01", "hook line H-01 on floor 0"),
    ],
)
def test_a_number_that_is_carried_is_refused_and_the_other_named(thing, field, value, other):
    with pytest.raises(InputProblem, match=f"carried by {other} already"):
        typed(building(), [thing], field, value)


def test_several_cannot_share_a_number_but_may_have_none():
    project = building()
    with pytest.raises(InputProblem, match="would be carried by 2"):
        typed(project, [OUTLET_1, OUTLET_2], "number", "7")
    bare = done(project, typed(project, [OUTLET_1, OUTLET_2], "number", ""))
    assert [bare.outlets[o].number for o in (OUTLET_1, OUTLET_2)] == ["", ""]
    same = done(project, typed(project, [OUTLET_1], "number", "0-01a"))
    assert same.outlets[OUTLET_1].number == "0-01a"


def test_cable_numbers_and_panel_ports_are_told_apart_too():
    project = building()
    first, second = port_of(project, OUTLET_1).id, port_of(project, OUTLET_2).id
    project = done(project, set_port_fields(project, [first], "cable_number", "K1"))
    with pytest.raises(InputProblem, match="K1 is carried by a cable of outlet 0-01 on floor 0"):
        set_port_fields(project, [second], "cable_number", "K1")
    project = done(project, add_panels(project, MAIN, cable_type=CABLE))
    project = done(project, set_port_fields(project, [first], "ends_at", "m1 a 7"))
    assert port_of(project, OUTLET_1).ends_at == PanelPort(frame=MAIN, panel="A", port=7)
    with pytest.raises(InputProblem, match="M1-A07 is carried by a cable of outlet 0-01"):
        set_port_fields(project, [second], "ends_at", "M1-A07")
    empty = done(project, set_port_fields(project, [first], "ends_at", ""))
    assert port_of(empty, OUTLET_1).ends_at is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Z9-A01", "No frame is called"),
        ("M1-B01", r"its panels are A \(24 ports\)"),
        ("M1-A25", "is no port of frame M1"),
        ("M1-A0", "is no port of frame M1"),
        ("1-F1-A01", "it has no panels yet"),
    ],
)
def test_a_place_that_is_none_says_how_it_is_typed(text, words):
    project = building()
    project = done(project, add_panels(project, MAIN, cable_type=CABLE))
    with pytest.raises(InputProblem, match=words):
        set_port_fields(project, [port_of(project, OUTLET_1).id], "ends_at", text)


def test_a_wrong_pattern_is_not_taken_into_the_settings():
    project = building()
    with pytest.raises(InputProblem, match=r"\{flor\}.*the words are"):
        typed(project, ["settings"], "outlet_pattern", "{flor}-{nn}")
    with pytest.raises(InputProblem, match="several cables one number"):
        typed(project, ["settings"], "cable_pattern", "{frame}")
    assert done(project, typed(project, ["settings"], "outlet_pattern", "{nnn}"))


def printed(project: Project) -> Project:
    ports = [port_of(project, OUTLET_1).id]
    project = done(project, set_port_fields(project, ports, "cable_number", "K1"))
    project = done(project, add_panels(project, MAIN, cable_type=CABLE))
    project = done(project, set_port_fields(project, ports, "ends_at", "M1-A01"))
    return done(project, mark_printed(project, [OUTLET_1]))


def test_marking_freezes_what_stands_there_and_no_more():
    project = printed(building())
    outlet = project.outlets[OUTLET_1]
    assert outlet.number_printed
    assert [p.printed for p in outlet.ports] == [bool(p.cable_number) for p in outlet.ports]
    with pytest.raises(InputProblem, match="not marked as printed already"):
        mark_printed(project, [OUTLET_1])


def test_a_printed_number_changes_by_no_command():
    project = printed(building())
    port = port_of(project, OUTLET_1).id
    says = "Outlet 0-01 is printed; release the numbers first"
    for refused in (
        lambda: typed(project, [OUTLET_1], "number", "9"),
        lambda: typed(project, [OUTLET_1, OUTLET_2], "number", ""),
        lambda: set_port_fields(project, [port], "cable_number", "K2"),
        lambda: set_port_fields(project, [port], "ends_at", "M1-A02"),
        lambda: delete_things(project, [MAIN]),
        lambda: change_panel(project, MAIN, "A", "name", "B"),
    ):
        with pytest.raises(InputProblem, match=says):
            refused()
    with pytest.raises(InputProblem, match="Outlet 0-01 is printed and keeps its number"):
        renumber(project, [OUTLET_1])
    patch = renumber(project, [OUTLET_1, OUTLET_2, OUTLET_3], "Z{n}")
    assert "(1 printed keep theirs)" in patch.label
    assert project.apply(patch).outlets[OUTLET_1].number == "0-01"


def test_a_frame_keeps_its_name_while_ports_are_printed_with_it():
    project = printed(building())
    with pytest.raises(InputProblem, match="Ports at frame M1 are printed with its name"):
        typed(project, [MAIN], "name", "M9")
    with pytest.raises(InputProblem, match="Frame M1 is printed and keeps its number"):
        renumber(project, [MAIN], "M{nn}")
    assert done(project, typed(project, [MAIN], "note", "locked")).frames[MAIN].note == "locked"


def test_release_asks_and_then_lets_change():
    project = printed(building())
    question = release_numbers(project, [OUTLET_1])
    assert question.answers[0].patch is None
    released = done(project, question.answers[1].patch)
    assert (
        done(released, typed(released, [OUTLET_1], "number", "9")).outlets[OUTLET_1].number == "9"
    )
    with pytest.raises(InputProblem, match="Nothing here is marked"):
        release_numbers(released, [OUTLET_1])


def test_a_copy_carries_nothing_that_is_printed():
    project = printed(building())
    patch = copy_things(project, [OUTLET_1], dx_mm=500)
    [copy] = [c.after for c in patch.changes if c.before is None]
    assert not copy.number_printed
    assert copy.number != "0-01"
    assert [(p.cable_number, p.ends_at, p.printed) for p in copy.ports] == [
        ("", None, False) for _ in copy.ports
    ]


def test_a_copied_frame_has_no_panels_until_runs_are_given_theirs():
    project = done(building(), add_panels(building(), MAIN, cable_type=CABLE))
    patch = copy_things(project, [MAIN], dx_mm=500)
    [copy] = [c.after for c in patch.changes if c.before is None]
    assert copy.panels == ()


def test_cable_numbers_and_printed_ports_of_removed_runs_are_remembered():
    document = Document(printed(building()))
    document.commit(delete_things(document.project, [OUTLET_1]))
    assert document.retired_numbers(Port) == {"K1"}
    assert document.retired_numbers(PanelPort) == {f"{MAIN}/A/01"}
    question = set_port_fields(
        document.project,
        [port_of(document.project, OUTLET_2).id],
        "cable_number",
        "K1",
        retired=document.retired_numbers,
    )
    assert isinstance(question, Question)
    assert "K1 was carried by a cable that has been removed" in question.text
    again = typed(document.project, [OUTLET_2], "number", "0-01", retired=document.retired_numbers)
    assert isinstance(again, Question)
    document.undo()
    assert document.retired_numbers(Port) == frozenset()
    assert document.retired_numbers(PanelPort) == frozenset()


def test_panels_are_named_on_changed_with_their_runs_and_removed_when_empty():
    project = done(building(), add_panels(building(), MAIN, cable_type=CABLE, count=2))
    assert [p.name for p in project.frames[MAIN].panels] == ["A", "B"]
    port = port_of(project, OUTLET_1).id
    project = done(project, set_port_fields(project, [port], "ends_at", "M1-B24"))
    renamed = done(project, change_panel(project, MAIN, "B", "name", "P2"))
    assert port_of(renamed, OUTLET_1).ends_at == PanelPort(frame=MAIN, panel="P2", port=24)
    with pytest.raises(InputProblem, match="no other panel"):
        change_panel(project, MAIN, "B", "name", "A")
    with pytest.raises(InputProblem, match="A run ends on port 24 of panel B"):
        change_panel(project, MAIN, "B", "port_count", 12)
    with pytest.raises(InputProblem, match="has a run of outlet 0-01 on it"):
        remove_panel(project, MAIN, "B")
    without = done(project, remove_panel(project, MAIN, "A"))
    assert [p.name for p in without.frames[MAIN].panels] == ["B"]
