"""What reading a plan gives, and how it is refused."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.drawing.plan_drawing import PlanDrawing
from app.drawing.primitives import Point


class PlanImportError(Exception):
    """A file that cannot be opened as a plan. The message says what, where, and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportNote:
    """One thing that was lost, skipped, recovered or guessed while a plan was read."""

    code: str
    count: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitProposal:
    """A unit that the drawing may be in, with the reasons for and against it.

    `unit` is "mm", "cm", "dm", "m", "km", "in", "ft" or "yd"; `confidence` is 0 to 1;
    `is_confirmed` tells that the header or something drawn supports it, and not only its size.
    """

    unit: str
    mm_per_unit: float
    confidence: float
    is_confirmed: bool
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDimension:
    """A linear dimension of the drawing: the two ends of its dimension line, and its text.

    `start` and `end` are local; `is_typed` tells a text that a person typed, or that stands loose
    beside its line, from one that the drawing's own program measured. `stated_mm` is the length
    that the text states with a unit of its own, `stated_number` the bare number that it states
    without one.
    """

    text: str
    start: Point
    end: Point
    is_typed: bool = False
    stated_mm: float | None = None
    stated_number: float | None = None

    @property
    def distance(self) -> float:
        """The distance between the ends, in file units."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportedPlan:
    """A plan as it was read: its drawing, what it may be scaled to, and what was lost.

    `proposals` are sorted, the most likely unit first; the caller chooses. `is_unscaled` means
    that nothing in the file is sure enough to choose without asking.
    """

    drawing: PlanDrawing
    proposals: tuple[UnitProposal, ...]
    is_unscaled: bool
    report: tuple[ImportNote, ...]
    dimensions: tuple[PlanDimension, ...]
    sha256: str
    source_name: str
