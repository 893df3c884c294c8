"""The project file: the same again, the same bytes, and clear words for everything else."""

import io
import json
import os
import random
import stat
import subprocess
import sys
import zipfile
import zlib
from dataclasses import replace

import msgspec
import pytest

from app.model.entities import Building, Floor, Plan
from app.model.project import Project
from app.progress import Cancelled, Silent
from app.storage import safe_write
from app.storage.archive import MOST_ENTRIES
from app.storage.failures import SaveFailed, UnreadableProject
from app.storage.packed import DamagedBytes, PackedSource, pack_source, sha256_of, unpack_source
from app.storage.project_file import SavedProject, load_project, save_project
from tests.storage.samples import ORIGINAL, saved_sample

HALL = Building(id="building-00000001", name="Hall")
GROUND = Floor(id="floor-00000001", building=HALL.id, name="0", level_mm=0)
DRAWING = b"a drawing, flattened"


def with_plan() -> SavedProject:
    source, drawing = pack_source(ORIGINAL), sha256_of(DRAWING)
    plan = Plan(
        id="plan-00000001",
        floor=GROUND.id,
        name="Architect",
        source_name="a.dxf",
        source_sha256=source.sha256,
        drawing_sha256=drawing,
        mm_per_unit=1.0,
    )
    return SavedProject(
        project=Project([HALL, GROUND, plan]),
        plan_sources={source.sha256: source},
        plan_drawings={drawing: DRAWING},
    )


def changed_zip(data: bytes, changes: dict[str, bytes | None]) -> bytes:
    """The archive with entries replaced, added, or (None) left out."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", 8) as new:
        kept = {n: old.read(n) for n in old.namelist()} | changes
        for name, content in kept.items():
            if content is not None:
                new.writestr(name, content)
    return out.getvalue()


def test_what_was_saved_is_loaded_again_and_gives_the_same_bytes(tmp_path):
    saved = saved_sample()
    path = tmp_path / "a.drawcord"
    save_project(path, saved)
    loaded = load_project(path)
    assert loaded.project == saved.project
    assert loaded.history == saved.history
    assert loaded.journal_mark == saved.journal_mark
    again = tmp_path / "b.drawcord"
    save_project(again, loaded)
    assert again.read_bytes() == path.read_bytes()


def test_the_order_of_making_does_not_show_in_the_bytes(tmp_path):
    saved = saved_sample()
    turned = replace(saved, project=Project(reversed(list(saved.project.entities()))))
    for name, one in (("a", saved), ("b", turned)):
        save_project(tmp_path / f"{name}.drawcord", one)
    assert (tmp_path / "a.drawcord").read_bytes() == (tmp_path / "b.drawcord").read_bytes()


def test_plans_come_back_byte_for_byte_and_unused_ones_are_dropped(tmp_path):
    saved = with_plan()
    other = pack_source(b"not on any floor")
    save_project(
        tmp_path / "a.drawcord",
        replace(saved, plan_sources={**saved.plan_sources, other.sha256: other}),
    )
    loaded = load_project(tmp_path / "a.drawcord")
    assert [unpack_source(s) for s in loaded.plan_sources.values()] == [ORIGINAL]
    assert list(loaded.plan_drawings.values()) == [DRAWING]
    assert loaded.notes == ()


def test_it_is_a_zip_that_other_programs_read(tmp_path):
    save_project(tmp_path / "a.drawcord", with_plan())
    with zipfile.ZipFile(tmp_path / "a.drawcord") as archive:
        assert archive.testzip() is None
        document = json.loads(archive.read("project.json"))
        packed = archive.read(next(n for n in archive.namelist() if n.endswith(".source")))
    assert document["schema"] == 1
    assert [b["name"] for b in document["tables"]["building"]] == ["Hall"]
    assert zlib.decompress(packed) == ORIGINAL


# --- damaged and hostile files ----------------------------------------------------------------


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
    many = {f"x/{n}": b"" for n in range(MOST_ENTRIES + 1)}
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
    drawing = sha256_of(DRAWING)
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


# --- saving where it cannot be done -----------------------------------------------------------


@pytest.fixture
def standing(tmp_path):
    """A saved project, and another state that is to be saved over it."""
    path = tmp_path / "folder" / "a.drawcord"
    path.parent.mkdir()
    save_project(path, saved_sample())
    return path, path.read_bytes(), with_plan()


def check_nothing_lost(path, before: bytes) -> None:
    assert path.read_bytes() == before
    assert [p.name for p in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize("call", ["fsync", "write", "replace"])
def test_a_full_disk_loses_nothing(standing, monkeypatch, call):
    path, before, other = standing

    def full(*_args, **_kwargs):
        raise OSError(28, "No space left on device")

    if call == "fsync":
        monkeypatch.setattr(safe_write.os, "fsync", full)
    elif call == "write":
        monkeypatch.setattr(zipfile.ZipFile, "writestr", full)
    else:
        monkeypatch.setattr(safe_write.Path, "replace", full)
    with pytest.raises(SaveFailed, match="no space left on the disk"):
        save_project(path, other)
    check_nothing_lost(path, before)


FILLING_UP = """
import resource, signal, sys
from pathlib import Path
from app.storage.failures import SaveFailed
from app.storage.project_file import load_project, save_project

