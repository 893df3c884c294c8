"""Clients' lists in the project: read in, read anew, and lines set to rooms by hand."""

import datetime

import pytest
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.client_list import (
    likely_list,
    list_named,
    read_in,
    remove_list,
    set_room,
    take_names,
)
from app.editor.commands.likely_rooms import likely_rooms, misspelt_rooms
from app.model.entities import ClientList, Requirement
from app.model.integrity import check_patch, check_project
from app.model.project import adding, changing
from app.model.rooms import Match, asked_for, rooms_of_lines
from app.model.vocabulary import SpaceUse
from tests.editor.room_lists.lists import account, of_rows
from tests.editor.small_building import DATA, HALL, OFFICE, RULES, building, source

HEAD = ["Room", "Name", "Area", "Data outlet, wall"]
FIRST = [
    HEAD,
    ["0.01", "Harbour office", "24", "13"],
    ["0,O2", "Hall", "140", "2"],
    ["", "Lobby", "", "1"],
    ["0.99", "Store", "", "4"],
]


def taken(project, *rows, **how):
    found = read_in(project, account(project, of_rows(*rows)), source=source(), **how)
    after = project.apply(found.patch)
    check_patch(after, found.patch)
    check_project(after)
    assert after.apply(found.patch.inverse()) == project
    return after, found


def by_number(project):
    return {r.number or r.name: r for r in project.room_lines.values()}


def test_a_list_is_one_patch_and_its_columns_are_kept():
    project = building()
    after, found = taken(
        project,
        *FIRST,
        name="Rooms",
        source_name="rooms.csv",
        today=datetime.date(2026, 5, 4),
    )
    (entry,) = after.client_lists.values()
    assert found.patch.label == "Read in the list Rooms"
    assert (entry.id, entry.source_name, entry.read_on) == (
        found.client_list,
        "rooms.csv",
        "2026-05-04",
    )
    assert [(c.heading, c.means) for c in entry.columns] == [
        ("Room", "number"),
        ("Name", "name"),
        ("Area", "area_m2"),
        ("Data outlet, wall", DATA),
    ]
    assert not found.news
    assert [r.line for r in after.room_lines.values()] == [2, 3, 4, 5]
    assert asked_for(after).by_space == {OFFICE: {DATA: 13}}
    assert asked_for(after).elsewhere == 2 + 1 + 4


def test_a_list_without_a_room_is_refused():
    project = building()
    with pytest.raises(InputProblem, match="No line of this list is a room"):
        read_in(project, account(project, of_rows(HEAD)), name="Rooms")


def test_a_revision_keeps_what_a_person_has_set_and_tells_what_changed():
    project, found = taken(building(), *FIRST, name="Rooms")
    misspelt = by_number(project)["0,O2"]
    project = project.apply(set_room(project, [misspelt.id], HALL))
    kept = by_number(project)
    after, again = taken(
        project,
        HEAD,
        ["0.01", "Harbour office", "24", "15"],
        ["0.50", "New room", "", "1"],
        ["0,O2 ", "Hall", "140", "2"],
        ["", "Lobby", "", "1"],
        anew=found.client_list,
        name="Rooms",
    )
    assert again.patch.label == "Read anew the list Rooms"
    now = by_number(after)
    assert now["0,O2"].id == misspelt.id
    assert now["0,O2"].space == HALL
    assert (now["0,O2"].line, now["Lobby"].id) == (4, kept["Lobby"].id)
    name = project.outlet_kinds[DATA].name
    assert again.news.changed == (f"0.01 Harbour office: {name} 13 → 15.",)
    assert again.news.new == ("0.50 New room.",)
    assert again.news.gone == ("0.99 Store.",)


def test_the_same_list_again_changes_nothing_at_the_lines():
    project, found = taken(building(), *FIRST, name="Rooms")
    after, again = taken(project, *FIRST, name="Rooms", anew=found.client_list)
    assert not again.news
    assert after == project
    assert again.patch.changes == ()


def test_doubled_numbers_and_rooms_without_one_are_known_again_one_by_one():
    rows = [HEAD, ["1", "a", "", "1"], ["1", "b", "", "2"], ["", "c", "", "3"], ["", "c", "", "4"]]
    project, found = taken(building(), *rows, name="Rooms")
    after, again = taken(project, *rows, name="Rooms", anew=found.client_list)
    assert after == project
    after, again = taken(project, *rows[:3], rows[4], name="Rooms", anew=found.client_list)
    assert len(again.news.gone) == 1


def test_a_revision_says_words_and_areas_that_changed():
    project, found = taken(building(), *FIRST, name="Rooms")
    _, again = taken(
        project, HEAD, ["0.01", "Office", "25", ""], *FIRST[2:], name="R", anew=found.client_list
    )
    name = project.outlet_kinds[DATA].name
    assert again.news.changed == (
        f"0.01 Office: {name} 13 → not said, name “Harbour office” → “Office”, area 24 m² → 25 m².",
    )


def test_a_list_that_is_gone_cannot_be_read_anew():
    project, found = taken(building(), *FIRST, name="Rooms")
    project = project.apply(remove_list(project, found.client_list))
    assert not project.room_lines
    assert not project.client_lists
    with pytest.raises(InputProblem, match="no longer"):
        taken(project, *FIRST, name="Rooms", anew=found.client_list)
    with pytest.raises(InputProblem, match="no longer"):
        remove_list(project, found.client_list)


