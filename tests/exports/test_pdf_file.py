"""The PDF, read back by another library: sizes, texts, bookmarks, and the same bytes each time."""

import io
import re

import pypdfium2
import pytest

from app.drawing.primitives import Arc, FilledPath, Line, Polyline, Stroke, Text
from app.exports.pdf_file import grey_of, pdf_bytes
from app.jobs.walking import read_to_draw
from app.progress import Cancelled
from app.resource_files import sample_path
from app.sheets.page import Page
from app.sheets.walk_sheet import WalkWishes, walk_sheets

POINTS_PER_MM = 72 / 25.4
WORDS = "Größe Ölhafen, Ωμέγα και Αθήνα, Привет"


def text(words, at=(20, 20), **fields):
    return Text(layer="a", text=words, position=at, height=4, box=(100, 4), **fields)


def page(*primitives, width=210, height=297, group="Floor 0", title="Plan"):
    return Page(width_mm=width, height_mm=height, group=group, title=title, primitives=primitives)


def opened(content):
    return pypdfium2.PdfDocument(content)


def words_of(document, number=0):
    return document[number].get_textpage().get_text_range()


def grey_at(document, x_mm, y_mm, *, number=0):
    """How dark a page is at a point, 0 black to 255 white, rendered at 10 dots a mm."""
    image = document[number].render(scale=254 / 72).to_pil().convert("L")
    return image.getpixel((round(x_mm * 10), image.height - round(y_mm * 10)))


def test_pages_have_their_true_size_each_its_own():
    document = opened(pdf_bytes([page(), page(width=841, height=594)], title="T"))
    sizes = [document[n].get_size() for n in range(2)]
    assert sizes[0] == pytest.approx((210 * POINTS_PER_MM, 297 * POINTS_PER_MM), abs=0.01)
    assert sizes[1] == pytest.approx((841 * POINTS_PER_MM, 594 * POINTS_PER_MM), abs=0.01)


def test_umlauts_greek_and_cyrillic_are_found_again():
    assert WORDS in words_of(opened(pdf_bytes([page(text(WORDS))], title="T")))


def test_the_open_font_is_in_the_file():
    content = pdf_bytes([page(text("a"), text("b", bold=True))], title="T")
    names = set(re.findall(rb"/BaseFont /([A-Z]+\+[\w-]+)", content))
    assert {n.split(b"+")[1] for n in names} >= {b"SourceSansPro-Regular", b"SourceSansPro-Bold"}
    assert content.count(b"/FontFile2") == 2


def test_the_same_pages_give_the_same_bytes():
    pages = [page(text(WORDS), Line(layer="a", start=(0, 0), end=(9, 9)))]
    first = pdf_bytes(pages, title="T")
    assert pdf_bytes(pages, title="T") == first
    assert b"20" + b"26" not in first.split(b"trailer")[-1]


def test_bookmarks_lead_to_floors_and_their_sheets():
    pages = [page(), page(title="List"), page(group="Floor 1")]
    outline = [
        (item.level, item.get_title(), item.get_dest().get_index())
        for item in opened(pdf_bytes(pages, title="T")).get_toc()
    ]
    assert outline == [
        (0, "Floor 0", 0),
        (1, "Plan", 0),
        (1, "List", 1),
        (0, "Floor 1", 2),
        (1, "Plan", 2),
    ]


def test_lines_fills_and_arcs_lie_where_they_should():
    ring = ((100, 100), (140, 100), (140, 140), (100, 140))
    hole = ((110, 110), (130, 110), (130, 130), (110, 130))
    document = opened(
        pdf_bytes(
            [
                page(
                    Line(layer="a", start=(20, 50), end=(80, 50), stroke=Stroke(width_mm=1)),
                    FilledPath(layer="a", rings=(ring, hole)),
                    Arc(
                        layer="a",
                        center=(50, 200),
                        radius=20,
                        start_deg=0,
                        sweep_deg=90,
                        stroke=Stroke(width_mm=1),
                    ),
                    Polyline(
                        layer="a",
                        points=((150, 20), (200, 20)),
                        stroke=Stroke(ink="plan", width_mm=1),
                    ),
                )
            ],
            title="T",
        )
    )
    assert grey_at(document, 50, 50) < 30
    assert grey_at(document, 50, 53) > 250
    assert grey_at(document, 105, 120) < 5
    assert grey_at(document, 120, 120) > 250
    assert grey_at(document, 50 + 20 * 0.7071, 200 + 20 * 0.7071) < 60
    assert grey_at(document, 50 - 20 * 0.7071, 200 - 20 * 0.7071) > 250
    assert grey_at(document, 175, 20) == pytest.approx(255 * grey_of("plan"), abs=6)


def test_a_text_stands_in_its_box_and_is_narrowed_to_it():
    wide = Text(layer="a", text="W" * 60, position=(20, 200), height=4, box=(50, 4))
    document = opened(pdf_bytes([page(wide)], title="T"))
    textpage = document[0].get_textpage()
    boxes = [textpage.get_charbox(n) for n in range(60)]
    assert min(b[0] for b in boxes) >= 19.5 * POINTS_PER_MM
    assert max(b[2] for b in boxes) <= 70.5 * POINTS_PER_MM
    capital = max(b[3] for b in boxes) - min(b[1] for b in boxes)
    assert capital == pytest.approx(4 * POINTS_PER_MM, rel=0.08)


@pytest.mark.parametrize(
    ("horizontal", "left_mm"), [("left", 100.0), ("center", 90.0), ("right", 80.0)]
)
def test_alignment_moves_the_text_not_its_box(horizontal, left_mm):
    from app.drawing.font_metrics import text_width_mm

    own = text_width_mm("Hallo", capital_mm=4)
    made = Text(
        layer="a",
        text="Hallo",
        position=(100, 100),
        height=4,
        box=(20, 4),
        horizontal=horizontal,
        vertical="middle",
    )
    share = {"left": 0.0, "center": 0.5, "right": 1.0}[horizontal]
    document = opened(pdf_bytes([page(made)], title="T"))
    left, low, *_ = document[0].get_textpage().get_charbox(0)
    assert left / POINTS_PER_MM == pytest.approx(left_mm + (20 - own) * share, abs=0.6)
    assert low / POINTS_PER_MM == pytest.approx(98, abs=0.2)


def test_cancelling_writes_nothing():
    class Stopped:
        def report(self, fraction, words):
            pass

        def check(self):
            raise Cancelled

    with pytest.raises(Cancelled):
        pdf_bytes([page()], title="T", progress=Stopped())


def test_the_samples_walk_sheets_are_read_again_by_another_library():
    read, drawings = read_to_draw(sample_path("ferry-terminal.drawcord"))
    pages = walk_sheets(read.design, drawings, WalkWishes(paper="A3", date="2026-11-25"))
    content = pdf_bytes(pages, title="Walk sheets")
    document = opened(io.BytesIO(content))
    assert len(document) == len(pages)
    said = " ".join(words_of(document, n) for n in range(len(pages)))
    for outlet in read.project.outlets.values():
        assert outlet.number in said
    for space in read.project.spaces.values():
        assert space.number in said
    assert [i.get_title() for i in document.get_toc() if i.level == 0] == [
        "Floor 0",
        "Floor 1",
        "Floor 2",
    ]
    assert content == pdf_bytes(pages, title="Walk sheets")
