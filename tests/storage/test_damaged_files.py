"""Damaged and hostile project files: clear words, and whatever is good of them is kept."""

import io
import json
import random
import zipfile
import zlib

import pytest

from app.storage import bounds
from app.storage.failures import UnreadableProject
from app.storage.packed import DamagedBytes, PackedSource, pack_source, sha256_of, unpack_source
from app.storage.project_file import load_project, save_project
from tests.storage.samples import (
    GROUND,
    ORIGINAL,
    PLAN_DRAWING,
    changed_zip,
    saved_sample,
    with_plan,
)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"hello", "is not a Drawcord project"),
        (b"0\nSECTION\n" * 100, "is not a Drawcord project"),
        (b"PK\x03\x04 and then nothing", "is cut off"),
    ],
)
def test_what_is_no_project_is_refused_in_words(tmp_path, content, words):
    path = tmp_path / "x.drawcord"
    path.write_bytes(content)
    with pytest.raises(UnreadableProject, match=words):
        load_project(path)


def refused(tmp_path, data: bytes) -> str:
    path = tmp_path / "x.drawcord"
    path.write_bytes(data)
    with pytest.raises(UnreadableProject) as caught:
        load_project(path)
    message = str(caught.value)
    assert message.endswith(".")
    assert "\n" not in message
    return message


@pytest.fixture
def good(tmp_path) -> bytes:
    save_project(tmp_path / "good.drawcord", with_plan())
    return (tmp_path / "good.drawcord").read_bytes()


def test_a_missing_file_and_a_folder_are_refused_in_words(tmp_path):
    with pytest.raises(UnreadableProject, match="There is no file"):
        load_project(tmp_path / "none.drawcord")
    with pytest.raises(UnreadableProject, match="is a folder"):
        load_project(tmp_path)


