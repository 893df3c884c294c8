"""`project.json`: the tables of a project, sorted by id, one thing a line."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from app.model.entities import Entity, tag_of
from app.model.integrity import check_project
from app.model.project import TYPE_OF_TAG, AnyEntity, PatchRefused, Project
from app.storage import bounds
from app.storage.retired import RetiredByTag
from app.storage.schema import MIGRATIONS, SCHEMA, Migration, migrate_tables, steps

FORMAT = "drawcord-project"


class JournalMark(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The journal that a file was saved from, and the last numbered line that it contains.

    A file saved without a journal carries `state-` and a hash of its tables in place of one.
    """

    journal: Annotated[str, Meta(max_length=64)] = ""
    number: Annotated[int, Meta(ge=0)] = 0


NO_MARK = JournalMark()
_STATE_DIGITS = 16


class _Head(msgspec.Struct):
    """As much as can be read of any schema."""

    format: str
    schema: Annotated[int, Meta(ge=1)]
    written_by: Annotated[str, Meta(max_length=100)]
    mark: JournalMark


class _Whole(msgspec.Struct, forbid_unknown_fields=True):
    format: str
    schema: int
    written_by: str
    mark: JournalMark
    tables: dict[str, tuple[AnyEntity, ...]]
    retired: RetiredByTag | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadDocument:
    """What `project.json` says. `retired` is None where it says nothing of retired numbers: then
    there were none, or the file is older than their record."""

    project: Project
    mark: JournalMark
    schema: int
    retired: RetiredByTag | None


class NoProject(Exception):
    """JSON that is no project; the message is a clause that says why."""


class LaterSchema(Exception):
    """Written by a later version than can be read; carries its schema and version."""

    def __init__(self, schema: int, written_by: str) -> None:
        super().__init__(schema, written_by)
        self.schema, self.written_by = schema, written_by


def encode_project(
    project: Project, *, mark: JournalMark, written_by: str, retired: RetiredByTag | None = None
) -> bytes:
    """The project as JSON that a person can read and a machine can compare line by line."""
    encode = msgspec.json.encode
    tables = []
    for tag, entity_type in TYPE_OF_TAG.items():
        table: Mapping[str, Entity] = project.table(entity_type)
        things = b",\n".join(encode(table[i]) for i in sorted(table))
        if things:
            tables.append(encode(tag) + b":[\n" + things + b"\n]")
    body = b",\n".join(tables)
    if not mark.journal:
        mark = JournalMark(f"state-{hashlib.sha256(body).hexdigest()[:_STATE_DIGITS]}", mark.number)
    head = {"format": FORMAT, "schema": SCHEMA, "written_by": written_by, "mark": mark}
    last = b',\n"retired":' + encode(retired) if retired else b""
    return encode(head)[:-1] + b',"tables":{\n' + body + b"\n}" + last + b"}\n"


def decode_project(
    data: bytes, *, migrations: Mapping[int, Migration] = MIGRATIONS, schema: int = SCHEMA
) -> ReadDocument:
    """The project and what stands beside it. Raises NoProject, and LaterSchema."""
    if data.count(b"{") > bounds.MOST_RECORDS or data.count(b"[") > bounds.MOST_LISTS:
        raise NoProject("it holds more things than a project can")
    try:
        head = msgspec.json.decode(data, type=_Head)
        if head.format != FORMAT:
            raise NoProject(f"it says it is a “{head.format[:40]}”")
        if head.schema > schema:
            raise LaterSchema(head.schema, head.written_by)
        if head.schema == schema:
            whole = msgspec.json.decode(data, type=_Whole)
        else:
            whole = _migrated(data, head.schema, migrations, schema)
        project = _sound_project(whole.tables)
    except (msgspec.MsgspecError, UnicodeError) as problem:
        raise NoProject(str(problem)) from None
    except (RecursionError, KeyError, TypeError, AttributeError) as problem:
        raise NoProject(f"it has another shape ({type(problem).__name__})") from None
    except PatchRefused as problem:
        raise NoProject(str(problem).rstrip(".")) from None
    return ReadDocument(project=project, mark=head.mark, schema=head.schema, retired=whole.retired)


def _migrated(
    data: bytes, from_schema: int, migrations: Mapping[int, Migration], schema: int
) -> _Whole:
    plain: dict[str, Any] = msgspec.json.decode(data)
    plain["tables"] = migrate_tables(
        plain["tables"], steps(from_schema, to_schema=schema, migrations=migrations)
    )
    return msgspec.convert(plain, type=_Whole)


def _sound_project(tables: Mapping[str, tuple[AnyEntity, ...]]) -> Project:
    for tag, entities in tables.items():
        wanted = TYPE_OF_TAG.get(tag)
        if wanted is None:
            raise NoProject(f"it has a table “{tag[:40]}” that nothing is known of")
        for entity in entities:
            if type(entity) is not wanted:
                raise NoProject(
                    f"{entity.id} stands in the table “{tag}” but is a "
                    f"{tag_of(type(entity).__name__)}"
                )
    project = Project(entity for entities in tables.values() for entity in entities)
    check_project(project)
    return project
