"""The zip around a project: written to the same bytes every time, read without trust.

Nothing is ever unpacked to disk. Bounds: 4,000 entries, 1 GiB on disk, and for every entry its
own greatest size and 250 times its packed one.
"""

from __future__ import annotations

import os
import struct
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import BinaryIO, NamedTuple

from app.storage import bounds
from app.storage.failures import UnreadableProject

_END = struct.Struct("<4sHHHHLLH")
_END_MARK, _ZIP64_MARK, _ZIP64_LOCATOR_BYTES = b"PK\x05\x06", b"PK\x06\x07", 20
_DIRECTORY_ENTRY_BYTES = 512
_ENCRYPTED = 0x1
_CHUNK = 2**18
_LONG_AGO = (1980, 1, 1, 0, 0, 0)
_UNIX = 3


class Entry(NamedTuple):
    """One file to be put in the archive; `pack` where it is not packed already."""

    name: str
    data: bytes
    pack: bool


class TooLarge(Exception):
    """More than a project file can hold; the message is a clause that says of what."""


class DamagedEntry(Exception):
    """One file of the archive that cannot be read; the others may be sound."""


def write_archive(file: BinaryIO, entries: Sequence[Entry]) -> None:
    """Write the entries, in their order; the same entries give the same bytes.

    What would pack so tightly that reading took it for a bomb is not packed. Raises TooLarge.
    """
    if len(entries) > bounds.MOST_ENTRIES:
        raise TooLarge(f"it has {len(entries):,} parts, and {bounds.MOST_ENTRIES:,} are the most")
    tight = _write_entries(file, entries, frozenset())
    if tight:
        file.seek(0)
        file.truncate()
        _write_entries(file, entries, tight)
    if file.seek(0, os.SEEK_END) > bounds.LARGEST_ARCHIVE_BYTES:
        raise TooLarge("all of it together is too much for one file")


def _write_entries(
    file: BinaryIO, entries: Sequence[Entry], unpacked: frozenset[str]
) -> frozenset[str]:
    """Write the archive; gives the names of what unpacks to more than reading would believe."""
    with zipfile.ZipFile(file, "w") as archive:
        for entry in entries:
            info = zipfile.ZipInfo(entry.name, _LONG_AGO)
            info.create_system = _UNIX
            info.external_attr = 0o644 << 16
            pack = entry.pack and entry.name not in unpacked
            info.compress_type = zipfile.ZIP_DEFLATED if pack else zipfile.ZIP_STORED
            archive.writestr(info, entry.data)
        infos = archive.infolist()
    return frozenset(
        i.filename for i in infos if i.file_size > bounds.most_unpacked_bytes(i.compress_size)
    )


class ArchiveReader:
    """An open archive from a stranger."""

    def __init__(self, archive: zipfile.ZipFile, name: str) -> None:
        self._archive = archive
        self._infos: dict[str, zipfile.ZipInfo] = {}
        for info in archive.infolist():
            if info.filename in self._infos:
                raise UnreadableProject(
                    f"“{name}” holds “{info.filename[:60]}” twice, which no Drawcord project does; "
                    "ask its sender for a sound copy."
                )
            self._infos[info.filename] = info

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(self._infos)

    def read(self, name: str, *, most_bytes: int) -> bytes:
        """The bytes of one entry. Raises DamagedEntry; KeyError where it is not there."""
        info = self._infos[name]
        if info.flag_bits & _ENCRYPTED:
            raise DamagedEntry("it is encrypted")
        if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise DamagedEntry("it is packed in an unknown way")
        most = min(most_bytes, bounds.most_unpacked_bytes(info.compress_size))
        try:
            return self._read_bounded(info, most)
        except (zipfile.BadZipFile, zlib.error, EOFError) as problem:
            raise DamagedEntry(f"it is damaged ({problem})") from None
        except (NotImplementedError, RuntimeError, ValueError, struct.error, OverflowError):
            raise DamagedEntry("its entry in the archive is damaged") from None

    def _read_bounded(self, info: zipfile.ZipInfo, most: int) -> bytes:
        if info.file_size > most:
            raise DamagedEntry(f"it says it unpacks to {info.file_size:,} bytes, which is too much")
        chunks, total = [], 0
        with self._archive.open(info) as file:
            while chunk := file.read(_CHUNK):
                total += len(chunk)
                if total > most:
                    raise DamagedEntry("it unpacks to too many bytes")
                chunks.append(chunk)
        return b"".join(chunks)


def open_archive(path: Path) -> Iterator[ArchiveReader]:
    """Open an archive for reading; use with `contextlib.contextmanager`.

    Raises UnreadableProject for what is no zip archive, cut off, or beyond the bounds, and
    OSError where the file cannot be read.
    """
    with path.open("rb") as file:
        _check_end(file, path.name)
        try:
            archive = zipfile.ZipFile(file)
        except (
            zipfile.BadZipFile,
            NotImplementedError,
            ValueError,
            struct.error,
            OverflowError,
        ) as problem:
            raise UnreadableProject(
                f"“{path.name}” is damaged: its list of contents cannot be read ({problem}); "
                "open a backup or ask its sender for another copy."
            ) from None
        with archive:
            yield ArchiveReader(archive, path.name)


def _check_end(file: BinaryIO, name: str) -> None:
    """Look at the archive's last bytes before anything believes what they say."""
    size = file.seek(0, os.SEEK_END)
    if size == 0:
        raise UnreadableProject(f"“{name}” is empty; open a backup or another copy of it.")
    if size > bounds.LARGEST_ARCHIVE_BYTES:
        raise UnreadableProject(f"“{name}” is larger than a Drawcord project can be (1 GiB).")
    file.seek(0)
    start = file.read(4)
    file.seek(max(0, size - _END.size))
    end = file.read()
    if len(end) < _END.size or not end.startswith(_END_MARK):
        if start.startswith(b"PK"):
            raise UnreadableProject(
                f"“{name}” is cut off: its end is missing; copy it again, or open a backup."
            )
        raise UnreadableProject(
            f"“{name}” is not a Drawcord project; choose a file that Drawcord has saved."
        )
    *_, count, directory_bytes, _, comment = _END.unpack(end)
    file.seek(max(0, size - _END.size - _ZIP64_LOCATOR_BYTES))
    if comment or file.read(4) == _ZIP64_MARK:
        raise UnreadableProject(f"“{name}” is a zip archive, but not a Drawcord project.")
    if (
        count > bounds.MOST_ENTRIES
        or directory_bytes > bounds.MOST_ENTRIES * _DIRECTORY_ENTRY_BYTES
    ):
        raise UnreadableProject(
            f"“{name}” holds more files than a Drawcord project can ({bounds.MOST_ENTRIES:,})."
        )
