"""Patch panels for each frame and sort of cable."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from app.model.entities import CableType, Outlet, Port
from app.model.project import Project
from app.routing.results import Runs
from app.sizing.panels import PanelNeed, panels_for
from app.takeoff.states import is_ended_after, is_ended_today, state_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FramePanels:
    """Panels of one frame for one sort of cable: medium, category and screen do not mix."""

    frame: str
    sort: str
    need: PanelNeed
    ports: tuple[str, ...]


def panel_sort(cable: CableType) -> str:
    """What may share a panel: `Cat 6A, unshielded`."""
    category = cable.category or cable.medium.value
    name = f"Cat {category}" if category[:1].isdigit() else category
    if cable.medium.value != "balanced":
        return name
    return f"{name}, {'shielded' if cable.shielded else 'unshielded'}"


def panels_of_frame(project: Project, runs: Runs, frame_id: str) -> tuple[FramePanels, ...]:
    """The panels of one frame, by sort of cable in alphabetical order."""
    index = runs.frame_ids.index(frame_id) if frame_id in runs.frame_ids else -2
    rows: list[int] = np.flatnonzero(runs.frame_index == index).tolist()
    by_sort: dict[str, list[tuple[Outlet, Port]]] = {}
    for outlet, port in ports_of_rows(project, runs, rows):
        sort = panel_sort(project.cable_types[port.cable_type])
        by_sort.setdefault(sort, []).append((outlet, port))
    settings = project.settings
    found = []
    for sort in sorted(by_sort):
        pairs = by_sort[sort]
        states = [state_of(o, p) for o, p in pairs]
        need = panels_for(
            ports_existing=sum(map(is_ended_today, states)),
            ports_after=sum(map(is_ended_after, states)),
            growth_percent=settings.growth_percent,
            panel_ports=settings.panel_ports,
        )
        ports = tuple(p.id for o, p in pairs if is_ended_after(state_of(o, p)))
        found.append(FramePanels(frame=frame_id, sort=sort, need=need, ports=ports))
    return tuple(found)


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
