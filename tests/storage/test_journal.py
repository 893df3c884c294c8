"""The journal: what it has taken is read again, torn ends are ignored, failures change nothing."""

import errno
import os
import threading
import time

import pytest

from app.model.entities import Building
from app.model.project import Project, adding
from app.storage import journal as journal_module
from app.storage.history import HistoryEntry, encode_entry
from app.storage.journal import LINES_NAME, Journal, start_journal
from app.storage.journal_lines import UnreadableJournal, project_of, read_journal
from app.storage.lock import Locked, take_lock
from app.storage.project_json import JournalMark
from app.storage.recovery import abandoned_journals

TIME = "2026-11-25T08:30:00.000Z"


def line(number: int) -> bytes:
    building = Building(id=f"building-{number:08}", name=str(number))
    patch = adding(f"Add {number}", [building])
    return encode_entry(HistoryEntry(number=number, time=TIME, patch=patch))


@pytest.fixture
def journal(tmp_path):
    made = start_journal(tmp_path, path=tmp_path / "a.drawcord", after=JournalMark("before", 4))
    yield made
    made.close()


def written(journal: Journal) -> bytes:
    return (journal.folder / LINES_NAME).read_bytes()


def test_lines_are_with_the_system_before_write_returns(journal, tmp_path):
    for number in (5, 6, 7):
        journal.write(line(number), number)
        content = read_journal(written(journal))
        assert [e.number for e in content.entries] == list(range(5, number + 1))
    assert content.start.after == JournalMark("before", 4)
    assert content.path == str((tmp_path / "a.drawcord").resolve())
    assert (content.torn, content.damaged) == (False, 0)
    assert journal.mark == JournalMark(journal.id, 7)


def test_lines_are_synced_within_a_second(journal, monkeypatch):
    synced = threading.Event()
    fsync = os.fsync

    def watch(handle):
        fsync(handle)
        synced.set()

    monkeypatch.setattr(journal_module.os, "fsync", watch)
    start = time.monotonic()
    journal.write(line(5), 5)
    assert synced.wait(1.0)
    assert time.monotonic() - start < 1.0


def test_every_way_of_tearing_the_last_line_loses_that_line_alone(journal):
    for number in (5, 6):
        journal.write(line(number), number)
    whole = written(journal)
    last = len(whole[: whole.rstrip(b"\n").rfind(b"\n") + 1])
    for cut in range(last, len(whole)):
        content = read_journal(whole[:cut])
        assert [e.number for e in content.entries] == [5]
        assert content.damaged == 0


def test_a_damaged_line_ends_what_is_read_and_is_counted(journal):
    for number in (5, 6, 7):
        journal.write(line(number), number)
    whole = bytearray(written(journal))
    at = whole.find(b"Add 6")
    whole[at] ^= 1
    content = read_journal(bytes(whole))
    assert [e.number for e in content.entries] == [5]
    assert content.damaged == 1


@pytest.mark.parametrize("data", [b"", b"\n", b"x", b"E 00000000 {}\n", b"S 00000000 {}\n"])
def test_a_journal_without_its_first_line_is_unreadable(data):
    with pytest.raises(UnreadableJournal):
        read_journal(data)


def test_a_full_disk_leaves_the_journal_as_it_was_and_it_goes_on_afterwards(journal, monkeypatch):
    journal.write(line(5), 5)
    before = written(journal)
    write = os.write

    def full(handle, data):
        if len(data) > 20:
            return write(handle, data[:20])  # as much as there was room for
        raise OSError(errno.ENOSPC, "No space left on device")

    def then_full(handle, data):
        monkeypatch.setattr(journal_module.os, "write", out_of_room)
        return full(handle, data)

    def out_of_room(_handle, _data):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(journal_module.os, "write", then_full)
    with pytest.raises(OSError, match="No space"):
        journal.write(line(6), 6)
    monkeypatch.setattr(journal_module.os, "write", write)
    assert written(journal) == before
    journal.write(line(6), 6)
    assert [e.number for e in read_journal(written(journal)).entries] == [5, 6]


def test_a_failed_sync_is_known_and_a_new_journal_takes_over(journal, tmp_path, monkeypatch):
    failed = threading.Event()

    def broken(_handle):
        failed.set()
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(journal_module.os, "fsync", broken)
    journal.write(line(5), 5)
    assert failed.wait(2.0)
    deadline = time.monotonic() + 2.0
    while journal.problem is None and time.monotonic() < deadline:
        time.sleep(0.01)
    monkeypatch.undo()
    with pytest.raises(OSError, match="Input/output"):
        journal.write(line(6), 6)
    new = journal.renewed(path=tmp_path / "a.drawcord")
    try:
        assert not journal.folder.exists()
        new.write(line(6), 6)
        assert read_journal(written(new)).start.after == JournalMark(journal.id, 5)
    finally:
        new.close()


def test_a_project_without_a_file_lies_in_its_journal(tmp_path):
    project = Project([Building(id="building-00000001", name="Hall")])
    journal = start_journal(tmp_path, path=None, base=project)
    content = read_journal(written(journal))
    journal.close()
    assert content.start.has_base
    assert project_of(content.start.base, content.start.schema) == project


def test_a_journal_in_use_is_nobody_elses(journal, tmp_path):
    assert abandoned_journals(tmp_path) == ()
    with pytest.raises(Locked):
        take_lock(journal.folder / LINES_NAME)
    journal.close()
    assert [j.folder for j in abandoned_journals(tmp_path)] == [journal.folder]


def test_a_removed_journal_is_gone(journal, tmp_path):
    journal.remove()
    assert list((tmp_path / "journals").iterdir()) == []


def test_a_new_journal_takes_the_room_of_the_old_one_where_there_is_none_for_both(
    journal, tmp_path, monkeypatch
):
    journal.write(line(5), 5)
    write = journal_module.write_bytes

    def one_at_a_time(path, data):
        if journal.folder.exists():
            raise OSError(errno.ENOSPC, "No space left on device")
        write(path, data)

    monkeypatch.setattr(journal_module, "write_bytes", one_at_a_time)
    new = journal.renewed(path=tmp_path / "a.drawcord")
    new.write(line(6), 6)
    assert read_journal(written(new)).start.after == JournalMark(journal.id, 5)
    new.close()
