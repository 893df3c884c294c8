"""The fields of outlets and their ports."""

from collections.abc import Callable, Mapping
from typing import Any

from app.editor.measures import format_length
from app.model.entities import CableType, Frame, Outlet, Port
from app.model.ports import own_state
from app.model.project import Project
from app.model.vocabulary import ProvidedBy, State, WayDown
from app.ui.fields.of_all import NUMBER, STANDING, TURN, says
from app.ui.fields.spec import SEVERAL, Field, Sort, all_of, things_of
from app.ui.words import word


def _kind_height(project: Project, outlet: Outlet) -> str:
    kind = project.outlet_kinds[outlet.kind]
    if kind.height_mm is None:
        return "as its kind: at the ceiling"
    return "as its kind: " + format_length(kind.height_mm, project.settings.units)


def _kind_way_down(project: Project, outlet: Outlet) -> str:
    return "as its kind: " + word(project.outlet_kinds[outlet.kind].way_down)


def _kind_slack(project: Project, outlet: Outlet) -> str:
    kind = project.outlet_kinds[outlet.kind]
    return "as its kind: " + format_length(kind.slack_mm, project.settings.units)


OUTLET = (
    NUMBER,
    Field(
        key="height_mm",
        label="Height",
        sort=Sort.LENGTH,
        none_word=_kind_height,
        tip="Of its centre above the finished floor; empty: as its kind",
    ),
    Field(
        key="way_down",
        label="Way down",
        sort=Sort.CHOICE,
        options=all_of(WayDown, none="as its kind"),
        none_word=_kind_way_down,
        tip="How cable gets from the pathway to this outlet",
    ),
    Field(
        key="way_provided_by",
        label="Its parts",
        sort=Sort.CHOICE,
        options=all_of(ProvidedBy, none="as its kind"),
        none_word=says("as its kind"),
        tip="Who provides box, stub, raceway, pole, floor box, fitting or conduit of its way down",
    ),
    Field(
        key="slack_mm",
        label="Slack",
        sort=Sort.LENGTH,
        none_word=_kind_slack,
        tip="Cable left on purpose at the outlet",
    ),
    TURN,
    *STANDING,
)


def shared_of_ports(outlet: Outlet, key: str) -> Any:
    """The value that all ports of an outlet share, or SEVERAL."""
    values = [getattr(port, key) for port in outlet.ports]
    return values[0] if all(v == values[0] for v in values) else SEVERAL


def _ports_field(key: str, label: str, sort: Sort, **more: Any) -> Field:
    return Field(
        key=key,
        label=label,
        sort=sort,
        get=lambda outlet: shared_of_ports(outlet, key),
        ports_of=lambda outlet: tuple(p.id for p in outlet.ports),
        **more,
    )


POWER_CLASSES = [(0, "none")] + [(n, f"class {n}") for n in range(1, 9)]

PORTS_TOGETHER = (
    _ports_field("cable_type", "Cable", Sort.CHOICE, options=things_of(CableType)),
    _ports_field(
        "frame",
        "Frame",
        Sort.CHOICE,
        options=things_of(Frame, none="nearest by the rules"),
        none_word=says("nearest by the rules"),
        tip="Fix the frame that serves these ports",
    ),
)


CABLE_STAYS = [(None, "stays if it reaches"), (True, "stays"), (False, "is replaced")]

Which = Callable[[Outlet], Port]
"""Tells the port of an outlet that is being looked at."""


def port_field(which: Which, key: str, label: str, sort: Sort, **more: Any) -> Field:
    """A field of one port of an outlet."""
    return Field(
        key=key,
        label=label,
        sort=sort,
        get=lambda outlet: getattr(which(outlet), key),
        ports_of=lambda outlet: (which(outlet).id,),
        **more,
    )


def _place(port: Port, frames: Mapping[str, str]) -> str | None:
    """`1B-A07`, as it is typed; None for none."""
    at = port.ends_at
    return None if at is None else f"{frames.get(at.frame, '?')}-{at.panel}{at.port:02d}"


def port_fields(which: Which, frames: Mapping[str, str]) -> tuple[Field, ...]:
    """All fields of one port; `frames` are the names of the frames by id."""
    return (
        port_field(which, "label", "Label", Sort.TEXT),
        port_field(which, "cable_number", "Cable number", Sort.TEXT),
        Field(
            key="ends_at",
            label="Panel port",
            sort=Sort.TEXT,
            get=lambda outlet: _place(which(outlet), frames),
            ports_of=lambda outlet: (which(outlet).id,),
            none_word=says("none yet"),
            tip="Frame, panel and port, such as 1B-A07; given to all new runs by Give panels and "
            "ports in the Numbers menu",
        ),
        port_field(which, "service", "Service", Sort.TEXT),
        port_field(which, "cable_type", "Cable", Sort.CHOICE, options=things_of(CableType)),
        port_field(
            which, "power_class", "Power class", Sort.CHOICE, options=lambda _p: POWER_CLASSES
        ),
        port_field(
            which,
            "frame",
            "Frame",
            Sort.CHOICE,
            options=things_of(Frame, none="nearest by the rules"),
            none_word=says("nearest by the rules"),
        ),
        port_field(
            which,
            "state",
            "State",
            Sort.CHOICE,
            options=all_of(State, none="as its outlet"),
            none_word=says("as its outlet"),
        ),
        port_field(
            which,
            "phase",
            "Phase",
            Sort.COUNT,
            most=99,
            unit="phase",
            none_word=says("as its outlet"),
        ),
        port_field(
            which,
            "lying_mm",
            "Lies there",
            Sort.LENGTH,
            none_word=says("not known"),
            shown_if=lambda outlet: own_state(outlet, which(outlet)) is State.TO_RELOCATE,
            tip="How long the cable is that lies there today",
        ),
        port_field(
            which,
            "cable_stays",
            "Its cable",
            Sort.CHOICE,
            options=lambda _p: CABLE_STAYS,
            none_word=says("stays if it reaches"),
            shown_if=lambda outlet: own_state(outlet, which(outlet)) is State.TO_RELOCATE,
            tip="What you say of the cable goes before its length",
        ),
        port_field(which, "spare", "Spare: never fails a check", Sort.FLAG),
        port_field(
            which, "added_mm", "Added length", Sort.LENGTH, tip="Lengthens the run; give the reason"
        ),
        port_field(
            which,
            "replaced_mm",
            "Known length",
            Sort.LENGTH,
            none_word=says("as routed"),
            tip="Replaces the whole installed length; give the reason",
        ),
        port_field(which, "length_reason", "Reason", Sort.TEXT, tip="Why the length differs"),
    )
