"""What only one run may have, had by two: a cable's number, or a port of a panel."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from app.checks.finding import Finding, Severity, finding
from app.checks.numbers import DUPLICATE
from app.checks.wording import outlet_name, place_name
from app.model.entities import Outlet, Port
from app.model.project import Project

PORT_TWICE = "port_twice"
Holder = tuple[Outlet, Port]


def check_ports_twice(project: Project) -> list[Finding]:
    """One finding for every port of a panel that two or more runs are given."""
    return [
        _twice(
            project,
            PORT_TWICE,
            holders,
            f"more than one run ends on {_place(project, holders[0][1])}; give each its own.",
        )
        for holders in _shared(project, lambda port: port.ends_at)
    ]


def check_cables_twice(project: Project) -> list[Finding]:
    """One finding for every number that two or more cables carry."""
    return [
        _twice(
            project,
            DUPLICATE,
            holders,
            f"{len(holders)} cables carry the number {holders[0][1].cable_number.strip()}; "
            "give each its own.",
        )
        for holders in _shared(project, lambda port: port.cable_number.strip() or None)
    ]


def _place(project: Project, port: Port) -> str:
    assert port.ends_at is not None
    return place_name(port.ends_at, project.frames.get(port.ends_at.frame))


def _shared(project: Project, mark_of: Callable[[Port], object | None]) -> Iterable[list[Holder]]:
    """What two or more ports have in common, in order of their ids."""
    holders: dict[object, list[Holder]] = {}
    for outlet in project.outlets.values():
        for port in outlet.ports:
            mark = mark_of(port)
            if mark is not None:
                holders.setdefault(mark, []).append((outlet, port))
    return [sorted(h, key=lambda e: e[1].id) for h in holders.values() if len(h) > 1]


def _twice(project: Project, rule: str, holders: list[Holder], told: str) -> Finding:
    """It speaks of the outlets, and is known by the first of the ports."""
    outlets = {o.id: o for o, _ in holders}
    names = [outlet_name(o, project.floors.get(o.floor)) for o in outlets.values()]
    said = " and ".join(n if i == 0 else n[0].lower() + n[1:] for i, n in enumerate(names))
    made = finding(
        rule=rule,
        severity=Severity.WARN,
        text=f"{said}: {told}",
        things=tuple(outlets),
        floor=holders[0][0].floor,
        excess=len(holders),
    )
    return replace(made, key=f"{rule}:{holders[0][1].id}")
