"""Text is measured from the shipped font; other readers of the same file must agree."""

import pytest
from PIL import ImageFont

from app.drawing import font_metrics as fm

SAMPLES = ("2-041", "1B/24 → 97.3 m", "Ø 7.5 mm × 24 ≤ 50 %", "Порт Ωμέγα", "½ m² ±1 °C", "")


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", SAMPLES)
def test_widths_agree_with_freetype(text, bold):
    # FreeType through Pillow, without kerning, at 1000 pixels an em.
    font = ImageFont.truetype(fm.font_file(bold=bold), 1000, layout_engine=ImageFont.Layout.BASIC)
    kerned = font.getlength(text)
    single = sum(font.getlength(c) for c in text)
    found = fm.text_width_mm(text, capital_mm=fm.face(bold=bold).capital, bold=bold) * 1000
    assert found == pytest.approx(single, abs=1)
    assert found == pytest.approx(kerned, rel=0.08, abs=1)


def test_a_capital_is_as_high_as_asked():
    font = ImageFont.truetype(fm.font_file(), 1000)
    top, bottom = font.getbbox("H", anchor="ls")[1::2]
    assert bottom - top == pytest.approx(1000 * fm.face().capital, abs=2)
    assert fm.em_mm(capital_mm=2.5) * fm.face().capital == pytest.approx(2.5)
    assert fm.font_points(capital_mm=2.5) == pytest.approx(2.5 / fm.face().capital / 25.4 * 72)


def test_digits_line_up_in_columns():
    for bold in (False, True):
        assert len({fm.face(bold=bold).advances[d] for d in "0123456789"}) == 1


def test_latin_greek_cyrillic_and_the_signs_of_the_trade_can_be_drawn():
    wanted = "Zürich Łódź İzmir Αθήνα Київ Ёлка ×²³½¼≤≥→←↑↓±°µΩ–—…•№€ øØ"
    for bold in (False, True):
        assert fm.missing_characters(wanted, bold=bold) == ""
    assert fm.missing_characters("a漢b漢字") == "漢字"


def test_a_missing_character_still_takes_room():
    assert fm.text_width_mm("漢", capital_mm=2) > 0


def test_long_text_is_cut_to_its_width():
    long = "Vehicle and freight inspection"
    for width in (0.5, 3, 10, 20, 30, 60):
        short = fm.shortened(long, width_mm=width, capital_mm=2.0)
        assert fm.text_width_mm(short, capital_mm=2.0) <= width
    assert fm.shortened(long, width_mm=200, capital_mm=2.0) == long
    assert fm.shortened(long, width_mm=0.5, capital_mm=2.0) == ""
    assert fm.shortened(long, width_mm=20, capital_mm=2.0).endswith("…")


def test_lines_do_not_touch():
    up, down = fm.ascent_mm(capital_mm=2), fm.descent_mm(capital_mm=2)
    assert up > 2 > down > 0
    assert fm.line_height_mm(capital_mm=2) >= up + down
    assert fm.text_box_mm("Hg", capital_mm=2) == (fm.text_width_mm("Hg", capital_mm=2), 2)


def test_the_licence_of_the_font_travels_with_it():
    text = (fm.font_file().parent / "SourceSansPro-OFL.txt").read_text(encoding="utf-8")
    assert "SIL Open Font License" in text
