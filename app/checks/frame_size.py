"""A frame that ends more ports, or serves more area, than one room should."""

from app.checks.finding import PROJECT, Finding, Severity, authority, authority_of_setting, finding
from app.checks.wording import area_text, many
from app.model.entities import Frame
from app.model.settings import Settings
from app.standards import RuleSet

PORTS = "frame_ports"
AREA = "frame_area"


def check_frame_ports(
    frame: Frame, ports: int, settings: Settings, rules: RuleSet
) -> list[Finding]:
    """A finding where a frame ends more ports than it may, or than a room normally does."""
    most = settings.ports_warned if frame.ports_max is None else frame.ports_max
    if ports <= most:
        return []
    own = frame.ports_max is not None
    said = "its own limit of" if own else "above which a room is asked about:"
    text = f"Frame {frame.name} ends {many(ports, 'port')}; {said} {most:,}."
    ruled = authority_of_setting(
        rules, "frames.ports_warned", ruled=rules.number("frames.ports_warned"), set_to=most
    )
    return [
        finding(
            rule=PORTS,
            severity=Severity.WARN,
            text=text,
            things=(frame.id,),
            floor=frame.floor,
            authority=PROJECT if own else ruled,
            excess=ports - most,
        )
    ]


def check_frame_area(
    frame: Frame, area_m2: float, settings: Settings, rules: RuleSet
) -> list[Finding]:
    """A finding where a frame serves more area than one room should, halls with a reason."""
    own = frame.area_max_m2 is not None
    most = settings.area_served_warned_m2 if frame.area_max_m2 is None else frame.area_max_m2
    if area_m2 <= most:
        return []
    text = (
        f"Frame {frame.name} serves about {area_text(area_m2, settings.units)}; "
        f"one more room is advised for every {area_text(most, settings.units)}, "
        "halls and garages with a reason."
    )
    ruled = rules.number("frames.area_served")
    return [
        finding(
            rule=AREA,
            severity=Severity.NOTE,
            text=text,
            things=(frame.id,),
            floor=frame.floor,
            authority=PROJECT if own or most != ruled else authority(rules, "frames.area_served"),
            excess=area_m2 - most,
        )
    ]
