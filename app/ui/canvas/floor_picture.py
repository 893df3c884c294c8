"""What stands on one floor, as the painters and the pointer want it, kept up by patches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from app.design import Design
from app.editor.shown_states import ALL_SHOWN, ShownStates
from app.model.entities import (
    AccessPoint,
    Break,
    Candidate,
    Demarcation,
    DropOut,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    OutletKind,
    Pathway,
    Penetration,
    Riser,
    ServingZone,
    Space,
    WalkedLength,
)
from app.model.project import Patch, Project
from app.ui.canvas.camera import Box
from app.ui.canvas.outlet_rows import OutletRows
from app.ui.canvas.plan_scene import joined

Place: TypeAlias = (
    Frame
    | Candidate
    | Demarcation
    | AccessPoint
    | DropOut
    | Break
    | Riser
    | Penetration
    | WalkedLength
)
PLACE_TYPES: tuple[type[Entity], ...] = (
    Break,
    WalkedLength,
    Penetration,
    DropOut,
    AccessPoint,
    Riser,
    Candidate,
    Demarcation,
    Frame,
)
"""In the order of painting, the lowest first."""


@dataclass(frozen=True, slots=True)
class Touched:
    """Which parts of a picture a patch has changed."""

    outlets: bool = False
    spaces: bool = False
    pathways: bool = False
    places: bool = False
    statuses: bool = False
    fills: bool = False
    everything: bool = False


EVERYTHING = Touched(True, True, True, True, True, True, True)


class FloorPicture:
    """The things of one floor, sorted by how they are painted."""

    def __init__(
        self,
        project: Project,
        design: Design | None,
        floor_id: str,
        shown: ShownStates = ALL_SHOWN,
    ) -> None:
        """Of the things only those in sight; `old_places` are outlets that leave this floor, or
        their place on it, by their ids.
        """
        self.floor_id = floor_id
        self.shown = shown
        self.old_places: dict[str, Outlet] = {}
        self.project = project
        self.design = design
        self.outlets = OutletRows()
        self.spaces: dict[str, Space] = {}
        self.zones: dict[str, ServingZone] = {}
        self.pathways: dict[str, Pathway] = {}
        self.ducts: dict[str, OutdoorDuct] = {}
        self.places: dict[str, Entity] = {}
        self._read_everything()

    @property
    def is_empty(self) -> bool:
        return not (self.outlets.ids or self.spaces or self.pathways or self.ducts or self.places)

    def places_in_order(self) -> Iterator[Entity]:
        """Frames, risers and the like, the lowest in painting first."""
        for place_type in PLACE_TYPES:
            for place in self.places.values():
                if type(place) is place_type:
                    yield place

    def follow(self, project: Project, design: Design | None, patch: Patch, change: Any) -> Touched:
        """Take a patch in; says what has to be painted anew."""
        self.project, self.design = project, design
        tags = {type(c.after or c.before) for c in patch.changes}
        hiding = set() if self.shown.are_all else {Pathway}  # what sits on one goes with it
        if tags & {Floor, OutletKind, *hiding}:
            self._read_everything()
            return EVERYTHING
        sorts = set()
        for one in patch.changes:
            sort = self._take(one.id, one.after)
            if sort is not None:
                sorts.add(sort)
        return Touched(
            outlets="outlet" in sorts,
            spaces="space" in sorts,
            pathways="pathway" in sorts,
            places="place" in sorts,
            statuses=self._follow_statuses(change, patch),
            fills=change is not None and (change.everything or bool(change.pathways)),
        )

    def show(self, shown: ShownStates) -> Touched:
        """Only things of some states and phases."""
        self.shown = shown
        self._read_everything()
        return EVERYTHING

    def box(self) -> Box | None:
        """Where all these things are."""
        drawn: list[Space | ServingZone | Pathway | OutdoorDuct] = [
            *self.spaces.values(),
            *self.zones.values(),
            *self.pathways.values(),
            *self.ducts.values(),
        ]
        points = [xy for thing in drawn for xy in outline_of(thing)]
        points += [p for place in self.places.values() for p in spots_of(place)]
        boxes = [self.outlets.box()]
        if points:
            array = np.array(points, dtype=np.float64)
            low, high = array.min(axis=0), array.max(axis=0)
            boxes.append((float(low[0]), float(low[1]), float(high[0]), float(high[1])))
        return joined(tuple(boxes))

    # --- within -------------------------------------------------------------------------

    def _read_everything(self) -> None:
        project, floor_id = self.project, self.floor_id
        self.outlets = OutletRows()
        for table in (
            self.spaces,
            self.zones,
            self.pathways,
            self.ducts,
            self.places,
            self.old_places,
        ):
            table.clear()
        kinds = project.outlet_kinds
        everything = self.shown.are_all
        for outlet in project.outlets.values():
            if outlet.floor == floor_id and (everything or self.shows(outlet)):
                self.outlets.put(outlet, kinds.get(outlet.kind))
            if outlet.was_at is not None:
                self._take_old_place(outlet.id, outlet)
        self.outlets.set_statuses(project, self.design)
        drawn_types: tuple[type[Entity], ...] = (
            Space,
            ServingZone,
            Pathway,
            OutdoorDuct,
            *PLACE_TYPES,
        )
        for thing_type in drawn_types:
            for thing in project.table(thing_type).values():
                self._take(thing.id, thing)

    def _take(self, thing_id: str, after: Entity | None) -> str | None:
        """Put one thing in, or take it out; says what sort it is, None if not of this floor."""
        here = after is not None and self._is_here(after)
        if isinstance(after, Outlet) or thing_id in self.old_places:
            self._take_old_place(thing_id, after)
        if thing_id in self.outlets.row_of or isinstance(after, Outlet):
            known = thing_id in self.outlets.row_of
            if here and isinstance(after, Outlet):
                self.outlets.put(after, self.project.outlet_kinds.get(after.kind))
            else:
                self.outlets.drop(thing_id)
            return "outlet" if known or here else None
        for sort, table, types in self._tables():
            if here and isinstance(after, types):
                table[thing_id] = after
                return sort
            if thing_id in table:
                del table[thing_id]
                return sort
        return None

    def _tables(self) -> Iterator[tuple[str, dict[str, Any], tuple[type[Entity], ...]]]:
        yield "space", self.spaces, (Space,)
        yield "space", self.zones, (ServingZone,)
        yield "pathway", self.pathways, (Pathway,)
        yield "pathway", self.ducts, (OutdoorDuct,)
        yield "place", self.places, PLACE_TYPES

    def _take_old_place(self, outlet_id: str, after: Entity | None) -> None:
        self.old_places.pop(outlet_id, None)
        was_at = after.was_at if isinstance(after, Outlet) else None
        left_here = was_at is not None and was_at.floor == self.floor_id
        if isinstance(after, Outlet) and left_here and self.shows(after):
            self.old_places[outlet_id] = after

    def shows(self, thing: Entity) -> bool:
        """Whether a thing's state and phase are in sight."""
        return self.shown.shows(self.project, thing)

    def _is_here(self, thing: Entity) -> bool:
        return self._is_on_floor(thing) and self.shows(thing)

    def _is_on_floor(self, thing: Entity) -> bool:
        if isinstance(thing, Riser):
            return passes_floor(self.project, thing, self.floor_id)
        if isinstance(thing, OutdoorDuct):
            return self.floor_id in (thing.from_floor, thing.to_floor)
        return getattr(thing, "floor", None) == self.floor_id

    def _follow_statuses(self, change: Any, patch: Patch) -> bool:
        if change is None:
            return False
        if change.everything:
            self.outlets.set_statuses(self.project, self.design)
            return True
        changed = set(change.outlets) | (set(patch.ids) & self.outlets.row_of.keys())
        mine = changed & self.outlets.row_of.keys()
        self.outlets.set_statuses(self.project, self.design, mine)
        return bool(mine)


