"""A plan's original file as it is kept: packed once, so that saving packs nothing again."""

from __future__ import annotations

import hashlib
import zlib
from dataclasses import dataclass

LARGEST_SOURCE_BYTES = 512 * 2**20
_LEVEL = 6


class DamagedBytes(Exception):
    """Packed bytes that do not unpack to what their hash says."""


def sha256_of(data: bytes) -> str:
    """The hash under which bytes are kept and named."""
    return hashlib.sha256(data).hexdigest()


@dataclass(frozen=True, slots=True)
class PackedSource:
    """`data` is the original as a zlib stream; `sha256` the original's hash."""

    sha256: str
    data: bytes


def pack_source(original: bytes) -> PackedSource:
    """Pack an original file."""
    return PackedSource(sha256_of(original), zlib.compress(original, _LEVEL))


def unpack_source(packed: PackedSource, *, most_bytes: int = LARGEST_SOURCE_BYTES) -> bytes:
    """The original, checked against its hash.

    Raises DamagedBytes, also for more than `most_bytes`: a small file may unpack to any size.
    """
    unpacker = zlib.decompressobj()
    try:
        original = unpacker.decompress(packed.data, most_bytes)
    except zlib.error as problem:
        raise DamagedBytes(f"the packed file is damaged ({problem})") from None
    if not unpacker.eof or unpacker.unconsumed_tail:
        raise DamagedBytes("the packed file is cut off or too large")
    if sha256_of(original) != packed.sha256:
        raise DamagedBytes("the packed file is not the one its hash names")
    return original
