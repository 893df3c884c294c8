"""The project file: the same again, and the same bytes."""

import json
import zipfile
import zlib
from dataclasses import replace

import msgspec

from app.model.project import Project
from app.storage.packed import pack_source, unpack_source
from app.storage.project_file import SavedProject, load_project, save_project
from tests.storage.samples import HALL, ORIGINAL, PLAN_DRAWING, saved_sample, with_plan


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
    assert list(loaded.plan_drawings.values()) == [PLAN_DRAWING]
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


def test_numbers_and_letters_of_every_kind_survive(tmp_path):
    hall = msgspec.structs.replace(HALL, name="\u0000\u2028 \U0001f6a2 é =1+1")
    save_project(tmp_path / "a.drawcord", SavedProject(project=Project([hall])))
    assert load_project(tmp_path / "a.drawcord").project.buildings[HALL.id] == hall
