"""Speed of hand: 300 outlets of two floors placed from the client's list, gesture by gesture.

The building begins empty: its outlets of floors 0 and 1 are taken out and the client's list is
read in before counting begins. The list that the sample carries asks for 235 outlets in the
rooms of these floors. The one read in here is its next revision: it also asks for the reader and
the strike of each of the 20 doors that are no gate, by others, and for 25 more outlets in offices,
canteen and workshop: 300 in all. Everything after that counts: choosing tools and kits, zooming,
moving the paper, changing the floor, and each place that is clicked.
"""

import csv
import io
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog

from app.editor.commands.placing_from_list import left_in
from app.model.entities import Space
from app.model.project import removing
from app.model.vocabulary import ProvidedBy
from app.resource_files import sample_path
from app.ui.dialogs.client_list import ClientListDialog
from app.ui.dialogs.kits import KitsDialog
from tests.journeys.conftest import Person
from tests.journeys.test_the_clients_list import CTRL_SHIFT, read_list, space_of
from tests.journeys.test_the_terminal_cured import open_terminal

OUTLETS, FEWER_THAN = 300, 600
FLOORS = ("0", "1")
GATES = ("1.13", "1.16")
MORE_DATA = {"1.01": 8, "1.10": 4, "0.12": 5, "0.17": 4, "0.18": 4}
READER, STRIKE = "Card reader", "Door strike"
Metres = tuple[float, float]


# --- the empty building and its list ------------------------------------------------------


def next_revision(folder: Path) -> Path:
    """The room schedule with what else is asked for."""
    text = sample_path("ferry-terminal-rooms.csv").read_text(encoding="utf-8")
    title, blank, headings, *rooms = list(csv.reader(io.StringIO(text)))
    data, doors = headings.index("Data, wall"), headings.index("Door controller")
    rows = [title, blank, [*headings[:-1], READER, STRIKE, headings[-1]]]
    for room in rooms:
        number, at_doors = room[0], room[doors]
        if number in MORE_DATA:
            room[data] = str(int(room[data]) + MORE_DATA[number])
        if number in GATES or room[2] not in FLOORS:
            at_doors = ""
        rows.append([*room[:-1], at_doors, at_doors, room[-1]])
    path = folder / "ferry-terminal-rooms, rev B.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
    return path


def rooms_of(person: Person) -> list[Space]:
    project = person.workspace.session.project
    names = {f.id: f.name for f in project.floors.values()}
    return [s for s in project.spaces.values() if names[s.floor] in FLOORS]


def asked(person: Person) -> dict[str, Counter[str]]:
    """By number of the room, what is asked for on both floors."""
    required = person.workspace.session.design.required
    return {s.number: Counter(required[s.id]) for s in rooms_of(person) if s.id in required}


def placed(person: Person) -> dict[str, Counter[str]]:
    """By number of the room, what stands on both floors; "" outside all rooms."""
    session = person.workspace.session
    rooms = {s.id: s.number for s in rooms_of(person)}
    names = {f.id: f.name for f in session.project.floors.values()}
    found: dict[str, Counter[str]] = {}
    for outlet in session.project.outlets.values():
        if names[outlet.floor] in FLOORS:
            room = rooms.get(session.design.space_of[outlet.id] or "", "")
            found.setdefault(room, Counter())[outlet.kind] += 1
    return found


