"""Where a document takes what follows from its project."""

from __future__ import annotations

from typing import Any

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
    return None


def recalculate(design: Design, project: Project, patch: Patch) -> tuple[Design, DesignChange]:
    """The design after the patch that led from its project to `project`."""
    return design, None


def parts_of(design: Design, port_id: str) -> tuple[Part, ...]:
    """The named parts of one run's length."""
    return ()
