"""Saving, with the lock on the file and an eye on what others wrote there meanwhile."""

from __future__ import annotations

from pathlib import Path

from app.editor.document import SavedFile
from app.progress import Progress
from app.storage.failures import SaveFailed
from app.storage.lock import Lock, Locked, take_lock
from app.storage.project_file import SavedProject
from app.storage.project_file import save_project as write_project


class FileChanged(SaveFailed):
    """Somebody else has written the file since it was opened or saved here."""


def save_project(
    saved: SavedProject,
    path: Path,
    *,
    was: SavedFile | None = None,
    overwrite: bool = False,
    progress: Progress | None = None,
) -> SavedFile:
    """Write what `Document.to_save` gave, in any thread; the result goes to `Document.saved`.

    `was` is the document's file so far. Saved over itself, a file that somebody else has
    changed since is left alone unless `overwrite`; saving under a new name replaces what is
    there, which the caller has asked about. The result's `saved.notes` say what had to
    be left out. Raises SaveFailed, FileChanged and Cancelled; then
    nothing was written.
    """
    at_home = was is not None and was.path.resolve() == path.resolve()
    if was is not None and at_home and not overwrite:
        now = stamp_of(path)
        if now is not None and now != was.stamp:
            raise FileChanged(
                f"“{path.name}” was changed by somebody else since it was opened here; save under "
                "another name, or say that theirs is to be replaced."
            )
    lock, taken = _lock(path, None if was is None else was.lock)
    try:
        written = write_project(path, saved, progress=progress)
    except BaseException:
        if taken and lock is not None:
            lock.release()
        raise
    return SavedFile(path, written, lock, stamp_of(path))


def stamp_of(path: Path) -> tuple[int, int] | None:
    """Size and time of change of a file; None where there is none."""
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_size, status.st_mtime_ns


def _lock(path: Path, held: Lock | None) -> tuple[Lock | None, bool]:
    """The lock of the file to be written, and whether it was taken just now."""
    if held is not None and held.is_of(path):
        return held, False
    try:
        return take_lock(path), True
    except Locked as locked:
        raise SaveFailed(f"{locked} Save under another name.") from None
    except OSError:
        return None, False  # writing will say what is wrong with the folder
