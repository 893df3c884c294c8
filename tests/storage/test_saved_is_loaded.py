"""Whatever saving writes, loading takes, whole; what loading would refuse is not written."""

import dataclasses

import msgspec
import pytest

from app.editor.document import Document
from app.jobs import open_project
from app.jobs import save_project as save_job
from app.model.entities import Building, Floor, Plan
from app.model.project import Project, changing
from app.storage import bounds
from app.storage.failures import SaveFailed
from app.storage.history import EntryKind, HistoryEntry, compacted, decode_entry, encode_entry
from app.storage.project_file import SavedProject, load_project, save_project
from tests.storage.samples import GROUND, HALL, saved_sample, with_plan


def line(number: int, length: int = 50) -> bytes:
    before = Building(id="building-00000001", name="A")
    after = msgspec.structs.replace(before, name="B" * length)
    return encode_entry(
        HistoryEntry(
            number=number,
            time=f"2026-11-25T08:00:{number:02d}Z",
            patch=changing("Rename", [(before, after)]),
        )
    )


def check_refused(path, saved: SavedProject, words: str, **most: int) -> None:
    """Saving over a sound file is refused in these words, and the file is as it was."""
    save_project(path, SavedProject(project=Project([HALL])))
    before = path.read_bytes()
    with pytest.MonkeyPatch.context() as narrow:
        for bound, value in most.items():
            narrow.setattr(bounds, bound, value)
        with pytest.raises(SaveFailed, match=words) as caught:
            save_project(path, saved)
    assert str(caught.value).endswith("save again.")
    assert path.read_bytes() == before
    assert [p.name for p in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize(
    ("bound", "most", "words"),
    [
        ("LARGEST_PROJECT_BYTES", 500, "the list of its things takes"),
        ("LARGEST_PLAN_BYTES", 10, "the plan “Architect” takes"),
        ("LARGEST_TOGETHER_BYTES", 40, "its plans together take"),
        ("LARGEST_ARCHIVE_BYTES", 700, "too much for one file"),
        ("MOST_ENTRIES", 3, "it has 4 parts, and 3 are the most"),
        ("MOST_RECORDS", 4, "more things than a project can"),
        ("MOST_LISTS", 3, "more things than a project can"),
    ],
)
def test_what_is_beyond_a_bound_is_not_written(tmp_path, bound, most, words):
    check_refused(tmp_path / "a.drawcord", with_plan(), words, **{bound: most})


@pytest.mark.parametrize(
    "thing",
    [
        msgspec.structs.replace(HALL, name="x" * 201),
        Floor(id="floor-00000002", building="building-0000000a", name="", level_mm=0),
        msgspec.structs.replace(GROUND, level_mm=1.5),
    ],
    ids=["too long", "of nothing", "wrong type"],
)
def test_what_no_reader_would_take_is_not_written(tmp_path, thing):
    things = {t.id: t for t in (HALL, GROUND, thing)}
    check_refused(
        tmp_path / "a.drawcord",
        SavedProject(project=Project(things.values())),
        "could not be opened again",
    )


def test_what_packs_too_tightly_is_written_and_loaded(tmp_path, monkeypatch):
    """Loading takes an entry that grows beyond the ratio for a bomb."""
    monkeypatch.setattr(bounds, "FREE_BYTES", 1_000)
    monkeypatch.setattr(bounds, "MOST_TIMES_PACKED", 3)
    saved = saved_sample()
    save_project(tmp_path / "a.drawcord", saved)
    loaded = load_project(tmp_path / "a.drawcord")
    assert loaded.notes == ()
    assert loaded.project == saved.project
    assert loaded.history == saved.history
    save_project(tmp_path / "b.drawcord", loaded)
    assert (tmp_path / "a.drawcord").read_bytes() == (tmp_path / "b.drawcord").read_bytes()


# --- the history -------------------------------------------------------------------------------


def test_a_history_that_is_too_large_loses_its_oldest_lines_up_to_a_dated_one():
    lines = [line(n) for n in range(1, 21)]
    size = sum(map(len, lines)) + 20
    assert compacted(lines, most_bytes=size).lines == tuple(lines)
    short = compacted(lines, most_bytes=size - 1)
    assert len(b"\n".join(short.lines)) < size
    state = decode_entry(short.lines[0])
    assert state.kind is EntryKind.STATE
    assert short.left_out == state.number == 20 - len(short.lines) + 1
    assert short.until == state.time == f"2026-11-25T08:00:{state.number:02d}Z"
    assert short.lines[1:] == tuple(lines[state.number :])
    later = [line(n, 200) for n in range(21, 31)]
    again = compacted([*short.lines, *later], most_bytes=size - 1)
    assert decode_entry(again.lines[0]).number > state.number
    assert again.left_out == decode_entry(again.lines[0]).number - state.number


@pytest.mark.parametrize("most_bytes", [0, 1, 100, 1_000, 3_000, 10_000, 100_000])
def test_every_saved_history_is_loaded_as_it_was_promised(tmp_path, monkeypatch, most_bytes):
    monkeypatch.setattr(bounds, "LARGEST_HISTORY_BYTES", max(most_bytes, 400))
    saved = saved_sample()
    path = tmp_path / "a.drawcord"
    written = save_project(path, saved)
    loaded = load_project(path)
    assert loaded.notes == ()
    assert loaded.history == written.history
    assert loaded.project == saved.project
    assert loaded.retired == saved.retired
    assert set(loaded.plan_sources) == set(saved.plan_sources)
    left_out = len(saved.history) - (len(written.history) - (1 if written.notes else 0))
    assert bool(left_out) == bool(written.notes)
    if left_out:
        assert f"its oldest {left_out} edits" in written.notes[0]
        assert written.history[1:] == saved.history[left_out:]


def test_a_document_goes_on_with_the_shortened_history(tmp_path, monkeypatch):
    path, state = tmp_path / "a.drawcord", tmp_path / "state"
    save_project(path, SavedProject(project=Project([HALL])))
    document = open_project(path, state=state).document()

    def rename(name: str) -> None:
        now = document.project.buildings[HALL.id]
        document.commit(changing(name, [(now, msgspec.structs.replace(now, name=name))]))

    for number in range(10):
        rename(f"Name {number}")
    monkeypatch.setattr(bounds, "LARGEST_HISTORY_BYTES", 1_200)
    snapshot = document.to_save()
    rename("Meanwhile")
    file = save_job(snapshot, path, was=document.file)
    assert "history had grown too large" in file.saved.notes[0]
    document.saved(file)
    entries = [decode_entry(one) for one in document.to_save().history]
    assert [e.kind for e in entries[:2]] == [EntryKind.STATE, EntryKind.EDIT]
    numbers = [e.number for e in entries]
    assert numbers == list(range(numbers[0], 12))
    assert entries[-1].patch.label == "Meanwhile"
    document.close(keep_unsaved=True)
    again = open_project(path, state=state)
    assert [e.patch.label for e in again.recovered] == ["Meanwhile"]
    again.let_go()


def test_a_document_without_a_file_keeps_all_it_has():
    document = Document(Project([HALL]), history=[line(1), line(2)])
    assert len(document.to_save().history) == 2


def test_plans_that_are_named_twice_are_counted_once(tmp_path, monkeypatch):
    saved = with_plan()
    (plan,) = saved.project.table(Plan).values()
    second = msgspec.structs.replace(plan, id="plan-00000002", name="Again")
    both = dataclasses.replace(saved, project=Project([*saved.project.entities(), second]))
    sizes = [len(s.data) for s in saved.plan_sources.values()]
    sizes += [len(d) for d in saved.plan_drawings.values()]
    monkeypatch.setattr(bounds, "LARGEST_TOGETHER_BYTES", sum(sizes))
    save_project(tmp_path / "a.drawcord", both)
    assert load_project(tmp_path / "a.drawcord").notes == ()
