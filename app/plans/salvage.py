"""The sound entities of a text DXF whose lines are damaged, written out as a file again.

The last resort, after the library's own recovery: lines that are no tags are skipped up to the
next entity, and entities that hold a number which is none are dropped whole, since a line to a
guessed place is worse than a missing one. What gives a file its structure loses only bad tags.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from ezdxf.lldxf.types import POINT_CODES

Tag: TypeAlias = tuple[int, bytes]

MOST_CODE = 1071
START, VARIABLE = 0, 9
_KEYWORD = re.compile(rb"[A-Z_0-9]*[A-Z][A-Z_0-9]*")
_FLOAT_CODES = frozenset((*range(10, 60), *range(110, 150), *range(210, 240), *range(460, 470)))
_FLOAT_CODES |= frozenset(range(1010, 1060))
_INTEGER_CODES = frozenset(
    (*range(60, 80), *range(90, 100), *range(160, 180), *range(270, 290), *range(370, 390))
)
_INTEGER_CODES |= frozenset((*range(400, 410), *range(420, 430), *range(440, 460)))
_INTEGER_CODES |= frozenset(range(1060, 1072))
"""Source: DXF reference, group code value types."""

_STRUCTURE = frozenset(
    b"SECTION ENDSEC TABLE ENDTAB BLOCK ENDBLK EOF LAYER LTYPE STYLE DIMSTYLE VPORT VIEW UCS "
    b"APPID BLOCK_RECORD CLASS DICTIONARY LAYOUT POLYLINE INSERT SEQEND".split()
)


def salvaged(data: bytes) -> tuple[bytes, int]:
    """The sound part of a damaged text DXF, and how many entities were dropped."""
    kept: list[bytes] = []
    dropped = 0
    for entity, is_whole in _entities(data.split(b"\n")):
        tags = _sound_tags(entity)
        is_sound = is_whole and len(tags) == len(entity)
        if not is_sound and entity[0][1] not in _STRUCTURE:
            dropped += 1
            continue
        for code, value in tags:
            kept += [str(code).encode(), value]
    return b"\n".join([*kept, b""]), dropped


def _entities(lines: Sequence[bytes]) -> Iterator[tuple[list[Tag], bool]]:
    """Runs of tags from one entity's start to the next, and whether no line among them was lost."""
    entity: list[Tag] = []
    is_whole = True
    at = 0
    while at + 1 < len(lines):
        code = _code(lines[at])
        value = lines[at + 1].rstrip(b"\r")
        if code == START and not _KEYWORD.fullmatch(value.strip()):
            code = None
        if code is None:
            is_whole = False
            at = _next_start(lines, at + 1)
            continue
        if code == START:
            if entity:
                yield entity, is_whole
            entity, is_whole, value = [], True, value.strip()
        if entity or code == START:
            entity.append((code, value))
        at += 2
    if entity:
        yield entity, is_whole


def _code(line: bytes) -> int | None:
    """The group code on a line, or None."""
    text = line.strip()
    if not text.isdigit() or len(text) > len(str(MOST_CODE)):
        return None
    code = int(text)
    return code if code <= MOST_CODE else None


def _next_start(lines: Sequence[bytes], at: int) -> int:
    """The next place where an entity begins."""
    while at + 1 < len(lines):
        if lines[at].strip() == b"0" and _KEYWORD.fullmatch(lines[at + 1].strip()):
            return at
        at += 1
    return len(lines)


def _sound_tags(entity: Sequence[Tag]) -> list[Tag]:
    """The tags whose numbers are numbers and whose points have two of them."""
    if entity[1:2] == [(2, b"HEADER")]:
        return _sound_header(entity)
    return [tag for number, tag in enumerate(entity) if _is_sound(entity, number)]


def _sound_header(tags: Sequence[Tag]) -> list[Tag]:
    """The header's sound variables; each, a name and its values, is kept or dropped as one."""
    names = [number for number, (code, _) in enumerate(tags) if code == VARIABLE]
    sound = list(tags[: names[0]] if names else tags)
    for first, last in zip(names, [*names[1:], len(tags)], strict=True):
        values = range(first + 1, last)
        if tags[first][1].startswith(b"$") and all(_is_sound(tags, n) for n in values):
            sound += tags[first:last]
    return sound


def _is_sound(entity: Sequence[Tag], number: int) -> bool:
    code, value = entity[number]
    if code in _INTEGER_CODES:
        return value.strip().lstrip(b"+-").isdigit()
    if code not in _FLOAT_CODES:
        return True
    if code in POINT_CODES:
        following = entity[number + 1] if number + 1 < len(entity) else (START, b"")
        return _is_number(value) and following[0] == code + 10 and _is_number(following[1])
    return _is_number(value)


def _is_number(value: bytes) -> bool:
    try:
        float(value)
    except ValueError:
        return False
    return True
