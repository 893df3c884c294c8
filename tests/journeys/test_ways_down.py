"""A hall with a raised floor: one outlet goes to a service pole, two into floor boxes, and all of
it is taken back.

By hand (`practice`): a basket runs 3.00 m high at y = 10 m, a tray under the panels, 0.15 m below
the floor, at y = 4 m; three outlets of two ports stand at y = 8.50 m, 0.45 m high, under a ceiling
of 2.70 m. In the wall they drop 3.00 − 0.45 = 2.55 m, and their stubs end 0.15 m over the ceiling,
2.40 m up. By a pole that is 0.30 m to the ceiling and 2.25 m below it. A floor box lies level with
the floor, 0.15 m over the tray.
"""

from pathlib import Path

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QComboBox, QWidget

from app.design import parts_of
from app.model.vocabulary import ProvidedBy, WayDown
from app.routing.results import PartSort
from app.storage.project_file import SavedProject, save_project
from app.takeoff.takeoff import take_off
from app.ui.panel.way_view import WayView
from tests.journeys.conftest import Person
from tests.routing.buildings import Draft, made

CTRL = Qt.KeyboardModifier.ControlModifier
US, OTHERS, OWNER = ProvidedBy.US, ProvidedBy.OTHERS, ProvidedBy.OWNER
FIRST, SECOND, THIRD = (made("outlet", n) for n in "abc")


def opened(person: Person, folder: Path) -> None:
    draft = Draft(levels=(0,))
    draft.space("s", 0, 0, 0, 20_000, 12_000, raised_floor_mm=300)
    draft.pathway("b", 0, [(0, 10_000, 3_000), (20_000, 10_000, 3_000)])
    draft.pathway("u", 0, [(2_000, 4_000, -150), (18_000, 4_000, -150)])
    draft.pathway("v", 0, [(2_000, 4_000, -150), (2_000, 10_000, -150), (2_000, 10_000, 3_000)])
    draft.frame("f", 0, 2_000, 11_000, ladder_height_mm=3_000)
    for name, x_m in (("a", 6), ("b", 10), ("c", 14)):
        draft.outlet(name, 0, x_m * 1_000, 8_500, number=f"0-0{x_m}", height_mm=450, ports=2)
    path = folder / "hall.drawcord"
    save_project(path, SavedProject(project=draft.project()))
    person.window.resize(1280, 800)
    person.window.open_path(path)
    person.bot.waitUntil(lambda: person.window.workspace is not None, timeout=10_000)
    person.bot.waitUntil(lambda: person.workspace.canvas.is_settled, timeout=10_000)
    person.workspace.canvas.setFocus()


def take_field(person: Person, key: str) -> QWidget:
    """Give the keys to a field of the panel."""
    person.settle(60)
    editor = person.workspace.panel.form_with(key).editor(key)
    proxy = editor.focusProxy()
    assert proxy is not None
    person.take_keys()
    proxy.setFocus(Qt.FocusReason.TabFocusReason)
    return proxy


def drop(person: Person, outlet: str) -> list[tuple[str, int]]:
    """The upright parts of the first run of an outlet, from its plate."""
    design = person.workspace.session.design
    assert design is not None
    parts = parts_of(design, design.project.outlets[outlet].ports[0].id)
    return [
        (p.name, p.length_mm) for p in parts if p.sort is PartSort.VERTICAL and p.thing == outlet
    ]


def bought(person: Person) -> list[tuple[str, int, ProvidedBy]]:
    """What the ways down are made of, as the takeoff lists it."""
    design = person.workspace.session.design
    assert design is not None
    words = ("Back box", "Stub conduit", "Service pole", "Floor box")
    lines = take_off(design).lines
    return [(x.item, x.quantity, x.provided_by) for x in lines if x.item.startswith(words)]


def view_shown(person: Person) -> list[WayView]:
    person.settle(60)
    return [v for v in person.workspace.panel.findChildren(WayView) if v.isVisible()]


def said(person: Person) -> str:
    (view,) = view_shown(person)
    assert view.section.way is not None
    return view.said


