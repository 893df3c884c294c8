"""Which floor? on the screen: everything side by side, and a frame put where it is chosen."""

from itertools import pairwise

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.model.entities import Candidate
from app.model.project import adding
from app.siting.which_floor import which_floor
from app.ui.dialogs.place_list import least_width, slots_in
from app.ui.dialogs.which_floor import WhichFloorDialog, as_text
from app.ui.session import Session


@pytest.fixture
def dialog(session: Session, qtbot: QtBot) -> WhichFloorDialog:
    floor = next(iter(session.project.floors))
    place = Candidate(
        id="candidate-00000001",
        floor=floor,
        name="C1",
        x_mm=8_000,
        y_mm=14_000,
        reason_against="The owner wants this corner for a bench. " * 4,
    )
    assert session.commit(adding("Mark a place", [place]))
    made = WhichFloorDialog(which_floor(session.design), session)
    qtbot.addWidget(made)
    return made


def _choose(dialog: WhichFloorDialog, thing: str) -> None:
    places = dialog.places
    for row in range(places.count()):
        places.setCurrentRow(row)
        answer = places.answer()
        if answer is not None and answer.thing == thing:
            return
    raise AssertionError(f"{thing} is not listed")


def test_all_numbers_stand_side_by_side_in_a_window_of_1280(dressed: QApplication) -> None:
    assert least_width() <= 1280
    slots = slots_in(least_width())
    cells = [slots.place, *slots.figures[0], slots.bar]
    cells += [cell for pair in slots.figures[1:] for cell in pair]
    assert len(slots.figures) == 6
    for left, right in pairwise(cells):
        assert left.right() < right.left()
    assert cells[-1].right() <= least_width()


def test_long_words_wrap_and_make_their_item_higher(dialog: WhichFloorDialog) -> None:
    dialog.resize(dialog._wide, dialog._high)
    dialog.show()
    QApplication.processEvents()
    places = dialog.places
    assert places.viewport().width() >= least_width() - 4 * places.frameWidth()
    assert places.horizontalScrollBar().maximum() == 0
    heights = {a.thing: places.visualItemRect(i).height() for a, i in _items(dialog)}
    assert heights["candidate-00000001"] > heights["frame-00000001"]


def _items(dialog: WhichFloorDialog):  # type: ignore[no-untyped-def]
    from app.ui.dialogs.place_list import ANSWER

    items = [dialog.places.item(row) for row in range(dialog.places.count())]
    return [(item.data(ANSWER), item) for item in items]


def test_choosing_a_place_asks_for_it_on_the_plan(dialog: WhichFloorDialog, qtbot: QtBot) -> None:
    with qtbot.waitSignal(dialog.thing_asked) as asked:
        _choose(dialog, "frame-00000001")
    assert asked.args == ["frame-00000001"]
    assert not dialog.place_button.isEnabled(), "a frame stands there already"
    assert "marked place" in dialog.place_button.toolTip()


def test_a_frame_is_put_at_the_chosen_place_in_one_step(
    dialog: WhichFloorDialog, session: Session
) -> None:
    _choose(dialog, "candidate-00000001")
    assert dialog.place_button.isEnabled()
    assert not dialog.place_button.toolTip()
    assert dialog.again_button.isHidden()
    before = session.project
    dialog.place_button.click()
    assert len(session.project.frames) == len(before.frames) + 1
    assert not session.project.candidates
    assert not dialog.again_button.isHidden(), "the answers are of before"
    session.undo()
    assert session.project == before


def test_copied_rows_have_every_number_and_the_words(
    dialog: WhichFloorDialog, session: Session
) -> None:
    lines = as_text(which_floor(session.design), session.project).split("\n")
    cells = [line.split("\t") for line in lines]
    assert {len(row) for row in cells} == {14}
    assert "The owner wants this corner" in lines[-1]
