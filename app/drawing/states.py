"""What a state looks like, on screen and on paper alike: one family for all kinds of things.

`states.toml` holds the weights, dashes and strokes (`state_look`); here is which of them a
thing has, in the order and with the words of the legend, and how a relocation is drawn: the
old place thin, grey and crossed, and a thin arrow from it to the new one.
"""

import math
from typing import Any

from app.drawing.primitives import Line, Point, Polyline, Primitive, Stroke
from app.drawing.symbol_marks import state_looks
from app.drawing.symbols import GRID, outlet_symbol, state_look
from app.model.vocabulary import State

RELOCATED = "relocated"
"""The look of what stands at its new place while its old one is known."""
GHOST = State.TO_REMOVE.value
"""The look of the old place."""

_CLEAR = 0.62
"""An arrow begins and ends so far from the places, in sides of the symbol."""
_HEAD = 5.0
_HEAD_HALF_DEG = 24.0


def look_names() -> tuple[str, ...]:
    """All looks in the legend's order."""
    return tuple(state_looks())


def look_label(name: str) -> str:
    """What the legend says of a look; raises KeyError for an unknown one."""
    return state_look(name).label


def look_name(thing: Any) -> str:
    """The look of a thing: its state's, or that of its new place where the old one is known.

    What has no state is drawn as new.
    """
    state = getattr(thing, "state", State.NEW)
    if state is State.TO_RELOCATE and getattr(thing, "was_at", None) is not None:
        return RELOCATED
    return str(state.value)


def ghost_symbol(name: str, *, layer: str = "relocations") -> tuple[Primitive, ...]:
    """An outlet's symbol at the place that it leaves, on the symbol grid."""
    return outlet_symbol(name, state=GHOST, layer=layer)


def relocation_arrow(
    old: Point, new: Point, *, size: float, layer: str = "relocations"
) -> tuple[Primitive, ...]:
    """A thin arrow from the old place to the new, clear of both symbols of `size`.

    Units are those of the points. Nothing where the places are too near to one another.
    """
    look, unit = state_look(GHOST), size / GRID
    length = math.dist(old, new)
    if length <= 2 * _CLEAR * size + _HEAD * unit:
        return ()
    east, north = (new[0] - old[0]) / length, (new[1] - old[1]) / length
    clear = _CLEAR * size
    start = old[0] + east * clear, old[1] + north * clear
    tip = new[0] - east * clear, new[1] - north * clear
    stroke = Stroke(ink=look.ink, width_mm=look.mark * unit)
    back = math.atan2(-north, -east)
    spread, head = math.radians(_HEAD_HALF_DEG), _HEAD * unit
    wings = tuple(
        (tip[0] + head * math.cos(back + turn), tip[1] + head * math.sin(back + turn))
        for turn in (-spread, spread)
    )
    return (
        Line(layer=layer, start=start, end=tip, stroke=stroke),
        Polyline(layer=layer, points=(wings[0], tip, wings[1]), stroke=stroke),
    )
