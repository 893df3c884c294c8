"""The reference for routing: one directed graph in which outlets and frames are nodes.

Built with arrays, no loop over outlets; pathways are cut at every place where any leg meets
them. Level square buildings only, which is all that the measuring needs.
"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra

from app.model.project import Project
from app.routing.joints import Joints, build_joints, floor_order

BITS = 32


@dataclass(frozen=True)
class Points:
    """Ends of one kind: place, floor number, and the height their legs start from."""

    x: np.ndarray
    y: np.ndarray
    z: np.ndarray
    floor: np.ndarray


def points_of(project: Project) -> tuple[Points, Points]:
    """The outlets and the frames as columns."""
    floors = floor_order(project)
    number = {f.id: k for k, f in enumerate(floors)}
    level = np.array([f.level_mm for f in floors])
    columns = []
    for things, height in ((project.outlets, 450), (project.frames, 3_000)):
        floor = np.array([number[t.floor] for t in things.values()])
        x = np.array([t.x_mm for t in things.values()])
        y = np.array([t.y_mm for t in things.values()])
        columns.append(Points(x, y, level[floor] + height, floor))
    return columns[0], columns[1]


def legs(joints: Joints, ends: Points, reach: int) -> tuple[np.ndarray, ...]:
    """end, stretch, offset and length of every leg within reach, floor by floor."""
    flat = joints.stretches
    found = []
    for floor in np.unique(ends.floor).tolist():
        rows = np.flatnonzero(flat.floor == floor)
        here = np.flatnonzero(ends.floor == floor)
        a, b = flat.start[rows], flat.end[rows]
        x, y = ends.x[here][:, None], ends.y[here][:, None]
        low, high = np.minimum(a, b), np.maximum(a, b)
        away = np.maximum(np.maximum(low[:, 0] - x, x - high[:, 0]), 0)
        away = away + np.maximum(np.maximum(low[:, 1] - y, y - high[:, 1]), 0)
        end, row = np.nonzero(away <= reach)
        spare = reach - away[end, row]
        end, row = here[end], rows[row]
        dx, dy = (
            np.sign(flat.end[row, 0] - flat.start[row, 0]),
            np.sign(flat.end[row, 1] - flat.start[row, 1]),
        )
        along = (ends.x[end] - flat.start[row, 0]) * dx + (ends.y[end] - flat.start[row, 1]) * dy
        foot = np.clip(along, 0, flat.length[row])
        for offset in (foot, foot - spare, foot + spare, 0 * foot, flat.length[row]):
            good = (offset >= 0) & (offset <= flat.length[row])
            px, py = flat.start[row, 0] + dx * offset, flat.start[row, 1] + dy * offset
            across = np.abs(px - ends.x[end]) + np.abs(py - ends.y[end])
            good &= across <= reach
            rise = np.abs(flat.start[row, 2] - ends.z[end])
            found.append((end[good], row[good], offset[good], (across + rise)[good]))
    return tuple(np.concatenate(c) for c in zip(*found, strict=True))


def least_costs(project: Project, *, limit: float = np.inf) -> np.ndarray:
    """The cost from every outlet (columns) to every frame (rows), infinite beyond the limit."""
    joints = build_joints(project)
    outlets, frames = points_of(project)
    reach, weight = project.settings.reach_mm, project.settings.leg_weight
    o_end, o_row, o_offset, o_leg = legs(joints, outlets, reach)
    f_end, f_row, f_offset, f_leg = legs(joints, frames, reach)
    cuts = (joints.cut_stretch.astype(np.int64) << BITS) + joints.cut_offset
    o_key = (o_row.astype(np.int64) << BITS) + o_offset
    f_key = (f_row.astype(np.int64) << BITS) + f_offset
    keys = np.unique(np.concatenate((cuts, o_key, f_key)))
    node = np.arange(len(keys)) + int(joints.cut_group.max()) + 1
    node[np.searchsorted(keys, cuts)] = joints.cut_group
    same = (keys[1:] >> BITS) == (keys[:-1] >> BITS)
    one, other = node[:-1][same], node[1:][same]
    piece = (keys[1:] - keys[:-1])[same]
    count = len(keys) + int(joints.cut_group.max()) + 1
    o_node, f_node = count + o_end, count + len(outlets.x) + f_end
    # Reversed: from frames over pieces to outlets.
    start = [
        f_node,
        one,
        other,
        joints.link_from,
        joints.link_to,
        node[np.searchsorted(keys, o_key)],
    ]
    goal = [
        node[np.searchsorted(keys, f_key)],
        other,
        one,
        joints.link_to,
        joints.link_from,
        o_node,
    ]
    cost = [weight * f_leg, piece, piece, joints.link_length, joints.link_length, weight * o_leg]
    start, goal, cost = (np.concatenate(c) for c in (start, goal, cost))
    order = np.lexsort((cost, goal, start))
    start, goal, cost = start[order], goal[order], cost[order]
    first = np.append(True, (start[1:] != start[:-1]) | (goal[1:] != goal[:-1]))
    size = count + len(outlets.x) + len(frames.x)
    graph = csr_array((cost[first].astype(float), (start[first], goal[first])), shape=(size, size))
    sources = count + len(outlets.x) + np.arange(len(frames.x))
    found = np.full((len(frames.x), len(outlets.x)), np.inf)
    for k, source in enumerate(sources.tolist()):
        far = dijkstra(graph, directed=True, indices=source, limit=limit)
        found[k] = far[count : count + len(outlets.x)]
    return found
