"""Walk sheets from the command line."""

import pypdfium2
import pytest

from app.resource_files import sample_path
from tests.cli.test_import_and_refusals import refused, run

TERMINAL = sample_path("ferry-terminal.drawcord")
OFFICE = sample_path("small-office.drawcord")


def sizes(path):
    document = pypdfium2.PdfDocument(path)
    return [
        tuple(round(s * 25.4 / 72) for s in document[n].get_size()) for n in range(len(document))
    ]


def test_all_floors_are_written_on_the_paper_asked_for(capsys, tmp_path):
    out = tmp_path / "w.pdf"
    status, said, _ = run(capsys, "walk", TERMINAL, "--out", out, "--paper", "A1")
    assert status == 0
    assert said == f"Wrote 3 sheets A1 to {out}\n"
    assert sizes(out) == [(841, 594)] * 3


def test_one_floor_at_a_scale_of_ones_own(capsys, tmp_path):
    out = tmp_path / "w.pdf"
    words = ("walk", TERMINAL, "--out", out, "--floor", "0", "--paper", "A1", "--scale", "1:100")
    assert run(capsys, *words)[0] == 0
    text = pypdfium2.PdfDocument(out)[0].get_textpage().get_text_range()
    assert "Scale 1:100" in text
    assert "part 1 of 2" in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--out", "w.txt"), "let it end in .pdf"),
        (("--out", "nowhere/w.pdf"), "no folder"),
        (("--out", "w.pdf", "--floor", "9"), "the floors are 0"),
        (("--out", "w.pdf", "--paper", "A0"), "invalid choice"),
        (("--out", "w.pdf", "--scale", "70"), "no standard scale"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(capsys, tmp_path, monkeypatch, words, said):
    monkeypatch.chdir(tmp_path)
    assert said in refused(capsys, "walk", OFFICE, *words)
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_left_alone_unless_it_is_to_be_replaced(capsys, tmp_path):
    out = tmp_path / "w.pdf"
    out.write_bytes(b"mine")
    assert "there already" in refused(capsys, "walk", OFFICE, "--out", out)
    assert out.read_bytes() == b"mine"
    assert run(capsys, "walk", OFFICE, "--out", out, "--replace")[0] == 0
    assert out.read_bytes().startswith(b"%PDF")