def empty(person: Person, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Floors 0 and 1 without outlets, and the list in its next revision."""
    session = person.workspace.session
    names = {f.id: f.name for f in session.project.floors.values()}
    own = [o for o in session.project.outlets.values() if names[o.floor] in FLOORS]
    assert session.commit(removing("Take out the outlets of floors 0 and 1", own))

    def take_it(dialog: QDialog) -> None:
        assert isinstance(dialog, ClientListDialog)
        assert dialog.which.currentText() == "a revision of “Room schedule”"
        dialog.accept()

    read_list(person, next_revision(folder), take_it, monkeypatch)
    person.workspace.drawer.close_table()
    person.press(Qt.Key.Key_F6)
    assert not placed(person)
    assert sum(c.total() for c in asked(person).values()) == OUTLETS


# --- the hand ------------------------------------------------------------------------------


def click(person: Person, places: Iterable[Metres], *, each: int) -> None:
    """Click at places; every click places so many outlets."""
    for x_m, y_m in places:
        before = len(person.workspace.session.project.outlets)
        person.click(x_m * 1_000, y_m * 1_000)
        made = len(person.workspace.session.project.outlets) - before
        assert made == each, f"{made} at {x_m}, {y_m}: {person.workspace.bottom.message}"


def take_kit(person: Person, name: str) -> None:
    """Choose a kit in the list of kits."""

    def choose(dialog: QDialog) -> None:
        assert isinstance(dialog, KitsDialog)
        (item,) = dialog.items.findItems(name, Qt.MatchFlag.MatchExactly)
        person.click_on(dialog.items.viewport(), dialog.items.visualItemRect(item).center())
        assert dialog._verb is not None
        person.push(dialog._verb)

    person.in_dialog(choose)
    person.press(Qt.Key.Key_M, CTRL_SHIFT)
    person.settle(30)
    assert person.workspace.canvas.tool == "kit"


def doors(person: Person, *places: Metres) -> None:
    """Stamp controller, reader and strike at doors."""
    take_kit(person, "Door")
    click(person, places, each=3)


def laid_along(person: Person, kit: str, *places: Metres) -> None:
    """Stamp a kit of a hall a quarter turned, so that its desks stand side by side."""
    take_kit(person, kit)
    person.press(Qt.Key.Key_Left)
    each = next(
        len(k.things) for k in person.workspace.session.project.kits.values() if k.name == kit
    )
    click(person, places, each=each)


def by_list(person: Person, *rooms: Sequence[Metres]) -> None:
    """Click where things go, room by room, in the order in which the list asks for them."""
    person.press(Qt.Key.Key_L, CTRL_SHIFT)
    for places in rooms:
        click(person, places, each=1)


def fill(person: Person, *rooms: Metres) -> None:
    """Click rooms that get at once what the list asks for."""
    person.press(Qt.Key.Key_L)
    for x_m, y_m in rooms:
        before = len(person.workspace.session.project.outlets)
        person.click(x_m * 1_000, y_m * 1_000)
        assert len(person.workspace.session.project.outlets) > before


def spread_the_rest(person: Person, number: str) -> None:
    """What is left in the room of what was placed last, along its walls and over its ceiling."""
    session = person.workspace.session
    person.press(Qt.Key.Key_K, CTRL_SHIFT)
    left = left_in(session.project, session.project.spaces[space_of(person, number)])
    assert not left, person.workspace.bottom.message


def row(x0: float, x1: float, y: float, count: int) -> list[Metres]:
    return [(x0 + (i + 0.5) / count * (x1 - x0), y) for i in range(count)]


def look_at(person: Person, x_m: float) -> None:
    """The whole floor, then nearer, then the paper moved so that this stands in the middle."""
    person.press(Qt.Key.Key_0, Qt.KeyboardModifier.ControlModifier)
    person.turn_wheel(70_000, 16_000, notches=5)
    move_to(person, x_m)


def move_to(person: Person, x_m: float) -> None:
    middle = person.workspace.canvas.camera.x_mm
    step = x_m * 1_000 - middle
    start = middle + step / 2
    person.drag((start, 34_000), (start - step, 34_000), button=Qt.MouseButton.MiddleButton)


# --- floor by floor ------------------------------------------------------------------------


def floor_0(person: Person) -> None:
    look_at(person, 24)
    doors(person, (43.0, 14.2))
    laid_along(person, "Ticket desks", (16.9, 9.0))
    entrance, core = [(3.8, 2.5)], [(36.6, 18.0), (43.2, 25.0)]
    by_list(person, entrance, core)
    fill(person, (10.0, 22.0), (18.0, 22.0), (25.0, 29.0))

    move_to(person, 58)
    doors(person, (44.0, 0.2), (58.0, 0.2), (61.6, 31.8), (62.0, 16.7))
    laid_along(person, "Ticket desks", (34.0, 9.0), (54.0, 9.0))
    hall = [(51.0, 6.0), (72.0, 13.0), (72.0, 1.5), (47.0, 13.8), *row(34, 68, 4.5, 4)]
    kitchen = [(78.0, 7.0), (73.0, 1.5), (76.0, 0.2), *row(73, 84, 9.5, 3)]
    corners = [(43.8, 17.5), (79.5, 17.5), (46.0, 31.8), (70.0, 31.8)]
    baggage = [(54.5, 22.0), (69.0, 22.0), *corners, (49.0, 27.0), (61.0, 27.0), (74.0, 27.0)]
    by_list(person, hall, kitchen, baggage)

    move_to(person, 92)
    doors(person, (106.0, 0.2), (84.0, 14.2), (85.0, 16.7), (96.0, 16.7), (107.0, 31.8))
    arrivals = [(105.0, 11.0), (95.0, 6.0), (113.0, 6.0)]
    arrivals += [(87.3, 13.0), (87.3, 1.0), (117.0, 0.2), (92.0, 0.2), (111.0, 0.2)]
    core = [(87.3, 18.0), (91.5, 25.7)]
    border = [*row(95, 109, 23.0, 4), (98.5, 26.5), (103.5, 26.5), (100.0, 20.0)]
    border += [(94.5, 18.0), (94.5, 31.0), (108.5, 31.0)]
    by_list(person, arrivals, core, border)
    fill(person, (82.0, 27.0), (75.0, 15.9))

    move_to(person, 122)
    doors(person, (143.0, 13.8), (132.0, 16.7), (131.0, 31.8), (121.0, 31.8), (111.0, 16.7))
    spread_the_rest(person, "0.17")
    laid_along(person, "Ticket desks", (132.0, 9.0))
    luggage, freight = [(128.2, 4.0), (128.2, 2.2), (123.5, 1.0)], [(130.8, 12.0)]
    corners = [(144.7, 31.0), (123.8, 18.0), (144.7, 18.0), (123.8, 31.0)]
    vehicles = [(141.0, 24.0), (130.0, 22.0), *corners]
    vehicles += [(144.8, 27.0), (129.0, 25.0), (136.0, 19.5)]
    by_list(person, luggage, freight, vehicles)


def floor_1(person: Person) -> None:
    look_at(person, 24)
    fill(person, (5.0, 5.0), (12.0, 27.0))

    move_to(person, 40)
    laid_along(person, "Ticket desks", (18.0, 9.0), (47.0, 9.0))
    hall = [(60.0, 9.0), (62.5, 9.0), (35.0, 6.5), (14.8, 1.0), (35.0, 13.8)]
    by_list(person, [*hall, *row(20, 60, 4.5, 4)], [(43.2, 22.0)])

    move_to(person, 66)
    doors(person, (43.0, 14.2), (84.0, 14.2), (65.6, 1.5), (86.8, 12.0))
    laid_along(person, "Gate lounge", (62.0, 27.0))
    corners = [(68.0, 0.2), (85.0, 0.2), (68.0, 13.8), (86.7, 4.5)]
    by_list(
        person,
        [(76.0, 10.5), *corners, (69.0, 8.0), (76.0, 8.0), (83.0, 8.0)],
        [(87.3, 18.0), (91.5, 25.7)],
    )

    move_to(person, 109)
    lounge = [*row(88, 129, 7.0, 4), (87.5, 2.0), (87.3, 9.5), (130.2, 10.0)]
    lounge += [*row(92, 128, 13.8, 3), (100.0, 5.0), (118.0, 5.0)]
    corners = [(94.5, 18.0), (115.7, 18.0), (94.5, 31.0), (115.7, 31.0)]
    shop = [(101.0, 24.0), (110.0, 24.0), *corners, (105.0, 16.7), *row(96, 114, 20.0, 4)]
    by_list(person, lounge, shop)
    fill(person, (112.0, 15.9))

    move_to(person, 122)
    laid_along(person, "Gate lounge", (124.5, 27.0))
    doors(person, (143.0, 27.5))
    by_list(
        person,
        [(137.7, 6.0), (144.7, 2.0), (137.0, 0.2), (136.5, 9.0), (139.0, 9.0)],
        [(140.0, 24.0), (142.5, 24.0), (144.7, 20.0)],
    )


def test_300_outlets_are_placed_in_fewer_than_600_gestures(
    person: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_terminal(person)
    empty(person, tmp_path, monkeypatch)
    session = person.workspace.session
    before, revision = set(session.project.outlets), session.document.revision
    person.gestures = 0
    floor_0(person)
    person.press(Qt.Key.Key_PageUp)
    floor_1(person)
    gestures = person.gestures
    made = [o for i, o in session.project.outlets.items() if i not in before]
    print(f"{len(made)} outlets in {gestures} gestures")
    assert len(made) == OUTLETS
    assert gestures < FEWER_THAN
    assert session.document.revision - revision <= gestures  # nothing is placed by itself

    # every room has what its line asks for, of every kind, and nothing stands outside
    assert placed(person) == asked(person)
    assert session.design.summary.outside_spaces == 0
    kinds = {k.id: k.name for k in session.project.outlet_kinds.values()}
    by_others = Counter(kinds[o.kind] for o in made if o.provided_by is ProvidedBy.OTHERS)
    assert by_others == {READER: 20, STRIKE: 20}
    numbers = [o.number for o in session.project.outlets.values()]
    assert all(numbers)
    assert len(set(numbers)) == len(numbers)
