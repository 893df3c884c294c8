"""One line of a project's history: a patch with its number, time, author and reason.

The journal and the project file keep the same lines.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import msgspec
from msgspec import Meta

from app.model.project import Patch


class EntryKind(StrEnum):
    """How a patch came to be committed; undo and redo are rebuilt from it."""

    EDIT = "edit"
    UNDO = "undo"
    REDO = "redo"


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
