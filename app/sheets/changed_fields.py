"""How a thing that has changed is told: field by field, with what it was and what it is."""

import math
from collections.abc import Iterator
from enum import Enum
from typing import Any

import msgspec

from app.model.entities import Entity
from app.model.project import Project
from app.model.vocabulary import Units
from app.sheets.table import ColumnKind, text_of
from app.sheets.things import name_of
from app.sheets.words import word

_PLACE = ("x_mm", "y_mm")
_NOT_SET = "not set"
_LONGEST = 60
_WORDS = {
    "name": "name",
    "use": "use",
    "od_mm": "diameter",
    "state_sha256": "state",
    "source_sha256": "file",
    "drawing_sha256": "drawing",
    "mm_per_unit": "scale",
    "was_at": "old place",
    "outline": "outline",
    "vertices": "line",
}


def what_changed(then: Project, now: Project, was: Entity, thing: Entity) -> str:
    """“moved 3.00 m; number 1-004 → 1-017; state new → existing”."""
    return "; ".join(_parts(then, now, was, thing))


def _parts(then: Project, now: Project, was: Any, thing: Any) -> Iterator[str]:
    units = now.settings.units
    fields = thing.__struct_fields__
    differing = [f for f in fields if getattr(was, f) != getattr(thing, f)]
    if any(f in differing for f in _PLACE):
        apart_mm = math.dist((was.x_mm, was.y_mm), (thing.x_mm, thing.y_mm))
        yield f"moved {_length(apart_mm, units)}"
    for field in differing:
        if field not in _PLACE:
            yield _told(then, now, field, getattr(was, field), getattr(thing, field))


def _told(then: Project, now: Project, field: str, old: Any, new: Any) -> str:
    called = _WORDS.get(field, _plain(field))
    if isinstance(old, tuple) and isinstance(new, tuple):
        return _rows_told(then, now, called, old, new)
    if isinstance(old, msgspec.Struct) or isinstance(new, msgspec.Struct):
        return f"{called} {'set' if old is None else 'taken away' if new is None else 'changed'}"
    if field.endswith("_sha256"):
        return f"{called} changed"
    units = now.settings.units
    before, after = _value(then, field, old, units), _value(now, field, new, units)
    return f"{called} {before} → {after}"


def _rows_told(
    then: Project, now: Project, called: str, old: tuple[Any, ...], new: tuple[Any, ...]
) -> str:
    """Of lists: their number where that differs; of ports that are the same ones, the fields."""
    if len(old) != len(new):
        return f"{called} {len(old)} → {len(new)}"
    for one, other in zip(old, new, strict=True):
        is_same_thing = isinstance(one, msgspec.Struct) and hasattr(one, "id")
        if one != other and is_same_thing and one.id == getattr(other, "id", None):
            return f"{called}: {'; '.join(_parts(then, now, one, other))}"
    return f"{called} changed"


def _plain(field: str) -> str:
    """`panel_height_mm` → “panel height”."""
    for unit in ("_mdeg", "_mm2", "_mm", "_m2", "_permille", "_percent", "_g_per_m"):
        field = field.removesuffix(unit)
    return field.replace("_", " ")


def _value(project: Project, field: str, value: Any, units: Units) -> str:
    if value is None or value == "":
        return _NOT_SET
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return word(value) or str(value.value)
    if isinstance(value, str):
        named = name_of(project, value) if value in project else value
        return named if len(named) <= _LONGEST else f"{named[: _LONGEST - 1]}…"
    if field.endswith("_mdeg"):
        return f"{value / 1_000:g}°"
    if field.endswith("_permille"):
        return f"{value / 10:g} %"
    if field.endswith("_percent"):
        return f"{value:g} %"
    if field.endswith("_mm") and isinstance(value, int):
        return _length(value, units)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _length(length_mm: float, units: Units) -> str:
    if units is Units.US:
        return f"{text_of(round(length_mm), ColumnKind.LENGTH, units)} ft"
    return f"{length_mm / 1_000:.2f} m"
