"""Columns guessed from headings, remembered, and kinds meant by words."""

import pytest

from app.editor.commands.catalogue import outlet_kind_of
from app.editor.room_lists.headings import guess_columns, remembered_columns
from app.editor.room_lists.kind_words import kind_meant
from app.editor.room_lists.made_out import habits_here, habits_of, make_out
from app.editor.room_lists.plain_words import plain
from app.model.building import ColumnMatch
from app.model.project import adding
from tests.editor.room_lists.lists import of_rows
from tests.editor.small_building import CABLE, CEILING, DATA, RULES, building

KINDS = {
    name: outlet_kind_of(RULES, name, kind_id=f"outlet-kind-{n:08d}", cable_type=CABLE)
    for n, name in enumerate(RULES.outlet_kinds, start=100)
}


def names(ids) -> list[str]:
    by_id = {k.id: name for name, k in KINDS.items()}
    return [by_id[i] for i in ids]


@pytest.mark.parametrize(
    ("heading", "means"),
    [
        ("Room", "number"),
        ("ROOM NO.", "number"),
        ("Raum-Nr.", "number"),
        ("Description", "name"),
        ("Level", "floor_name"),
        ("Geschoß", "floor_name"),
        ("Area (m²)", "area_m2"),
        ("Area, m2", "area_m2"),
        ("Fläche", "area_m2"),
        ("Nutzungsart", "use"),
        ("Remarks", "note"),
        ("Data outlets, wall", DATA),
        ("Access points (ceiling)", CEILING),
        ("Wardrobes", ""),
        ("", ""),
    ],
)
def test_headings_as_clients_write_them(heading, means):
    (guess,) = guess_columns(building(), [heading], {})
    assert guess.means == means


def test_a_misspelt_heading_is_only_proposed():
    project = building()
    (kind, field) = guess_columns(project, ["Acess point, ceilng", "Descripton"], {})
    assert (kind.means, kind.likely[0]) == ("", CEILING)
    assert (field.means, field.likely) == ("", ("name",))


def test_two_columns_never_say_the_same():
    first, second = guess_columns(building(), ["Room", "Room number"], {})
    assert (first.means, second.means, second.likely) == ("number", "", ("number",))


def test_what_was_matched_is_remembered_with_what_was_left_out():
    columns = [
        ColumnMatch(heading="Workplaces", means=DATA),
        ColumnMatch(heading="Level", means=""),
        ColumnMatch(heading="Gone", means="outlet-kind-zzzzzzzz"),
    ]
    known = remembered_columns(columns)
    guesses = guess_columns(building(), ["WORKPLACE", "Level", "Gone"], known)
    assert [g.means for g in guesses] == [DATA, "", ""]


def test_habits_go_from_project_to_project_by_the_names_of_kinds():
    project = building()
    columns = [
        ColumnMatch(heading="Workplaces", means=DATA),
        ColumnMatch(heading="R", means="number"),
        ColumnMatch(heading="Colour", means=""),
    ]
    habits = habits_of(project, columns)
    assert habits == {"workplace": project.outlet_kinds[DATA].name, "r": "number"}
    assert habits_here(project, habits) == {"workplace": DATA, "r": "number"}
    unknown = habits_here(project, {"workplace": "Desk of another house"})
    made = make_out(project, of_rows(["Room", "Workplaces"]), unknown)
    assert made.how.columns[0] == "number"
    assert DATA in made.guesses[1].likely


def test_the_line_of_the_headings_is_found_below_a_title():
    rows = (["Ferry terminal"], ["as of", "May"], ["No", "Name", "Use"], ["1", "a", "b"])
    assert make_out(building(), of_rows(*rows), {}).how.heading_line == 3
    assert make_out(building(), of_rows(*rows), {}, line=1).how.heading_line == 1
    assert make_out(building(), of_rows(*rows), {}, line=0).how.heading_line == 0


@pytest.mark.parametrize(
    ("word", "sure", "likely"),
    [
        ("floor boxes", "floor_box", "floor_box"),
        ("Door controllers", "door", "door"),
        ("till", "till", "till"),
        ("lifts", "lift", "lift"),
        ("desks", None, "desk"),
        ("APs", None, "access_point"),
        ("WiFi", None, "access_point"),
        ("cameras", None, "camera"),
        ("CCTV", None, "camera"),
        ("tilll", None, "till"),
        ("xyzzy", None, None),
    ],
)
def test_kinds_by_the_words_of_crews(word, sure, likely):
    meant = kind_meant(KINDS.values(), word)
    assert (None if meant.kind is None else names([meant.kind])[0]) == sure
    assert likely is None or likely in names(meant.likely)
    assert likely is not None or meant.likely == ()


def test_a_kind_of_the_exact_name_is_beyond_doubt_though_others_hold_its_words():
    project = building()
    longer = KINDS["access_point_wall"]
    project = project.apply(adding("", [longer]))
    name = project.outlet_kinds[CEILING].name
    assert kind_meant(project.outlet_kinds.values(), name).kind == CEILING


@pytest.mark.parametrize(
    ("one", "other"),
    [("boxes", "box"), ("Desks", "desk"), ("entries", "entry"), ("glass", "glass"), ("bus", "bus")],
)
def test_plurals(one, other):
    assert plain(one) == plain(other)
