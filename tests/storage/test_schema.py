"""Schemas: every old file opens, what changed is migrated everywhere, and no change goes unseen."""

import hashlib
import json
from pathlib import Path

import msgspec
import pytest
from msgspec import inspect

from app.model.entities import Building
from app.model.project import ENTITY_TYPES, Project, changing
from app.storage.failures import UnreadableProject
from app.storage.history import HistoryEntry, decode_entry, encode_entry
from app.storage.project_file import SavedProject, load_project, save_project
from app.storage.project_json import JournalMark
from app.storage.schema import MIGRATIONS, SCHEMA, Migration
from tests.storage.samples import saved_sample

GOLDEN = Path(__file__).with_name("golden")


BOUNDS = ("ge", "gt", "le", "lt", "multiple_of", "min_length", "max_length", "pattern")


def described(declared: object) -> object:
    """A declared type as plain lists: its sort, bounds, words, and what it is made of."""
    if isinstance(declared, inspect.EnumType):
        return ["word", *sorted(str(word.value) for word in declared.cls)]
    if isinstance(declared, inspect.StructType):
        fields = [
            [f.encode_name, described(f.type), "required" if f.required else "optional"]
            for f in declared.fields
        ]
        return ["struct", declared.cls.__name__, declared.tag, fields]
    parts = [getattr(declared, "item_type", None), *getattr(declared, "item_types", ())]
    parts += getattr(declared, "types", ())
    bounds = [[b, getattr(declared, b)] for b in BOUNDS if getattr(declared, b, None) is not None]
    return [type(declared).__name__, bounds, [described(p) for p in parts if p is not None]]


def shape_of_the_model() -> str:
    """A hash of every field of every entity: name, type, bounds, and whether it may be left out.

    The value of a default is no part of it: files hold every field.
    """
    text = json.dumps([described(inspect.type_info(t)) for t in ENTITY_TYPES])
    return hashlib.sha256(text.encode()).hexdigest()


def test_the_model_has_the_shape_of_its_schema():
    shapes = json.loads((GOLDEN / "shapes.json").read_text(encoding="utf-8"))
    assert shapes.get(str(SCHEMA)) == shape_of_the_model(), (
        "The model has changed. While this schema has not been released, run "
        "`python -m tests.storage.make_golden`; once it has: raise SCHEMA in "
        "app/storage/schema.py, add the migration from the one before, keep a file of that one "
        "as golden/schema-N.drawcord, and run the same."
    )


@pytest.mark.parametrize("schema", range(1, SCHEMA + 1))
def test_a_file_of_every_schema_opens_whole(schema, tmp_path):
    loaded = load_project(GOLDEN / f"schema-{schema}.drawcord")
    assert loaded.notes == ()
    for entity_type in ENTITY_TYPES:
        assert loaded.project.table(entity_type), entity_type
    assert len(loaded.history) == 30
    assert len(loaded.plan_sources) == len(loaded.plan_drawings) == 1
    save_project(tmp_path / "again.drawcord", loaded)
    assert load_project(tmp_path / "again.drawcord").project == loaded.project


def test_there_is_a_migration_from_every_earlier_schema():
    assert set(MIGRATIONS) == set(range(1, SCHEMA))


# Invented later schemas.


def titled(entity: dict[str, object]) -> dict[str, object]:
    if entity["entity"] == "building":
        entity["title"] = entity.pop("name")
    return entity


def named_again(entity: dict[str, object]) -> dict[str, object]:
    if entity["entity"] == "building":
        entity["name"] = f"Old {entity['name']}"
    return entity


def test_a_migration_reaches_tables_and_history_alike(tmp_path):
    hall = Building(id="building-00000001", name="Hall")
    shed = msgspec.structs.replace(hall, name="Shed")
    entry = HistoryEntry(number=1, time="", patch=changing("Rename", [(hall, shed)]))
    path = tmp_path / "a.drawcord"
    save_project(
        path,
        SavedProject(
            project=Project([shed]),
            history=(encode_entry(entry),),
            journal_mark=JournalMark("journal-00000001", 1),
        ),
    )
    migrations = {1: Migration(named_again), 2: Migration(named_again)}
    loaded = load_project(path, migrations=migrations, schema=3)
    assert loaded.project.buildings[hall.id].name == "Old Old Shed"
    change = decode_entry(loaded.history[0]).patch.changes[0]
    assert change.before.name == "Old Old Hall"
    assert change.after.name == "Old Old Shed"
    assert loaded.journal_mark == JournalMark("journal-00000001", 1)


def test_a_migration_may_look_at_all_tables_together(tmp_path):
    path = tmp_path / "a.drawcord"
    saved = saved_sample()
    save_project(path, saved)

    def without_waivers(tables):
        return {tag: rows for tag, rows in tables.items() if tag != "waiver"}

    loaded = load_project(path, migrations={1: Migration(dict, without_waivers)}, schema=2)
    assert saved.project.waivers
    assert not loaded.project.waivers
    assert len(loaded.project.outlets) == len(saved.project.outlets)


def test_a_migration_that_leaves_nonsense_is_refused_as_damage(tmp_path):
    path = tmp_path / "a.drawcord"
    save_project(path, saved_sample())
    with pytest.raises(UnreadableProject, match="damaged"):
        load_project(path, migrations={1: Migration(titled)}, schema=2)
