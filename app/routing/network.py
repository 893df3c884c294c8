"""The network: junctions of all pathways, risers and ducts, with the pieces between them.

The stretches are cut where they are joined and where a frame's or demarcation's leg meets
them. Outlets are not in it: they hang on pieces by their legs.
"""

from dataclasses import dataclass

import numpy as np

from app.geometry.rounding import to_mm_array
from app.routing.joints import Joints
from app.routing.results import BoolArray, IndexArray, IntArray
from app.routing.stretches import OFFSET_BITS
from app.routing.walked import LEAST_PIECE_MM, NOT_MEASURED

LINK = -1
"""The `piece_cut` of a link, which lies on no stretch."""


@dataclass(frozen=True, eq=False)
class Network:
    """Cuts sorted by `key` (stretch and offset), junctions, and pieces between junctions.

    `node` gives a cut's junction; `x`, `y`, `z` and `rank` (order by z, x, y) are of junctions.
    A piece joins junctions `one` and `other`; `piece_cut` is the cut at its first end, or LINK.
    `piece_of_cut` finds the piece that begins at a cut, -1 at the end of a stretch; `thing` is
    the number of the pathway, riser or duct of a piece, LINK for links. `length` is as walked;
    `added` is what of it was added, and `measured` pieces have no allowance.
    """

    joints: Joints
    key: IntArray
    node: IndexArray
    x: IntArray
    y: IntArray
    z: IntArray
    rank: IntArray
    one: IndexArray
    other: IndexArray
    length: IntArray
    added: IntArray
    measured: BoolArray
    upright: BoolArray
    floor: IndexArray
    backbone_only: BoolArray
    piece_cut: IndexArray
    piece_of_cut: IndexArray
    thing: IndexArray

    @property
    def nodes(self) -> int:
        """How many junctions there are."""
        return len(self.x)


@dataclass(frozen=True, eq=False)
class Hold:
    """Where points on stretches lie between cuts: columns, one row a point.

    The point is `from_low` from the cut `low` and `to_high` from the cut `high`, as walked; at a
    cut both are that cut.
    """

    low: IndexArray
    high: IndexArray
    from_low: IntArray
    to_high: IntArray


def build_network(joints: Joints, stretch: IndexArray, offset: IntArray) -> Network:
    """Cut the joints' stretches also at these points, and list the pieces."""
    flat = joints.stretches
    own = (joints.cut_stretch.astype(np.int64) << OFFSET_BITS) + joints.cut_offset
    asked = np.unique((stretch.astype(np.int64) << OFFSET_BITS) + offset)
    fresh = np.setdiff1d(asked, own, assume_unique=True)
    groups = int(joints.cut_group.max()) + 1 if len(own) else 0
    key = np.concatenate((own, fresh))
    node = np.concatenate((joints.cut_group, groups + np.arange(len(fresh), dtype=np.int32)))
    order = np.argsort(key)
    key, node = key[order], node[order].astype(np.int32)
    row, at = key >> OFFSET_BITS, key & ((1 << OFFSET_BITS) - 1)
    x, y, z = _junction_points(joints, row, at, node, groups + len(fresh))
    begins = np.flatnonzero(row[1:] == row[:-1])
    piece_of_cut = np.full(len(key), -1, dtype=np.int32)
    piece_of_cut[begins] = np.arange(len(begins), dtype=np.int32)
    links = len(joints.link_from)
    length, added, measured = _piece_lengths(joints, row[begins], at[begins], at[begins + 1])
    nothing = np.zeros(links, dtype=np.int64)
    return Network(
        joints=joints,
        key=key,
        node=node,
        x=x,
        y=y,
        z=z,
        rank=_ranks(x, y, z),
        one=np.concatenate((node[begins], joints.link_from)).astype(np.int32),
        other=np.concatenate((node[begins + 1], joints.link_to)).astype(np.int32),
        length=np.concatenate((length, joints.link_length)),
        added=np.concatenate((added, nothing)),
        measured=np.concatenate((measured, nothing.astype(bool))),
        upright=np.concatenate((flat.upright[row[begins]], np.ones(links, dtype=bool))),
        floor=np.concatenate((flat.floor[row[begins]], joints.link_floor)).astype(np.int32),
        backbone_only=np.concatenate(
            (flat.backbone_only[row[begins]], np.zeros(links, dtype=bool))
        ),
        piece_cut=np.concatenate((begins, np.full(links, LINK))).astype(np.int32),
        piece_of_cut=piece_of_cut,
        thing=np.concatenate((flat.thing[row[begins]], np.full(links, LINK))).astype(np.int32),
    )


def _piece_lengths(
    joints: Joints, row: IntArray, low: IntArray, high: IntArray
) -> tuple[IntArray, IntArray, BoolArray]:
    """Of pieces: the length as walked, what of it was added, and whether it was measured."""
    walked = joints.walked
    if walked is None:
        return high - low, np.zeros(len(row), dtype=np.int64), np.zeros(len(row), dtype=bool)
    flat = joints.stretches
    along = walked.along(flat, row, high) - walked.along(flat, row, low)
    added = walked.added(row, high) - walked.added(row, low)
    measured = walked.measured[row] != NOT_MEASURED
    return np.maximum(along, LEAST_PIECE_MM) + added, added, measured


def _junction_points(
    joints: Joints, row: IntArray, at: IntArray, node: IndexArray, nodes: int
) -> tuple[IntArray, IntArray, IntArray]:
    flat = joints.stretches
    share = np.where(at == flat.length[row], 1.0, at / np.maximum(flat.true_length[row], 1e-9))
    start, end = flat.start[row].astype(np.float64), flat.end[row].astype(np.float64)
    points = to_mm_array(start + share[:, None] * (end - start))
    of_node = np.zeros((nodes, 3), dtype=np.int64)
    of_node[node[::-1]] = points[::-1]  # the first cut of a junction gives its place
    return of_node[:, 0], of_node[:, 1], of_node[:, 2]


def _ranks(x: IntArray, y: IntArray, z: IntArray) -> IntArray:
    rank = np.empty(len(x), dtype=np.int64)
    rank[np.lexsort((np.arange(len(x)), y, x, z))] = np.arange(len(x))
    return rank


def hold_of(network: Network, stretch: IndexArray, offset: IntArray) -> Hold:
    """Between which cuts points on stretches lie."""
    key = (stretch.astype(np.int64) << OFFSET_BITS) + offset
    low = np.searchsorted(network.key, key, side="right") - 1
    exact = network.key[low] == key
    high = np.where(exact, low, low + 1)
    if network.joints.walked is not None:
        back, back_added = walked_between(network, stretch, network.key[low], offset)
        on, on_added = walked_between(network, stretch, network.key[high], offset)
        return Hold(low.astype(np.int32), high.astype(np.int32), back + back_added, on + on_added)
    return Hold(
        low=low.astype(np.int32),
        high=high.astype(np.int32),
        from_low=key - network.key[low],
        to_high=network.key[high] - key,
    )


def walked_between(
    network: Network, stretch: IndexArray, cut: IntArray, offset: IntArray
) -> tuple[IntArray, IntArray]:
    """From cuts (by key) to offsets of the same stretches: the way along, and what was added."""
    walked, flat = network.joints.walked, network.joints.stretches
    there = cut & ((1 << OFFSET_BITS) - 1)
    if walked is None:
        return np.abs(offset - there), np.zeros(len(offset), dtype=np.int64)
    row = stretch.astype(np.int64)
    along = np.abs(walked.along(flat, row, offset) - walked.along(flat, row, there))
    return along, np.abs(walked.added(row, offset) - walked.added(row, there))
