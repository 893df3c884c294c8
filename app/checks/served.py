"""What frames serve and spaces hold: the counts that some checks compare with their limits."""

from collections.abc import Mapping

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
    runs: Runs, project: Project, space_of: Mapping[str, str | None]
) -> dict[str, float]:
    """The area each frame serves: of each space the share of its runs that end there.

    Spaces without a routed run count for nobody.
    """
    spaces = list(project.spaces)
    index_of = {space: i for i, space in enumerate(spaces)}
    space_index = np.array(
        [index_of.get(space_of.get(o) or "", -1) for o in runs.outlet_ids], dtype=np.int64
    )
    held = (space_index >= 0) & (runs.frame_index >= 0)
    counts = np.zeros((len(spaces), len(runs.frame_ids)))
    np.add.at(counts, (space_index[held], runs.frame_index[held]), 1.0)
    total = counts.sum(axis=1, keepdims=True)
    share = np.divide(counts, total, out=np.zeros_like(counts), where=total > 0)
    areas = np.array([space_area_m2(s) for s in project.spaces.values()])
    served = areas @ share if spaces else np.zeros(len(runs.frame_ids))
    return dict(zip(runs.frame_ids, served.tolist(), strict=True))


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
