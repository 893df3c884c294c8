"""A run that ends where there is no port for it: no such panel, or one for other cable."""

from collections.abc import Iterable, Mapping

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import outlet_name, place_name
from app.model.entities import CableType, Floor, Frame, Outlet, Panel, Port

NO_PORT = "port_not_on_panel"


Panels = Mapping[tuple[str, str], Panel]
"""By frame and name."""


def panels_of(frames: Iterable[Frame]) -> Panels:
    """Every panel there is, to be found by its frame and name."""
    return {(f.id, p.name): p for f in frames for p in f.panels}


def check_port_panels(
    outlet: Outlet,
    floor: Floor,
    panels: Panels,
    frames: Mapping[str, Frame],
    cables: Mapping[str, CableType],
) -> list[Finding]:
    """One finding for an outlet with runs whose port cannot be."""
    found = []
    for port in outlet.ports:
        if port.ends_at is None:
            continue
        frame = frames[port.ends_at.frame]
        panel = panels.get((port.ends_at.frame, port.ends_at.panel))
        why = _why_not(port, frame, panel, cables)
        if why:
            place = place_name(port.ends_at, frame)
            found.append(f"{place}, but {why}")
    if not found:
        return []
    return [
        finding(
            rule=NO_PORT,
            severity=Severity.WARN,
            text=f"{outlet_name(outlet, floor)} ends on {'; on '.join(found)}.",
            things=(outlet.id,),
            floor=outlet.floor,
            excess=len(found),
        )
    ]


def _why_not(port: Port, frame: Frame, panel: Panel | None, cables: Mapping[str, CableType]) -> str:
    assert port.ends_at is not None
    if panel is None:
        return f"frame {frame.name} has no panel {port.ends_at.panel}; add it to the frame"
    if port.ends_at.port > panel.port_count:
        return f"panel {panel.name} has {panel.port_count} ports"
    if port.cable_type == panel.cable_type:
        return ""
    cable, other = cables[port.cable_type], cables[panel.cable_type]
    if _sort(cable) != _sort(other):
        return f"panel {panel.name} is for {other.name}, not for {cable.name}"
    return ""


def _sort(cable: CableType) -> tuple[object, ...]:
    """What may share a panel: one medium and category, screened or not."""
    return cable.medium, cable.category, cable.shielded
