"""Outlets spread over rooms, placed from the list, and counted as they are typed."""

import math
from itertools import pairwise

import pytest
from msgspec.structs import replace

from app.design import evaluate
from app.editor.asking import InputProblem
from app.editor.commands.estimating import TYPED, estimate
from app.editor.commands.filling import placed_in, wanted_in
from app.editor.commands.outlets import OutletPlace, place_outlets
from app.editor.commands.placing_from_list import left_in, place_what_is_left
from app.editor.commands.spreading import OFF_CORNERS_MM, OFF_THE_WALL_MM, spread
from app.editor.room_lists.typed_counts import understand
from app.geometry.along_lines import foot_on_piece
from app.geometry.polygons import contains
from app.geometry.similarity import unit_vector
from app.model.entities import ClientList, Requirement, RoomLine, Space
from app.model.ids import counting_source
from app.model.integrity import check_patch
from app.model.project import adding, changing
from app.model.rooms import asked_for
from app.model.vocabulary import SpaceUse, State
from app.sheets.spaces_table import counts_in_words
from tests.editor.small_building import (
    CEILING,
    DATA,
    GROUND,
    HALL,
    OFFICE,
    RULES,
    UPPER,
    building,
    source,
)

LIST = ClientList(id="client-list-00000001", name="Rooms")
L_SHAPE = ((0, 0), (9_000, 0), (9_000, 3_000), (4_000, 3_000), (4_000, 8_000), (0, 8_000))


def room(outline, **more) -> Space:
    return Space(
        id="space-00000009", floor=UPPER, outline=tuple(outline), number="1.09", name="Den", **more
    )


def with_room(outline, **more):
    return building().apply(adding("", [room(outline, **more)]))


def asking(project, **counts: int):
    asked = tuple(
        Requirement(kind={"data": DATA, "ap": CEILING}[k], count=n) for k, n in counts.items()
    )
    line = RoomLine(
        id="room-line-00000001", client_list=LIST.id, line=2, number="1.09", required=asked
    )
    return project.apply(adding("", [LIST, line]))


def nearest_wall(outline, at):
    pieces = list(pairwise((*outline, outline[0])))
    return min(pieces, key=lambda p: foot_on_piece(at, *p).distance)


@pytest.mark.parametrize("outline", [L_SHAPE, tuple(reversed(L_SHAPE))])
@pytest.mark.parametrize("count", [1, 2, 7, 24])
def test_outlets_stand_along_the_walls_off_corners_and_turned_to_them(outline, count):
    project = with_room(outline)
    space = project.spaces["space-00000009"]
    places = spread(project, space, {DATA: count})
    assert len(places) == count
    for place in places:
        at = (place.x_mm, place.y_mm)
        assert contains(outline, at)
        a, b = nearest_wall(outline, at)
        assert foot_on_piece(at, a, b).distance == pytest.approx(OFF_THE_WALL_MM, abs=1)
        cos, sin = unit_vector(place.rotation_mdeg)
        assert contains(outline, (at[0] - sin * 200, at[1] + cos * 200))
        for corner in outline:
            # Off a corner of the walls, which is as far off along the wall, less the step aside.
            assert math.dist(at, corner) >= OFF_CORNERS_MM - 1


def test_outlets_along_walls_are_evenly_apart():
    square = ((0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000))
    project = with_room(square)
    places = spread(project, project.spaces["space-00000009"], {DATA: 8})
    by_wall: dict[int, list[float]] = {}
    for p in places:
        by_wall.setdefault(p.rotation_mdeg % 360_000, []).append(
            p.x_mm if p.rotation_mdeg % 180_000 == 0 else p.y_mm
        )
    # 4 walls of 9,400 mm between corners: 8 places stand 4,700 apart, two on each wall.
    assert all(len(along) == 2 for along in by_wall.values())
    assert all(abs(a - b) == pytest.approx(4_700, abs=2) for a, b in by_wall.values())


def test_kinds_alternate_round_the_room_and_ceilings_stand_in_rows():
    project = with_room(L_SHAPE)
    other = replace(project.outlet_kinds[DATA], id="outlet-kind-00000009", name="Desk")
    project = project.apply(adding("", [other]))
    space = project.spaces["space-00000009"]
    places = spread(project, space, {DATA: 4, other.id: 4, CEILING: 2})
    kinds = [p.kind for p in places]
    assert kinds == [DATA, other.id] * 4 + [CEILING] * 2
    for place in places[8:]:
        at = (place.x_mm, place.y_mm)
        assert contains(L_SHAPE, at)
        assert foot_on_piece(at, *nearest_wall(L_SHAPE, at)).distance >= 1_000


