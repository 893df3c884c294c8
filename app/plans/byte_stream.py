"""Bytes that tell how far they have been read, and stop when the user wants to."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path
from typing import TYPE_CHECKING

from app.plans.imported import PlanImportError
from app.plans.limits import MOST_FILE_BYTES
from app.progress import Progress

if TYPE_CHECKING:
    from _typeshed import WriteableBuffer

STEP_BYTES = 128 * 1024
READ_SHARE = (0.05, 0.55)
"""The part of the whole import that lies between the first and the last byte parsed."""


class CountingStream(io.RawIOBase):
    """A stream of bytes that reports its progress and raises Cancelled between pieces."""

    def __init__(self, data: bytes, progress: Progress) -> None:
        """Read from the beginning of `data`."""
        super().__init__()
        self._view = memoryview(data)
        self._at = 0
        self._progress = progress

    def readable(self) -> bool:
        """Always."""
        return True

    def readinto(self, buffer: WriteableBuffer) -> int:
        """Fill a part of the buffer."""
        self._progress.check()
        target = memoryview(buffer).cast("B")
        count = min(len(target), STEP_BYTES, len(self._view) - self._at)
        target[:count] = self._view[self._at : self._at + count]
        self._at += count
        begin, end = READ_SHARE
        share = self._at / max(len(self._view), 1)
        self._progress.report(begin + (end - begin) * share, "Reading the drawing")
        return count


def read_bytes(path: Path, *, name: str, progress: Progress) -> bytes:
    """The bytes of a file. Raises PlanImportError where it cannot be read or is too large."""
    try:
        size = path.stat().st_size
        if size > MOST_FILE_BYTES:
            raise PlanImportError(too_large(name, size))
        progress.report(0.0, "Opening the file")
        with path.open("rb") as file:
            return _all_of(file, progress)
    except IsADirectoryError as error:
        raise PlanImportError(f"{name} is a folder. Choose a DXF file in it.") from error
    except FileNotFoundError as error:
        raise PlanImportError(f"{name} is not there. Check the name and the folder.") from error
    except OSError as error:
        reason = error.strerror or "the system refused"
        raise PlanImportError(f"{name} cannot be read: {reason}.") from error


def _all_of(file: io.BufferedReader, progress: Progress) -> bytes:
    pieces = []
    left = MOST_FILE_BYTES + 1
    while left > 0:
        progress.check()
        piece = file.read(min(STEP_BYTES * 8, left))
        if not piece:
            break
        left -= len(piece)
        pieces.append(piece)
    return b"".join(pieces)


def too_large(name: str, size: int) -> str:
    """What to say of a file that is larger than Drawcord reads."""
    mb = 1024 * 1024
    return (
        f"{name} is {size // mb} MB; Drawcord opens drawings up to {MOST_FILE_BYTES // mb} MB. "
        "Save only the floor that is needed, without unused blocks, and open that."
    )


def digest(data: bytes) -> str:
    """The SHA-256 of bytes, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()
