"""Random edits that touch every field of every kind of thing and every setting, counted.

    edits = RandomEdits(seed)
    project = edits.starting_project()
    patch = edits.patch(project)          # always one that the project accepts
    edits.untouched()                     # what no edit has changed yet

Also what people do most: drag outlets, bend pathways, add a row, delete a room's outlets.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Break,
    Building,
    CableType,
    Candidate,
    ClientList,
    Demarcation,
    DropOut,
    Entity,
    Floor,
    Frame,
    Kit,
    OldPlace,
    OutdoorDuct,
    Outlet,
    OutletKind,
    Pathway,
    Penetration,
    Plan,
    RestorePoint,
    Riser,
    RoomLine,
    ServingZone,
    Space,
    Waiver,
    WalkedLength,
    tag_of,
)
from app.model.ids import new_id
from app.model.integrity import check_patch, referring_to
from app.model.project import (
    ENTITY_TYPES,
    Change,
    Patch,
    PatchRefused,
    Project,
    adding,
    changing,
)
from tests.properties import random_values as values
from tests.properties.random_things import PLAN_HASHES, RandomThings, every_field

WANTED: dict[type[Entity], int] = {
    Building: 2,
    Floor: 4,
    Plan: 3,
    CableType: 3,
    OutletKind: 3,
    Space: 14,
    Outlet: 40,
    Frame: 4,
    Candidate: 2,
    Demarcation: 2,
    BackboneCable: 4,
    Pathway: 14,
    AccessPoint: 5,
    DropOut: 4,
    Break: 3,
    Riser: 3,
    OutdoorDuct: 2,
    Waiver: 2,
    ServingZone: 3,
    WalkedLength: 4,
    Penetration: 4,
    ClientList: 2,
    RoomLine: 6,
    Kit: 2,
    RestorePoint: 2,
}
"""How many of each the project drifts towards; also the order in which a new one is filled."""

MOST_REMOVED = 5
RECORDS_WITHIN: tuple[tuple[type[Entity], str, str | None, str], ...] = (
    (Outlet, "ports", None, "Port"),
    (Outlet, "ports", "test", "TesterRecord"),
    (OutletKind, "ports", None, "PortTemplate"),
    (Outlet, "ports", "ends_at", "PanelPort"),
    (Space, "required", None, "Requirement"),
    (RoomLine, "required", None, "Requirement"),
    (Frame, "panels", None, "Panel"),
    (ClientList, "columns", None, "ColumnMatch"),
)
"""Entity type, its field of records, a record within those, and what is changed there."""


class RandomEdits(RandomThings):
    """A source of random edits; the same seed and projects give the same edits."""

    def starting_project(self, *, scale: int = 1) -> Project:
        """A building with something of every kind; `scale` times as many of what is many."""
        building = Building(id=f"building-{self.source()}", name="Terminal")
        floors = (
            Floor(id=f"floor-{self.source()}", building=building.id, name=name, level_mm=level)
            for name, level in (("0", 0), ("1", 5_400), ("2", 9_000))
        )
        project = Project((building, *floors))
        for entity_type, wanted in WANTED.items():
            times = scale if wanted >= WANTED[BackboneCable] else 1
            for _ in range(wanted * times):
                made = self._accepted(project, lambda p, t=entity_type: self._add(p, t))
                project = project.apply(made)
        return project

    def patch(self, project: Project) -> Patch:
        """A random edit that the project accepts."""
        patch = self._accepted(project, self._any)
        self._count(patch)
        return patch

    # --- kinds of edit --------------------------------------------------------------------

    def _accepted(self, project: Project, make: Callable[[Project], Patch | None]) -> Patch:
        for _ in range(1_000):
            try:
                patch = make(project)
                if patch is None or not patch.changes:
                    continue
                check_patch(project.apply(patch), patch)
            except (PatchRefused, values.NothingThere):
                continue
            return patch
        raise AssertionError("no random edit was accepted in a thousand tries")

    def _any(self, project: Project) -> Patch | None:
        makers: tuple[tuple[Callable[[Project], Patch | None], int], ...] = (
            (self._change_fields, 45),
            (self._change_record, 30),
            (self._add_or_remove, 20),
            (self._drag_outlets, 15),
            (self._bend_pathway, 7),
            (self._several, 5),
        )
        make = self.rng.choices([m for m, _ in makers], [w for _, w in makers])[0]
        return make(project)

    def _several(self, project: Project) -> Patch | None:
        """Two or three edits as one patch."""
        whole: Patch | None = None
        for _ in range(self.rng.choice((2, 3))):
            part = self._accepted(project, self._any)
            project = project.apply(part)
            whole = part if whole is None else whole.squash(part, "Several")
        return whole

    def _add_or_remove(self, project: Project) -> Patch | None:
        missing = {t: wanted - len(project.table(t)) for t, wanted in WANTED.items()}
        missing = {t: count for t, count in missing.items() if count > 0}
        if missing and self.rng.random() < 0.7:
            chosen = self.rng.choices(list(missing), list(missing.values()))
            return self._add(project, chosen[0])
        if self.rng.random() < 0.15:
            return self._add(project, self.rng.choice(list(WANTED)))
        return self._remove(project, self.rng.choice(list(WANTED)))

    def _remove(self, project: Project, entity_type: type[Entity]) -> Patch | None:
        table = project.table(entity_type)
        if len(table) < 2:
            return None
        gone: dict[str, Entity] = {}
        fringe = [self.rng.choice(list(table.values()))]
        while fringe and len(gone) <= MOST_REMOVED:
            gone.update((e.id, e) for e in fringe)
            fringe = [e for e in referring_to(project, [e.id for e in fringe]) if e.id not in gone]
        if fringe:
            return None
        changes = tuple(Change(i, e, None) for i, e in reversed(gone.items()))
        return Patch(f"Delete {tag_of(entity_type.__name__)}", changes)

    def _drag_outlets(self, project: Project) -> Patch | None:
        outlets = list(project.outlets.values())
        dragged = self.rng.sample(outlets, min(len(outlets), self.rng.choice((1, 1, 1, 2, 5))))
        dx, dy = (self.rng.randrange(-4_000, 4_001, 100) for _ in "xy")
        return changing(
            "Move outlets",
            ((o, msgspec.structs.replace(o, x_mm=o.x_mm + dx, y_mm=o.y_mm + dy)) for o in dragged),
        )

    def _bend_pathway(self, project: Project) -> Patch | None:
        if not project.pathways:
            return None
        pathway = self.rng.choice(list(project.pathways.values()))
        line = list(pathway.vertices)
        at = self.rng.randrange(len(line))
        x, y = values.point(self.rng, project)
        if self.rng.random() < 0.3:
            line.insert(at, (x, y, line[at][2]))
        elif len(line) > 2 and self.rng.random() < 0.3:
            del line[at]
        else:
            line[at] = (x, y, line[at][2])
        return changing(
            "Bend pathway", [(pathway, msgspec.structs.replace(pathway, vertices=tuple(line)))]
        )

    def _change_fields(self, project: Project) -> Patch | None:
        """Change one field (the least touched so far) of one thing, or of a few alike."""
        kinds = [t for t in (*ENTITY_TYPES, Outlet, Outlet) if project.table(t)]
        wanting = {owner for owner, _ in self._untouched}
        lacking = [t for t in kinds if t.__name__ in wanting]
        entity_type = self.rng.choice(lacking if lacking and self.rng.random() < 0.5 else kinds)
        things = list(project.table(entity_type).values())
        chosen = self.rng.sample(things, min(len(things), self.rng.choice((1, 1, 1, 3))))
        name, declared = self._least_touched(entity_type)
        pairs = []
        for thing in chosen:
            value = self._value(project, thing, entity_type, name, declared)
            pairs.append((thing, msgspec.structs.replace(thing, **{name: value})))
        return changing(f"Change {name}", pairs)

    def _change_record(self, project: Project) -> Patch | None:
        """Change one field of a record inside a thing: they stand deepest."""
        rng = self.rng
        moved = [o for o in project.outlets.values() if o.was_at is not None]
        if moved and rng.random() < 0.15:
            outlet = rng.choice(moved)
            was_at = self._changed_record(project, outlet.was_at, OldPlace)
            after = msgspec.structs.replace(outlet, was_at=was_at)
            return changing("Change was_at", [(outlet, after)])
        wanting = {owner for owner, _ in self._untouched}
        lacking = [r for r in RECORDS_WITHIN if r[3] in wanting]
        rows = lacking if lacking and rng.random() < 0.8 else RECORDS_WITHIN
        entity_type, field, wanted, _ = rng.choice(rows)
        held = [
            (thing, at)
            for thing in project.table(entity_type).values()
            for at, record in enumerate(getattr(thing, field))
            if wanted is None or getattr(record, wanted) is not None
        ]
        if not held:
            return None
        thing, at = rng.choice(held)
        records = list(getattr(thing, field))
        if wanted is None:
            records[at] = self._changed_record(project, records[at], type(records[at]))
        else:
            within = getattr(records[at], wanted)
            changed = self._changed_record(project, within, type(within))
            records[at] = msgspec.structs.replace(records[at], **{wanted: changed})
        after = msgspec.structs.replace(thing, **{field: tuple(records)})
        return changing(f"Change {field}", [(thing, after)])

    # --- new things -----------------------------------------------------------------------

    def _add(self, project: Project, entity_type: type[Entity]) -> Patch | None:
        count = 4 if entity_type is Outlet and self.rng.random() < 0.2 else 1
        made: list[Entity] = []
        taken = {e.id for e in project.entities()}
        for _ in range(count):
            entity_id = new_id(tag_of(entity_type.__name__), taken, self.source)
            taken.add(entity_id)
            made.append(self._entity(project, entity_type, entity_id))
        return adding(f"Add {tag_of(entity_type.__name__)}", made)


__all__ = ["PLAN_HASHES", "WANTED", "RandomEdits", "every_field"]
