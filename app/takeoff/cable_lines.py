"""Cable to pull: by type, floor and frame, from the very lengths of the runs."""

from dataclasses import dataclass

import numpy as np

from app.model.project import Project
from app.model.vocabulary import ProvidedBy
from app.routing.results import IntArray, Runs
from app.takeoff.states import is_pulled, is_removed


@dataclass(frozen=True, slots=True, kw_only=True)
class CableLine:
    """Runs of one cable type from one floor to one frame, provided by one party.

    `things` are the ids of the ports.
    """

    cable_type: str
    floor: str
    frame: str
    provided_by: ProvidedBy
    runs: int
    installed_mm: int
    cut_mm: int
    longest_mm: int
    things: tuple[str, ...]

    @property
    def mean_mm(self) -> int:
        """The mean installed length, half up."""
        return (2 * self.installed_mm + self.runs) // (2 * self.runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class PulledRuns:
    """The rows of the runs that are pulled anew, what is not routed among them, and what goes."""

    routed: IntArray
    without_route: tuple[str, ...]
    removed: tuple[str, ...]


def pulled_runs(project: Project, runs: Runs) -> PulledRuns:
    """Sorts the runs by what is to be done with them."""
    routed, without, removed = [], [], []
    row = 0
    frames: list[int] = runs.frame_index.tolist()
    for outlet in project.outlets.values():
        for port in outlet.ports:
            if is_removed(outlet, port, runs):
                removed.append(port.id)
            if is_pulled(outlet, port, runs):
                if frames[row] >= 0:
                    routed.append(row)
                else:
                    without.append(port.id)
            row += 1
    return PulledRuns(
        routed=np.array(routed, dtype=np.int64),
        without_route=tuple(without),
        removed=tuple(removed),
    )


Group = tuple[str, str, str, ProvidedBy]


def cable_lines(project: Project, runs: Runs, routed: IntArray) -> tuple[CableLine, ...]:
    """One line for each cable type, floor, frame and provider, in the project's order of these."""
    groups: dict[Group, list[int]] = {}
    ports = {p.id: p for o in project.outlets.values() for p in o.ports}
    for row in routed.tolist():
        outlet = project.outlets[runs.outlet_ids[row]]
        port = ports[runs.port_ids[row]]
        frame = runs.frame_ids[runs.frame_index[row]]
        group = (port.cable_type, outlet.floor, frame, outlet.provided_by)
        groups.setdefault(group, []).append(row)
    places = {
        thing: i
        for table in (project.cable_types, project.floors, project.frames)
        for i, thing in enumerate(table)
    }
    ordered = sorted(groups, key=lambda g: (*(places[x] for x in g[:3]), g[3].value))
    return tuple(_line(runs, group, groups[group]) for group in ordered)


def _line(runs: Runs, group: Group, rows: list[int]) -> CableLine:
    cable_type, floor, frame, provided_by = group
    return CableLine(
        cable_type=cable_type,
        floor=floor,
        frame=frame,
        provided_by=provided_by,
        runs=len(rows),
        installed_mm=int(runs.installed_mm[rows].sum()),
        cut_mm=int(runs.cut_mm[rows].sum()),
        longest_mm=int(runs.installed_mm[rows].max()),
        things=tuple(runs.port_ids[r] for r in rows),
    )
