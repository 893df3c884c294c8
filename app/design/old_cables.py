"""Old cables of relocated outlets: they lie on their old ways until they are taken out.

The old place of an outlet is routed like an outlet, for the cables that are replaced only: a
cable that reaches the new place is counted there, and once.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from msgspec.structs import replace

from app.design.workings import Workings, floor_work, taken
from app.model.entities import Outlet, Port
from app.model.ports import own_state
from app.model.project import Project
from app.model.vocabulary import State
from app.routing.columns import fill_rows
from app.routing.loads import Laid, laid_cables
from app.routing.lying import at_old_place, is_used_again
from app.routing.options import frames_by_floor
from app.routing.plates import build_plates
from app.routing.results import Runs
from app.routing.run_table import empty_columns
from app.routing.serving import NOBODY, serve


@dataclass(frozen=True, eq=False)
class OldCables:
    """`outlets` are all that are relocated; `laid` the cables that come out, on their old ways,
    and `ports` whose they are."""

    outlets: frozenset[str]
    ports: tuple[str, ...]
    laid: Laid


def is_relocated(outlet: Outlet) -> bool:
    """Whether an outlet stands elsewhere today than it is drawn."""
    return outlet.state is State.TO_RELOCATE and outlet.was_at is not None


def old_cables(project: Project, workings: Workings, runs: Runs) -> OldCables:
    """The old cables of all relocated outlets, routed from where these stand today."""
    relocated = [o for o in project.outlets.values() if is_relocated(o)]
    standing = [old for o in relocated if (old := as_it_stands(o, runs)) is not None]
    base = workings.base
    plates = build_plates(base.world, standing)
    count = len(plates.port_ids)
    columns = np.full(count, NOBODY, dtype=np.int32)
    ways, lengths = empty_columns(count)
    on_floors = frames_by_floor(project, base.stands, plates, base.world.floor_index)
    for index in np.unique(plates.floor).tolist():
        rows = np.flatnonzero(plates.floor == index)
        floor = floor_work(project, base, plates, rows, on_floors[index])
        serve(plates, base.stands.keepers, floor.options, project.spaces, columns)
        given = taken(base, plates, floor, columns, np.arange(len(floor.rows)))
        fill_rows(ways, given.ports, given.ways)
        fill_rows(lengths, given.ports, given.lengths)
    return OldCables(
        outlets=frozenset(o.id for o in relocated),
        ports=plates.port_ids,
        laid=laid_cables(plates, ways),
    )


def as_it_stands(outlet: Outlet, runs: Runs) -> Outlet | None:
    """A relocated outlet at its old place with the ports whose cables come out; None without."""
    there = at_old_place(outlet)
    ports = tuple(_old_ports(outlet, runs))
    if there is None or not ports:
        return None
    return replace(there, ports=ports, state=State.TO_REMOVE)


def _old_ports(outlet: Outlet, runs: Runs) -> Iterator[Port]:
    """Each goes to the frame that its cable ends at, else to the one that serves it now."""
    for port in outlet.ports:
        if own_state(outlet, port) is State.TO_RELOCATE and not is_used_again(port, runs):
            ends_at = None if port.ends_at is None else port.ends_at.frame
            now = runs.frame_of(runs.row_of[port.id])
            yield replace(port, frame=ends_at or port.frame or now, state=None)


def concerns(old: OldCables, outlets: Iterable[Outlet]) -> bool:
    """Whether these outlets, before or after an edit, bear on the old cables."""
    return any(is_relocated(o) or o.id in old.outlets for o in outlets)
