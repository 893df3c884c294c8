"""The outlets of a floor as columns, so that thousands are painted and searched by arrays."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from app.design import Design
from app.drawing.states import GHOST, look_name
from app.model.entities import Outlet, OutletKind
from app.model.project import Project
from app.model.vocabulary import WayDown
from app.routing.results import RunStatus

NO_STATUS = -1
"""The status of an outlet none of whose runs is known."""

WAYS = tuple(WayDown)
AS_KIND = -1
"""The way down of an outlet that comes down as its kind does."""

FIRST_ROOM = 64


class OutletRows:
    """Columns over `ids`; rows change their order when one is taken out.

    `xy_mm` (n, 2); `turn_deg` (n,); `look` (n,) an index into `looks`, which tells symbol,
    ports and state apart; `status` (n,) the worst status of the outlet's runs, or NO_STATUS;
    `way` (n,) an index into WAYS where the way down is not the kind's, or AS_KIND.
    """

    def __init__(self) -> None:
        self.ids: list[str] = []
        self.numbers: list[str] = []
        self.row_of: dict[str, int] = {}
        self.looks: list[tuple[str, int, str]] = []
        self._look_of: dict[tuple[str, int, str], int] = {}
        self._xy = np.zeros((FIRST_ROOM, 2), dtype=np.float64)
        self._turn = np.zeros(FIRST_ROOM, dtype=np.float64)
        self._look = np.zeros(FIRST_ROOM, dtype=np.int32)
        self._status = np.full(FIRST_ROOM, NO_STATUS, dtype=np.int8)
        self._way = np.full(FIRST_ROOM, AS_KIND, dtype=np.int8)

    def __len__(self) -> int:
        return len(self.ids)

    @property
    def xy_mm(self) -> npt.NDArray[np.float64]:
        return self._xy[: len(self.ids)]

    @property
    def turn_deg(self) -> npt.NDArray[np.float64]:
        return self._turn[: len(self.ids)]

    @property
    def look(self) -> npt.NDArray[np.int32]:
        return self._look[: len(self.ids)]

    @property
    def status(self) -> npt.NDArray[np.int8]:
        return self._status[: len(self.ids)]

    @property
    def way(self) -> npt.NDArray[np.int8]:
        return self._way[: len(self.ids)]

    def put(self, outlet: Outlet, kind: OutletKind | None) -> None:
        """Add an outlet, or write over it."""
        row = self.row_of.get(outlet.id)
        if row is None:
            row = len(self.ids)
            if row == len(self._xy):
                self._grow()
            self.ids.append(outlet.id)
            self.numbers.append(outlet.number)
            self.row_of[outlet.id] = row
            self._status[row] = NO_STATUS
        self.numbers[row] = outlet.number
        self._xy[row] = (outlet.x_mm, outlet.y_mm)
        self._turn[row] = outlet.rotation_mdeg / 1000
        self._way[row] = _own_way(outlet, kind)
        symbol = "data" if kind is None else kind.symbol
        self._look[row] = self._look_index((symbol, len(outlet.ports), look_name(outlet)))

    def put_old_place(self, outlet: Outlet, kind: OutletKind | None) -> None:
        """Add the place that a relocated outlet leaves: crossed, and without its ports."""
        if outlet.was_at is None:
            return
        self.put(outlet, kind)
        row = self.row_of[outlet.id]
        self._xy[row] = (outlet.was_at.x_mm, outlet.was_at.y_mm)
        symbol = "data" if kind is None else kind.symbol
        self._look[row] = self._look_index((symbol, -1, GHOST))
        self._way[row] = AS_KIND

    def drop(self, outlet_id: str) -> None:
        """Take an outlet out, if it is there; the last row takes its place."""
        row = self.row_of.pop(outlet_id, None)
        if row is None:
            return
        last = len(self.ids) - 1
        if row != last:
            for column in (self._xy, self._turn, self._look, self._status, self._way):
                column[row] = column[last]
            self.ids[row], self.numbers[row] = self.ids[last], self.numbers[last]
            self.row_of[self.ids[row]] = row
        self.ids.pop()
        self.numbers.pop()

    def set_statuses(
        self, project: Project, design: Design | None, outlet_ids: Iterable[str] | None = None
    ) -> None:
        """Read the statuses of these outlets (None: of all) from a design."""
        statuses = self.statuses_in(project, design, outlet_ids)
        self._status[: len(self.ids)] = statuses

    def statuses_in(
        self, project: Project, design: Design | None, outlet_ids: Iterable[str] | None = None
    ) -> npt.NDArray[np.int8]:
        """The statuses (n,) with those of these outlets (None: of all) as in a design."""
        if outlet_ids is None:
            return self._all_statuses(design)
        statuses = self.status.copy()
        for outlet_id in outlet_ids:
            row = self.row_of.get(outlet_id)
            outlet = project.outlets.get(outlet_id)
            if row is not None and outlet is not None:
                statuses[row] = worst_status(outlet, design)
        return statuses

    def _all_statuses(self, design: Design | None) -> npt.NDArray[np.int8]:
        """The worst status of every outlet's runs, by arrays."""
        statuses = np.full(len(self.ids), NO_STATUS, dtype=np.int8)
        runs = None if design is None else design.runs
        if runs is None or not len(runs.outlet_ids):
            return statuses
        here = np.array([self.row_of.get(i, -1) for i in runs.outlet_ids], dtype=np.int64)
        known = here >= 0
        told = np.where(runs.estimated & ~runs.counted, int(RunStatus.WITHIN), runs.status)
        np.maximum.at(statuses, here[known], told[known].astype(np.int8))
        return statuses

    def box(self) -> tuple[float, float, float, float] | None:
        if not self.ids:
            return None
        low, high = self.xy_mm.min(axis=0), self.xy_mm.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    def _look_index(self, look: tuple[str, int, str]) -> int:
        index = self._look_of.get(look)
        if index is None:
            index = self._look_of[look] = len(self.looks)
            self.looks.append(look)
        return index

    def _grow(self) -> None:
        self._xy = np.vstack((self._xy, np.zeros_like(self._xy)))
        self._turn = np.concatenate((self._turn, np.zeros_like(self._turn)))
        self._look = np.concatenate((self._look, np.zeros_like(self._look)))
        more = np.full(len(self._status), NO_STATUS, dtype=np.int8)
        self._status = np.concatenate((self._status, more))
        self._way = np.concatenate((self._way, np.full_like(more, AS_KIND)))


def _own_way(outlet: Outlet, kind: OutletKind | None) -> int:
    own = outlet.way_down
    if own is None or kind is None or own is kind.way_down:
        return AS_KIND
    return WAYS.index(own)


def worst_status(outlet: Outlet, design: Design | None) -> int:
    """The worst status of an outlet's runs: statuses are ordered from within to no route.

    Of what lies there unmeasured and is to be removed nothing is told.
    """
    runs = None if design is None else design.runs
    if runs is None:
        return NO_STATUS
    rows = (runs.row_of.get(port.id) for port in outlet.ports)
    told = (
        RunStatus.WITHIN if runs.estimated[row] and not runs.counted[row] else runs.status[row]
        for row in rows
        if row is not None
    )
    return max(map(int, told), default=NO_STATUS)
