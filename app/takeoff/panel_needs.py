"""Patch panels for each frame and sort of cable."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from app.model.entities import CableType, Outlet, Port
from app.model.project import Project
from app.routing.results import Runs
from app.sizing.panels import PanelNeed, panels_for
from app.takeoff.states import ENDED_AFTER, ENDED_TODAY, state_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FramePanels:
    """Panels of one frame for one sort of cable: medium, category and screen do not mix."""

    frame: str
    sort: str
    need: PanelNeed
    ports: tuple[str, ...]


def panel_sort(cable: CableType) -> str:
    """What may share a panel: `Cat 6A unshielded`."""
    category = cable.category or cable.medium.value
    name = f"Cat {category}" if category[:1].isdigit() else category
    if cable.medium.value != "balanced":
        return name
    return f"{name} {'shielded' if cable.shielded else 'unshielded'}"


def panels_of_frame(project: Project, runs: Runs, frame_id: str) -> tuple[FramePanels, ...]:
    """The panels of one frame, by sort of cable in alphabetical order."""
    index = runs.frame_ids.index(frame_id) if frame_id in runs.frame_ids else -2
    rows: list[int] = np.flatnonzero(runs.frame_index == index).tolist()
    sort_of = {c.id: panel_sort(c) for c in project.cable_types.values()}
    today: dict[str, int] = {}
    after: dict[str, list[str]] = {}
    for outlet, port in ports_of_rows(project, runs, rows):
        state, sort = state_of(outlet, port), sort_of[port.cable_type]
        ended = after.setdefault(sort, [])
        if state in ENDED_AFTER:
            ended.append(port.id)
        if state in ENDED_TODAY:
            today[sort] = today.get(sort, 0) + 1
    settings = project.settings
    return tuple(
        FramePanels(
            frame=frame_id,
            sort=sort,
            need=panels_for(
                ports_existing=today.get(sort, 0),
                ports_after=len(after[sort]),
                growth_percent=settings.growth_percent,
                panel_ports=settings.panel_ports,
            ),
            ports=tuple(after[sort]),
        )
        for sort in sorted(after)
    )


def ports_of_rows(
    project: Project, runs: Runs, rows: Iterable[int]
) -> Iterator[tuple[Outlet, Port]]:
    """The outlet and the port of each row."""
    for row in rows:
        outlet = project.outlets[runs.outlet_ids[row]]
        port_id = runs.port_ids[row]
        for port in outlet.ports:
            if port.id == port_id:
                yield outlet, port
                break
