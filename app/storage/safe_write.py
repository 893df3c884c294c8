"""Write a file so that at every moment either the old one or the new one stands whole."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from app.storage.processes import process_lives

_SUFFIX = ".saving"


def write_whole(path: Path, write: Callable[[BinaryIO], None]) -> None:
    """Let `write` fill a new file in the same folder, sync it, and put it in place of `path`.

    Links are followed. Raises OSError (and whatever `write` raises); then `path` is untouched
    and the new file is gone.
    """
    target = path.resolve()
    _remove_left_behind(target)
    made = target.with_name(f".{target.name}.{os.getpid()}{_SUFFIX}")
    try:
        with made.open("wb") as file:
            write(file)
            file.flush()
            os.fsync(file.fileno())
        _keep_mode(target, made)
        made.replace(target)
    except BaseException:
        made.unlink(missing_ok=True)
        raise
    sync_folder(target.parent)


def write_bytes(path: Path, data: bytes) -> None:
    """`write_whole` with bytes that are already there."""

    def write(file: BinaryIO) -> None:
        file.write(data)

    write_whole(path, write)


def sync_folder(folder: Path) -> None:
    """Make the folder's list of names safe on disk, where the system can."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError:
        pass  # some network file systems cannot; the file itself is synced
    finally:
        os.close(handle)


def _keep_mode(old: Path, new: Path) -> None:
    try:
        mode = stat.S_IMODE(old.stat().st_mode)
    except FileNotFoundError:
        return
    if os.name != "nt":
        new.chmod(mode)


def _remove_left_behind(target: Path) -> None:
    """Drop half-written files of saves that were killed."""
    start = f".{target.name}."
    try:
        names = [e.name for e in os.scandir(target.parent) if e.name.endswith(_SUFFIX)]
    except OSError:
        return
    for name in names:
        middle = name[len(start) : -len(_SUFFIX)]
        if name.startswith(start) and middle.isdigit() and not process_lives(int(middle)):
            target.with_name(name).unlink(missing_ok=True)
