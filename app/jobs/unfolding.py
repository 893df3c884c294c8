"""The drawings of an opened project's plans, decoded; a damaged one costs only itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from app.drawing.plan_codec import PlanDrawingError, decode_drawing
from app.drawing.plan_drawing import PlanDrawing
from app.jobs.opening import OpenedProject, keep_copy
from app.progress import Progress, Silent
from app.storage.state_folder import state_folder


@dataclass(frozen=True, slots=True)
class UnfoldedProject:
    """An opened project, its notes brought up to date, and the drawings of its plans by hash."""

    opened: OpenedProject
    drawings: Mapping[str, PlanDrawing]


def unfold_plans(
    opened: OpenedProject, *, state: Path | None = None, progress: Progress | None = None
) -> UnfoldedProject:
    """Decode the drawings of all plans in use.

    One that cannot be decoded is said in the notes, by its plan's name; its bytes stay in the
    project, and the file as it was found is kept apart. Raises Cancelled; then the project has
    been let go of.
    """
    watch = Silent() if progress is None else progress
    drawings: dict[str, PlanDrawing] = {}
    notes: list[str] = []
    try:
        for plan in opened.project.plans.values():
            sha256 = plan.drawing_sha256
            if sha256 in drawings or sha256 not in opened.plan_drawings:
                continue
            watch.check()
            watch.report(0.95, "Unfolding the plans")
            try:
                drawings[sha256] = decode_drawing(opened.plan_drawings[sha256])
            except PlanDrawingError as problem:
                notes.append(
                    f"The drawing of the plan “{plan.name}” cannot be shown. {problem} "
                    "Import the plan again; what was placed on it is whole."
                )
        if notes and opened.file is not None:
            keep_copy(state_folder() if state is None else state, opened.file.path, notes)
    except BaseException:
        opened.let_go()
        raise
    return UnfoldedProject(replace(opened, notes=(*opened.notes, *notes)), drawings)
