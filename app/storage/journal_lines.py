"""The lines of a journal: what each says, and a sum that tells a whole line from a torn one.

A line is a letter for its sort, the CRC-32 of what follows, and JSON. `S` starts a journal,
`E` is one numbered entry of the history, `P` says which file the journal belongs to from here.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import msgspec
from msgspec import Meta

from app.model.project import AnyEntity, Project
from app.storage.history import HistoryEntry, decode_entry
from app.storage.project_json import JournalMark
from app.storage.retired import RetiredByTag
from app.storage.schema import SCHEMA, migrate_entry, steps

START, ENTRY, PATH = b"S", b"E", b"P"
_HEAD_BYTES = 11
"""Letter, space, eight digits, space."""


NO_BASE = msgspec.Raw(b"null")


class Start(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The first line. The journal continues the state `after`, or the project in `base` (of a
    project that has no file yet) with its `retired` numbers, and belongs to the file at `path`.
    """

    journal: Annotated[str, Meta(max_length=64)]
    schema: Annotated[int, Meta(ge=1)]
    made: str
    written_by: str = ""
    path: str | None = None
    after: JournalMark
    base: msgspec.Raw = NO_BASE
    retired: RetiredByTag = {}

    @property
    def has_base(self) -> bool:
        return bytes(self.base) != bytes(NO_BASE)


class JournalPath(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """From here on the journal belongs to the file at this path."""

    path: str


class UnreadableJournal(Exception):
    """A journal whose first line is not whole: nothing of it can be placed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JournalContent:
    """What a journal says. `torn` is whether its last line was cut off, `damaged` how many
    lines before that are not whole; `entries` and `lines` end before the first such line."""

    start: Start
    path: str | None
    entries: tuple[HistoryEntry, ...]
    lines: tuple[bytes, ...]
    torn: bool
    damaged: int


def framed(sort: bytes, payload: bytes) -> bytes:
    """One line of a journal."""
    return b"%b %08x %b\n" % (sort, zlib.crc32(payload), payload)


def base_of(project: Project | None) -> msgspec.Raw:
    """A whole project, or none, as part of a start line."""
    if project is None:
        return NO_BASE
    return msgspec.Raw(msgspec.json.encode(list(project.entities())))


def project_of(base: msgspec.Raw, schema: int) -> Project:
    """The project in a start line. Raises msgspec.MsgspecError and PatchRefused."""
    wanted = steps(schema)
    if not wanted:
        return Project(msgspec.json.decode(base, type=tuple[AnyEntity, ...]))
    plain = msgspec.json.decode(base)
    for migration in wanted:
        plain = [migration.entity(entity) for entity in plain]
    return Project(msgspec.convert(plain, type=tuple[AnyEntity, ...]))


def read_journal(data: bytes) -> JournalContent:
    """What the bytes of a journal say. Raises UnreadableJournal."""
    rows = data.split(b"\n")
    torn = rows.pop() != b""
    first = _payload(rows[0]) if rows else None
    if first is None or first[0] != START:
        raise UnreadableJournal("its first line is not whole")
    try:
        start = msgspec.json.decode(first[1], type=Start)
    except msgspec.MsgspecError as problem:
        raise UnreadableJournal(str(problem)) from None
    if start.schema > SCHEMA:
        raise UnreadableJournal(f"a later Drawcord ({start.written_by}) wrote it")
    path, lines, damaged = start.path, [], 0
    for row in rows[1:]:
        read = _payload(row)
        if read is None:
            damaged += 1
        elif read[0] == PATH and not damaged:
            path = msgspec.json.decode(read[1], type=JournalPath).path
        elif read[0] == ENTRY and not damaged:
            lines.append(read[1])
    entries, sound = _entries(lines, start.schema)
    return JournalContent(
        start=start,
        path=path,
        entries=entries,
        lines=tuple(lines[: len(entries)]),
        torn=torn,
        damaged=damaged + (0 if sound else 1),
    )


def _entries(lines: Sequence[bytes], schema: int) -> tuple[tuple[HistoryEntry, ...], bool]:
    """The entries up to the first that is not one, and whether that was the end."""
    entries: list[HistoryEntry] = []
    wanted = steps(schema)
    for line in lines:
        try:
            if wanted:
                plain = migrate_entry(msgspec.json.decode(line), wanted)
                entry = msgspec.convert(plain, type=HistoryEntry)
            else:
                entry = decode_entry(line)
        except (msgspec.MsgspecError, UnicodeError, KeyError, TypeError):
            return tuple(entries), False
        if entries and entry.number != entries[-1].number + 1:
            return tuple(entries), False
        entries.append(entry)
    return tuple(entries), True


def _payload(row: bytes) -> tuple[bytes, bytes] | None:
    """Sort and payload of a line; None where it is not whole."""
    payload = row[_HEAD_BYTES:]
    if row[:_HEAD_BYTES] != b"%b %08x " % (row[:1], zlib.crc32(payload)):
        return None
    return row[:1], payload
