"""The plain results of routing: runs, their parts, their lines, loads.

Lengths are integer millimetres. Arrays are read-only columns.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import IntEnum, StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

IntArray = NDArray[np.int64]
IndexArray = NDArray[np.int32]
CodeArray = NDArray[np.int8]
BoolArray = NDArray[np.bool_]
FloatArray = NDArray[np.float64]


class RunStatus(IntEnum):
    """How a run stands to its limit."""

    WITHIN = 0
    NEAR = 1
    OVER = 2
    NO_ROUTE = 3


class NoRoute(IntEnum):
    """Why a run has no route; `NONE` where it has one."""

    NONE = 0
    NO_FRAME = 1
    """No frame may serve the outlet's floor."""
    NO_FLOOR_BELOW = 2
    """A poke-through on the lowest floor."""
    NO_PATHWAY = 3
    """No pathway on the floor comes within reach."""
    ONLY_PLACES = 4
    """A pathway passes within reach, but it is entered at ends and boxes farther away."""
    LEG_CROSSES = 5
    """Every leg within reach crosses a space closed to cable."""
    STANDS_IN_CLOSED = 6
    """The outlet itself stands in a space closed to cable."""
    NOT_JOINED = 7
    """The pathways it reaches are joined to no frame that may serve it."""
    FRAME_NOT_JOINED = 8
    """The frame fixed for the port is not joined to the pathways the outlet reaches."""
    AS_TOLD = 9
    """What the run was told to pass, or never to pass, leaves no way."""


class PartSort(StrEnum):
    """What a part of a length is; all but the last two add up to the installed length."""

    HORIZONTAL = "horizontal"
    VERTICAL = "vertical"
    ALLOWANCE = "allowance"
    SLACK = "slack"
    ADDED = "added"
    TRIM = "trim"
    PULL_HEAD = "pull_head"


ONLY_CUT = frozenset({PartSort.TRIM, PartSort.PULL_HEAD})
"""Parts of the cut length that are no part of the installed length."""


@dataclass(frozen=True, slots=True)
class Part:
    """One named part of a length; `thing` is the id of what it lies on."""

    name: str
    length_mm: int
    sort: PartSort
    thing: str | None = None


@dataclass(frozen=True, slots=True)
class RouteLine:
    """A stretch of a route: absolute x, y, z; `floor_id` None in a riser or outdoor duct.

    `thing` is the pathway, riser or duct it lies in, None for a leg.
    """

    floor_id: str | None
    points: tuple[tuple[int, int, int], ...]
    thing: str | None = None


@dataclass(frozen=True, eq=False)
class Runs:
    """One row a port, in table order of the outlets and then of their ports.

    `frame_index` points into `frame_ids`, -1 where there is no route; lengths are 0 there.
    `leg_mm` is the horizontal leg at the outlet, `frame_leg_mm` the one at the frame.
    `third_floor` says that the run uses a floor which is neither its outlet's nor its frame's.
    `counted` says that the run may fail a check. `status` holds `RunStatus`, `reason` `NoRoute`.
    `estimated`: it lies there, but nobody has measured it; what is told is the length of its
    route, and it is held against the limit like any other.
    """

    port_ids: tuple[str, ...]
    outlet_ids: tuple[str, ...]
    row_of: Mapping[str, int]
    frame_ids: tuple[str, ...]
    frame_index: IndexArray
    horizontal_mm: IntArray
    vertical_mm: IntArray
    allowance_mm: IntArray
    slack_mm: IntArray
    added_mm: IntArray
    installed_mm: IntArray
    cut_mm: IntArray
    limit_mm: IntArray
    leg_mm: IntArray
    frame_leg_mm: IntArray
    status: CodeArray
    reason: CodeArray
    counted: BoolArray
    estimated: BoolArray
    third_floor: BoolArray

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Runs) and same_fields(self, other)

    __hash__ = None  # type: ignore[assignment]

    def __len__(self) -> int:
        return len(self.port_ids)

    def frame_of(self, row: int) -> str | None:
        """The id of the frame that serves this row."""
        index = int(self.frame_index[row])
        return None if index < 0 else self.frame_ids[index]


@dataclass(frozen=True, slots=True)
class Load:
    """What lies in a pathway, riser or duct at its fullest place.

    Plain `cables` are those that stay: existing, new and to relocate; `lying` counts the ones
    to remove too, `future` the future ones on top of those that stay. `cable_type` is the most
    common of them, None where nothing lies.
    """

    cables: int = 0
    area_mm2: float = 0.0
    cables_lying: int = 0
    area_lying_mm2: float = 0.0
    cables_future: int = 0
    area_future_mm2: float = 0.0
    cable_type: str | None = None


NO_LOAD = Load()


@dataclass(frozen=True, slots=True)
class Fill:
    """How full a pathway, riser or duct is at its fullest place.

    Cables that stay (existing, new, to relocate) give `cables`, `area_mm2` and `ratio`;
    `lying` counts the ones to remove too, `future` the future ones on top of those that stay.
    `inside_mm2` None: its size is not known; the ratios are then None as well.
    `places_left` counts the most common cable, up to the limit; None without size.
    """

    cables: int
    area_mm2: float
    inside_mm2: float | None
    ratio: float | None
    limit_ratio: float
    planned_ratio: float
    places_left: int | None
    cables_lying: int
    ratio_lying: float | None
    cables_future: int
    ratio_future: float | None


@dataclass(frozen=True, slots=True)
class BackboneRoute:
    """How one backbone cable runs; lengths of one of its `count` cables."""

    status: RunStatus
    reason: NoRoute
    horizontal_mm: int
    vertical_mm: int
    allowance_mm: int
    slack_mm: int
    added_mm: int
    installed_mm: int
    cut_mm: int
    limit_mm: int


def same_fields(one: Any, other: Any) -> bool:
    """Whether two records of one dataclass agree in every field, arrays element by element."""
    return all(_same(getattr(one, f.name), getattr(other, f.name)) for f in fields(one))


def _same(one: Any, other: Any) -> bool:
    if one is other:
        return True
    if isinstance(one, np.ndarray):
        return (
            isinstance(other, np.ndarray)
            and one.dtype == other.dtype
            and bool(np.array_equal(one, other))
        )
    return bool(one == other)