def passes_floor(project: Project, riser: Riser, floor_id: str) -> bool:
    """Whether a riser starts, ends or passes on a floor of its building."""
    floors = project.floors
    floor, lower, upper = (floors.get(i) for i in (floor_id, riser.lower_floor, riser.upper_floor))
    if floor is None or lower is None or upper is None:
        return False
    return (
        floor.building == lower.building and lower.level_mm <= floor.level_mm <= upper.level_mm
    ) or floor_id in (riser.lower_floor, riser.upper_floor)


def riser_point(project: Project, riser: Riser, floor_id: str) -> tuple[float, float]:
    """Where a riser meets a floor: it is one straight piece between its ends."""
    floors = project.floors
    lower = floors[riser.lower_floor].level_mm
    upper = floors[riser.upper_floor].level_mm
    level = floors[floor_id].level_mm if floor_id in floors else lower
    share = (level - lower) / (upper - lower) if upper != lower else 0.0
    share = min(1.0, max(0.0, share))
    return (
        riser.lower[0] + (riser.upper[0] - riser.lower[0]) * share,
        riser.lower[1] + (riser.upper[1] - riser.lower[1]) * share,
    )


def outline_of(thing: Space | ServingZone | Pathway | OutdoorDuct) -> list[tuple[float, float]]:
    """The points of a drawn line or outline."""
    if isinstance(thing, Space | ServingZone):
        return [(float(x), float(y)) for x, y in thing.outline]
    return [(float(x), float(y)) for x, y, _ in thing.vertices]


def line_of(thing: Pathway | OutdoorDuct) -> npt.NDArray[np.float64]:
    """The vertices in plan, (n, 2)."""
    return np.array([(x, y) for x, y, _ in thing.vertices], dtype=np.float64).reshape(-1, 2)


def spots_of(place: Entity) -> list[tuple[float, float]]:
    """The points of a thing that stands at one place."""
    if isinstance(place, Riser):
        return [(float(x), float(y)) for x, y in (place.lower, place.upper)]
    x, y = getattr(place, "x_mm", None), getattr(place, "y_mm", None)
    return [] if x is None or y is None else [(float(x), float(y))]


def floors_of(thing: Entity) -> tuple[str, ...]:
    """The ids of the floors a thing is tied to; none for what is on no floor."""
    names = ("floor", "lower_floor", "upper_floor", "from_floor", "to_floor")
    found = (getattr(thing, name, None) for name in names)
    return tuple(f for f in found if f is not None)


def box_of(thing: Entity) -> Box | None:
    """Where a thing is."""
    if isinstance(thing, Space | Pathway | OutdoorDuct):
        points = outline_of(thing)
    else:
        points = spots_of(thing)
    if not points:
        return None
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)
