"""A text DXF that was cut off somewhere, as a broken download is, closed again."""

from __future__ import annotations

TAIL_BYTES = 64
_CLOSERS = {b"SECTION": b"ENDSEC", b"BLOCK": b"ENDBLK", b"TABLE": b"ENDTAB"}


def closed(data: bytes) -> bytes:
    """The data up to its last whole entity, with what was left open closed; whole data as it is.

    What is damaged otherwise is left to the library's recovery.
    """
    if data[-TAIL_BYTES:].split()[-1:] == [b"EOF"]:
        return data
    lines = data.split(b"\n")
    open_parts: list[bytes] = []
    before_last: list[bytes] = []
    last = 0
    for number in range(0, len(lines) - 1, 2):
        if lines[number].strip() != b"0":
            continue
        last = number
        before_last = list(open_parts)
        word = lines[number + 1].strip()
        if word in _CLOSERS:
            open_parts.append(_CLOSERS[word])
        elif open_parts and word == open_parts[-1]:
            open_parts.pop()
    kept = lines[:last]
    for closer in reversed(before_last):
        kept += [b"0", closer]
    return b"\n".join([*kept, b"0", b"EOF", b""])
