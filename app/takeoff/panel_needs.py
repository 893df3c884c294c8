"""Patch panels for each frame and sort of cable."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from app.model.entities import CableType, Outlet, Port
from app.model.project import Project
from app.model.vocabulary import State
from app.routing.results import Runs
from app.sizing.panels import PanelNeed, panels_for
from app.takeoff.states import ENDED_AFTER, ENDED_TODAY, PULLED, state_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FramePanels:
    """Panels of one frame for one sort of cable: medium, category and screen do not mix.

    `ports` end there after the work; `given` of them have a place on a panel, `not_given` are
    new runs that have none yet.
    """

    frame: str
    sort: str
    need: PanelNeed
    ports: tuple[str, ...]
    given: int
    not_given: int


def panel_sort(cable: CableType) -> str:
    """What may share a panel: `Cat 6A unshielded`."""
    category = cable.category or cable.medium.value
    name = f"Cat {category}" if category[:1].isdigit() else category
    if cable.medium.value != "balanced":
        return name
    return f"{name} {'shielded' if cable.shielded else 'unshielded'}"


def room_words(panels: FramePanels) -> str:
    """`room for 14 more of Cat 6A unshielded on 6 panels`."""
    need = panels.need
    on = f"on {need.total} panel{'' if need.total == 1 else 's'}"
    if need.free_after <= 0:
        return f"no room for another of {panels.sort} {on}"
    return f"room for {need.free_after:,} more of {panels.sort} {on}"


def panels_of_frame(project: Project, runs: Runs, frame_id: str) -> tuple[FramePanels, ...]:
    """The panels of one frame, by sort of cable in alphabetical order.

    Those that stand are the frame's own where it has any for the sort of cable.
    """
    index = runs.frame_ids.index(frame_id) if frame_id in runs.frame_ids else -2
    rows: list[int] = np.flatnonzero(runs.frame_index == index).tolist()
    sort_of = {c.id: panel_sort(c) for c in project.cable_types.values()}
    today: dict[str, int] = {}
    after: dict[str, list[str]] = {}
    standing, named = _of_the_frame(project, frame_id, sort_of)
    given = Counter[str]()
    bare = Counter[str]()
    for outlet, port in ports_of_rows(project, runs, rows):
        state, sort = state_of(outlet, port), sort_of[port.cable_type]
        ended = after.setdefault(sort, [])
        if state in ENDED_AFTER:
            ended.append(port.id)
            given[sort] += port.ends_at is not None
            bare[sort] += port.ends_at is None and state in PULLED
        if state in ENDED_TODAY:
            today[sort] = today.get(sort, 0) + 1
    settings = project.settings
    return tuple(
        FramePanels(
            frame=frame_id,
            sort=sort,
            need=panels_for(
                ports_existing=today.get(sort, 0),
                ports_after=len(after.get(sort, ())),
                growth_percent=settings.growth_percent,
                panel_ports=settings.panel_ports,
                standing=standing.get(sort, ()),
                named=named.get(sort, ()),
            ),
            ports=tuple(after.get(sort, ())),
            given=given[sort],
            not_given=bare[sort],
        )
        for sort in sorted({*after, *standing, *named})
    )


def _of_the_frame(
    project: Project, frame_id: str, sort_of: Mapping[str, str]
) -> tuple[dict[str, list[int]], dict[str, list[int]]]:
    """The ports of a frame's own panels by sort of cable: of those that stand, of new ones."""
    standing: dict[str, list[int]] = {}
    named: dict[str, list[int]] = {}
    frame = project.frames.get(frame_id)
    for panel in () if frame is None else frame.panels:
        kept = standing if panel.state is State.EXISTING else named
        if panel.state in (State.EXISTING, State.NEW):
            kept.setdefault(sort_of[panel.cable_type], []).append(panel.port_count)
    return standing, named


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
