"""Writes a finished file: whole or not at all."""

import os
import tempfile
from pathlib import Path


class ExportFailed(Exception):
    """A file could not be written; the message says which and what to do. Nothing was lost."""


def save(path: Path, content: bytes) -> None:
    """Write a file beside its place, then put it there; an old one stands until then.

    Raises ExportFailed where the folder is missing, read-only or full.
    """
    try:
        handle, made = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            Path(made).chmod(0o666 & ~_umask())
            Path(made).replace(path)
        except BaseException:
            Path(made).unlink(missing_ok=True)
            raise
    except OSError as error:
        reason = error.strerror or str(error)
        raise ExportFailed(
            f"{path} could not be written: {reason}. Choose another place, or close the program "
            "that has the file open."
        ) from error


def _umask() -> int:
    """What the system takes from a new file's permissions; a temporary file has less."""
    umask = os.umask(0)
    os.umask(umask)
    return umask
