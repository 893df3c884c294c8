"""Walk sheets as a PDF, for both faces."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from app.design import evaluate
from app.design.design import Design
from app.drawing.plan_codec import PlanDrawingError, decode_drawing
from app.drawing.plan_drawing import PlanDrawing
from app.exports.pdf_file import pdf_bytes
from app.exports.saving import save
from app.jobs.progress_parts import Part
from app.jobs.reading import ReadProject
from app.model.entities import Floor
from app.progress import Progress, Silent
from app.sheets.page import Page
from app.sheets.walk_sheet import WalkWishes, floors_in_order, walk_sheets
from app.standards import RuleSet
from app.storage.project_file import load_project


def read_to_draw(
    path: Path, *, rules: RuleSet | None = None, progress: Progress | None = None
) -> tuple[ReadProject, dict[str, PlanDrawing]]:
    """The project of a file and the drawings of its plans by hash; a damaged one is left out and
    said in the notes. Raises UnreadableProject, and Cancelled."""
    watch = Silent() if progress is None else progress
    saved = load_project(path, progress=Part(watch, 0.0, 0.3))
    design = evaluate(saved.project, rules=rules, progress=Part(watch, 0.3, 0.8))
    notes, drawings = list(saved.notes), {}
    for plan in saved.project.plans.values():
        sha256 = plan.drawing_sha256
        if sha256 in drawings or sha256 not in saved.plan_drawings:
            continue
        watch.check()
        try:
            drawings[sha256] = decode_drawing(saved.plan_drawings[sha256])
        except PlanDrawingError as problem:
            notes.append(f"The plan “{plan.name}” is missing on its sheet. {problem}")
    return ReadProject(design, tuple(notes)), drawings


def write_walk_sheets(
    design: Design,
    drawings: Mapping[str, PlanDrawing],
    path: Path,
    wishes: WalkWishes,
    *,
    floors: Sequence[str] | None = None,
    progress: Progress | None = None,
) -> tuple[Page, ...]:
    """Write the sheets of these floors (None: of all) as a PDF; gives the pages.

    Raises ExportFailed, and Cancelled; then nothing was written.
    """
    watch = Silent() if progress is None else progress
    drawn = walk_sheets(design, drawings, wishes, floors=floors, progress=Part(watch, 0.0, 0.6))
    write_pages(design, drawn, path, progress=Part(watch, 0.6, 1.0))
    return drawn


def write_pages(
    design: Design, pages: Sequence[Page], path: Path, *, progress: Progress | None = None
) -> Path:
    """Write pages that are drawn already; gives the path. Raises as `write_walk_sheets`."""
    watch = Silent() if progress is None else progress
    title = f"Walk sheets of {design.project.site.name or 'a project'}"
    content = pdf_bytes(pages, title=title, progress=watch)
    watch.check()
    save(path, content)
    return path


def floors_named(design: Design, name: str) -> tuple[Floor, ...]:
    """The floors of this name, in all buildings."""
    wanted = name.strip().casefold()
    return tuple(f for f in floors_in_order(design) if f.name.casefold() == wanted)
