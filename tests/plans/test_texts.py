"""Texts stand where the file puts them, and stay readable where it mirrors them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment

from app.drawing.plan_drawing import PlanText
from app.plans.imported import ImportedPlan
from app.plans.placing import transformed_text
from app.plans.text_width import text_width, wrapped

Reader = Callable[[Drawing], ImportedPlan]


def only_text(plan: ImportedPlan) -> PlanText:
    """The plan's one text, in the file's own coordinates."""
    (text,) = (t for layer in plan.drawing.layers for t in layer.texts)
    x, y = plan.drawing.origin
    return replace(text, position=(text.position[0] + x, text.position[1] + y))


@pytest.mark.parametrize(
    ("align", "horizontal", "vertical"),
    [
        ("LEFT", "left", "baseline"),
        ("CENTER", "center", "baseline"),
        ("RIGHT", "right", "baseline"),
        ("MIDDLE_CENTER", "center", "middle"),
        ("TOP_RIGHT", "right", "top"),
        ("BOTTOM_LEFT", "left", "bottom"),
        ("MIDDLE", "center", "middle"),
    ],
)
def test_lines_of_text_are_anchored(
    align: str, horizontal: str, vertical: str, new_doc: Drawing, read_doc: Reader
) -> None:
    text = new_doc.modelspace().add_text("HALL", height=200, rotation=30)
    text.set_placement((700, 900), align=TextEntityAlignment[align])
    found = only_text(read_doc(new_doc))
    assert found.position == pytest.approx((700, 900))
    assert (found.horizontal, found.vertical) == (horizontal, vertical)
    assert found.height == pytest.approx(200)
    assert found.rotation_deg == pytest.approx(30)


def test_fitted_text_has_the_width_between_its_points(new_doc: Drawing, read_doc: Reader) -> None:
    text = new_doc.modelspace().add_text("HALL", height=200)
    text.set_placement((0, 0), (300, 400), align=TextEntityAlignment.FIT)
    found = only_text(read_doc(new_doc))
    assert found.width == pytest.approx(500)
    assert found.height == pytest.approx(200)
    assert found.rotation_deg == pytest.approx(math.degrees(math.atan2(4, 3)))


@pytest.mark.parametrize("attachment", range(1, 10))
def test_blocks_of_text_hang_by_their_point(
    attachment: int, new_doc: Drawing, read_doc: Reader
) -> None:
    new_doc.modelspace().add_mtext(
        "{\\fArial|b1;HALL}\\P12 m\\U+00B2",
        {"char_height": 100, "insert": (50, 60), "attachment_point": attachment},
    )
    found = only_text(read_doc(new_doc))
    assert found.text == "HALL\n12 m²"
    assert found.position == pytest.approx((50, 60))
    left, bottom, right, top = found.box
    # Source: DXF reference, MTEXT group 71: 1 top left ... 9 bottom right, row by row.
    column, row = (attachment - 1) % 3, (attachment - 1) // 3
    assert [left, (left + right) / 2, right][column] == pytest.approx(0)
    assert [top, (top + bottom) / 2, bottom][row] == pytest.approx(0)
    # Single spacing is 5/3 of the height of capitals.
    assert top - bottom == pytest.approx(100 + 100 * 5 / 3)


@pytest.mark.parametrize(
    ("code", "height"), [("\\H2.5x;HALL", 250), ("{\\H70;HALL}", 70), ("HALL", 100)]
)
def test_a_height_set_at_the_beginning_counts(
    code: str, height: float, new_doc: Drawing, read_doc: Reader
) -> None:
    new_doc.modelspace().add_mtext(code, {"char_height": 100})
    found = only_text(read_doc(new_doc))
    assert found.text == "HALL"
    assert found.height == pytest.approx(height)


def test_attributes_are_read_where_they_are_shown(new_doc: Drawing, read_doc: Reader) -> None:
    block = new_doc.blocks.new("TAG")
    block.add_attdef("ROOM", (0, 0), text="default")
    reference = new_doc.modelspace().add_blockref("TAG", (500, 500), {"rotation": 90})
    reference.add_attrib("ROOM", "0.13", (510, 520), {"height": 150})
    reference.add_attrib("SECRET", "x", (0, 0)).is_invisible = True
    new_doc.modelspace().add_line((0, 0), (900, 0))
    plan = read_doc(new_doc)
    found = only_text(plan)
    assert (found.text, found.position) == ("0.13", (510, 520))


@pytest.mark.parametrize("mirror", [(-1, 0, 0, 1), (1, 0, 0, -1), (-1, 0, 0, -1), (0, 1, 1, 0)])
@pytest.mark.parametrize("horizontal", ["left", "center", "right"])
@pytest.mark.parametrize("vertical", ["bottom", "middle", "top"])
@pytest.mark.parametrize("rotation", [0.0, 40.0, 90.0])
def test_mirrored_text_keeps_its_box_and_can_be_read(
    mirror: tuple[float, float, float, float], horizontal: str, vertical: str, rotation: float
) -> None:
    text = PlanText(
        text="HALL", position=(10, 20), height=5, width=30, rotation_deg=rotation,
        horizontal=horizontal, vertical=vertical,  # type: ignore[arg-type]
    )  # fmt: skip
    a, b, c, d = mirror
    moved = transformed_text(text, (a, b, c, d, 3, 4))
    corners = {tuple(np.round((a * x + c * y + 3, b * x + d * y + 4), 6)) for x, y in text.corners}
    assert {tuple(np.round(corner, 6)) for corner in moved.corners} == corners
    if a * d - b * c < 0:
        assert math.cos(math.radians(moved.rotation_deg)) > -0.02


def test_widths_are_those_of_the_published_font() -> None:
    metrics = pytest.importorskip("reportlab.pdfbase.pdfmetrics")
    # Source: Adobe Font Metrics of Helvetica, as reportlab carries them; capitals are 718 high.
    for words in ("HALL 12.04", "Stairs & lift (up)", "The quick brown fox {}|~ 0123456789"):
        assert text_width(words, 718) == pytest.approx(
            metrics.stringWidth(words, "Helvetica", 1000)
        )


def test_words_wrap_at_the_width_and_none_is_lost() -> None:
    words = "one two three four five six seven eight nine ten\neleven"
    lines = wrapped(words, 10, text_width("three four", 10)).split("\n")
    assert " ".join(lines).split() == words.split()
    assert all(text_width(line, 10) <= text_width("three four", 10) for line in lines)
    assert wrapped("unbreakable", 10, 1) == "unbreakable"
