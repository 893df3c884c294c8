"""One port of a panel with two runs on it."""

from collections.abc import Iterable

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import outlet_name, place_name
from app.model.entities import Outlet, PanelPort
from app.model.project import Project

PORT_TWICE = "port_twice"


def check_ports_twice(project: Project) -> list[Finding]:
    """One finding for every port of a panel that two or more runs are given."""
    holders: dict[PanelPort, list[Outlet]] = {}
    for outlet in project.outlets.values():
        for port in outlet.ports:
            if port.ends_at is not None:
                holders.setdefault(port.ends_at, []).append(outlet)
    return [
        _twice(project, place, outlets) for place, outlets in holders.items() if len(outlets) > 1
    ]


def _twice(project: Project, place: PanelPort, outlets: Iterable[Outlet]) -> Finding:
    in_order = sorted(outlets, key=lambda o: o.id)
    names = dict.fromkeys(outlet_name(o, project.floors.get(o.floor)) for o in in_order)
    said = " and ".join(n if i == 0 else n[0].lower() + n[1:] for i, n in enumerate(names))
    frame = project.frames.get(place.frame)
    return finding(
        rule=PORT_TWICE,
        severity=Severity.WARN,
        text=f"{said}: more than one run ends on {place_name(place, frame)}; give each its own.",
        things=tuple(dict.fromkeys(o.id for o in in_order)),
        floor=in_order[0].floor,
        excess=len(in_order),
    )
