"""What rooms are called on paper, and what the plan itself has written of it already."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.ops import polylabel

from app.drawing.primitives import Point, Text
from app.model.entities import Space
from app.sheets.paper_labels import Wish, Words, size_of, spots_around
from app.sheets.viewport import Viewport

ROOM_MM, NAME_MM, SMALL_MM = 3.0, 2.5, 2.5
"""Heights of capitals: a room's number, its name, and its number where it stands beside."""
BESIDE = " beside"
"""Ends the key of a label that stands beside its room."""
_AROUND_WORDS = ".,;:()[]"


def space_wishes(
    space: Space, shape: shapely.Polygon, *, rank: int, tiny_rank: int
) -> Iterator[Wish]:
    """A room's number and name within its outline; else its number beside it, with a leader."""
    number = Words(text=space.number, capital_mm=ROOM_MM, bold=True)
    name = Words(text=space.name, capital_mm=NAME_MM)
    both = tuple(w for w in (number, name) if w.text)
    middle = polylabel(shape, tolerance=max(shape.length / 200, 0.1))
    for words in dict.fromkeys((both, both[:1])):
        spots = _spots_within(shape, middle, size_of(words))
        if spots:
            yield Wish(key=space.id, words=words, spots=spots, rank=rank, layer="space labels")
    # Where not even the number lies within, it stands beside with a leader.
    small = (Words(text=both[0].text, capital_mm=SMALL_MM, bold=True),)
    at = (middle.x, middle.y)
    around, near = spots_around(at, size_of(small), 1.0)
    yield Wish(
        key=f"{space.id}{BESIDE}",
        words=small,
        spots=around,
        rank=tiny_rank,
        layer="space labels",
        anchor=at,
        near_mm=near,
    )


def _spots_within(
    shape: shapely.Polygon, middle: shapely.Point, size: tuple[float, float]
) -> tuple[Point, ...]:
    """Places at which the whole box lies within the shape, the middle first."""
    wide, tall = size
    steps = sorted(
        ((i * wide * 0.5, j * tall * 0.6) for i in range(-6, 7) for j in range(-8, 9)),
        key=lambda step: (math.hypot(*step), step),
    )
    lows = np.array(steps) + np.array([middle.x - wide / 2, middle.y - tall / 2])
    boxes = shapely.box(lows[:, 0], lows[:, 1], lows[:, 0] + wide, lows[:, 1] + tall)
    inside = shapely.contains(shape, boxes)
    return tuple((float(x), float(y)) for (x, y), ok in zip(lows, inside, strict=True) if ok)


def said_by(view: Viewport, texts: Sequence[Text], spaces: Sequence[Space]) -> list[str | None]:
    """For each text the space it stands in, if that space's own label says the same."""
    found: list[str | None] = [None] * len(texts)
    if not texts:
        return found
    middles = np.array([t.position for t in texts])
    for space in spaces:
        shape = shapely.Polygon(view.all_at(np.array(space.outline, dtype=float)))
        words = _words(f"{space.number} {space.name}")
        inside = shapely.contains_xy(shape, middles[:, 0], middles[:, 1])
        for row in np.flatnonzero(inside).tolist():
            own = _words(texts[row].text)
            if own and own <= words:
                found[row] = space.id
    return found


def _words(text: str) -> set[str]:
    stripped = (w.strip(_AROUND_WORDS).casefold() for w in text.split())
    return {w for w in stripped if w}