def test_which_list_a_file_is_a_revision_of():
    project, found = taken(building(), *FIRST, name="Rooms")
    assert list_named(project, "ROOMS").id == found.client_list
    assert list_named(project, "Doors") is None
    assert likely_list(project, "anything.xlsx").id == found.client_list
    second = replace(project.client_lists[found.client_list], id="client-list-00000009", name="B")
    project = project.apply(adding("", [second]))
    assert likely_list(project, "b.xlsx").id == second.id
    assert likely_list(project, "anything.xlsx") is None


def test_what_was_typed_in_is_no_list_that_a_file_revises():
    typed = ClientList(id="client-list-00000008", name="Typed in")
    project = building().apply(adding("", [typed]))
    assert likely_list(project, "anything.xlsx") is None
    assert likely_list(project, "typed in.csv") == typed


def test_a_room_spelt_nearly_alike_is_told_unless_another_line_has_it():
    project, found = taken(
        building(),
        HEAD,
        ["0.01", "Harbour office", "24", "1"],
        ["0.O1", "again", "", "1"],
        ["0.O2", "", "140", "1"],
        ["0.777", "Cellar", "24", "1"],
        name="Rooms",
    )
    assert misspelt_rooms(project, found.client_list) == [
        "Line 4: no space is 0.O2; it may be 0.02."
    ]


def test_a_number_that_a_workbook_took_for_an_amount_is_told():
    project = building()
    office, hall = project.spaces[OFFICE], project.spaces[HALL]
    pairs = [(office, replace(office, number="0.10")), (hall, replace(hall, number="0.11"))]
    project, found = taken(
        project.apply(changing("", pairs)), HEAD, ["0.1", "", "", "1"], name="Rooms"
    )
    (told,) = misspelt_rooms(project, found.client_list)
    assert told == "Line 2: no space is 0.1; it may be 0.10."


def test_a_new_line_without_a_number_is_no_new_room():
    project, first = taken(building(), *FIRST, name="Rooms")
    more = [["", "nothing", "", ""], ["0.98", "Attic", "", "2"]]
    _, again = taken(project, *FIRST, *more, name="Rooms", anew=first.client_list)
    assert again.news.new == ("0.98 Attic.",)
    _, only = taken(project, *FIRST, more[0], name="Rooms", anew=first.client_list)
    assert only.news.new == ()
    assert only.news
    rows = (["Name", "Data outlet, wall"], ["Hall", "1"])
    project, first = taken(building(), *rows, name="By name")
    _, named = taken(project, *rows, ["Lobby", "1"], name="", anew=first.client_list)
    assert named.news.new == ("Lobby.",)


def test_two_lists_have_two_names():
    project, _ = taken(building(), *FIRST, name="Rooms")
    with pytest.raises(InputProblem, match="another name"):
        taken(project, *FIRST, name="rooms")


def test_likely_rooms_by_misspelt_number_name_and_area():
    project = building()
    hall = project.spaces[HALL]
    project = project.apply(changing("", [(hall, replace(hall, name="Great hall"))]))
    project, _ = taken(
        project,
        HEAD,
        ["0.01", "Harbour office", "24", "1"],
        ["0.O2", "", "140", "1"],
        ["H", "great  halls", "139", "1"],
        ["Z", "Cellar", "24", "1"],
        name="Rooms",
    )
    lines = by_number(project)
    (first, *_) = likely_rooms(project, lines["0.O2"].id)
    assert (first.space, first.why) == (HALL, "number 0.02, 140 m²")
    (only,) = likely_rooms(project, lines["H"].id)
    assert (only.space, only.why) == (HALL, "the same name, 140 m²")
    assert likely_rooms(project, lines["Z"].id) == []


def test_a_line_is_set_to_a_room_and_back():
    project, _ = taken(building(), *FIRST, name="Rooms")
    store = by_number(project)["0.99"]
    patch = set_room(project, [store.id], HALL)
    assert patch.label == "Let 0.99 Store be 0.02"
    project = project.apply(patch)
    assert rooms_of_lines(project)[store.id].match is Match.HAND
    assert asked_for(project).by_space[HALL] == {DATA: 4}
    project = project.apply(set_room(project, [store.id], None))
    assert rooms_of_lines(project)[store.id].match is Match.NO_ROOM
    with pytest.raises(InputProblem, match="no longer there"):
        set_room(project, [store.id], "space-zzzzzzzz")
    with pytest.raises(InputProblem, match="Choose a line"):
        set_room(project, ["room-line-zzzzzzzz"], HALL)
    assert store.required == (Requirement(kind=DATA, count=4),)


def test_rooms_without_a_name_or_use_take_those_of_the_list():
    project = building()
    hall, office = project.spaces[HALL], project.spaces[OFFICE]
    pairs = [(hall, replace(hall, name="Great hall", use=SpaceUse.UNKNOWN))]
    pairs += [(office, replace(office, use=SpaceUse.UNKNOWN))]
    project = project.apply(changing("", pairs))
    rows = [["Room", "Name", "Use"], ["0.01", "Bosun", "ofice"], ["0.02", "Hall", "Waiting"]]
    project, _ = taken(project, *rows, name="Rooms")
    patch = take_names(project, RULES)
    assert patch.label == "Take names and uses of 2 rooms from the list"
    after = project.apply(patch)
    assert (after.spaces[OFFICE].name, after.spaces[OFFICE].use) == ("Bosun", SpaceUse.UNKNOWN)
    assert (after.spaces[HALL].name, after.spaces[HALL].use) == ("Great hall", SpaceUse.WAITING)
    with pytest.raises(InputProblem, match="No room lacks"):
        take_names(after, RULES)
