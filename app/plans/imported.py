"""What reading a plan gives, and how it is refused."""

from __future__ import annotations

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

    `unit` is "mm", "cm", "dm", "m", "km", "in", "ft" or "yd"; `confidence` is 0 to 1.
    """

    unit: str
    mm_per_unit: float
    confidence: float
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDimension:
    """A dimension of the drawing: what its text says and what it measures.

    `start` and `end` are the measured points (local), `distance` the measured distance in file
    units (along the dimension line), `stated_mm` the length its text states, None if it states
    none, and `is_typed` whether a person typed the text in place of the measured value.
    """

    text: str
    start: Point
    end: Point
    distance: float
    stated_mm: float | None = None
    is_typed: bool = False


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
