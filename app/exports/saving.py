"""Writes a finished file: whole or not at all."""

import errno
import os
import secrets
from pathlib import Path

_TRIES = 100


class ExportFailed(Exception):
    """A file could not be written; the message says which and what to do. Nothing was lost."""


def save(path: Path, content: bytes) -> None:
    """Write a file beside its place, then put it there; an old one stands until then.

    Raises ExportFailed where the folder is missing, read-only or full.
    """
    try:
        handle, made = _new_file_beside(path)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            made.replace(path)
        except BaseException:
            made.unlink(missing_ok=True)
            raise
    except OSError as error:
        raise ExportFailed(
            f"“{path}” could not be written: {_reason(error, path)}. Choose another place, or "
            "close the program that has the file open."
        ) from error


def _new_file_beside(path: Path) -> tuple[int, Path]:
    """A new file in the same folder, with the permissions that the system gives any new file."""
    flags = os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0)
    for _ in range(_TRIES):
        made = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
        try:
            return os.open(made, flags, 0o666), made
        except FileExistsError:
            continue
    raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))


_REASONS = {
    errno.ENOSPC: "there is no space left on the disk",
    errno.EDQUOT: "the disk quota is used up",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "you may not write there",
    errno.EPERM: "you may not write there",
    errno.ENAMETOOLONG: "the name is too long",
    errno.EISDIR: "a folder has that name",
}


def _reason(error: OSError, path: Path) -> str:
    if error.errno in (errno.ENOENT, errno.ENOTDIR):
        # Some folders, such as those in which the system shows its own state, take no files.
        there = path.parent.is_dir()
        return "nothing can be written there" if there else "the folder is not there"
    return _REASONS.get(error.errno or 0, f"the system says “{error.strerror or error}”")
