"""Patterns of numbers: what their words say, what counts apart, and what is wrong with them."""

import pytest

from app.editor.asking import InputProblem
from app.editor.commands.numbering import Beyond, numbered
from app.editor.commands.patterns import (
    Split,
    cable_pattern,
    natural,
    outlet_pattern,
    place_letter,
    wants_panel,
)
from app.model.entities import Outlet, Port
from app.model.project import Project, adding, changing
from tests.editor.small_building import CABLE, DATA, GROUND, OFFICE, building


@pytest.mark.parametrize(
    ("pattern", "values", "split"),
    [
        ("{floor}-{nn}", {"floor": "2"}, Split("2-", 2, "")),
        ("{floor}-{room}-{nn}", {"floor": "2", "room": "2.04"}, Split("2-2.04-", 2, "")),
        # what has nothing to say falls away with its mark, wherever it stands
        ("{floor}-{room}-{nn}", {"floor": "2"}, Split("2-", 2, "")),
        ("{room}-{nn}", {}, Split("", 2, "")),
        ("{nnn}/{room}", {}, Split("", 3, "")),
        ("D{nnnn} {building}", {"building": "Hall"}, Split("D", 4, " Hall")),
        ("{ Floor }.{N}", {"floor": "1"}, Split("1.", 1, "")),
    ],
)
def test_words_are_filled_in_around_the_counter(pattern, values, split):
    assert outlet_pattern(pattern).split(values) == split


@pytest.mark.parametrize(
    ("read", "pattern", "words"),
    [
        (outlet_pattern, "{flor}-{nn}", r"“\{flor\}” means nothing .*\{floor\}, \{room\}"),
        (outlet_pattern, "{floor}", "needs one counter"),
        (outlet_pattern, "{nn}-{nn}", "has 2 counters"),
        (outlet_pattern, "{floor-{nn}", "a brace is open"),
        (outlet_pattern, "{panel}-{nn}", "means nothing"),
        (cable_pattern, "{frame}-{port}", "several cables one number"),
        (cable_pattern, "{outlet}", "several cables one number"),
        (cable_pattern, "{rack}-{nnnn}", r"\{frame\}, \{panel\}"),
    ],
)
def test_what_is_wrong_is_named_with_the_words_that_are_known(read, pattern, words):
    with pytest.raises(InputProblem, match=words):
        read(pattern)


def test_cable_patterns_that_need_a_panel():
    assert wants_panel(cable_pattern("{frame}-{panel}{port}"))
    assert not wants_panel(cable_pattern("{outlet}{p}"))
    assert not wants_panel(cable_pattern("C{nnnnn}"))


def test_counting_goes_on_beyond_the_highest_of_its_own():
    beyond = Beyond(["2-2.04-07", "2-2.05-31", "2-08", "2-x9", "2-2.04-3a"])
    assert beyond.take(Split("2-2.04-", 2, ""), 2) == ("2-2.04-08", "2-2.04-09")
    assert beyond.take(Split("2-2.04-", 2, ""), 1) == ("2-2.04-10",)
    assert beyond.take(Split("2-", 2, ""), 1) == ("2-09",)
    assert beyond.take(Split("", 3, ""), 1) == ("001",)


def test_places_on_a_plate():
    assert [place_letter(i) for i in (0, 1, 25, 26, 27, 701, 702)] == [
        "a",
        "b",
        "z",
        "aa",
        "ab",
        "zz",
        "aaa",
    ]


def test_numbers_sort_as_people_do():
    numbers = ["2-10", "10-1", "2-9", "2-9b", "2-9a", "2-009c"]
    assert sorted(numbers, key=natural) == ["2-9", "2-9a", "2-9b", "2-009c", "2-10", "10-1"]


def _outlet(number: int, x: int, y: int) -> Outlet:
    return Outlet(
        id=f"outlet-0000010{number}",
        floor=GROUND,
        kind=DATA,
        x_mm=x,
        y_mm=y,
        ports=tuple(Port(id=f"port-0000{number}10{i}", cable_type=CABLE) for i in range(2)),
    )


def _with_settings(project: Project, **more: str) -> Project:
    from msgspec.structs import replace

    settings = project.settings
    return project.apply(changing("Set", [(settings, replace(settings, **more))]))


def test_every_room_counts_by_itself_and_outside_all_the_floor_does():
    project = building()
    room = project.spaces[OFFICE]
    (x0, y0), (x1, y1) = room.outline[0], room.outline[2]
    inside = ((x0 + x1) // 2, (y0 + y1) // 2)
    things = [_outlet(1, *inside), _outlet(2, 900_000, 900_000), _outlet(3, *inside)]
    given = numbered(project, things, "{floor}-{room}-{nn}")
    highest = max(
        (int(o.number[2:]) for o in project.outlets.values() if o.number[:2] == "0-"), default=0
    )
    assert [t.number for t in given] == [
        f"0-{room.number}-01",
        f"0-{highest + 1:02d}",
        f"0-{room.number}-02",
    ]


def test_cables_get_their_numbers_at_once_where_these_need_no_panel():
    project = _with_settings(building(), cable_pattern="{outlet}{p}", outlet_pattern="N{nnn}")
    [given] = numbered(project, [_outlet(1, 0, 0)])
    assert given.number == "N001"
    assert [p.cable_number for p in given.ports] == ["N001a", "N001b"]
    counted = _with_settings(project, cable_pattern="K{nnnn}")
    first = numbered(counted, [_outlet(1, 0, 0)])
    counted = counted.apply(adding("Place", first))
    [second] = numbered(counted, [_outlet(2, 0, 0)])
    assert [p.cable_number for p in second.ports] == ["K0003", "K0004"]
    panels = _with_settings(project, cable_pattern="{frame}-{panel}{port}")
    [waits] = numbered(panels, [_outlet(1, 0, 0)])
    assert [p.cable_number for p in waits.ports] == ["", ""]


def test_two_counters_that_run_into_each_other_never_give_one_number():
    beyond = Beyond(())
    given = beyond.take(Split("2", 1, ""), 12) + beyond.take(Split("21", 1, ""), 3)
    assert len(set(given)) == 15
    assert given[-3:] == ("213", "214", "215")
