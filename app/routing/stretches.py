"""Stretches: the straight stretches of all pathways, risers and outdoor ducts, as arrays.

A stretch lies between two neighbouring vertices. Its length is rounded once, and so is the
offset of a point from its first end; every other length along it is a difference of offsets.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from app.geometry.rounding import to_mm, to_mm_array
from app.model.entities import AccessPoint, Floor, OutdoorDuct, Pathway
from app.model.vocabulary import INSERT_KINDS, OPEN_KINDS
from app.routing.results import BoolArray, CodeArray, FloatArray, IndexArray, IntArray


class Entry(IntEnum):
    """Where cable enters and leaves a stretch."""

    ANYWHERE = 0
    PLACES = 1
    """At the ends of its pathway, at pull boxes, boxes and inserts."""
    ENDS = 2
    """Risers and outdoor ducts: where something meets them; outlets never do."""


Point3 = tuple[int, int, int]
OFFSET_BITS = 32
"""A place on a stretch as one sortable number: the stretch, then so many bits of offset."""
NOISE_DIGITS = 6
"""Decimals of a millimetre that distances in plan are rounded to before they are compared."""


@dataclass(frozen=True, eq=False)
class Stretches:
    """Columns of all stretches; `thing` points into `things`, `floor` into `floor_ids`.

    `floor` is -1 in risers and outdoor ducts. `start` and `end` are absolute (n, 3).
    """

    things: tuple[str, ...]
    floor_ids: tuple[str, ...]
    thing: IndexArray
    floor: IndexArray
    entry: CodeArray
    upright: BoolArray
    backbone_only: BoolArray
    start: IntArray
    end: IntArray
    length: IntArray
    true_length: FloatArray
    first_of_thing: IndexArray
    """(things + 1): the stretches of thing k are first[k] … first[k + 1] - 1."""

    def point(self, stretch: int, t: float) -> Point3:
        """The whole-millimetre point at the share t of a stretch."""
        a, b = self.start[stretch], self.end[stretch]
        return (
            to_mm(float(a[0]) + t * float(b[0] - a[0])),
            to_mm(float(a[1]) + t * float(b[1] - a[1])),
            to_mm(float(a[2]) + t * float(b[2] - a[2])),
        )

    def offset(self, stretch: int, t: float) -> int:
        """The rounded distance of the share t from the first end."""
        return to_mm(t * float(self.true_length[stretch]))


@dataclass(frozen=True, slots=True)
class Line:
    """One thing's absolute vertices, before it is cut into stretches."""

    thing: str
    floor: int
    entry: Entry
    points: tuple[Point3, ...]
    upright: bool = False
    backbone_only: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """A place where a closed pathway may be entered."""

    stretch: int
    t: float


def pathway_line(pathway: Pathway, floor: Floor, floor_index: int) -> Line:
    """A pathway in absolute heights."""
    points = tuple((x, y, floor.level_mm + h) for x, y, h in pathway.vertices)
    entry = Entry.ANYWHERE if pathway.kind in OPEN_KINDS else Entry.PLACES
    return Line(pathway.id, floor_index, entry, points)


def duct_line(duct: OutdoorDuct, first: Floor, last: Floor) -> Line:
    """An outdoor duct in absolute heights: its ends from their own floors, all between from the
    lower of both, so that it is the same duct whichever end it was drawn from."""
    lower = min(first.level_mm, last.level_mm)
    points = [(x, y, lower + h) for x, y, h in duct.vertices]
    for end, floor in ((0, first), (-1, last)):
        x, y, h = duct.vertices[end]
        points[end] = (x, y, floor.level_mm + h)
    return Line(duct.id, -1, Entry.ENDS, tuple(points), backbone_only=not duct.horizontal_allowed)