def test_one_to_a_pole_two_to_floor_boxes_and_back(person: Person, tmp_path: Path) -> None:
    opened(person, tmp_path)
    session = person.workspace.session
    as_opened = session.project
    assert [drop(person, o) for o in (FIRST, SECOND, THIRD)] == [
        [("drop in the wall cavity", 2_550)]
    ] * 3
    in_walls = bought(person)
    assert in_walls[:2] == [
        ("Back box, single gang", 3, OTHERS),
        ("Stub conduit Ø 27", 7_200, OTHERS),
    ]

    person.click(6_000, 8_800)
    assert session.selection.ids == (FIRST,)
    assert said(person).startswith("Drop in the wall cavity 2.55 m. Single gang back box by others")
    take_field(person, "way_down")
    person.write("b")  # by a service pole
    assert session.project.outlets[FIRST].way_down is WayDown.SERVICE_POLE
    assert drop(person, FIRST) == [
        ("drop in the service pole", 2_250),
        ("drop to the ceiling", 300),
    ]
    assert said(person) == (
        "Drop to the ceiling 0.30 m, drop in the service pole 2.25 m. Service pole 2.70 m by us."
    )

    person.workspace.canvas.setFocus()
    person.press(Qt.Key.Key_Escape)
    person.drag((8_000, 7_500), (16_000, 9_700))
    assert set(session.selection.ids) == {SECOND, THIRD}
    take_field(person, "way_down")
    person.write("u")  # under the raised floor
    take_field(person, "height_mm")
    person.press(Qt.Key.Key_A, CTRL)
    person.write("0")
    person.press(Qt.Key.Key_Return)
    for outlet in (SECOND, THIRD):
        assert drop(person, outlet) == [("rise from under the raised floor", 150)]
    assert bought(person) == [
        ("Service pole, 2.7 m", 1, US),
        ("Floor box for 2 ports", 2, US),
    ]
    combo = take_field(person, "way_provided_by")
    assert isinstance(combo, QComboBox)
    person.press(Qt.Key.Key_Space)  # opens the list: as its kind, us, others, the owner, reused
    for key in (Qt.Key.Key_Down,) * 3 + (Qt.Key.Key_Return,):
        person.bot.keyClick(combo.view(), key)
    person.settle()
    label = "Set provider of the way down of 2 outlets to owner"
    assert session.document.undo_label == label
    assert bought(person) == [
        ("Service pole, 2.7 m", 1, US),
        ("Floor box for 2 ports", 2, OWNER),
    ]
    person.workspace.canvas.setFocus()
    person.press(Qt.Key.Key_Escape)
    person.click(10_000, 8_800)
    assert said(person) == "Rise from under the raised floor 0.15 m. Floor box by the owner."

    model = person.workspace.drawer.open_table("outlets").model
    column = model.column_index("way_down")
    assert column is not None
    told = {model.row_id(slot): model.cell(slot, column) for slot in range(model.rowCount())}
    assert told == {FIRST: "service pole", SECOND: "raised floor", THIRD: "raised floor"}

    person.workspace.canvas.setFocus()
    for _ in range(4):
        person.press(Qt.Key.Key_Z, CTRL)
    assert session.document.undo_label is None
    assert session.project == as_opened
    assert bought(person) == in_walls


def test_seen_close_an_outlet_shows_a_way_down_that_is_not_its_kinds(
    person: Person, tmp_path: Path
) -> None:
    opened(person, tmp_path)
    canvas = person.workspace.canvas
    canvas.zoom_at(0.08 / canvas.camera.px_per_mm, canvas.camera.to_screen(6_000, 8_500))
    person.settle(300)

    def behind_the_wall() -> QImage:
        at = person.spot(6_000, 8_500)
        person.settle(100)
        return canvas.grab(QRect(at.x() - 12, at.y() + 2, 24, 24)).toImage()

    person.workspace.session.select([SECOND])
    before = behind_the_wall()
    person.workspace.session.select([FIRST])
    (view,) = view_shown(person)
    assert not view.own.isVisible()
    take_field(person, "way_down")
    person.write("b")
    person.settle(60)
    assert view.own.isVisible()
    assert view.own.said.text().startswith("Its kind: in the wall.")
    person.workspace.session.select([SECOND])
    assert behind_the_wall() != before
    canvas.zoom_at(0.03 / canvas.camera.px_per_mm, canvas.camera.to_screen(6_000, 8_500))
    far = behind_the_wall()
    person.workspace.canvas.setFocus()
    person.press(Qt.Key.Key_Z, CTRL)
    assert behind_the_wall() == far