def test_a_cut_file_is_refused(tmp_path, good):
    assert "cut off" in refused(tmp_path, good[: len(good) // 2])


def test_a_zip_without_a_project_is_refused(tmp_path, good):
    assert "has no project.json" in refused(tmp_path, changed_zip(good, {"project.json": None}))


def test_a_later_schema_is_refused_by_name_of_the_version(tmp_path, good):
    head = b'{"format":"drawcord-project","schema":7,"written_by":"9.1","mark":{},"news":[1]}'
    message = refused(tmp_path, changed_zip(good, {"project.json": head}))
    assert "later Drawcord (9.1, schema 7" in message
    assert "update Drawcord" in message


@pytest.mark.parametrize(
    ("document", "words"),
    [
        (b"{}", "format"),
        (b"[" * 100_000, "damaged"),
        (b'{"format":"letter","schema":1,"written_by":"","mark":{},"tables":{}}', "letter"),
        (b'{"format":"drawcord-project","schema":0,"written_by":"","mark":{}}', ">= 1"),
        (
            b'{"format":"drawcord-project","schema":1,"written_by":"","mark":{},'
            b'"tables":{"ghost":[]}}',
            "ghost",
        ),
        (
            b'{"format":"drawcord-project","schema":1,"written_by":"","mark":{},"tables":{"floor":'
            b'[{"entity":"building","id":"building-00000001","name":"x"}]}}',
            "stands in the table",
        ),
        (
            b'{"format":"drawcord-project","schema":1,"written_by":"","mark":{},"tables":{"floor":'
            b'[{"entity":"floor","id":"floor-00000001","building":"building-00000001","name":"",'
            b'"level_mm":0}]}}',
            "is not in the project",
        ),
        (
            b'{"format":"drawcord-project","schema":1,"written_by":"","mark":{},"tables":{'
            b'"building":[{"entity":"building","id":"building-00000001","name":"x","surprise":1}]}}',
            "surprise",
        ),
    ],
)
def test_a_project_that_is_none_is_refused_with_the_reason(tmp_path, good, document, words):
    assert words in refused(tmp_path, changed_zip(good, {"project.json": document}))


def test_one_thing_twice_is_refused(tmp_path, good):
    with zipfile.ZipFile(io.BytesIO(good)) as archive:
        document = json.loads(archive.read("project.json"))
    document["tables"]["building"] *= 2
    message = refused(tmp_path, changed_zip(good, {"project.json": json.dumps(document).encode()}))
    assert "is there twice" in message


def test_a_bomb_is_refused_before_it_unpacks(tmp_path, good):
    bomb = changed_zip(good, {"project.json": b" " * (300 * 2**20)})
    assert len(bomb) < 2**20
    assert "too much" in refused(tmp_path, bomb)


def test_an_entry_that_lies_about_its_size_is_refused(tmp_path, good):
    bomb = bytearray(changed_zip(good, {"project.json": b" " * (64 * 2**20)}))
    told = (64 * 2**20).to_bytes(4, "little")
    while (at := bomb.find(told)) >= 0:
        bomb[at : at + 4] = (1000).to_bytes(4, "little")
    assert "damaged" in refused(tmp_path, bytes(bomb))


@pytest.mark.parametrize("flood", [b"[1,2]," * 4_000_001, b'{"a":1},' * 2_000_001])
def test_a_flood_of_small_things_is_refused_before_it_is_believed(tmp_path, good, flood):
    filler = random.Random(1).randbytes(300_000)  # keeps the packed size in proportion
    changes = {"project.json": b"[" + flood + b"0]" + filler}
    assert "more things than a project can" in refused(tmp_path, changed_zip(good, changes))


def test_an_outline_without_end_is_refused(tmp_path, good):
    with zipfile.ZipFile(io.BytesIO(good)) as archive:
        document = json.loads(archive.read("project.json"))
    outline = [[n % 977, n % 7] for n in range(20_000)]
    space = {"entity": "space", "id": "space-00000001", "floor": GROUND.id, "outline": outline}
    document["tables"]["space"] = [space]
    content = json.dumps(document).encode()
    assert "at most 10,000" in refused(tmp_path, changed_zip(good, {"project.json": content}))


def test_too_many_entries_are_refused_from_the_last_bytes_alone(tmp_path, good):
    many = {f"x/{n}": b"" for n in range(bounds.MOST_ENTRIES + 1)}
    assert "more files" in refused(tmp_path, changed_zip(good, many))


def test_two_entries_of_one_name_are_refused(tmp_path, good):
    out = io.BytesIO(good)
    with zipfile.ZipFile(out, "a") as archive, pytest.warns(UserWarning, match="Duplicate"):
        archive.writestr("project.json", b"{}")
    assert "twice" in refused(tmp_path, out.getvalue())


def test_a_zip_with_a_comment_or_of_the_large_kind_is_refused(tmp_path, good):
    out = io.BytesIO(good)
    with zipfile.ZipFile(out, "a") as archive:
        archive.comment = b"hello"
    assert refused(tmp_path, out.getvalue())


def test_names_that_lead_elsewhere_are_never_followed(tmp_path, good):
    inner = tmp_path / "inner"
    inner.mkdir()
    path = inner / "x.drawcord"
    path.write_bytes(changed_zip(good, {"../escaped": b"x", "/tmp/escaped": b"x"}))
    assert load_project(path).notes == ()
    assert sorted(p.name for p in tmp_path.rglob("*")) == ["good.drawcord", "inner", "x.drawcord"]


def test_a_damaged_history_is_left_out_and_told_and_its_good_lines_are_kept(tmp_path):
    saved = saved_sample()
    save_project(tmp_path / "a.drawcord", saved)
    data = (tmp_path / "a.drawcord").read_bytes()
    lines = [*saved.history[:10], b'{"number":11}', b"\xff\xfe", *saved.history[12:]]
    path = tmp_path / "x.drawcord"
    path.write_bytes(changed_zip(data, {"history.jsonl": b"\n".join(lines)}))
    loaded = load_project(path)
    assert loaded.project == saved.project
    assert loaded.history == (*saved.history[:10], *saved.history[12:])
    assert "2 of 30 lines of the history" in loaded.notes[0]


def test_a_history_that_does_not_unpack_is_told_and_the_project_is_whole(tmp_path):
    saved = saved_sample()
    save_project(tmp_path / "a.drawcord", saved)
    data = bytearray((tmp_path / "a.drawcord").read_bytes())
    at = data.find(b"history.jsonl") + len("history.jsonl")
    data[at : at + 40] = bytes(40)
    path = tmp_path / "x.drawcord"
    path.write_bytes(bytes(data))
    loaded = load_project(path)
    assert loaded.project == saved.project
    assert loaded.history == ()
    assert "history could not be read" in loaded.notes[0]


def test_a_damaged_plan_is_told_by_its_name_and_the_rest_is_whole(tmp_path, good):
    drawing = sha256_of(PLAN_DRAWING)
    path = tmp_path / "x.drawcord"
    path.write_bytes(changed_zip(good, {f"plans/{drawing}.drawing": b"something else"}))
    loaded = load_project(path)
    assert loaded.project == with_plan().project
    assert loaded.plan_drawings == {}
    assert len(loaded.plan_sources) == 1
    assert len(loaded.notes) == 1
    assert "drawing of the plan “Architect”" in loaded.notes[0]


def test_a_packed_plan_is_not_believed():
    packed = pack_source(ORIGINAL)
    assert unpack_source(packed) == ORIGINAL
    with pytest.raises(DamagedBytes, match="too large"):
        unpack_source(PackedSource("0" * 64, zlib.compress(bytes(2**20))), most_bytes=2**16)
    with pytest.raises(DamagedBytes, match="hash"):
        unpack_source(PackedSource("0" * 64, packed.data))
    with pytest.raises(DamagedBytes):
        unpack_source(PackedSource(packed.sha256, packed.data[:-8]))
    with pytest.raises(DamagedBytes):
        unpack_source(PackedSource(packed.sha256, b"no stream"))
