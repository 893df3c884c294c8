"""Paths of straight and curved pieces broken into a bounded number of chords."""

from __future__ import annotations

import math

from ezdxf.path import Curve3To, Curve4To, Path

from app.drawing.primitives import Point

LEAST_CHORDS = 4
MOST_CHORDS = 128


def flattened_path(path: Path, tolerance: float) -> list[Point]:
    """The vertices of a path, seen from above, whose chords keep within a tolerance.

    A chord of n in all lies at most |B''| / 8 n^2 from its curve, and the second derivative B''
    of a Bezier curve is bounded by the second differences of its control points.
    """
    if not len(path):
        return []
    start = path.start
    here: Point = (start.x, start.y)
    points = [here]
    for command in path.commands():
        end = (command.end.x, command.end.y)
        if isinstance(command, Curve4To):
            one, two = command.ctrl1, command.ctrl2
            points.extend(_cubic(here, (one.x, one.y), (two.x, two.y), end, tolerance))
        elif isinstance(command, Curve3To):
            # A quadratic curve is the cubic one with its control points a third from the middle.
            x, y = command.ctrl.x, command.ctrl.y
            one_third = (here[0] + (x - here[0]) * 2 / 3, here[1] + (y - here[1]) * 2 / 3)
            two_thirds = (end[0] + (x - end[0]) * 2 / 3, end[1] + (y - end[1]) * 2 / 3)
            points.extend(_cubic(here, one_third, two_thirds, end, tolerance))
        else:
            points.append(end)
        here = end
    return points


def _cubic(a: Point, b: Point, c: Point, d: Point, tolerance: float) -> list[Point]:
    """Points on a cubic Bezier curve, without its first."""
    bend = max(
        math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1]),
        math.hypot(b[0] - 2 * c[0] + d[0], b[1] - 2 * c[1] + d[1]),
    )
    chords = LEAST_CHORDS
    if math.isfinite(bend) and tolerance > 0:
        needed = math.sqrt(6 / 8 * bend / tolerance)
        chords = math.ceil(min(max(needed, LEAST_CHORDS), MOST_CHORDS))
    result = []
    for step in range(1, chords):
        t = step / chords
        s = 1 - t
        p, q, r, u = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
        result.append(
            (
                p * a[0] + q * b[0] + r * c[0] + u * d[0],
                p * a[1] + q * b[1] + r * c[1] + u * d[1],
            )
        )
    result.append(d)
    return result
