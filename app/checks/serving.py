"""Who serves: zones that lie over one another or over whole spaces, ports at reserved frames."""

from collections.abc import Iterable, Mapping, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import outlet_name, space_name
from app.model.entities import Floor, Frame, Outlet, ServingZone, Space
from app.routing.ground import is_divisible, polygon_of

OVERLAP = "serving_zones_overlap"
WHOLE_SPACE = "serving_zone_over_whole_space"
RESERVED = "port_at_reserved_frame"
LEAST_MM2 = 500_000.0
"""What overlaps by less than half a square metre was drawn past a wall."""


def check_zones(
    floor: Floor,
    zones: Sequence[ServingZone],
    spaces: Iterable[Space],
    frames: Mapping[str, Frame],
) -> list[Finding]:
    """Zones of one floor that lie over one another, and over spaces that are served whole."""
    shapes = {z.id: shapely.make_valid(shapely.Polygon(z.outline)) for z in zones}
    in_order = sorted(zones, key=lambda z: z.id)
    found = []
    for number, zone in enumerate(in_order):
        others = [
            z
            for z in in_order[number + 1 :]
            if z.frame != zone.frame and _area(shapes[zone.id], shapes[z.id]) > LEAST_MM2
        ]
        if others:
            found.append(_overlap(floor, zone, others, frames))
    whole = [s for s in spaces if not is_divisible(s)]
    whole.sort(key=lambda s: (s.number, s.id))
    for zone in in_order:
        over = [s for s in whole if _area(shapes[zone.id], polygon_of(s)) > LEAST_MM2]
        if over:
            found.append(_over_whole(floor, zone, over, frames))
    return found


def _area(one: BaseGeometry, other: BaseGeometry) -> float:
    return float(one.intersection(other).area) if one.intersects(other) else 0.0


def _name(zone: ServingZone, frames: Mapping[str, Frame]) -> str:
    return zone.name or frames[zone.frame].name


def _overlap(
    floor: Floor, zone: ServingZone, others: Sequence[ServingZone], frames: Mapping[str, Frame]
) -> Finding:
    names = ", ".join(_name(z, frames) for z in others)
    return finding(
        rule=OVERLAP,
        severity=Severity.WARN,
        text=f"Serving zone {_name(zone, frames)} overlaps {names}; where zones overlap, the "
        "smallest counts.",
        things=(zone.id, *(z.id for z in others)),
        floor=floor.id,
        excess=len(others),
    )


def _over_whole(
    floor: Floor, zone: ServingZone, over: Sequence[Space], frames: Mapping[str, Frame]
) -> Finding:
    names = ", ".join(space_name(s) for s in over)
    verb = "which is" if len(over) == 1 else "which are"
    text = (
        f"Serving zone {_name(zone, frames)} lies over {names}, {verb} served whole by one "
        "frame; the zone does not count there."
    )
    return finding(
        rule=WHOLE_SPACE,
        severity=Severity.NOTE,
        text=text,
        things=(zone.id, *(s.id for s in over)),
        floor=floor.id,
        excess=len(over),
    )


def check_reserved(
    outlet: Outlet, space: Space | None, floor: Floor, frames: Mapping[str, Frame]
) -> list[Finding]:
    """One finding for an outlet whose ports end by hand at a frame reserved for others."""
    tenant = "" if space is None else space.tenant
    held = [
        (port.id, frame)
        for port in outlet.ports
        if port.frame is not None
        and not _takes(frame := frames[port.frame], tenant=tenant, service=port.service)
    ]
    if not held:
        return []
    names = dict.fromkeys(f"{f.name} (for {_whom(f)})" for _, f in held)
    text = (
        f"{outlet_name(outlet, floor)}: sent by hand to frame {', '.join(names)}, which is "
        "reserved for others."
    )
    return [
        finding(
            rule=RESERVED,
            severity=Severity.NOTE,
            text=text,
            things=(outlet.id, *(p for p, _ in held)),
            floor=outlet.floor,
            excess=len(held),
        )
    ]


def _takes(frame: Frame, *, tenant: str, service: str) -> bool:
    for_tenant = frame.reserved_tenant in ("", tenant)
    return for_tenant and frame.reserved_service in ("", service)


def _whom(frame: Frame) -> str:
    said = [f"tenant {frame.reserved_tenant}"] if frame.reserved_tenant else []
    said += [f"service {frame.reserved_service}"] if frame.reserved_service else []
    return " and ".join(said)
