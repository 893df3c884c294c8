"""Why this frame: what the run of a port would be to each frame that may serve it."""

from dataclasses import dataclass, replace

import numpy as np

from app.design.design import Design
from app.design.told_runs import taken_told
from app.design.workings import told_again
from app.model.entities import Frame
from app.routing.belonging import NO_ZONE, columns_for, takers
from app.routing.ground import is_divisible
from app.routing.options import FAR
from app.routing.serving import installed


@dataclass(frozen=True, slots=True)
class Alternative:
    """A frame that may serve a port; `installed_mm` None where there is no route to it, or none
    that does as the run was told."""

    frame_id: str
    installed_mm: int | None
    taken: bool


def frames_for(design: Design, port_id: str) -> tuple[Alternative, ...]:
    """The frames that may serve a port's floor, the nearest first."""
    workings, runs = design.workings, design.runs
    plates = workings.plates
    row = runs.row_of[port_id]
    outlet = int(plates.of[row])
    options = workings.floors[int(plates.floor[outlet])].options
    place = int(np.searchsorted(options.rows, outlet))
    taken = runs.frame_of(row)
    on = options.on
    keepers = workings.base.stands.keepers
    open_to = columns_for(keepers, on.frames, on.serves, int(plates.rule[row])).tolist()
    found = []
    for column, number in enumerate(on.frames.tolist()):
        frame_id = runs.frame_ids[number]
        if column not in open_to and frame_id != taken:
            continue
        if row in workings.wishes:
            base = _as_told(design, row, number)
        else:
            base = int(options.length[place, column])
        length = None
        if base < FAR:
            length = int(installed(plates, np.array([row]), np.array([base]))[0])
        found.append(Alternative(frame_id, length, frame_id == taken))
    return tuple(sorted(found, key=_nearest))


def _as_told(design: Design, row: int, frame: int) -> int:
    """The length of a told run to a frame, all that it was told obeyed; FAR: it cannot be."""
    workings, project = design.workings, design.project
    base, plates, floors = workings.base, workings.plates, tuple(workings.floors)
    served = workings.ways.frame.copy()
    served[row] = frame
    ways = replace(workings.ways, frame=served)
    told = told_again(project, base, plates, floors, ways, workings.wishes, [row])
    given = taken_told(project, base.network, base.stands, plates, floors, told)
    return int(given.lengths["base"][0])


def _nearest(one: Alternative) -> tuple[bool, int, str]:
    return one.installed_mm is None, one.installed_mm or 0, one.frame_id


def _reserved_for(frame: Frame) -> str:
    tenant, service = frame.reserved_tenant, frame.reserved_service
    said = [f"tenant {tenant}"] if tenant else []
    return " and ".join([*said, f"service {service}"] if service else said)


def why_this_frame(design: Design, port_id: str) -> str:
    """One sentence on why the frame was chosen; empty where the run has no route."""
    runs, project = design.runs, design.project
    row = runs.row_of[port_id]
    taken = runs.frame_of(row)
    if taken is None:
        return ""
    outlet = project.outlets[runs.outlet_ids[row]]
    port = next(p for p in outlet.ports if p.id == port_id)
    if port.frame is not None:
        return "The frame is fixed by hand."
    reserved = _reserved_for(project.frames[taken])
    if reserved:
        return f"The frame is reserved for {reserved}."
    if row in design.workings.wishes:
        return "Told its way, it keeps the frame that would serve it untold."
    rule = int(design.workings.plates.rule[row])
    if takers(design.workings.base.stands.keepers, rule)[1] != NO_ZONE:
        return "It stands in a serving zone of this frame."
    others = [a for a in frames_for(design, port_id) if not a.taken]
    if not others:
        return "No other frame may serve this floor."
    space = project.spaces.get(design.space_of.get(outlet.id) or "")
    if space is None or is_divisible(space):
        return "The nearest by true length of the frames that may serve it."
    return (
        "Its space is served whole, by the frame that leaves the fewest runs over the limit and "
        "then takes the least cable."
    )
