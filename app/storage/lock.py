"""Locks: a small file beside what is in use, that names the host and process which uses it."""

from __future__ import annotations

import os
import socket
import time
from datetime import UTC, datetime
from pathlib import Path

import msgspec

from app.storage.processes import process_lives, started

_HALF_WRITTEN_S = 5.0


class Holder(msgspec.Struct, frozen=True, kw_only=True):
    """Who holds a lock. `started` tells the process from a later one with its number."""

    host: str
    process: int
    user: str = ""
    time: str = ""
    started: str = ""

    def is_gone(self) -> bool:
        """Whether the holder surely runs no more; other hosts cannot be asked."""
        if self.host != socket.gethostname():
            return False
        if not process_lives(self.process):
            return True
        now = started(self.process)
        return bool(self.started and now) and now != self.started


class Locked(Exception):
    """Somebody else has it open; `holder` says who, None where the lock cannot be read."""

    def __init__(self, path: Path, holder: Holder | None) -> None:
        self.holder = holder
        if holder is None:
            who = "somebody else"
        elif holder.process == os.getpid() and holder.host == socket.gethostname():
            who = "another window of this program"
        else:
            who = f"{holder.user or 'somebody'} on {holder.host} (process {holder.process})"
            who += f" since {holder.time}" if holder.time else ""
        super().__init__(f"“{path.name}” is open already: {who} has it.")


class Lock:
    """A lock that is held; `release` gives it back."""

    def __init__(self, file: Path, content: bytes) -> None:
        self._file = file
        self._content = content
        self._is_handed_over = False

    def is_of(self, path: Path) -> bool:
        """Whether this is the lock of that file."""
        return lock_file(path) == self._file

    def moved_to(self, path: Path) -> Lock:
        """The same lock once its folder was renamed, so that it is now that of `path`."""
        return Lock(lock_file(path), self._content)

    def handed_over(self) -> Lock:
        """The same lock for who comes next in this process; releasing this one then does
        nothing."""
        self._is_handed_over = True
        return Lock(self._file, self._content)

    def release(self) -> None:
        """Give the lock back, unless somebody has taken it over meanwhile."""
        if self._is_handed_over:
            return
        try:
            if self._file.read_bytes() == self._content:
                self._file.unlink()
        except OSError:
            pass  # the folder is gone, and the lock with it


def lock_file(path: Path) -> Path:
    """The lock that belongs to a file: hidden, in the same folder."""
    target = path.resolve()
    return target.with_name(f".{target.name}.lock")


def take_lock(path: Path, *, by_force: bool = False) -> Lock:
    """Take the lock of a file. A holder that runs no more is passed over, and so is every
    holder when it is taken `by_force`.

    Raises Locked, and OSError where the folder lets nothing be written.
    """
    file = lock_file(path)
    content = msgspec.json.encode(_ourselves())
    for _ in range(3):
        try:
            handle = os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666)
        except FileExistsError:
            holder, is_stale = _standing(file)
            if not (by_force or is_stale):
                raise Locked(path, holder) from None
            file.unlink(missing_ok=True)
            continue
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(content)
        except OSError:
            file.unlink(missing_ok=True)
            raise
        return Lock(file, content)
    raise Locked(path, _standing(file)[0])


def is_held(path: Path) -> bool:
    """Whether somebody that still runs, or may still run, has the file open."""
    _, is_stale = _standing(lock_file(path))
    return not is_stale


def _ourselves() -> Holder:
    now = datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    process = os.getpid()
    return Holder(
        host=socket.gethostname(),
        process=process,
        user=user_name(),
        time=now,
        started=started(process),
    )


def user_name() -> str:
    """The name the user has logged in with; "" where the system does not say."""
    for variable in ("LOGNAME", "USER", "USERNAME"):
        if os.environ.get(variable):
            return os.environ[variable]
    return ""


def _standing(file: Path) -> tuple[Holder | None, bool]:
    """Who holds the lock file, and whether it is stale (or not there)."""
    try:
        data = file.read_bytes()
        age_s = time.time() - file.stat().st_mtime
    except OSError:
        return None, not file.exists()
    try:
        holder = msgspec.json.decode(data, type=Holder)
    except msgspec.MsgspecError:
        # Empty for the moment between making and writing; later it is a killed one's.
        return None, age_s > _HALF_WRITTEN_S
    return holder, holder.is_gone()
