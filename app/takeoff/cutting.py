"""Which run is cut from which box: as few boxes as can be found, and whether fewer could do.

A run is one piece: it is never made of two leftovers. All lengths are integer millimetres.
"""

from bisect import bisect_left, insort
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.takeoff.bounds import least_boxes

EXACT_PIECES = 40
"""Up to this many pieces the least number is searched for, within SEARCH_STEPS."""
SEARCH_STEPS = 30_000
FILL_PIECES = 12_000
"""Up to this many pieces boxes are filled one by one too; beyond, the gain is below 1 %."""
FILL_STEPS = 400_000
"""Steps for filling boxes one by one, shared by all boxes."""


@dataclass(frozen=True, slots=True)
class Cutting:
    """Boxes as tuples of indices into the lengths; what fits no box stands in `too_long`.

    `bound` boxes are needed by any plan; `proven` says that this plan needs no more.
    """

    boxes: tuple[tuple[int, ...], ...]
    bound: int
    too_long: tuple[int, ...] = ()

    @property
    def proven(self) -> bool:
        return len(self.boxes) == self.bound


def cut_from_boxes(lengths_mm: Sequence[int], *, usable_mm: int) -> Cutting:
    """A cutting plan for these pieces from boxes with `usable_mm` each.

    The same lengths give the same plan. Pieces of no length need no cable.
    """
    if usable_mm <= 0:
        raise ValueError(f"a box with {usable_mm} mm of usable cable cannot be cut")
    fitting = [i for i, length in enumerate(lengths_mm) if 0 < length <= usable_mm]
    too_long = tuple(i for i, length in enumerate(lengths_mm) if length > usable_mm)
    order = sorted(fitting, key=lambda i: (-lengths_mm[i], i))
    sizes = [lengths_mm[i] for i in order]
    bound = least_boxes(np.array(sizes, dtype=np.int64), usable_mm=usable_mm)
    plan = _best_fit(sizes, usable_mm)
    if len(plan) > bound and len(sizes) <= FILL_PIECES:
        plan = min(plan, _fill_one_by_one(sizes, usable_mm), key=len)
    if len(plan) > bound and len(sizes) <= EXACT_PIECES:
        plan, bound = _search(sizes, usable_mm, plan, bound)
    boxes = tuple(tuple(sorted(order[k] for k in box)) for box in plan)
    return Cutting(boxes=tuple(sorted(boxes)), bound=bound, too_long=too_long)


Plan = list[list[int]]
"""Boxes of positions in the list of sizes, which falls."""


def _best_fit(sizes: Sequence[int], usable_mm: int) -> Plan:
    """Longest first, each into the box it leaves the least in."""
    plan: Plan = []
    rooms: list[tuple[int, int]] = []
    for k, size in enumerate(sizes):
        at = bisect_left(rooms, (size, -1))
        if at == len(rooms):
            plan.append([k])
            insort(rooms, (usable_mm - size, len(plan) - 1))
        else:
            room, box = rooms.pop(at)
            plan[box].append(k)
            insort(rooms, (room - size, box))
    return plan


def _fill_one_by_one(sizes: Sequence[int], usable_mm: int) -> Plan:
    """Each box gets the longest piece left and the company that fills it best.

    Source: Gupta and Ho, A new heuristic algorithm for the one-dimensional bin-packing
    problem, 1999 (with the longest piece fixed, and a bound on steps).
    """
    left = list(range(len(sizes)))
    boxes_expected = max(1, -(-sum(sizes) // usable_mm))
    steps_each = max(40, FILL_STEPS // boxes_expected)
    plan: Plan = []
    while left:
        first, rest = left[0], left[1:]
        chosen = _fullest([sizes[k] for k in rest], usable_mm - sizes[first], steps_each)
        picked = {rest[i] for i in chosen}
        plan.append([first, *sorted(picked)])
        left = [k for k in rest if k not in picked]
    return plan


def _fullest(sizes: Sequence[int], room_mm: int, steps: int) -> list[int]:
    """Positions of pieces that fill the room best, found within so many steps."""
    best: list[int] = []
    best_left, least_size = room_mm, sizes[-1] if sizes else 0
    stack: list[tuple[int, int, tuple[int, ...]]] = [(0, room_mm, ())]
    while stack and steps > 0 and best_left > 0:
        at, room, taken = stack.pop()
        steps -= 1
        if room < best_left:
            best, best_left = list(taken), room
        if room < least_size:
            continue
        # Sizes fall: the first that fits is found by halving.
        at = max(at, bisect_left(sizes, -room, key=lambda s: -s))
        if at < len(sizes):
            stack.append((at + 1, room, taken))
            stack.append((at + 1, room - sizes[at], (*taken, at)))
    return best


def _search(sizes: Sequence[int], usable_mm: int, plan: Plan, bound: int) -> tuple[Plan, int]:
    """Try all plans with fewer boxes; the best plan, and the bound if the search came to an end."""
    best = plan
    while len(best) > bound:
        found, finished = _pack_into(sizes, usable_mm, len(best) - 1)
        if found is None:
            return best, len(best) if finished else bound
        best = found
    return best, bound


def _pack_into(sizes: Sequence[int], usable_mm: int, boxes: int) -> tuple[Plan | None, bool]:
    """A plan with so many boxes; None and True if there is none, None and False if unknown."""
    spare = boxes * usable_mm - sum(sizes)
    rooms = [usable_mm] * boxes
    where: list[int] = []
    steps = SEARCH_STEPS
    tried: list[set[int]] = [set()]
    while steps > 0:
        steps -= 1
        k = len(where)
        if k == len(sizes):
            plan: Plan = [[] for _ in range(boxes)]
            for piece, box in enumerate(where):
                plan[box].append(piece)
            return [box for box in plan if box], True
        chosen = _next_box(rooms, sizes, k, where, tried[k])
        # Rooms too small for the least piece are lost; more loss than spare is a dead end.
        lost = sum(r for r in rooms if r < sizes[-1])
        if chosen is None or lost > spare:
            tried.pop()
            if not where:
                return None, True
            rooms[where.pop()] += sizes[k - 1]
            continue
        tried[k].add(rooms[chosen])
        rooms[chosen] -= sizes[k]
        where.append(chosen)
        tried.append(set())
    return None, False


def _next_box(
    rooms: Sequence[int], sizes: Sequence[int], k: int, where: Sequence[int], tried: set[int]
) -> int | None:
    """The tightest box for piece k with a room not tried yet; equal pieces go on to the right."""
    start = where[-1] if where and sizes[k] == sizes[k - 1] else 0
    fitting = [
        (room, box)
        for box, room in enumerate(rooms)
        if box >= start and room >= sizes[k] and room not in tried
    ]
    return min(fitting)[1] if fitting else None
