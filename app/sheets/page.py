"""A page of paper with what is drawn on it, and the papers and scales there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.drawing.primitives import Bounds, Primitive

PAPERS: dict[str, tuple[int, int]] = {
    "A4": (210, 297),
    "A3": (297, 420),
    "A2": (420, 594),
    "A1": (594, 841),
}
"""Width and height upright, in mm. Source: ISO 216."""

SCALES = (20, 50, 100, 200, 250, 500, 1_000, 2_000, 5_000, 10_000)
"""Denominators: those of ISO 5455, and 1:250, which is common for buildings (practice)."""

FILING_MM, EDGE_MM = 20, 10
"""From the edge of the paper to the frame: on the left, to be filed, and elsewhere.
Source: ISO 5457 (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page. `group` is what several pages in a row share; `title` its own bookmark."""

    width_mm: float
    height_mm: float
    group: str
    title: str
    primitives: Sequence[Primitive]


def frame_of(width_mm: float, height_mm: float) -> Bounds:
    """The frame that everything on a page stays in."""
    return FILING_MM, EDGE_MM, width_mm - EDGE_MM, height_mm - EDGE_MM


def orientations(paper: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """Width and height of a paper, landscape and portrait."""
    short, long = PAPERS[paper]
    return (long, short), (short, long)
