"""Numbering along a drawn line, driven by pointer and keys."""

from app.editor.tools.number_line import ALREADY
from app.editor.tools.tool import Key
from tests.editor.scripted import Script
from tests.editor.small_building import OUTLET_1, OUTLET_2, OUTLET_3


def numbers(s: Script) -> list[str]:
    return [s.project.outlets[o].number for o in (OUTLET_1, OUTLET_2, OUTLET_3)]


def test_a_line_numbers_what_it_passes():
    s = Script()
    s.take("number_line")
    s.click(4_000, 500, alt=True)
    s.click(500, 500, alt=True)
    tags = {t.text for t in s.hand.tool.overlay().tags}
    assert {"0-01", "0-02"} <= tags
    s.key(Key.ENTER)
    assert numbers(s) == ["0-02", "0-01", "0-03"]
    assert s.last.message == "2 outlets numbered along the line."
    s.click(4_000, 500, alt=True)
    s.click(500, 500, alt=True)
    s.key(Key.ENTER)
    assert s.last.message == ALREADY
    s.document.undo()
    assert numbers(s) == ["0-01", "0-02", "0-03"]


def test_the_reach_is_typed_and_the_selection_goes_before_it():
    s = Script()
    s.take("number_line")
    s.hand.tool.type_text("within 200 mm")
    s.click(4_000, 500, alt=True)
    s.click(500, 500, alt=True)
    before = numbers(s)
    s.key(Key.ENTER)
    assert numbers(s) == before
    s.hand.tool.cancel()
    s.selection.set((OUTLET_3, OUTLET_1))
    assert "2 selected outlets" in s.hand.tool.hint()
    s.click(14_000, 500, alt=True)
    s.click(500, 500, alt=True)
    s.key(Key.ENTER)
    assert numbers(s) == ["0-03", "0-02", "0-01"]


def test_a_reach_that_is_none_is_told():
    s = Script()
    s.take("number_line")
    assert "0.1 m" in str(s.hand.tool.type_text("within 10 mm").message)
    assert s.hand.tool.type_text("within a mile").message
    assert not s.hand.tool.cancel()
