"""Encodings, damage, size, progress and cancelling."""

from __future__ import annotations

import threading
from collections.abc import Callable
from io import StringIO
from pathlib import Path

import ezdxf
import pytest
from ezdxf.document import Drawing

from app.plans import byte_stream
from app.plans.imported import ImportedPlan, PlanImportError
from app.plans.read_plan import read_plan
from app.progress import Cancelled

TAGS = (
    "0 SECTION 2 HEADER 9 $ACADVER 1 {version} 9 $DWGCODEPAGE 3 {codepage} 0 ENDSEC "
    "0 SECTION 2 ENTITIES 0 LINE 8 0 10 0.0 20 0.0 11 5000.0 21 0.0 "
    "0 TEXT 8 0 10 0.0 20 0.0 40 200.0 1 {text} 0 ENDSEC 0 EOF "
)
MINIMAL = TAGS.replace(" ", "\n")


def texts(plan: ImportedPlan) -> list[str]:
    return [t.text for layer in plan.drawing.layers for t in layer.texts]


def data_of(doc: Drawing) -> bytes:
    stream = StringIO()
    doc.write(stream)
    return doc.encode(stream.getvalue())


@pytest.mark.parametrize(
    ("codepage", "encoding", "text"),
    [
        ("ANSI_1252", "cp1252", "Büro für Zölle"),
        ("ANSI_1251", "cp1251", "Касса"),
        ("ANSI_932", "cp932", "会議室"),
        ("ANSI_1253", "cp1253", "Αίθουσα"),
    ],
)
def test_old_files_are_read_in_their_code_page(codepage: str, encoding: str, text: str) -> None:
    data = MINIMAL.format(version="AC1009", codepage=codepage, text=text).encode(encoding)
    plan = read_plan(data)
    assert texts(plan) == [text]
    assert plan.report == ()


def test_utf8_in_an_old_file_is_noticed() -> None:
    data = MINIMAL.format(version="AC1015", codepage="ANSI_1252", text="Büro Zoë").encode()
    plan = read_plan(data)
    assert texts(plan) == ["Büro Zoë"]
    assert [note.code for note in plan.report] == ["encoding"]
    assert "UTF-8" in plan.report[0].text


def test_a_code_page_in_a_new_file_is_noticed() -> None:
    data = MINIMAL.format(version="AC1021", codepage="ANSI_1252", text="Büro").encode("cp1252")
    plan = read_plan(data)
    assert texts(plan) == ["Büro"]
    assert "encoding" in [note.code for note in plan.report]


@pytest.mark.parametrize("mark", ["utf-8-sig", "utf-16"])
def test_marks_of_encoding_are_no_damage(mark: str) -> None:
    data = MINIMAL.format(version="AC1009", codepage="ANSI_1252", text="Büro").encode(mark)
    plan = read_plan(data)
    assert texts(plan) == ["Büro"]
    assert "recovered" not in [note.code for note in plan.report]


def test_a_binary_file_reads_like_a_text_file(new_doc: Drawing, tmp_path: Path) -> None:
    new_doc.modelspace().add_line((0, 0), (4_000, 0))
    new_doc.saveas(tmp_path / "a.dxf")
    new_doc.saveas(tmp_path / "b.dxf", fmt="bin")
    a, b = read_plan(tmp_path / "a.dxf"), read_plan(tmp_path / "b.dxf")
    assert a.drawing.layer("0").segments.tolist() == b.drawing.layer("0").segments.tolist()
    assert a.source_name == "a.dxf"
    assert a.sha256 != b.sha256


def test_a_file_cut_short_keeps_its_good_part() -> None:
    data = MINIMAL.format(version="AC1009", codepage="ANSI_1252", text="x").encode()
    plan = read_plan(data[: data.index(b"TEXT") + 8], name="cut.dxf")
    assert plan.drawing.segment_count == 1
    assert plan.report[0].code == "recovered"


