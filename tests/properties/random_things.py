"""Random things and random values for their fields, with a count of what was changed."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from typing import Any

import msgspec

from app.model.entities import (
    ColumnMatch,
    Entity,
    OldPlace,
    Outlet,
    OutletKind,
    Panel,
    PanelPort,
    Pathway,
    Port,
    PortTemplate,
    Requirement,
    TesterRecord,
    tag_of,
)
from app.model.ids import counting_source, new_id
from app.model.project import ENTITY_TYPES, SINGLE_TAGS, Patch, Project
from app.model.settings import WayRule
from app.model.vocabulary import FrameRole
from tests.properties import random_values as values

RECORD_TYPES: tuple[type[msgspec.Struct], ...] = (
    Port,
    PortTemplate,
    Requirement,
    TesterRecord,
    PanelPort,
    OldPlace,
    Panel,
    ColumnMatch,
    WayRule,
)
IN_ROWS: dict[str, type[msgspec.Struct]] = {
    "required": Requirement,
    "panels": Panel,
    "columns": ColumnMatch,
    "ways": WayRule,
}
"""Fields that hold rows of records."""
ALONE: dict[str, type[msgspec.Struct]] = {
    "test": TesterRecord,
    "ends_at": PanelPort,
    "was_at": OldPlace,
}
"""Fields that hold one record, or none."""

RULES = ("run-over-limit", "run-near-limit", "leg-long", "no-route")
PLAN_HASHES = ("0" * 64, "1" * 64)

Touched = tuple[str, str]
"""Class name, field name."""


def every_field() -> frozenset[Touched]:
    """Every field of every kind of thing, of the records in them, and every setting."""
    return frozenset(
        (t.__name__, name)
        for t in (*ENTITY_TYPES, *RECORD_TYPES)
        for name, _ in values.fields_of(t)
    )


class RandomThings:
    """Makes things and values; counts which fields its edits have changed.

    `plan_hashes` are the hashes that plans may carry (source and drawing alike).
    """

    def __init__(self, seed: int, *, plan_hashes: Sequence[str] = PLAN_HASHES) -> None:
        self.rng = random.Random(seed)
        self.source = counting_source(1 + seed * 1_000_000)
        self.plan_hashes = plan_hashes
        self.touched: Counter[Touched] = Counter()
        self._untouched = set(every_field())

    def go_on_from(self, other: RandomThings) -> None:
        """Count on from what another source has touched."""
        self.touched, self._untouched = other.touched, other._untouched

    def untouched(self) -> frozenset[Touched]:
        """The fields that no edit so far has changed in a thing that stood."""
        return frozenset(self._untouched)

    def _entity(self, project: Project, entity_type: type[Entity], entity_id: str) -> Entity:
        assert tag_of(entity_type.__name__) not in SINGLE_TAGS
        declared = dict(values.fields_of(entity_type))
        given: dict[str, Any] = {"id": entity_id}
        for field in msgspec.structs.fields(entity_type):
            if field.name == "id":
                continue
            if field.required or self.rng.random() < 0.15:
                kind = declared[field.name]
                given[field.name] = self._value(project, None, entity_type, field.name, kind)
        if entity_type in (Outlet, OutletKind):
            ports = given["ports"]
            for _ in range(self.rng.randrange(2)):
                record_type = Port if entity_type is Outlet else PortTemplate
                ports = (*ports, self._record(project, record_type))
            given["ports"] = ports
        return entity_type(**given)

    # --- values ---------------------------------------------------------------------------

    def _value(
        self,
        project: Project,
        standing: Any,
        record_type: type[msgspec.Struct],
        name: str,
        declared: Any,
    ) -> Any:
        rng, owner = self.rng, record_type.__name__
        now = getattr(standing, name, _default(record_type, name))
        if name == "od_mm":
            return rng.choice((5.2, 6.1, 7.5))
        if name in ("source_sha256", "drawing_sha256"):
            return rng.choice(self.plan_hashes)
        if name == "ports":
            return self._ports(project, now or (), entity=record_type)
        if name in ALONE:
            return self._record_or_none(project, now, ALONE[name])
        if name in IN_ROWS:
            return self._rows(project, now or (), IN_ROWS[name])
        if name in ("via", "never"):
            return values.some_laid(rng, project)
        if name == "things":
            return self._kit_things(project)
        if name == "phases":
            return tuple(rng.sample(("first", "second", "later"), rng.randrange(4)))
        if name == "state_sha256":
            return rng.choice(self.plan_hashes)
        if name == "plan_hashes":
            return tuple(rng.sample(self.plan_hashes, rng.randrange(len(self.plan_hashes) + 1)))
        if name == "finding":
            return f"{rng.choice(RULES)}:{rng.choice(list(project.outlets) or ['site'])}"
        if name == "roles":
            return tuple(r for r in FrameRole if rng.random() < 0.5)
        if name == "hidden_layers":
            return tuple(rng.sample(("A-WALL", "A-DOOR", "0", "Ø"), rng.randrange(4)))
        if name == "entry":
            return None if rng.random() < 0.3 else values.point(rng, project)
        if name in ("lower", "upper"):
            return values.point(rng, project)
        if name == "vertices":
            return values.vertices(rng, project)
        if name == "outline":
            return values.ring(rng)
        if name == "holes":
            return values.rings(rng)
        if values.is_reference(owner, name):
            if owner == "Port" and name == "frame" and (now is None) == (rng.random() < 0.7):
                return None
            if owner != "Port" and values.may_be_none(declared) and rng.random() < 0.3:
                return None
            return values.reference(rng, project, owner, name)
        return values.of_type(rng, declared, now, name)

    def _ports(self, project: Project, now: Any, *, entity: type[Any]) -> Any:
        record_type = Port if entity is Outlet else PortTemplate
        ports = list(now)
        if not ports or (self.rng.random() < 0.25 and len(ports) < 6):
            ports.insert(self.rng.randrange(len(ports) + 1), self._record(project, record_type))
        elif self.rng.random() < 0.2:
            del ports[self.rng.randrange(len(ports))]
        else:
            at = self.rng.randrange(len(ports))
            ports[at] = self._changed_record(project, ports[at], record_type)
        return tuple(ports)

    def _record_or_none(self, project: Project, now: Any, record_type: type[Any]) -> Any:
        if now is not None:
            if self.rng.random() < 0.2:
                return None
            return self._changed_record(project, now, record_type)
        if record_type is TesterRecord:
            return TesterRecord(passed=self.rng.random() < 0.8, length_mm=44_000, date="2026-11-02")
        return self._record(project, record_type)

    def _rows(self, project: Project, now: tuple[Any, ...], record_type: type[Any]) -> Any:
        rows = list(now)
        if not rows or self.rng.random() < 0.2:
            rows.append(self._record(project, record_type))
        elif self.rng.random() < 0.15:
            rows.pop()
        else:
            rows = [self._changed_record(project, row, record_type) for row in rows]
        return tuple(rows)

    def _kit_things(self, project: Project) -> Any:
        """Outlets and pathways as a kit holds them: without a floor, ports at frames or ways."""
        loose = {"frame": None, "ends_at": None, "via": (), "never": ()}
        things: list[Entity] = []
        for table in (project.outlets, project.table(Pathway)):
            chosen = self.rng.sample(list(table.values()), min(len(table), self.rng.randrange(3)))
            things += [msgspec.structs.replace(t, floor="floor") for t in chosen]
        return tuple(
            msgspec.structs.replace(
                t, was_at=None, ports=tuple(msgspec.structs.replace(p, **loose) for p in t.ports)
            )
            if isinstance(t, Outlet)
            else t
            for t in things
        )

    def _changed_record(self, project: Project, record: Any, record_type: type[Any]) -> Any:
        name, declared = self._least_touched(record_type)
        value = self._value(project, record, record_type, name, declared)
        return msgspec.structs.replace(record, **{name: value})

    def _record(self, project: Project, record_type: type[Any]) -> Any:
        """A new record: what it must have, and now and then what it may have."""
        given: dict[str, Any] = {}
        if record_type is Port:
            given["id"] = new_id("port", values.port_ids(project), self.source)
        for field in msgspec.structs.fields(record_type):
            if field.name == "id":
                continue
            likely = 0.5 if field.name in ("test", "ends_at") else 0.1
            if field.required or self.rng.random() < likely:
                declared = dict(values.fields_of(record_type))[field.name]
                value = self._value(project, None, record_type, field.name, declared)
                given[field.name] = value
        return record_type(**given)

    def _least_touched(self, record_type: type[msgspec.Struct]) -> tuple[str, Any]:
        fields = list(values.fields_of(record_type))
        owner = record_type.__name__
        if self.rng.random() < 0.5:
            return self.rng.choice(fields)
        return min(fields, key=lambda f: (self._times_touched(owner, f[0]), self.rng.random()))

    def _times_touched(self, owner: str, name: str) -> int:
        """How often a field was changed; of rows, the least changed field in them."""
        inner = IN_ROWS.get(name)
        if inner is None:
            return self.touched[(owner, name)]
        return min(self.touched[(inner.__name__, f)] for f, _ in values.fields_of(inner))

    # --- counting -------------------------------------------------------------------------

    def _count(self, patch: Patch) -> None:
        for change in patch.changes:
            if change.before is not None and change.after is not None:
                self._count_fields(change.before, change.after)

    def _count_fields(self, before: Any, after: Any) -> None:
        for name in before.__struct_fields__:
            old, new = getattr(before, name), getattr(after, name)
            if name == "id" or old == new:
                continue
            field = type(before).__name__, name
            self.touched[field] += 1
            self._untouched.discard(field)
            if name in ALONE and old is not None and new is not None:
                self._count_fields(old, new)
            elif (name == "ports" or name in IN_ROWS) and len(old) == len(new):
                for one, other in zip(old, new, strict=True):
                    if getattr(one, "id", None) == getattr(other, "id", None):
                        self._count_fields(one, other)


def _default(record_type: type[msgspec.Struct], name: str) -> Any:
    found = next(f.default for f in msgspec.structs.fields(record_type) if f.name == name)
    return None if found is msgspec.NODEFAULT else found
