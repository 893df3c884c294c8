"""A window on the building, laid on paper: where a point of the site stands in millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.drawing.primitives import Bounds, Point

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Viewport:
    """`box` on paper shows the building at 1:`denominator`, turned by `turn_deg`.

    `middle` is the point of the turned building, in mm, that stands in the middle of the box.
    `core` is the part of the box that no other sheet shows: what is told only once is told there.
    """

    box: Bounds
    core: Bounds
    denominator: int
    middle: Point
    turn_deg: float = 0.0

    def at(self, x_mm: float, y_mm: float) -> Point:
        """Where a point of the site stands on paper."""
        u, v = turned(x_mm, y_mm, self.turn_deg)
        x0, y0, x1, y1 = self.box
        return (
            (x0 + x1) / 2 + (u - self.middle[0]) / self.denominator,
            (y0 + y1) / 2 + (v - self.middle[1]) / self.denominator,
        )

    def all_at(self, points: Floats) -> Floats:
        """Points of the site (n, 2) on paper."""
        angle = math.radians(self.turn_deg)
        turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
        x0, y0, x1, y1 = self.box
        centre = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
        placed: Floats = centre + (points @ turn - np.array(self.middle)) / self.denominator
        return placed


def turned(x: float, y: float, turn_deg: float) -> Point:
    """A point turned about the origin, anticlockwise."""
    angle = math.radians(turn_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    return x * cos - y * sin, x * sin + y * cos


def within(box: Bounds, point: Point) -> bool:
    """Whether a point lies in a box, its lower and left edges included."""
    return box[0] <= point[0] < box[2] and box[1] <= point[1] < box[3]


def grown(box: Bounds, by: float) -> Bounds:
    """The box, larger by so much on every side."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by
