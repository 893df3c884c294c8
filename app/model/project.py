"""A project: an immutable value of tables, and the one kind of change."""

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeVar, cast

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
    Site,
    Space,
    Waiver,
    WalkedLength,
    tag_of,
)
from app.model.ids import tag_of_id
from app.model.settings import Settings

AnyEntity = (
    Site
    | Settings
    | Building
    | Floor
    | Plan
    | Space
    | CableType
    | OutletKind
    | Outlet
    | Frame
    | Candidate
    | Demarcation
    | BackboneCable
    | Pathway
    | AccessPoint
    | DropOut
    | Break
    | Riser
    | OutdoorDuct
    | Waiver
    | ServingZone
    | WalkedLength
    | Penetration
    | ClientList
    | RoomLine
    | Kit
    | RestorePoint
)
ENTITY_TYPES: tuple[type[Entity], ...] = AnyEntity.__args__
TYPE_OF_TAG: Mapping[str, type[Entity]] = {tag_of(t.__name__): t for t in ENTITY_TYPES}
SINGLE_TAGS = frozenset({"site", "settings"})

E = TypeVar("E", bound=Entity)


class PatchRefused(Exception):
    """A patch that does not fit the project; the message says why, for the user."""


class Change(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One thing made (`before` None), changed, or removed (`after` None)."""

    id: str
    before: AnyEntity | None
    after: AnyEntity | None


class Patch(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The one kind of change: a label for people, and changes with distinct ids."""

    label: str
    changes: tuple[Change, ...]

    def inverse(self, label: str | None = None) -> "Patch":
        """The patch that takes this one back."""
        return Patch(
            self.label if label is None else label,
            tuple(Change(c.id, c.after, c.before) for c in reversed(self.changes)),
        )

    def squash(self, later: "Patch", label: str | None = None) -> "Patch":
        """This patch and then `later`, as one; what comes back to itself is dropped."""
        first = {c.id: c for c in self.changes}
        for change in later.changes:
            known = first.get(change.id)
            before = change.before if known is None else known.before
            first[change.id] = Change(change.id, before, change.after)
        kept = tuple(c for c in first.values() if c.before != c.after)
        return Patch(self.label if label is None else label, kept)

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(c.id for c in self.changes)


class Project:
    """Tables of entities by tag and id. Never changed: `apply` gives a new one.

    Table order is the order in which things were added; a changed thing keeps its place.
    """

    __slots__ = ("_tables",)
    _tables: Mapping[str, Mapping[str, Entity]]

    def __init__(self, entities: Iterable[Entity] = ()) -> None:
        tables: dict[str, dict[str, Entity]] = {tag: {} for tag in TYPE_OF_TAG}
        for entity in entities:
            table = tables[tag_of(type(entity).__name__)]
            if entity.id in table:
                raise PatchRefused(f"The id {entity.id} is there twice.")
            table[entity.id] = entity
        tables["site"].setdefault("site", Site(id="site"))
        tables["settings"].setdefault("settings", Settings(id="settings"))
        self._tables = tables

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Project) and self._tables == other._tables

    __hash__ = None  # type: ignore[assignment]

    def apply(self, patch: Patch) -> "Project":
        """The project after the patch; untouched tables are shared.

        Raises PatchRefused where a `before` is not what stands here.
        """
        tables = dict(self._tables)
        touched: dict[str, dict[str, Entity]] = {}
        for change in patch.changes:
            tag = tag_of_id(change.id)
            if tag not in tables:
                raise PatchRefused(f"There is no kind of thing called “{tag}” ({change.id}).")
            table = touched.get(tag)
            if table is None:
                table = touched[tag] = dict(tables[tag])
                tables[tag] = table
            _change_table(table, change, TYPE_OF_TAG[tag])
        after = Project.__new__(Project)
        after._tables = tables
        return after

    def table(self, entity_type: type[E]) -> Mapping[str, E]:
        """The table of one type, in table order."""
        return cast(Mapping[str, E], self._tables[tag_of(entity_type.__name__)])

    def get(self, entity_id: str) -> Entity | None:
        """The thing with this id, of whatever type."""
        table = self._tables.get(tag_of_id(entity_id))
        return None if table is None else table.get(entity_id)

    def need(self, entity_type: type[E], entity_id: str) -> E:
        """The thing with this id; KeyError where it is not there."""
        return self.table(entity_type)[entity_id]

    def __contains__(self, entity_id: object) -> bool:
        return isinstance(entity_id, str) and self.get(entity_id) is not None

    def entities(self) -> Iterator[Entity]:
        for table in self._tables.values():
            yield from table.values()

    @property
    def site(self) -> Site:
        return self.table(Site)["site"]

    @property
    def settings(self) -> Settings:
        return self.table(Settings)["settings"]

    @property
    def buildings(self) -> Mapping[str, Building]:
        return self.table(Building)

    @property
    def floors(self) -> Mapping[str, Floor]:
        return self.table(Floor)

    @property
    def plans(self) -> Mapping[str, Plan]:
        return self.table(Plan)

    @property
    def spaces(self) -> Mapping[str, Space]:
        return self.table(Space)

    @property
    def cable_types(self) -> Mapping[str, CableType]:
        return self.table(CableType)

    @property
    def outlet_kinds(self) -> Mapping[str, OutletKind]:
        return self.table(OutletKind)

    @property
    def outlets(self) -> Mapping[str, Outlet]:
        return self.table(Outlet)

    @property
    def frames(self) -> Mapping[str, Frame]:
        return self.table(Frame)

    @property
    def candidates(self) -> Mapping[str, Candidate]:
        return self.table(Candidate)

    @property
    def demarcations(self) -> Mapping[str, Demarcation]:
        return self.table(Demarcation)

    @property
    def backbone_cables(self) -> Mapping[str, BackboneCable]:
        return self.table(BackboneCable)

    @property
    def pathways(self) -> Mapping[str, Pathway]:
        return self.table(Pathway)

    @property
    def access_points(self) -> Mapping[str, AccessPoint]:
        return self.table(AccessPoint)

    @property
    def drop_outs(self) -> Mapping[str, DropOut]:
        return self.table(DropOut)

    @property
    def breaks(self) -> Mapping[str, Break]:
        return self.table(Break)

    @property
    def risers(self) -> Mapping[str, Riser]:
        return self.table(Riser)

    @property
    def outdoor_ducts(self) -> Mapping[str, OutdoorDuct]:
        return self.table(OutdoorDuct)

    @property
    def waivers(self) -> Mapping[str, Waiver]:
        return self.table(Waiver)

    @property
    def serving_zones(self) -> Mapping[str, ServingZone]:
        return self.table(ServingZone)

    @property
    def walked_lengths(self) -> Mapping[str, WalkedLength]:
        return self.table(WalkedLength)

    @property
    def penetrations(self) -> Mapping[str, Penetration]:
        return self.table(Penetration)

    @property
    def client_lists(self) -> Mapping[str, ClientList]:
        return self.table(ClientList)

    @property
    def room_lines(self) -> Mapping[str, RoomLine]:
        return self.table(RoomLine)

    @property
    def kits(self) -> Mapping[str, Kit]:
        return self.table(Kit)

    @property
    def restore_points(self) -> Mapping[str, RestorePoint]:
        return self.table(RestorePoint)