project = load_project(Path(sys.argv[1]))
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (2_000, 2_000))
try:
    save_project(Path(sys.argv[1]), project)
except SaveFailed as failure:
    print(failure)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="limits on the size of files are Unix's")
def test_a_disk_that_fills_up_in_the_middle_loses_nothing(standing):
    """A true limit of the system on the size of files, in a process of its own."""
    path, before, _ = standing
    done = subprocess.run(
        [sys.executable, "-c", FILLING_UP, str(path)], capture_output=True, text=True, check=True
    )
    assert "could not be saved" in done.stdout
    check_nothing_lost(path, before)


def test_a_folder_that_may_not_be_written_loses_nothing(standing, monkeypatch):
    path, before, other = standing
    whole = safe_write.Path.open

    def denied(self, mode="r", *args, **kwargs):
        if "w" in mode:
            raise PermissionError(13, "Permission denied")
        return whole(self, mode, *args, **kwargs)

    monkeypatch.setattr(safe_write.Path, "open", denied)
    with pytest.raises(SaveFailed, match="you may not write there"):
        save_project(path, other)
    monkeypatch.undo()
    check_nothing_lost(path, before)


def test_a_folder_that_is_gone_is_said(standing):
    path, _, other = standing
    path.unlink()
    path.parent.rmdir()
    with pytest.raises(SaveFailed, match="the folder is not there any more"):
        save_project(path, other)


def test_a_folder_that_goes_while_saving_is_said(standing, monkeypatch):
    path, _, other = standing
    fsync = os.fsync

    def vanish(handle):
        for file in path.parent.iterdir():
            file.unlink()
        path.parent.rmdir()
        fsync(handle)

    monkeypatch.setattr(safe_write.os, "fsync", vanish)
    with pytest.raises(SaveFailed, match="the folder is not there any more"):
        save_project(path, other)


def test_a_cancelled_save_leaves_the_file(standing):
    path, before, other = standing

    class Stop(Silent):
        def check(self) -> None:
            raise Cancelled

    with pytest.raises(Cancelled):
        save_project(path, other, progress=Stop())
    check_nothing_lost(path, before)


def test_what_a_killed_save_left_is_removed_and_the_mode_is_kept(standing):
    path, _, other = standing
    left = path.with_name(f".{path.name}.999999999.saving")
    left.write_bytes(b"half")
    path.chmod(0o640)
    save_project(path, other)
    assert [p.name for p in path.parent.iterdir()] == [path.name]
    assert load_project(path).project == other.project
    if os.name != "nt":
        assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege there")
def test_a_link_is_followed_and_stays_a_link(standing, tmp_path):
    path, _, other = standing
    link = tmp_path / "link.drawcord"
    link.symlink_to(path)
    save_project(link, other)
    assert link.is_symlink()
    assert load_project(path).project == other.project


def test_numbers_and_letters_of_every_kind_survive(tmp_path):
    hall = msgspec.structs.replace(HALL, name="\u0000\u2028 \U0001f6a2 é =1+1")
    save_project(tmp_path / "a.drawcord", SavedProject(project=Project([hall])))
    assert load_project(tmp_path / "a.drawcord").project.buildings[HALL.id] == hall
