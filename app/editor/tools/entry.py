"""What is typed while drawing: a length, a way to go, a direction, a place, a height.

- `7.25` that far towards the pointer
- `7.25 east`, `3 right 2 up`: compass words follow the site's axes, the others the grid
- `7.25 30°` that far at that angle from the grid, anticlockwise
- `30°` the direction of the next piece, until it is drawn
- `x 12.5 y 4` a place in the site's axes
- `height 3.1` an upright piece to that height; `slope 3.1` the next piece rises to it
"""

import re

import msgspec

from app.editor.asking import InputProblem
from app.editor.measures import parse_angle, parse_length
from app.geometry.similarity import to_mm, unit_vector
from app.model.vocabulary import Units

Point = tuple[int, int]


class Along(msgspec.Struct, frozen=True, kw_only=True):
    length_mm: int


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """So far along the site's axes and so far along the grid."""

    east_mm: int = 0
    north_mm: int = 0
    right_mm: int = 0
    up_mm: int = 0


class Ray(msgspec.Struct, frozen=True, kw_only=True):
    length_mm: int
    angle_mdeg: int


class Direction(msgspec.Struct, frozen=True, kw_only=True):
    angle_mdeg: int


class Place(msgspec.Struct, frozen=True, kw_only=True):
    x_mm: int
    y_mm: int


class Height(msgspec.Struct, frozen=True, kw_only=True):
    height_mm: int
    sloped: bool = False


Entry = Along | Step | Ray | Direction | Place | Height

_WAYS: dict[str, tuple[str, int]] = {
    "east": ("east_mm", 1),
    "west": ("east_mm", -1),
    "north": ("north_mm", 1),
    "south": ("north_mm", -1),
    "right": ("right_mm", 1),
    "left": ("right_mm", -1),
    "up": ("up_mm", 1),
    "down": ("up_mm", -1),
}
_WAY = re.compile(rf"(?<![a-z])({'|'.join(_WAYS)})(?![a-z])")
_PLACE = re.compile(r"x\s*(?P<x>[^xy]+?)[\s,;]*y\s*(?P<y>[^xy]+)")
_HEIGHT = re.compile(r"(?P<how>height|slope)\s+(?:to\s+)?(?P<height>.+)")
_RAY = re.compile(r"(?P<length>.*\S)\s+(?P<angle>[-−]?[\d.,]+\s*(?:°|deg|degrees?))")
_ANGLE = re.compile(r"[-−]?[\d.,]+\s*(?:°|deg|degrees?)")


def parse_entry(text: str, units: Units) -> Entry:
    """The meaning of what was typed. Raises InputProblem with what can be typed."""
    plain = text.strip().lower()
    if not plain:
        raise InputProblem("Type a length such as 7.25, or 7.25 east.")
    if (height := _HEIGHT.fullmatch(plain)) is not None:
        sloped = height["how"] == "slope"
        return Height(height_mm=parse_length(height["height"], units), sloped=sloped)
    if (place := _PLACE.fullmatch(plain)) is not None:
        return Place(x_mm=parse_length(place["x"], units), y_mm=parse_length(place["y"], units))
    if _WAY.search(plain) is not None:
        return _step(plain, units)
    if _ANGLE.fullmatch(plain) is not None:
        return Direction(angle_mdeg=parse_angle(plain))
    if (ray := _RAY.fullmatch(plain)) is not None:
        length = parse_length(ray["length"], units)
        return Ray(length_mm=length, angle_mdeg=parse_angle(ray["angle"]))
    return Along(length_mm=parse_length(plain, units))


def _step(plain: str, units: Units) -> Step:
    """`3 right 2 up`: lengths, each before its word."""
    sums: dict[str, int] = {}
    parts = _WAY.split(plain)
    if parts[-1].strip():
        raise InputProblem(
            f"“{parts[-1].strip()}” has no way to go; write the length first, as in 7.25 east."
        )
    for length, way in zip(parts[0::2], parts[1::2], strict=False):
        field, sign = _WAYS[way]
        cleaned = length.strip().removeprefix("and ").strip(" ,;")
        sums[field] = sums.get(field, 0) + sign * parse_length(cleaned, units)
    return Step(**sums)


def step_mm(step: Step, grid_mdeg: int) -> tuple[int, int]:
    """A step along the site's axes."""
    cos, sin = unit_vector(grid_mdeg)
    return (
        to_mm(step.east_mm + step.right_mm * cos - step.up_mm * sin),
        to_mm(step.north_mm + step.right_mm * sin + step.up_mm * cos),
    )


def point_of(
    entry: Along | Step | Ray | Place,
    *,
    origin: Point | None,
    towards: tuple[float, float] | None,
    grid_mdeg: int,
) -> Point:
    """The point an entry means, from `origin` and towards the pointer.

    Raises InputProblem where it needs a point to start from or a direction and has none.
    """
    if isinstance(entry, Place):
        return entry.x_mm, entry.y_mm
    if origin is None:
        raise InputProblem("There is no point to start from; click one, or type x 12.5 y 4.")
    x, y = origin
    if isinstance(entry, Step):
        dx, dy = step_mm(entry, grid_mdeg)
        return x + dx, y + dy
    if isinstance(entry, Ray):
        cos, sin = unit_vector(grid_mdeg + entry.angle_mdeg)
        return to_mm(x + entry.length_mm * cos), to_mm(y + entry.length_mm * sin)
    return _along(entry, origin, towards)


def _along(entry: Along, origin: Point, towards: tuple[float, float] | None) -> Point:
    dx, dy = (0.0, 0.0) if towards is None else (towards[0] - origin[0], towards[1] - origin[1])
    length = (dx * dx + dy * dy) ** 0.5
    if length == 0:
        raise InputProblem("Which way? Point there with the mouse, or type 7.25 east.")
    share = entry.length_mm / length
    return to_mm(origin[0] + share * dx), to_mm(origin[1] + share * dy)
