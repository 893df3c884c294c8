"""Saving where it cannot be done loses nothing."""

import os
import stat
import subprocess
import sys
import zipfile

import pytest

from app.progress import Cancelled, Silent
from app.storage import safe_write
from app.storage.failures import SaveFailed
from app.storage.project_file import load_project, save_project
from tests.storage.samples import saved_sample, with_plan


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
