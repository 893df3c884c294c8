"""The journal: every committed edit is with the operating system before the commit returns.

Each journal is a folder in the user's state folder, with its lines, the plans that its lines
name, and a lock. A thread of its own syncs the lines to disk within a second.
"""

from __future__ import annotations

import errno
import os
import shutil
import threading
from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import msgspec

from app import __version__
from app.model.ids import Source, random_characters
from app.model.project import Project
from app.storage import bounds
from app.storage.journal_lines import ENTRY, PATH, START, JournalPath, Start, base_of, framed
from app.storage.lock import Lock, take_lock
from app.storage.project_json import NO_MARK, JournalMark
from app.storage.retired import RetiredByTag
from app.storage.safe_write import sync_folder, write_bytes
from app.storage.schema import SCHEMA

LINES_NAME, PLANS_NAME = "lines", "plans"
SYNC_WITHIN_S = 0.5


def journals_folder(state: Path) -> Path:
    """Where journals lie in a state folder."""
    return state / "journals"


class Journal:
    """One journal, being written by this process.

    `problem` is why the last sync failed: then nothing more can be written to it, and the
    project should be saved, which starts a new one. `had_no_room` is whether the last line
    could not be written.
    """

    def __init__(self, folder: Path, lock: Lock, handle: int, mark: JournalMark) -> None:
        self.folder = folder
        self.problem: OSError | None = None
        self.had_no_room = False
        self._lock = lock
        self._handle = handle
        self._end = os.lseek(handle, 0, os.SEEK_END)
        self._number = mark.number
        self._plans = {p.name for p in (folder / PLANS_NAME).iterdir()}
        self._unsynced = threading.Condition()
        self._dirty = self._closed = False
        self._guard = threading.Lock()
        self._thread = threading.Thread(target=self._keep_synced, name="journal", daemon=True)
        self._thread.start()

    @property
    def id(self) -> str:
        return self.folder.name

    @property
    def mark(self) -> JournalMark:
        """This journal and its last line."""
        return JournalMark(self.id, self._number)

    def write(self, line: bytes, number: int) -> None:
        """Give one line of the history to the operating system.

        Raises OSError, and then the journal is as it was.
        """
        if self.problem is not None:
            raise self.problem
        self._append(framed(ENTRY, line))
        self._number = number

    def belongs_to(self, path: Path) -> None:
        """From here on the journal is that of another file. Raises OSError."""
        line = msgspec.json.encode(JournalPath(str(path.resolve())))
        self._append(framed(PATH, line))

    def has_plan(self, name: str) -> bool:
        return name in self._plans

    def keep_plan(self, name: str, data: bytes) -> None:
        """Put a plan's bytes beside the lines, synced, under a name. Raises OSError."""
        if name not in self._plans:
            write_bytes(self.folder / PLANS_NAME / name, data)
            self._plans.add(name)

    def renewed(self, *, path: Path, source: Source = random_characters) -> Journal:
        """A new journal in place of this one, all of whose lines the file at `path` contains.

        Where there is no room for both, this one goes first. Raises OSError; then this one may
        be gone, and has a `problem`.
        """
        state, after = self.folder.parent.parent, self.mark
        try:
            new = start_journal(state, path=path, after=after, source=source)
        except OSError as error:
            self.problem = error
            self.remove()
            return start_journal(state, path=path, after=after, source=source)
        self.remove()
        return new

    def sync(self) -> None:
        """Make every line written so far safe on disk. Raises OSError."""
        with self._guard:
            if not self._closed:
                os.fsync(self._handle)

    def close(self) -> None:
        """Sync and let go; what lies there stays."""
        with self._unsynced:
            if self._closed:
                return
            self._dirty = False
        with suppress(OSError):
            self.sync()
        with self._unsynced:
            self._closed = True
            self._unsynced.notify()
        self._thread.join()
        os.close(self._handle)
        self._lock.release()

    def remove(self) -> None:
        """Close, and remove all of it: for a project whose edits are all saved or let go."""
        self.close()
        remove_journal(self.folder)

    # --- within -------------------------------------------------------------------------

    def _append(self, data: bytes) -> None:
        try:
            if self._end + len(data) > bounds.LARGEST_JOURNAL_BYTES:
                raise OSError(errno.EFBIG, os.strerror(errno.EFBIG), str(self.folder))
            os.lseek(self._handle, self._end, os.SEEK_SET)
            written = os.write(self._handle, data)
            while written < len(data):
                written += os.write(self._handle, data[written:])
        except OSError:
            self.had_no_room = True
            with suppress(OSError):
                os.ftruncate(self._handle, self._end)
            raise
        self.had_no_room = False
        self._end += len(data)
        with self._unsynced:
            self._dirty = True
            self._unsynced.notify()

    def _keep_synced(self) -> None:
        while True:
            with self._unsynced:
                self._unsynced.wait_for(lambda: self._dirty or self._closed)
                if not self._closed:
                    # A moment's wait gathers the edits of a drag into one sync.
                    self._unsynced.wait_for(lambda: self._closed, SYNC_WITHIN_S)
                if self._closed:
                    return
                self._dirty = False
            try:
                self.sync()
            except OSError as error:
                self.problem = error


def start_journal(
    state: Path,
    *,
    path: Path | None,
    after: JournalMark = NO_MARK,
    base: Project | None = None,
    retired: RetiredByTag | None = None,
    lines: Iterable[bytes] = (),
    plans: Iterable[tuple[str, bytes]] = (),
    source: Source = random_characters,
) -> Journal:
    """Begin a journal that continues the state `after`, with the `lines` that are there already.

    A project without a file gives itself as `base`, with the `retired` numbers. The journal
    appears whole or not at all. Raises OSError.
    """
    all_journals = journals_folder(state)
    all_journals.mkdir(parents=True, exist_ok=True)
    name = f"journal-{source()}"
    folder, making = all_journals / name, all_journals / f".{name}"
    (making / PLANS_NAME).mkdir(parents=True)
    start = Start(
        journal=name,
        schema=SCHEMA,
        made=datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z"),
        written_by=__version__,
        path=None if path is None else str(path.resolve()),
        after=after,
        base=base_of(base),
        retired=retired or {},
    )
    number = after.number
    try:
        for plan_name, data in plans:
            write_bytes(making / PLANS_NAME / plan_name, data)
        rows = [framed(START, msgspec.json.encode(start))]
        for line in lines:
            rows.append(framed(ENTRY, line))
            number += 1
        write_bytes(making / LINES_NAME, b"".join(rows))
        lock = take_lock(making / LINES_NAME)
        making.rename(folder)
    except BaseException:
        shutil.rmtree(making, ignore_errors=True)
        raise
    sync_folder(all_journals)
    return _opened(folder, lock.moved_to(folder / LINES_NAME), JournalMark(name, number))


def remove_journal(folder: Path) -> None:
    """Remove a journal's folder; its name first, so that a half-removed one is not found."""
    gone = folder.with_name(f".{folder.name}.removed")
    with suppress(OSError):
        folder.rename(gone)
        shutil.rmtree(gone, ignore_errors=True)


def _opened(folder: Path, lock: Lock, mark: JournalMark) -> Journal:
    flags = os.O_RDWR | getattr(os, "O_BINARY", 0)
    try:
        handle = os.open(folder / LINES_NAME, flags)
    except OSError:
        lock.release()
        raise
    return Journal(folder, lock, handle, mark)
