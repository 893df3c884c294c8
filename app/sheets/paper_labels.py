"""Labels on paper: none over another, off the symbols, and with a leader where they stand away."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from app.drawing.font_metrics import descent_mm, text_width_mm
from app.drawing.occupied import Occupied
from app.drawing.primitives import Bounds, FilledPath, Line, Point, Primitive, Stroke, Text
from app.sheets.weights import THIN_MM

CELL_MM = 12.0
PAD_MM = 0.5
LEADING = 1.55
"""From baseline to baseline, in heights of a capital."""
RINGS_MM = (3.0, 6.0, 10.0, 15.0, 21.0)
ANGLES = 16
_CLEAR = 0.8
"""How much of the distance within which no leader is wanted belongs to the symbol."""
LEADER = Stroke(ink="ink_soft", width_mm=THIN_MM)


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of a label."""

    text: str
    capital_mm: float
    bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A label that wants to stand somewhere.

    `spots` are places of its box's lower left corner, the best first. Wishes with one `key` are
    for one thing: the first that fits is taken. `anchor` is the point that a leader goes to
    where the label stands farther than `near_mm` from it; None: no leader. `lies_on_lines`: it
    may lie on what labels else avoid.
    """

    key: str
    words: tuple[Words, ...]
    spots: tuple[Point, ...]
    rank: int
    layer: str
    ink: str = "ink"
    anchor: Point | None = None
    near_mm: float = 0.0
    lies_on_lines: bool = False


@dataclass(frozen=True, slots=True)
class PlacedWish:
    """A label and the box it has taken."""

    wish: Wish
    box: Bounds


def size_of(words: Sequence[Words]) -> tuple[float, float]:
    """Width and height of a label's box, its own margin included."""
    wide = max(text_width_mm(w.text, capital_mm=w.capital_mm, bold=w.bold) for w in words)
    tall = words[0].capital_mm + sum(w.capital_mm * LEADING for w in words[1:])
    return wide + 2 * PAD_MM, tall + descent_mm(capital_mm=words[-1].capital_mm) + 2 * PAD_MM


def spots_around(
    middle: Point, size: tuple[float, float], away: float
) -> tuple[tuple[Point, ...], float]:
    """Places of a box about a symbol: beside it, at its corners, then farther and farther out.

    Gives them with the distance within which no leader is wanted.
    """
    (x, y), (wide, tall) = middle, size
    near = (
        (x + away, y - tall / 2),
        (x - away - wide, y - tall / 2),
        (x - wide / 2, y - away - tall),
        (x - wide / 2, y + away),
        (x + away * 0.7, y - away * 0.7 - tall),
        (x - away * 0.7 - wide, y - away * 0.7 - tall),
        (x + away * 0.7, y + away * 0.7),
        (x - away * 0.7 - wide, y + away * 0.7),
    )
    return (*near, *_farther(middle, size, away)), away * 1.2


def _farther(middle: Point, size: tuple[float, float], away: float) -> Iterator[Point]:
    (x, y), (wide, tall) = middle, size
    for ring in RINGS_MM:
        for step in range(ANGLES):
            angle = 2 * math.pi * step / ANGLES
            reach = away + ring
            dx, dy = math.cos(angle) * reach, math.sin(angle) * reach
            side = wide if dx < 0 else 0.0
            yield x + dx - side, y + dy - tall / 2


def place(wishes: Iterable[Wish], occupied: Occupied, *, within: Bounds) -> list[PlacedWish]:
    """The wishes that find room in a box, in their turn; what is occupied grows by them."""
    turns: dict[tuple[int, str], list[Wish]] = {}
    for wish in wishes:
        turns.setdefault((wish.rank, wish.key), []).append(wish)
    found = (_first_fit(turns[turn], occupied, within) for turn in sorted(turns))
    return [placed for placed in found if placed is not None]


def _first_fit(choices: Sequence[Wish], occupied: Occupied, within: Bounds) -> PlacedWish | None:
    for of_all in (True, False):
        for wish in choices:
            wide, tall = size_of(wish.words)
            for x, y in wish.spots:
                box = (x, y, x + wide, y + tall)
                if not _contains(within, box):
                    continue
                if occupied.is_free(box, of_all=of_all and not wish.lies_on_lines):
                    occupied.take(box)
                    return PlacedWish(wish, box)
    return None


def drawn(placed: PlacedWish) -> Iterator[Primitive]:
    """Leader, a white ground, and the words."""
    wish, (x0, y0, x1, y1) = placed.wish, placed.box
    if wish.anchor is not None:
        yield from _leader(wish.anchor, placed.box, wish.near_mm)
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    yield FilledPath(layer=wish.layer, rings=(corners,), ink="paper")
    top = y1 - PAD_MM
    baseline = top - wish.words[0].capital_mm
    for number, words in enumerate(wish.words):
        if number:
            baseline -= words.capital_mm * LEADING
        yield Text(
            layer=wish.layer,
            text=words.text,
            position=((x0 + x1) / 2, baseline),
            height=words.capital_mm,
            box=(x1 - x0 - 2 * PAD_MM + 0.01, words.capital_mm),
            horizontal="center",
            ink=wish.ink,
            bold=words.bold,
        )


def _leader(anchor: Point, box: Bounds, near_mm: float) -> Iterator[Primitive]:
    """A thin line from the edge of the symbol to the label, where that stands away."""
    x, y = anchor
    end = min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3])
    length = math.dist(anchor, end)
    if length > near_mm:
        share = _CLEAR * near_mm / length
        start = x + (end[0] - x) * share, y + (end[1] - y) * share
        yield Line(layer="leaders", start=start, end=end, stroke=LEADER)


def _contains(outer: Bounds, inner: Bounds) -> bool:
    return (
        outer[0] <= inner[0]
        and outer[1] <= inner[1]
        and inner[2] <= outer[2]
        and inner[3] <= outer[3]
    )
