"""Rooms numbered clockwise, outlets numbered along a line."""

import pytest
from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.printing import mark_printed
from app.editor.commands.renumbering import number_along, number_clockwise
from app.model.project import Project, changing
from app.model.vocabulary import SpaceUse
from tests.routing.buildings import Draft, made

FLOOR, ROOM = made("floor", "0"), made("space", "r")
# Along the walls of a room of 8 × 6 m, by where they stand, and one in its middle near the top.
PLACES = {
    "sw": (300, 200),
    "w": (50, 3_000),
    "nw": (500, 5_900),
    "n": (4_000, 5_950),
    "mid": (5_000, 4_500),
    "e": (7_950, 2_500),
    "s": (4_000, 50),
}


def room(**numbers: str) -> Project:
    draft = Draft(levels=(0,))
    draft.space("r", 0, 0, 0, 8_000, 6_000, use=SpaceUse.OFFICE)
    for name, (x, y) in PLACES.items():
        draft.outlet(name, 0, x, y, number=numbers.get(name, ""))
    return draft.outlet("away", 0, 20_000, 0, number=numbers.get("away", "")).project()


def order(project: Project) -> list[str]:
    """Names of the outlets by number."""
    numbered = sorted(
        (o.number, o.id.rpartition("-")[2].lstrip("0"))
        for o in project.outlets.values()
        if o.number
    )
    return [name for _, name in numbered]


def test_a_room_is_numbered_clockwise_from_its_lower_left_corner():
    project = room()
    done = project.apply(number_clockwise(project, ROOM, pattern="{room}-{nn}"))
    # Clockwise from the lower left: up the west wall, along the north, down the east, back along
    # the south; what stands free in the room comes with the wall that is nearest.
    assert order(done) == ["sw", "w", "nw", "n", "mid", "e", "s"]
    assert done.outlets[made("outlet", "sw")].number == "r-01"
    assert done.outlets[made("outlet", "away")].number == ""


def test_it_begins_with_the_outlet_that_was_chosen():
    project = room()
    begun = number_clockwise(project, ROOM, start=made("outlet", "e"), pattern="{nn}")
    assert order(project.apply(begun)) == ["e", "s", "sw", "w", "nw", "n", "mid"]


def test_either_direction_of_drawing_the_room_numbers_alike():
    project = room()
    space = project.spaces[ROOM]
    turned = project.apply(changing("Turn", [(space, replace(space, outline=space.outline[::-1]))]))
    one, other = (number_clockwise(p, ROOM, pattern="{nn}") for p in (project, turned))
    assert order(project.apply(one)) == order(turned.apply(other))


def test_printed_ones_keep_theirs_and_others_are_not_taken():
    project = room(w="02", away="03")
    project = project.apply(mark_printed(project, [made("outlet", "w")]))
    patch = number_clockwise(project, ROOM, pattern="{nn}")
    assert "of r clockwise (1 printed keep theirs)" in patch.label
    numbers = {
        o.id.rpartition("-")[2].lstrip("0"): o.number for o in project.apply(patch).outlets.values()
    }
    assert numbers["w"] == "02"
    assert numbers["away"] == "03"
    assert [numbers[n] for n in ("sw", "nw", "n", "mid", "e", "s")] == [
        "01",
        "04",
        "05",
        "06",
        "07",
        "08",
    ]


def test_numbers_of_removed_things_are_passed_over():
    project = room()
    patch = number_clockwise(project, ROOM, pattern="{nn}", retired=lambda _: {"01", "04"})
    numbers = sorted(o.number for o in project.apply(patch).outlets.values() if o.number)
    assert numbers == ["02", "03", "05", "06", "07", "08", "09"]


def test_a_line_numbers_what_it_passes_in_its_order():
    project = room()
    line = [(8_000, 0), (8_000, 3_000), (0, 3_000)]
    done = project.apply(number_along(project, FLOOR, line, within_mm=1_000, pattern="L{n}"))
    assert order(done) == ["e", "w"]
    wide = project.apply(number_along(project, FLOOR, line, pattern="L{n}"))
    assert set(order(wide)) == set(PLACES)
    chosen = [made("outlet", n) for n in ("sw", "s", "away")]
    some = project.apply(number_along(project, FLOOR, [(25_000, 0), (0, 0)], ids=chosen))
    assert order(some) == ["away", "s", "sw"]


def test_what_cannot_be_numbered_says_why():
    project = room()
    with pytest.raises(InputProblem, match=r"No outlet stands within 3 m"):
        number_along(project, FLOOR, [(0, 50_000), (9_000, 50_000)])
    with pytest.raises(InputProblem, match="Select a room"):
        number_clockwise(project, "space-99999999")
    with pytest.raises(InputProblem, match="No outlet stands"):
        number_along(Draft(levels=(0,)).project(), FLOOR, [(0, 0), (9_000, 0)])
    empty = Draft(levels=(0,)).space("r", 0, 0, 0, 9_000, 9_000).project()
    with pytest.raises(InputProblem, match="no outlet in space r"):
        number_clockwise(empty, ROOM)
