"""Where a document takes what follows from its project."""

from __future__ import annotations

from typing import Any

import app.design as derived
from app.model.project import Patch, Project
from app.progress import Progress
from app.routing.results import Part
from app.standards import RuleSet

Design = Any
DesignChange = Any


def evaluate(
    project: Project, *, rules: RuleSet | None = None, progress: Progress | None = None
) -> Design:
    """Everything that follows from the project, from nothing."""
    made = getattr(derived, "evaluate", None)
    return None if made is None else made(project, rules=rules, progress=progress)


def recalculate(design: Design, project: Project, patch: Patch) -> tuple[Design, DesignChange]:
    """The design after the patch that led from its project to `project`."""
    made = getattr(derived, "recalculate", None)
    return (design, None) if made is None else made(design, project, patch)


def parts_of(design: Design, port_id: str) -> tuple[Part, ...]:
    """The named parts of one run's length."""
    parts: tuple[Part, ...] = derived.parts_of(design, port_id)  # type: ignore[attr-defined]
    return parts