def test_what_stands_there_is_left_room_and_a_narrow_room_still_takes_them():
    project = with_room(L_SHAPE)
    space = project.spaces["space-00000009"]
    (first,) = spread(project, space, {DATA: 1})
    made = place_outlets(project, [first], floor_id=UPPER, kind_id=DATA, source=source())
    project = project.apply(made)
    for place in spread(project, space, {DATA: 20}):
        assert math.dist((place.x_mm, place.y_mm), (first.x_mm, first.y_mm)) > 250
    narrow = with_room(((0, 0), (5_000, 0), (5_000, 90), (0, 90)))
    for place in spread(narrow, narrow.spaces["space-00000009"], {DATA: 5}):
        assert contains(narrow.spaces["space-00000009"].outline, (place.x_mm, place.y_mm))


def test_an_office_by_area_against_the_clients_list():
    # practice, worked by hand: 12.0 x 9.5 m at 1 per 10 m2 is 12 outlets and 24 runs; an access
    # point of 2 more makes 26; the client's list says 13 outlets: -1.
    outline = ((0, 0), (12_000, 0), (12_000, 9_500), (0, 9_500))
    project = with_room(outline, use=SpaceUse.OPEN_OFFICE)
    space = project.spaces["space-00000009"]
    (wanted,) = wanted_in(project, RULES, space)
    assert (wanted.kind.id, wanted.count) == (DATA, 12)
    places = spread(project, space, {DATA: 12, CEILING: 1})
    made = place_outlets(project, places, floor_id=UPPER, kind_id=DATA, source=source())
    project = project.apply(made)
    own = [project.outlets[i] for i in made.ids]
    assert sum(len(o.ports) for o in own if o.kind == DATA) == 24
    assert sum(len(o.ports) for o in own) == 26
    project = asking(project, data=13)
    assert left_in(project, space) == {DATA: 1}
    found = evaluate(project)
    (said,) = (f for f in found.findings if f.rule == "outlets_required")
    assert "12 of 13 (difference -1)" in said.text
    patch = place_what_is_left(project, space.id, source=counting_source(2_000))
    assert patch.label.startswith("Place outlet ")
    assert left_in(project.apply(patch), space) == {}


def test_what_is_left_is_placed_at_once_and_then_nothing():
    project = asking(with_room(L_SHAPE), data=5, ap=2)
    space = project.spaces["space-00000009"]
    kinds = project.outlet_kinds
    left = left_in(project, space)
    assert counts_in_words(project, left) == f"5 {kinds[DATA].name}, 2 {kinds[CEILING].name}"
    patch = place_what_is_left(project, space.id, source=source())
    after = project.apply(patch)
    check_patch(after, patch)
    assert placed_in(after, space) == {DATA: 5, CEILING: 2}
    assert evaluate(after).placed[space.id] == {DATA: 5, CEILING: 2}
    assert all(o.number for o in after.outlets.values())
    with pytest.raises(InputProblem, match=r"Space 1\.09 has all"):
        place_what_is_left(after, space.id)
    with pytest.raises(InputProblem, match=r"Nothing is asked for in space 0\.01"):
        place_what_is_left(after, OFFICE)
    with pytest.raises(InputProblem, match="Choose a room"):
        place_what_is_left(after, "space-zzzzzzzz")


def test_outlets_to_remove_and_those_of_a_closet_within_do_not_count():
    project = asking(with_room(L_SHAPE), data=5)
    space = project.spaces["space-00000009"]
    closet = Space(
        id="space-00000008",
        floor=UPPER,
        outline=((0, 0), (2_000, 0), (2_000, 2_000), (0, 2_000)),
    )
    project = project.apply(adding("", [closet]))
    places = [OutletPlace(x_mm=x, y_mm=1_000) for x in (1_000, 3_000, 5_000)]
    made = place_outlets(project, places, floor_id=UPPER, kind_id=DATA, source=source())
    project = project.apply(made)
    going = project.outlets[made.ids[2]]
    project = project.apply(changing("", [(going, replace(going, state=State.TO_REMOVE))]))
    assert placed_in(project, space) == {DATA: 1}
    assert evaluate(project).placed[space.id] == {DATA: 1}


def kinds_of(project, text, **more):
    return [
        (u.count, u.kind, u.space, u.room, u.problem) for u in understand(project, text, **more)
    ]


