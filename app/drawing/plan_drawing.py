"""An imported drawing, flattened into arrays that the canvas can paint and snap to.

Coordinates are *local*: the file's own units, less the drawing's `origin`, so that a plan far
from zero loses no precision. `file = origin + local`. Arrays are read-only.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from app.drawing.primitives import Bounds, HorizontalAlign, Point, VerticalAlign

Floats: TypeAlias = npt.NDArray[np.float64]
Indices: TypeAlias = npt.NDArray[np.int32]

MOST_COORDINATE = 1e12
"""No number of a drawing, in any unit, is greater than this."""

INK = -1
"""The colour of the drawing's default pen: dark on a light ground, light on a dark one."""


def _no_rows(columns: int) -> Floats:
    return np.zeros((0, columns), dtype=np.float64)


def _no_indices() -> Indices:
    return np.zeros(0, dtype=np.int32)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanText:
    """A text of the drawing, one or more lines (divided by a newline).

    `position` is the anchor that the two alignments name; `height` that of a capital;
    `line_step` the distance from baseline to baseline; `width` that of the widest line.
    """

    text: str
    position: Point
    height: float
    width: float
    rotation_deg: float = 0.0
    horizontal: HorizontalAlign = "left"
    vertical: VerticalAlign = "baseline"
    line_step: float = 0.0
    colour: int = 0

    @property
    def block_height(self) -> float:
        """The height of all lines together: last baseline to the top of the first capital."""
        return self.height + self.line_step * self.text.count("\n")

    @property
    def box(self) -> Bounds:
        """The text's box in its own unturned frame, relative to `position`."""
        left = {"left": 0.0, "center": -self.width / 2, "right": -self.width}[self.horizontal]
        tall = self.block_height
        top = {
            "baseline": self.height,
            "bottom": tall,
            "middle": tall / 2,
            "top": 0.0,
        }[self.vertical]
        return left, top - tall, left + self.width, top

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The box's corners in local coordinates, from the text's lower left, counter-clockwise."""
        cos = math.cos(math.radians(self.rotation_deg))
        sin = math.sin(math.radians(self.rotation_deg))
        x0, y0 = self.position
        left, bottom, right, top = self.box

        def turned(x: float, y: float) -> Point:
            return (x0 + x * cos - y * sin, y0 + x * sin + y * cos)

        return turned(left, bottom), turned(right, bottom), turned(right, top), turned(left, top)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanLayer:
    """What lies on one layer of an imported drawing.

    - `segments`: (n, 4) local x0, y0, x1, y1, never broken into dashes; `segment_colours`,
      `segment_weights`, `segment_dashes`: (n,) indices into the drawing's `colours`,
      `lineweights_mm` and `dash_patterns`. A segment without length is a point.
    - `outlines`: (k, 2) first row and number of rows in `segments` of every closed polyline.
    - `arcs`: (a, 5) centre x, y, radius, start and sweep in degrees (counter-clockwise) of every
      circle and circular arc; their lines are in `segments` too.
    - `hatch_lines`: (h, 4) the lines of hatch patterns, which nothing snaps to, with
      `hatch_colours` and `hatch_weights`.
    - `fill_points`: (m, 2); ring `r` is `fill_points[fill_rings[r]:fill_rings[r + 1]]`; filled
      path `p` has the rings `fill_paths[p]` up to `fill_paths[p + 1]`, filled even-odd, in
      colour `fill_colours[p]`.
    """

    name: str
    is_on: bool = True
    is_frozen: bool = False
    segments: Floats = field(default_factory=lambda: _no_rows(4))
    segment_colours: Indices = field(default_factory=_no_indices)
    segment_weights: Indices = field(default_factory=_no_indices)
    segment_dashes: Indices = field(default_factory=_no_indices)
    outlines: Indices = field(default_factory=lambda: np.zeros((0, 2), dtype=np.int32))
    arcs: Floats = field(default_factory=lambda: _no_rows(5))
    hatch_lines: Floats = field(default_factory=lambda: _no_rows(4))
    hatch_colours: Indices = field(default_factory=_no_indices)
    hatch_weights: Indices = field(default_factory=_no_indices)
    fill_points: Floats = field(default_factory=lambda: _no_rows(2))
    fill_rings: Indices = field(default_factory=lambda: np.zeros(1, dtype=np.int32))
    fill_paths: Indices = field(default_factory=lambda: np.zeros(1, dtype=np.int32))
    fill_colours: Indices = field(default_factory=_no_indices)
    texts: tuple[PlanText, ...] = ()

    def __post_init__(self) -> None:
        """Make the arrays read-only: a drawing is a value."""
        for name in self.__slots__:
            value = getattr(self, name)
            if isinstance(value, np.ndarray):
                value.setflags(write=False)

    @property
    def is_visible(self) -> bool:
        """Whether the file itself shows this layer."""
        return self.is_on and not self.is_frozen

    def fills(self) -> Iterator[tuple[list[Floats], int]]:
        """Each filled path as its rings (n, 2) and its colour index."""
        for path, colour in enumerate(self.fill_colours):
            rings = range(self.fill_paths[path], self.fill_paths[path + 1])
            yield (
                [self.fill_points[self.fill_rings[r] : self.fill_rings[r + 1]] for r in rings],
                int(colour),
            )

    def closed_outlines(self) -> Iterator[Floats]:
        """Each closed polyline as its vertices (n, 2), without a repeated last one."""
        for first, count in self.outlines:
            yield self.segments[first : first + count, :2]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanDrawing:
    """An imported drawing.

    `bounds` is where the plan is, without stray content far from it; `raw_bounds` includes
    everything visible; both local, None where nothing is visible. `colours` are 0xRRGGBB or
    INK; `lineweights_mm` are pen widths on paper; `dash_patterns` are lengths on, off, on, off,
    ... in file units, the first of them empty (a solid line).
    """

    origin: Point
    layers: tuple[PlanLayer, ...]
    colours: tuple[int, ...]
    lineweights_mm: tuple[float, ...]
    dash_patterns: tuple[tuple[float, ...], ...]
    bounds: Bounds | None
    raw_bounds: Bounds | None

    @property
    def segment_count(self) -> int:
        """The number of line segments on all layers."""
        return sum(len(layer.segments) for layer in self.layers)

    def layer(self, name: str) -> PlanLayer:
        """The layer of this name. Raises KeyError."""
        for layer in self.layers:
            if layer.name == name:
                return layer
        raise KeyError(name)
