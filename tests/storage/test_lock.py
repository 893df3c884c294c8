"""Locks: one holder, told by name, and none that outlives its process."""

import os
import socket
import subprocess
import sys
import time

import msgspec
import pytest

from app.storage import lock as lock_module
from app.storage.lock import Holder, Locked, is_held, lock_file, take_lock
from app.storage.processes import process_lives, started

HERE = socket.gethostname()


@pytest.fixture
def file(tmp_path):
    return tmp_path / "a.drawcord"


def held_by(file, **fields):
    holder = Holder(**({"host": HERE, "process": os.getpid()} | fields))
    lock_file(file).write_bytes(msgspec.json.encode(holder))


def ended_process() -> int:
    done = subprocess.Popen([sys.executable, "-c", ""])
    done.wait()
    return done.pid


def test_one_holder_at_a_time(file):
    lock = take_lock(file)
    assert is_held(file)
    with pytest.raises(Locked, match="another window of this program"):
        take_lock(file)
    lock.release()
    assert not is_held(file)
    take_lock(file).release()
    assert list(file.parent.iterdir()) == []


def test_another_host_is_named_and_believed(file):
    held_by(file, host="harbour-3", process=77, user="kim", time="2026-11-25T08:30:00Z")
    with pytest.raises(Locked, match=r"kim on harbour-3 \(process 77\) since 2026-11-25"):
        take_lock(file)
    take_lock(file, by_force=True).release()


def test_the_lock_of_a_process_that_ended_is_passed_over(file):
    held_by(file, process=ended_process())
    assert not is_held(file)
    take_lock(file).release()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="start times are read from /proc")
def test_a_later_process_with_the_same_number_is_not_the_holder(file):
    held_by(file, started="some-other-boot:12345")
    take_lock(file).release()
    held_by(file, started=started(os.getpid()))
    with pytest.raises(Locked):
        take_lock(file)


@pytest.mark.parametrize("content", [b"", b"{", b"null", b'{"host": 7}', b"\xff" * 100])
def test_a_lock_that_cannot_be_read_is_somebodys_only_while_it_is_fresh(file, content):
    lock_file(file).write_bytes(content)
    with pytest.raises(Locked, match="somebody else"):
        take_lock(file)
    long_ago = time.time() - 60
    os.utime(lock_file(file), (long_ago, long_ago))
    take_lock(file).release()


def test_a_lock_taken_over_is_not_released_by_its_first_holder(file):
    first = take_lock(file)
    held_by(file, host="harbour-3", process=1)
    first.release()
    assert is_held(file)


def test_two_names_of_one_file_have_one_lock(file, tmp_path):
    file.write_bytes(b"")
    other = tmp_path / "sub" / ".." / "a.drawcord"
    (tmp_path / "sub").mkdir()
    lock = take_lock(file)
    with pytest.raises(Locked):
        take_lock(other)
    assert lock.is_of(other)
    lock.release()


def test_processes_that_cannot_be_are_not():
    assert process_lives(os.getpid())
    assert not process_lives(-1)
    assert not process_lives(0)
    assert not process_lives(2**80)


def test_a_lock_that_there_is_no_room_for_leaves_no_file(file, monkeypatch):
    def full(handle, mode):
        os.close(handle)
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(lock_module.os, "fdopen", full)
    with pytest.raises(OSError, match="No space"):
        take_lock(file)
    assert list(file.parent.iterdir()) == []
