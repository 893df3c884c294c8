"""What frames serve and spaces hold: the counts that some checks compare with their limits."""

from collections.abc import Mapping

import numpy as np

from app.model.entities import Space
from app.model.project import Project
from app.model.vocabulary import State
from app.routing.results import BoolArray, FloatArray, IndexArray, IntArray

MM2_PER_M2 = 1e6


def space_area_m2(space: Space) -> float:
    """The area of a space without its holes."""
    area = _ring_mm2(space.outline) - sum(_ring_mm2(hole) for hole in space.holes)
    return area / MM2_PER_M2


def ports_at_frames(frame: IndexArray, stays: BoolArray, frames: int) -> IntArray:
    """Ports ended at each of so many frames.

    By port: the number of its frame, -1 for none, and whether its cable stays (existing and
    new ones do, those to remove or future do not).
    """
    return np.bincount(frame[stays & (frame >= 0)], minlength=frames)


def areas_served_m2(
    room: IndexArray, frame: IndexArray, space_areas_m2: FloatArray, frames: int
) -> FloatArray:
    """The area that each of so many frames serves: of each space the share of its runs.

    By port: the number of its space and of its frame, -1 for none. A space without a routed
    run counts for nobody.
    """
    known = (room >= 0) & (frame >= 0)
    cells = room[known].astype(np.int64) * frames + frame[known]
    spaces = len(space_areas_m2)
    counts = np.bincount(cells, minlength=spaces * frames).reshape(spaces, frames)
    totals = np.maximum(counts.sum(axis=1), 1)
    served: FloatArray = (counts * (space_areas_m2 / totals)[:, None]).sum(axis=0)
    return served


def placed_outlets(
    project: Project, space_of: Mapping[str, str | None]
) -> dict[str, dict[str, int]]:
    """How many outlets of each kind stand in each space; those to remove do not count."""
    placed: dict[str, dict[str, int]] = {}
    for outlet in project.outlets.values():
        space = space_of.get(outlet.id)
        if space is not None and outlet.state is not State.TO_REMOVE:
            kinds = placed.setdefault(space, {})
            kinds[outlet.kind] = kinds.get(outlet.kind, 0) + 1
    return placed


def _ring_mm2(ring: tuple[tuple[int, int], ...]) -> float:
    twice = sum(
        x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True)
    )
    return abs(twice) / 2