def cut_into_stretches(lines: Iterable[Line], floor_ids: tuple[str, ...]) -> Stretches:
    """The stretches of the lines, in their order.

    Risers count as upright whatever their offset; any other stretch where x and y agree.
    """
    ordered = [_without_repeats(line) for line in lines]
    counts = [len(line.points) - 1 for line in ordered]
    first = np.zeros(len(ordered) + 1, dtype=np.int32)
    np.cumsum(counts, out=first[1:])
    starts = [p for line in ordered for p in line.points[:-1]]
    ends = [p for line in ordered for p in line.points[1:]]
    start = np.array(starts, dtype=np.int64).reshape(-1, 3)
    end = np.array(ends, dtype=np.int64).reshape(-1, 3)
    delta = (end - start).astype(np.float64)
    true_length = np.sqrt(delta[:, 0] ** 2 + delta[:, 1] ** 2 + delta[:, 2] ** 2)
    thing = np.repeat(np.arange(len(ordered), dtype=np.int32), counts)
    upright = np.array([line.upright for line in ordered], dtype=bool)[thing]
    return Stretches(
        things=tuple(line.thing for line in ordered),
        floor_ids=floor_ids,
        thing=thing,
        floor=np.array([line.floor for line in ordered], dtype=np.int32)[thing],
        entry=np.array([line.entry for line in ordered], dtype=np.int8)[thing],
        upright=upright | ((delta[:, 0] == 0) & (delta[:, 1] == 0)),
        backbone_only=np.array([line.backbone_only for line in ordered], dtype=bool)[thing],
        start=start,
        end=end,
        length=to_mm_array(true_length),
        true_length=true_length,
        first_of_thing=first,
    )


def _without_repeats(line: Line) -> Line:
    # Two vertices of an outdoor duct may fall together once the last height is known.
    points = [line.points[0]]
    points += [b for a, b in zip(line.points, line.points[1:], strict=False) if a != b]
    if len(points) == len(line.points):
        return line
    return Line(line.thing, line.floor, line.entry, tuple(points), line.upright, line.backbone_only)


def places_of_closed(
    stretches: Stretches,
    pathways: Mapping[str, Pathway],
    access_points: Iterable[AccessPoint],
    *,
    tolerance_mm: int,
) -> dict[int, tuple[Place, ...]]:
    """Where each closed pathway may be entered: thing index -> its ends, boxes and inserts.

    A box or insert counts where it lies on its pathway within the tolerance.
    """
    boxes: dict[str, list[AccessPoint]] = {}
    for access in access_points:
        boxes.setdefault(access.pathway, []).append(access)
    found: dict[int, tuple[Place, ...]] = {}
    for index, thing in enumerate(stretches.things):
        pathway = pathways.get(thing)
        if pathway is None or pathway.kind in OPEN_KINDS:
            continue
        first, stop = (int(i) for i in stretches.first_of_thing[index : index + 2])
        places = [Place(first, 0.0), Place(stop - 1, 1.0)]
        for box in boxes.get(thing, ()):
            place = _box_place(stretches, first, stop, (box.x_mm, box.y_mm), tolerance_mm)
            places += [] if place is None else [place]
        if pathway.kind in INSERT_KINDS and pathway.insert_spacing_mm:
            places += _insert_places(stretches, first, stop, pathway.insert_spacing_mm)
        found[index] = tuple(dict.fromkeys(places))
    return found


def _box_place(
    stretches: Stretches, first: int, stop: int, at: tuple[int, int], tolerance_mm: int
) -> Place | None:
    best: tuple[float, int, float] | None = None
    for stretch in range(first, stop):
        t, away = nearest_in_plan(stretches, stretch, at)
        if away <= tolerance_mm and (best is None or (away, stretch, t) < best):
            best = (away, stretch, t)
    return None if best is None else Place(best[1], best[2])


def nearest_in_plan(stretches: Stretches, stretch: int, at: tuple[int, int]) -> tuple[float, float]:
    """The share of a stretch nearest to a point in plan, and how far away that is."""
    ax, ay, _ = (float(v) for v in stretches.start[stretch])
    bx, by, _ = (float(v) for v in stretches.end[stretch])
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    t = 0.0 if square == 0 else ((at[0] - ax) * dx + (at[1] - ay) * dy) / square
    t = min(1.0, max(0.0, t))
    ex, ey = at[0] - ax - t * dx, at[1] - ay - t * dy
    return t, round(float((ex * ex + ey * ey) ** 0.5), NOISE_DIGITS)


def _insert_places(stretches: Stretches, first: int, stop: int, spacing_mm: int) -> list[Place]:
    """Inserts at whole multiples of the spacing from the first end."""
    ends = np.concatenate(([0.0], np.cumsum(stretches.true_length[first:stop])))
    at = np.arange(1, int(ends[-1] // spacing_mm) + 1) * float(spacing_mm)
    which = np.clip(np.searchsorted(ends, at, side="right") - 1, 0, stop - first - 1)
    shares = (at - ends[which]) / stretches.true_length[first + which]
    return [Place(first + int(k), min(1.0, float(t))) for k, t in zip(which, shares, strict=True)]
