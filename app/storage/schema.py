"""The schema of a project file, and how older ones are brought up to it.

Whoever changes a field of an entity raises `SCHEMA` by one, adds the migration from the schema
before, and keeps a file of that schema among the tests. Entities forbid unknown fields, so
that goes for a new field with a default too: an older program must say "later schema", not
stumble over a word it does not know.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

SCHEMA = 1

Plain = dict[str, Any]
"""One entity as it stands in JSON."""


@dataclass(frozen=True, slots=True)
class Migration:
    """From one schema to the next.

    `entity` rewrites one entity, wherever it stands: in a table, or before or after a change in
    the history. `tables` then rewrites all of them together, for what one alone cannot tell.
    """

    entity: Callable[[Plain], Plain]
    tables: Callable[[dict[str, list[Plain]]], dict[str, list[Plain]]] | None = None


MIGRATIONS: Mapping[int, Migration] = {}
"""By the schema that each starts from."""


def steps(
    from_schema: int, *, to_schema: int = SCHEMA, migrations: Mapping[int, Migration] = MIGRATIONS
) -> tuple[Migration, ...]:
    """The migrations from one schema to another, in order. Raises KeyError for a gap."""
    return tuple(migrations[number] for number in range(from_schema, to_schema))


def migrate_tables(
    tables: dict[str, list[Plain]], migrations: Iterable[Migration]
) -> dict[str, list[Plain]]:
    """The tables of a project file after all the migrations; entities find their new table."""
    for migration in migrations:
        moved: dict[str, list[Plain]] = {}
        for entities in tables.values():
            for entity in map(migration.entity, entities):
                moved.setdefault(entity["entity"], []).append(entity)
        tables = moved if migration.tables is None else migration.tables(moved)
    return tables


def migrate_entry(entry: Plain, migrations: Iterable[Migration]) -> Plain:
    """One line of the history after all the migrations."""
    for migration in migrations:
        for change in entry["patch"]["changes"]:
            for side in ("before", "after"):
                if change[side] is not None:
                    change[side] = migration.entity(change[side])
    return entry
