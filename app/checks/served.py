"""What frames serve and spaces hold: the counts that some checks compare with their limits."""

from collections import Counter
from collections.abc import Container, Mapping

import numpy as np

from app.model.entities import Space
from app.model.project import Project
from app.model.vocabulary import State
from app.routing.results import Runs

MM2_PER_M2 = 1e6
NOT_ENDED = frozenset({State.TO_REMOVE, State.FUTURE})


def space_area_m2(space: Space) -> float:
    """The area of a space without its holes."""
    area = _ring_mm2(space.outline) - sum(_ring_mm2(hole) for hole in space.holes)
    return area / MM2_PER_M2


def ports_at_frames(runs: Runs, project: Project) -> dict[str, int]:
    """Ports ended at each frame: existing and new ones, not those to remove or future."""
    ended = np.fromiter(
        (
            (o.state if p.state is None else p.state) not in NOT_ENDED
            for o in project.outlets.values()
            for p in o.ports
        ),
        dtype=np.bool_,
        count=len(runs),
    )
    routed = runs.frame_index[ended & (runs.frame_index >= 0)]
    counts = np.bincount(routed, minlength=len(runs.frame_ids))
    return dict(zip(runs.frame_ids, counts.tolist(), strict=True))


def areas_served_m2(
    runs: Runs,
    project: Project,
    space_of: Mapping[str, str | None],
    *,
    frame_ids: Container[str] | None = None,
) -> dict[str, float]:
    """The area each frame serves: of each space the share of its runs that end there.

    Spaces without a routed run count for nobody. `frame_ids`: only these frames are told.
    """
    # One pass in C: for the many runs this must cost no more than an edit may.
    served = Counter(
        zip(map(space_of.get, runs.outlet_ids), runs.frame_index.tolist(), strict=True)
    )
    totals: dict[str, int] = {}
    for (space, frame), count in served.items():
        if space is not None and frame >= 0:
            totals[space] = totals.get(space, 0) + count
    areas = {f: 0.0 for f in runs.frame_ids if frame_ids is None or f in frame_ids}
    for (space, frame), count in served.items():
        if space is not None and frame >= 0 and runs.frame_ids[frame] in areas:
            share = count / totals[space]
            areas[runs.frame_ids[frame]] += share * space_area_m2(project.spaces[space])
    return areas


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
