"""Belonging: which frames a port may go to, by reservation, serving zone and floor.

A port fixed to a frame goes there. Of the frames in use that take a port (reserved for nobody,
or for its space's tenant and its own service) those reserved for its tenant go first, then
those reserved for its service; then the frame of the serving zone that its outlet stands in;
then whoever may serve the floor.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from app.model.entities import Frame, Outlet, ServingZone
from app.model.project import Project
from app.model.vocabulary import State
from app.routing.ground import Rooms, is_divisible, spaces_at
from app.routing.results import BoolArray, IndexArray, IntArray

NO_ZONE = -1


@dataclass(frozen=True, eq=False)
class Belonging:
    """Who is told apart: tenants and services that frames in use are reserved for ("" first),
    and the serving zones of each floor, of which the smallest counts.

    `tenant_of`: the number of the tenant of a space, where it has one. `split`: the ids of the
    spaces that zones may divide.
    """

    tenants: Mapping[str, int]
    services: Mapping[str, int]
    tenant_of: Mapping[str, int]
    zones: Mapping[str, Rooms]
    zone_frame: Mapping[str, int]
    split: frozenset[str]
    frames: int

    def rule(self, tenant: int, service: str, zone: int) -> int:
        """What decides where a port goes, as one number."""
        own = tenant * len(self.services) + self.services.get(service, 0)
        return own * (self.frames + 1) + zone + 1

    def parts(self, rule: int) -> tuple[int, int, int]:
        """Tenant, service and the zone's frame (NO_ZONE for none) of a rule."""
        own, zone = divmod(rule, self.frames + 1)
        tenant, service = divmod(own, len(self.services))
        return tenant, service, zone - 1


def is_in_use(frame: Frame) -> bool:
    """Whether cable may be ended at it: one to remove or future takes only what is fixed to it."""
    return frame.state not in (State.TO_REMOVE, State.FUTURE)


def build_belonging(project: Project, frame_index: Mapping[str, int]) -> Belonging:
    """Who is told apart in a project."""
    used = [f for f in project.frames.values() if is_in_use(f)]
    tenants = _numbered(f.reserved_tenant for f in used)
    spaces = project.spaces.values()
    return Belonging(
        tenants=tenants,
        services=_numbered(f.reserved_service for f in used),
        tenant_of={s.id: tenants[s.tenant] for s in spaces if s.tenant and s.tenant in tenants},
        zones=zones_by_floor(project.serving_zones.values()),
        zone_frame={z.id: frame_index[z.frame] for z in project.serving_zones.values()},
        split=frozenset(s.id for s in spaces if is_divisible(s)),
        frames=len(frame_index),
    )


def _numbered(names: Iterable[str]) -> dict[str, int]:
    return {name: k for k, name in enumerate(sorted({"", *names}))}


def zones_by_floor(zones: Iterable[ServingZone]) -> dict[str, Rooms]:
    """The serving zones of each floor, ready to be asked what lies where."""
    on: dict[str, list[ServingZone]] = {}
    for zone in sorted(zones, key=lambda z: z.id):
        on.setdefault(zone.floor, []).append(zone)
    found = {}
    for floor, own in on.items():
        shapes = [shapely.make_valid(shapely.Polygon(z.outline)) for z in own]
        areas = np.array([shape.area for shape in shapes], dtype=np.float64)
        found[floor] = Rooms(tuple(z.id for z in own), areas, shapely.STRtree(shapes))
    return found


def zones_of(
    belonging: Belonging, outlets: Sequence[Outlet], spaces: Sequence[str | None]
) -> list[int]:
    """The number of the frame of the zone that each outlet stands in, NO_ZONE for none."""
    found = [NO_ZONE] * len(outlets)
    rows_on: dict[str, list[int]] = {}
    for row, (outlet, space) in enumerate(zip(outlets, spaces, strict=True)):
        if outlet.floor in belonging.zones and (space is None or space in belonging.split):
            rows_on.setdefault(outlet.floor, []).append(row)
    for floor, rows in rows_on.items():
        zones = belonging.zones[floor]
        xy = np.array([(outlets[r].x_mm, outlets[r].y_mm) for r in rows], dtype=np.float64)
        for row, number in zip(rows, spaces_at(zones, xy).tolist(), strict=True):
            if number >= 0:
                found[row] = belonging.zone_frame[zones.ids[number]]
    return found


@dataclass(frozen=True, eq=False)
class Keepers:
    """The frames in order, as to whom they take: columns by frame."""

    belonging: Belonging
    in_use: BoolArray
    tenant: IntArray
    service: IntArray


def build_keepers(belonging: Belonging, frames: Sequence[Frame]) -> Keepers:
    """Whom each of the frames takes, in their order."""
    return Keepers(
        belonging,
        np.array([is_in_use(f) for f in frames], dtype=bool),
        np.array([belonging.tenants.get(f.reserved_tenant, 0) for f in frames], dtype=np.int64),
        np.array([belonging.services.get(f.reserved_service, 0) for f in frames], dtype=np.int64),
    )


def takers(keepers: Keepers, rule: int) -> tuple[BoolArray, int]:
    """The frames that take ports of a rule, whichever floor they serve, and the one that their
    zone says, NO_ZONE where none does."""
    tenant, service, zone = keepers.belonging.parts(rule)
    taking = keepers.in_use & ((keepers.tenant == 0) | (keepers.tenant == tenant))
    taking &= (keepers.service == 0) | (keepers.service == service)
    for own, theirs in ((tenant, keepers.tenant), (service, keepers.service)):
        reserved = taking & (theirs == own)
        if own and reserved.any():
            taking = reserved
    return taking, zone if zone != NO_ZONE and taking[zone] else NO_ZONE


def columns_for(keepers: Keepers, frames: IndexArray, serves: BoolArray, rule: int) -> IntArray:
    """Among the frames of a floor (numbers, and which may serve it) the places of those to
    which ports of a rule may go."""
    taking, zone = takers(keepers, rule)
    chosen = frames == zone if zone != NO_ZONE else taking[frames] & serves
    found: IntArray = np.flatnonzero(chosen)
    return found
