"""Moving, turning, mirroring and scaling of points and directions."""

import math
from dataclasses import dataclass

QUARTER_MDEG = 90_000
HALF_MDEG = 180_000
WHOLE_MDEG = 360_000
_QUARTER_TURNS = {0: (1.0, 0.0), 1: (0.0, 1.0), 2: (-1.0, 0.0), 3: (0.0, -1.0)}


def unit_vector(angle_mdeg: int) -> tuple[float, float]:
    """The direction of an angle as (cos, sin), exact at quarter turns."""
    quarters, rest = divmod(angle_mdeg % WHOLE_MDEG, QUARTER_MDEG)
    if rest == 0:
        return _QUARTER_TURNS[quarters]
    radians = math.radians(angle_mdeg / 1_000)
    return math.cos(radians), math.sin(radians)


def normal_mdeg(angle_mdeg: int) -> int:
    """The same direction, more than -180° and at most 180°."""
    return HALF_MDEG - (HALF_MDEG - angle_mdeg) % WHOLE_MDEG


def direction_mdeg(dx: float, dy: float) -> int:
    """The direction of a vector, anticlockwise from x, in thousandths of a degree."""
    return normal_mdeg(math.floor(math.degrees(math.atan2(dy, dx)) * 1_000 + 0.5))


def to_mm(value: float) -> int:
    """Whole millimetres, half up."""
    return math.floor(value + 0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Similarity:
    """Keeps shapes: mirror in x (if `mirrored`), scale, turn, then shift."""

    scale: float = 1.0
    turn_mdeg: int = 0
    mirrored: bool = False
    dx: float = 0.0
    dy: float = 0.0

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where a point goes."""
        cos, sin = unit_vector(self.turn_mdeg)
        x, y = x * self.scale, (-y if self.mirrored else y) * self.scale
        return x * cos - y * sin + self.dx, x * sin + y * cos + self.dy

    def at_mm(self, x: float, y: float) -> tuple[int, int]:
        """Where a point goes, in whole millimetres."""
        x, y = self.at(x, y)
        return to_mm(x), to_mm(y)

    def turned(self, angle_mdeg: int) -> int:
        """Where a direction goes."""
        return normal_mdeg((-angle_mdeg if self.mirrored else angle_mdeg) + self.turn_mdeg)


def shift(dx: float, dy: float) -> Similarity:
    return Similarity(dx=dx, dy=dy)


def about(
    centre: tuple[float, float], *, turn_mdeg: int = 0, scale: float = 1.0, mirrored: bool = False
) -> Similarity:
    """A turn, scaling or mirroring that leaves `centre` where it is.

    Mirroring is in the line through `centre` at half of `turn_mdeg`.
    """
    bare = Similarity(scale=scale, turn_mdeg=turn_mdeg, mirrored=mirrored)
    x, y = bare.at(*centre)
    return Similarity(
        scale=scale,
        turn_mdeg=turn_mdeg,
        mirrored=mirrored,
        dx=centre[0] - x,
        dy=centre[1] - y,
    )
