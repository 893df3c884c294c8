"""In which room outlets stand, before a design is made of them."""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from app.model.entities import Outlet, Space
from app.model.project import Project
from app.routing.ground import build_rooms, spaces_at


def rooms_of(
    project: Project, outlets: Sequence[Outlet], *, also: Iterable[Space] = ()
) -> Mapping[str, Space]:
    """The space of each outlet that stands in one, by the outlet's id: the same as the design's.

    `also` are spaces that are made in the same edit.
    """
    floors = {o.floor for o in outlets}
    known = {s.id: s for s in (*project.spaces.values(), *also)}
    rooms = build_rooms(floors, (s for s in known.values() if s.floor in floors))
    found: dict[str, Space] = {}
    for floor in floors:
        own = [o for o in outlets if o.floor == floor]
        at = np.array([(o.x_mm, o.y_mm) for o in own], dtype=np.float64).reshape(-1, 2)
        for outlet, index in zip(own, spaces_at(rooms[floor], at).tolist(), strict=True):
            if index >= 0:
                found[outlet.id] = known[rooms[floor].ids[index]]
    return found