def _change_table(table: dict[str, Entity], change: Change, entity_type: type[Entity]) -> None:
    standing = table.get(change.id)
    if standing is not change.before and standing != change.before:
        raise PatchRefused(
            f"“{change.id}” has changed since this edit was prepared; do the edit again."
        )
    if change.after is None:
        if change.before is None:
            raise PatchRefused(f"The change of “{change.id}” says nothing.")
        del table[change.id]
        return
    if change.after.id != change.id or type(change.after) is not entity_type:
        raise PatchRefused(f"The change of “{change.id}” holds another thing.")
    table[change.id] = change.after


def floors_from_below(project: Project, building_id: str) -> tuple[Floor, ...]:
    """The floors of a building from the lowest level up; equal levels by id."""
    own = (f for f in project.floors.values() if f.building == building_id)
    return tuple(sorted(own, key=lambda f: (f.level_mm, f.id)))


def adding(label: str, entities: Iterable[Entity]) -> Patch:
    """The patch that makes these things."""
    made = (cast(AnyEntity, e) for e in entities)
    return Patch(label, tuple(Change(e.id, None, e) for e in made))


def removing(label: str, entities: Iterable[Entity]) -> Patch:
    """The patch that removes these things."""
    gone = (cast(AnyEntity, e) for e in entities)
    return Patch(label, tuple(Change(e.id, e, None) for e in gone))


def changing(label: str, pairs: Iterable[tuple[Entity, Entity]]) -> Patch:
    """The patch that puts each second thing in place of the first; equal pairs are left out."""
    typed = ((cast(AnyEntity, b), cast(AnyEntity, a)) for b, a in pairs)
    return Patch(label, tuple(Change(b.id, b, a) for b, a in typed if b != a))
