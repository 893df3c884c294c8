"""One line of a project's history: a patch with its number, time, author and reason.

The journal and the project file keep the same lines.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from enum import StrEnum
from typing import Annotated, NamedTuple

import msgspec
from msgspec import Meta

from app.model.project import Patch
from app.storage.schema import MIGRATIONS, SCHEMA, Migration, migrate_entry, steps

ROOM_AFTER_COMPACTION = 0.75


class EntryKind(StrEnum):
    """How a patch came to be committed; undo and redo are rebuilt from it.

    STATE is none: its empty patch stands, with their last number and time, in place of all the
    lines before, which were left out.
    """

    EDIT = "edit"
    UNDO = "undo"
    REDO = "redo"
    STATE = "state"


class HistoryEntry(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One committed patch. Numbers count from 1 through the whole life of the project.

    `time` is UTC, ISO 8601. Neighbouring edits with the same `merge` word are undone as one.
    """

    number: Annotated[int, Meta(ge=1)]
    time: Annotated[str, Meta(max_length=40)]
    author: Annotated[str, Meta(max_length=200)] = ""
    reason: Annotated[str, Meta(max_length=4_000)] = ""
    kind: EntryKind = EntryKind.EDIT
    merge: Annotated[str, Meta(max_length=200)] | None = None
    patch: Patch


_encoder = msgspec.json.Encoder()
_decoder = msgspec.json.Decoder(HistoryEntry)


def encode_entry(entry: HistoryEntry) -> bytes:
    """The entry as one line of JSON, without the newline."""
    return _encoder.encode(entry)


def decode_entry(line: bytes) -> HistoryEntry:
    """The entry of a line. Raises msgspec.DecodeError (ValidationError for a wrong type)."""
    return _decoder.decode(line)


class Compacted(NamedTuple):
    """A history that was cut to size: `left_out` edits, the last of them at `until`."""

    lines: tuple[bytes, ...]
    left_out: int
    until: str


def compacted(lines: Sequence[bytes], *, most_bytes: int) -> Compacted:
    """The history in at most so many bytes where it can be: its oldest lines make way for one
    dated state line. Room is left, so that this is not done at every save."""
    if _size(lines) <= most_bytes:
        return Compacted(tuple(lines), 0, "")
    left_bytes, first = most_bytes * ROOM_AFTER_COMPACTION, len(lines)
    while first and (left_bytes := left_bytes - len(lines[first - 1]) - 1) >= 0:
        first -= 1
    gone = [decode_entry(line) for line in lines[:first]]
    last = gone[-1]
    count = sum(entry.kind is not EntryKind.STATE for entry in gone)
    state = HistoryEntry(
        number=last.number,
        time=last.time,
        reason="The edits up to here were left out, because the history was too large.",
        kind=EntryKind.STATE,
        patch=Patch("Earlier edits", ()),
    )
    return Compacted((encode_entry(state), *lines[first:]), count, last.time)


def _size(lines: Sequence[bytes]) -> int:
    return sum(map(len, lines)) + len(lines)


def read_lines(
    data: bytes,
    written_in: int = SCHEMA,
    migrations: Mapping[int, Migration] = MIGRATIONS,
    schema: int = SCHEMA,
    *,
    each: Callable[[HistoryEntry], None] | None = None,
) -> tuple[tuple[bytes, ...], int]:
    """The sound lines of a history, brought to the schema, and how many were damaged.

    Numbers rise from line to line; a line that does not is damaged. `each` is called with every
    sound one.
    """
    lines: list[bytes] = []
    lost, last = 0, 0
    wanted = steps(written_in, to_schema=schema, migrations=migrations)
    for line in data.split(b"\n"):
        if not line:
            continue
        current = line
        try:
            if wanted:
                current = _encoder.encode(migrate_entry(msgspec.json.decode(line), wanted))
            entry = decode_entry(current)
        except (msgspec.MsgspecError, UnicodeError, RecursionError, KeyError, TypeError):
            lost += 1
            continue
        if entry.number <= last:
            lost += 1
            continue
        last = entry.number
        lines.append(current)
        if each is not None:
            each(entry)
    return tuple(lines), lost
