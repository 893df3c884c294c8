"""Which room a line of a client's list speaks of, and what rooms are asked to have."""

import pytest

from app.model.entities import ClientList, Requirement, RoomLine, Space
from app.model.project import adding, changing
from app.model.rooms import Match, asked_for, floor_key, number_key, required_in, rooms_of_lines
from tests.editor.small_building import CEILING, DATA, GROUND, HALL, OFFICE, UPPER, building

LIST = ClientList(id="client-list-00000001", name="Rooms")


def line(number: int, room: str, **more) -> RoomLine:
    return RoomLine(
        id=f"room-line-0000000{number}",
        client_list=LIST.id,
        line=number,
        number=room,
        **more,
    )


def with_lines(*lines: RoomLine, spaces: tuple[Space, ...] = ()):
    project = building()
    known = [(project.spaces[s.id], s) for s in spaces if s.id in project.spaces]
    project = project.apply(changing("", known))
    new = [s for s in spaces if s.id not in project.spaces]
    return project.apply(adding("", [LIST, *new, *lines]))


def matches(project) -> dict[int, tuple[Match, str | None]]:
    return {
        project.room_lines[i].line: (room.match, room.space)
        for i, room in rooms_of_lines(project).items()
    }


def asks(kind: str, count: int) -> tuple[Requirement, ...]:
    return (Requirement(kind=kind, count=count),)


@pytest.mark.parametrize("other", ["0.07 ", " 0.07", "0,07", "0 .07", "０.07", "0.07."])
def test_numbers_written_otherwise_are_one_room(other):
    assert number_key(other) == number_key("0.07")


@pytest.mark.parametrize("other", ["0.7", "0.007", "007", "0-07", "0.07a", ""])
def test_other_numbers_are_other_rooms(other):
    assert number_key(other) != number_key("0.07")
    assert number_key("a‑07 B") == number_key("A-07b")


@pytest.mark.parametrize("name", ["1", "Level 1", "1st floor", "Floor 01", " storey 1 "])
def test_floors_are_known_by_their_number(name):
    assert floor_key(name) == "1"
    assert floor_key(name) != floor_key("11")


def test_a_line_takes_the_room_with_its_number_and_the_second_waits():
    project = with_lines(line(3, "0,01"), line(2, "0.02"), line(4, "0.01 "), line(5, "9"))
    assert matches(project) == {
        3: (Match.NUMBER, OFFICE),
        2: (Match.NUMBER, HALL),
        4: (Match.AGAIN, None),
        5: (Match.NO_ROOM, None),
    }
    again = rooms_of_lines(project)["room-line-00000004"]
    assert again.also == ("room-line-00000003",)


def test_a_floor_that_is_known_narrows_and_one_that_is_not_is_passed_over():
    above = Space(id="space-00000009", floor=UPPER, number="0.01", outline=((0, 0), (9, 0), (9, 9)))
    project = with_lines(
        line(1, "0.01"),
        line(2, "0.01", floor_name="Level 1"),
        line(3, "0.02", floor_name="mezzanine"),
        line(4, "0.02", floor_name="1"),
        line(5, "", name="Hall"),
        spaces=(above,),
    )
    assert matches(project) == {
        1: (Match.SEVERAL, None),
        2: (Match.NUMBER, above.id),
        3: (Match.NUMBER, HALL),
        4: (Match.NO_ROOM, None),
        5: (Match.NO_NUMBER, None),
    }
    assert rooms_of_lines(project)["room-line-00000001"].also == (OFFICE, above.id)


def test_the_line_wins_for_what_it_speaks_of_and_zero_is_said():
    own = building().spaces[OFFICE]
    own = Space(
        id=OFFICE,
        floor=GROUND,
        number="0.01",
        outline=own.outline,
        required=(Requirement(kind=DATA, count=4), Requirement(kind=CEILING, count=1)),
    )
    project = with_lines(line(1, "0.01", required=asks(DATA, 13)), spaces=(own,))
    assert asked_for(project).by_space == {OFFICE: {DATA: 13, CEILING: 1}}
    project = with_lines(line(1, "0.01", required=asks(CEILING, 0)), spaces=(own,))
    assert asked_for(project).by_space == {OFFICE: {DATA: 4, CEILING: 0}}


def test_lines_set_to_a_room_by_hand_add_up():
    project = with_lines(
        line(1, "0.01", required=asks(DATA, 2)),
        line(2, "0.O1", space=OFFICE, required=asks(DATA, 3)),
    )
    assert asked_for(project).by_space == {OFFICE: {DATA: 5}}


def test_what_rooms_that_are_not_drawn_ask_for_is_counted_apart():
    project = with_lines(
        line(1, "9.99", required=asks(DATA, 3)),
        line(2, "", required=asks(DATA, 4)),
        line(3, "0.01", required=asks(DATA, 5)),
        line(4, "0.01", required=asks(DATA, 6)),
    )
    asked = asked_for(project)
    assert (asked.elsewhere, asked.by_space) == (7, {OFFICE: {DATA: 5}})


def test_one_room_is_asked_what_it_is_among_all():
    own = building().spaces[OFFICE]
    asked = (Requirement(kind=DATA, count=4), Requirement(kind=CEILING, count=1))
    own = Space(id=OFFICE, floor=GROUND, number="0.01", outline=own.outline, required=asked)
    project = with_lines(
        line(1, "0.01", required=asks(DATA, 13)),
        line(2, "here", space=OFFICE, required=asks(DATA, 1)),
        spaces=(own,),
    )
    by_space = asked_for(project).by_space
    for space in project.spaces.values():
        assert required_in(project, space) == by_space.get(space.id, {})
    assert required_in(project, own) == {DATA: 14, CEILING: 1}