def test_typed_counts_are_understood():
    project = with_room(L_SHAPE)
    den = "space-00000009"
    assert kinds_of(project, "24 data outlets in 1.09") == [(24, DATA, den, "1.09", "")]
    assert kinds_of(project, "3 x APs at room 1,09") == [(3, CEILING, den, "1,09", "")]
    assert kinds_of(project, "2 desks, 1 AP in den; 4 data in 0.01") == [
        (2, DATA, den, "den", ""),
        (1, CEILING, den, "den", ""),
        (4, DATA, OFFICE, "0.01", ""),
    ]
    assert kinds_of(project, "2 data in 1.09 and 1 AP") == [
        (2, DATA, den, "1.09", ""),
        (1, CEILING, den, "1.09", ""),
    ]
    (line,) = kinds_of(project, "2 data in 2,04\n")
    assert line == (2, DATA, None, "2,04", "")
    (sure,) = understand(project, "1 access point in den")
    assert sure.is_sure


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("desks in 1.09", "begins with no count"),
        ("24 zzz in 1.09", "No kind of outlet is called “zzz”"),
        ("24 data", "Say in which room"),
        ("0 data in 1.09", "count from 1"),
        ("99999999999 data in 1.09", "count from 1"),
    ],
)
def test_what_is_not_understood_is_said(text, problem):
    project = with_room(L_SHAPE)
    (item,) = understand(project, text)
    assert problem in item.problem
    with pytest.raises(InputProblem) as refused:
        estimate(project, [item])
    assert str(refused.value) == item.problem


def test_a_number_on_several_floors_is_that_of_the_floor_in_view():
    twin = Space(id="space-00000007", floor=UPPER, outline=L_SHAPE, number="0.01")
    project = building().apply(adding("", [twin]))
    (item,) = understand(project, "2 data in 0.01")
    assert "“0.01” may be several rooms (0.01 on 0, 0.01 on 1); give a number." in item.problem
    assert understand(project, "2 data in 0.01", floor_id=UPPER)[0].space == twin.id
    assert understand(project, "2 data in 0.01", floor_id=GROUND)[0].space == OFFICE


def test_an_estimate_is_spread_and_rooms_without_an_outline_wait():
    project = with_room(L_SHAPE)
    text = "24 data in 1.09, 2 AP in 1.09, 6 data in 3.33, 1 AP in 3,33, 5 data in 0.02"
    found = estimate(project, understand(project, text), source=source())
    assert found.patch.label == "Spread 31 outlets and ask for 7 outlets"
    after = project.apply(found.patch)
    check_patch(after, found.patch)
    assert after.apply(found.patch.inverse()) == project
    assert placed_in(after, after.spaces["space-00000009"]) == {DATA: 24, CEILING: 2}
    assert placed_in(after, after.spaces[HALL])[DATA] == 6
    numbers = [after.outlets[i].number for i in found.placed]
    assert len(set(numbers)) == len(numbers) == 31
    (entry,) = after.client_lists.values()
    assert entry.name == TYPED
    assert asked_for(after).elsewhere == 7
    more = estimate(after, understand(after, "1 data in 3.33"), source=counting_source(9_000))
    again = after.apply(more.patch)
    assert len(again.client_lists) == 1
    assert len(again.room_lines) == len(after.room_lines)
    assert asked_for(again).elsewhere == 8
    drawn = again.apply(adding("", [replace(room(L_SHAPE), id="space-00000006", number="3.33")]))
    assert asked_for(drawn).by_space["space-00000006"] == {DATA: 7, CEILING: 1}


def test_an_estimate_for_a_line_of_the_list_adds_to_it():
    project = building()
    line = RoomLine(
        id="room-line-00000001", client_list=LIST.id, line=2, number="7.01", name="Loft"
    )
    project = project.apply(adding("", [LIST, line]))
    found = estimate(project, understand(project, "3 data in loft"), source=source())
    after = project.apply(found.patch)
    assert after.room_lines[line.id].required == (Requirement(kind=DATA, count=3),)
    assert found.placed == ()
    assert len(after.client_lists) == 1
    with pytest.raises(InputProblem, match="Type what goes where"):
        estimate(project, [])


def test_a_word_of_a_rooms_name_is_enough_where_it_is_the_only_one():
    project = building()
    hall = replace(project.spaces[HALL], name="Entrance and ticket hall")
    office = replace(project.spaces[OFFICE], name="Ticket office")
    pairs = [(project.spaces[HALL], hall), (project.spaces[OFFICE], office)]
    project = project.apply(changing("", pairs))
    (one,) = understand(project, "3 data in the hall")
    assert (one.space, one.problem) == (HALL, "")
    void = Space(
        id="space-00000008",
        floor=UPPER,
        outline=L_SHAPE,
        name="Void of the hall",
        use=SpaceUse.VOID,
    )
    (same,) = understand(project.apply(adding("", [void])), "3 data in hall", floor_id=UPPER)
    assert same.space == HALL
    (several,) = understand(project, "3 data in ticket")
    assert several.problem == "“ticket” may be several rooms (0.01 on 0, 0.02 on 0); give a number."
    (none,) = understand(project, "3 data in the attic")
    assert (none.space, none.room, none.problem) == (None, "attic", "")
