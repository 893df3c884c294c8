"""The outlet tool placing from the client's list: it knows what is left in the room."""

from app.model.entities import ClientList, Requirement, RoomLine
from app.model.project import adding, removing
from tests.editor.scripted import Script
from tests.editor.small_building import CEILING, DATA, OFFICE, building

LIST = ClientList(id="client-list-00000001", name="Rooms")
HALL_LINE, OFFICE_LINE = "room-line-00000001", "room-line-00000002"


def script(**draws) -> Script:
    project = building()
    asked = (Requirement(kind=DATA, count=3), Requirement(kind=CEILING, count=1))
    lines = [
        RoomLine(id=HALL_LINE, client_list=LIST.id, line=2, number="0.02", required=asked),
        RoomLine(id=OFFICE_LINE, client_list=LIST.id, line=3, number="0.01", required=asked[:1]),
    ]
    project = project.apply(adding("", [LIST, *lines]))
    return Script("outlet", project=project, from_list=True, **draws)


def made(s: Script):
    return [o for o in s.project.outlets.values() if o.id not in s.first]


def test_each_click_places_what_is_next_and_the_count_falls():
    s = script()
    data, ceiling = (s.project.outlet_kinds[k].name for k in (DATA, CEILING))
    assert s.hand.hint().startswith("Point at a room")
    # One data outlet stands in the hall already.
    s.move(12_000, 3_000)
    assert s.hand.hint() == f"3 left in 0.02: 2 {data}, 1 {ceiling}; a click places {data}"
    s.click(12_000, 3_000)
    assert s.hand.hint() == f"2 left in 0.02: 1 {data}, 1 {ceiling}; a click places {data}"
    s.click(14_000, 3_000)
    assert s.hand.hint() == f"1 left in 0.02: 1 {ceiling}; a click places {ceiling}"
    s.move(15_000, 3_000)
    assert [g.thing.kind for g in s.overlay.ghosts] == [CEILING]
    s.click(15_000, 3_000)
    assert [o.kind for o in made(s)] == [DATA, DATA, CEILING]
    assert s.hand.hint() == "0.02 has all that is asked for"
    s.move(16_000, 3_000)
    assert s.overlay.ghosts == ()
    result = s.press(16_000, 3_000)
    assert result.message == "0.02 has all that is asked for."
    assert len(made(s)) == 3
    s.document.undo()
    assert s.hand.hint() == f"1 left in 0.02: 1 {ceiling}; a click places {ceiling}"


def test_the_chosen_kind_goes_first_while_some_are_left():
    s = script(outlet_kind=CEILING)
    for x in (12_000, 14_000):
        s.click(x, 3_000)
    assert [o.kind for o in made(s)] == [CEILING, DATA]


def test_a_typed_height_is_that_of_the_chosen_kind_alone():
    s = script(outlet_kind=CEILING, outlet_height_mm=2_500)
    for x in (12_000, 14_000):
        s.click(x, 3_000)
    assert [(o.kind, o.height_mm) for o in made(s)] == [(CEILING, 2_500), (DATA, None)]


def test_outside_rooms_and_where_nothing_is_asked_for_nothing_is_placed():
    s = script()
    assert "Point at a room" in (s.press(-3_000, -3_000).message or "")
    without = s.project.room_lines[OFFICE_LINE]
    s.document.commit(removing("", [without]))
    assert s.press(3_000, 2_000).message == "Nothing is asked for in 0.01."
    assert made(s) == []
    assert s.project.spaces[OFFICE].number == "0.01"