@pytest.mark.parametrize("version", ["R12", "R2000", "R2010"])
def test_the_more_of_a_file_there_is_the_more_is_kept(version: str) -> None:
    doc = ezdxf.new(version)
    for number in range(100):
        doc.modelspace().add_line((number, 0), (number, 50))
    data = data_of(doc)
    start = data.index(b"ENTITIES")
    end = data.index(b"ENDSEC", start)
    counts = [
        read_plan(data[: start + (end - start) * tenths // 10]).drawing.segment_count
        for tenths in range(2, 11)
    ]
    assert counts == sorted(counts)
    assert counts[0] >= 15
    assert counts[-1] >= 99


def test_a_hopeless_file_is_refused_in_words() -> None:
    with pytest.raises(PlanImportError) as refusal:
        read_plan(b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n  8\n", name="torn.dxf")
    assert str(refusal.value).startswith("torn.dxf ")


def test_an_empty_drawing_is_refused_and_says_where_things_are() -> None:
    doc = ezdxf.new()
    with pytest.raises(PlanImportError, match="no lines and no texts"):
        read_plan(data_of(doc))
    doc.layout().add_line((0, 0), (1, 1))
    with pytest.raises(PlanImportError, match="1 things are drawn on its sheets"):
        read_plan(data_of(doc))


def test_a_file_too_large_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(byte_stream, "MOST_FILE_BYTES", 100)
    path = tmp_path / "big.dxf"
    path.write_bytes(bytes(101))
    with pytest.raises(PlanImportError, match=r"big.dxf is .* Drawcord opens drawings up to"):
        read_plan(path)


class Watcher:
    """Keeps what was reported; cancels at a fraction."""

    def __init__(self, cancel_at: float = 2.0) -> None:
        self.fractions: list[float] = []
        self.words: list[str] = []
        self.cancel_at = cancel_at

    def report(self, fraction: float, words: str) -> None:
        self.fractions.append(fraction)
        self.words.append(words)

    def check(self) -> None:
        if self.fractions and self.fractions[-1] >= self.cancel_at:
            raise Cancelled


@pytest.fixture(scope="module")
def long_drawing() -> bytes:
    doc = ezdxf.new("R2010", units=4)
    msp = doc.modelspace()
    for number in range(6_000):
        msp.add_line((number, 0), (number, 1_000))
    return data_of(doc)


def test_progress_rises_from_nothing_to_all(long_drawing: bytes) -> None:
    watcher = Watcher()
    read_plan(long_drawing, progress=watcher)
    assert watcher.fractions == sorted(watcher.fractions)
    assert watcher.fractions[-1] == 1.0
    assert len({round(f, 2) for f in watcher.fractions}) > 10
    assert len(set(watcher.words)) >= 3


@pytest.mark.parametrize("cancel_at", [0.1, 0.3, 0.62, 0.7])
def test_cancelling_stops_the_work(cancel_at: float, long_drawing: bytes) -> None:
    watcher = Watcher(cancel_at)
    with pytest.raises(Cancelled):
        read_plan(long_drawing, progress=watcher)
    assert watcher.fractions[-1] < cancel_at + 0.1


def test_reading_works_in_a_thread(long_drawing: bytes) -> None:
    found: list[int] = []

    def work() -> None:
        found.append(read_plan(long_drawing).drawing.segment_count)

    threads = [threading.Thread(target=work) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    assert found == [6_000, 6_000]


def test_nothing_is_printed_or_logged(
    read_doc: Callable[[Drawing], ImportedPlan],
    new_doc: Drawing,
    capfd: pytest.CaptureFixture[str],
) -> None:
    msp = new_doc.modelspace()
    msp.add_line((0, 0), (1, 1))
    msp.add_linear_dim(base=(0, 9), p1=(0, 0), p2=(4, 3)).render()
    read_doc(new_doc)
    captured = capfd.readouterr()
    assert captured.out == ""
    assert captured.err == ""
