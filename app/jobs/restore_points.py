"""Restore points of an open document: made, read, compared with now, returned to."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from app.design import evaluate
from app.design.design import Design
from app.editor.commands.restore_points import make_restore_point, point_named, return_to
from app.editor.document import Document
from app.jobs.editing import edit_file
from app.jobs.progress_parts import Part
from app.model.entities import RestorePoint
from app.model.project import Patch, Project
from app.progress import Progress, Silent
from app.sheets.differences import Differences, differences
from app.standards import RuleSet
from app.storage.lock import user_name
from app.storage.packed import PackedSource
from app.storage.project_file import load_project
from app.storage.states import UnreadableState, pack_state, unpack_state


def making(
    document: Document, *, name: str, made_on: str = "", by: str = "", note: str = ""
) -> Patch:
    """The patch that makes a restore point of now; its state already lies on the shelf.

    Raises InputProblem for a name that cannot be given.
    """
    state = pack_state(document.project)
    patch = make_restore_point(
        document.design,
        name=name,
        state_sha256=state.sha256,
        made_on=made_on,
        by=by,
        note=note,
    )
    document.plans.add_state(state)
    return patch


def state_of(point: RestorePoint, kept: Mapping[str, PackedSource]) -> Project:
    """The project as it was at a restore point. Raises UnreadableState, with a sentence."""
    packed = kept.get(point.state_sha256)
    try:
        if packed is None:
            raise UnreadableState("it is missing")
        return unpack_state(packed)
    except UnreadableState as problem:
        raise UnreadableState(
            f"The state kept for the restore point “{point.name}” cannot be used: {problem}. "
            "The project itself is whole."
        ) from None


def returning(project: Project, point: RestorePoint, kept: Mapping[str, PackedSource]) -> Patch:
    """The patch that returns to a restore point. Raises UnreadableState, and InputProblem."""
    return return_to(project, state_of(point, kept), name=point.name)


def compared(
    now: Design,
    point: RestorePoint,
    kept: Mapping[str, PackedSource],
    *,
    progress: Progress | None = None,
) -> Differences:
    """What differs between a restore point and now; both are judged by the rules of now.

    Raises UnreadableState, and Cancelled.
    """
    watch = Silent() if progress is None else progress
    then = evaluate(state_of(point, kept), rules=now.rules, progress=Part(watch, 0.0, 0.9))
    watch.check()
    return differences(then, now)


# --- without a window -----------------------------------------------------------------------


def list_points(path: Path) -> tuple[Project, tuple[str, ...]]:
    """The project of a file, for its restore points, and what of the file was damaged."""
    saved = load_project(path)
    return saved.project, saved.notes


def compare_file(
    path: Path, name: str, *, rules: RuleSet | None = None, progress: Progress | None = None
) -> tuple[Design, RestorePoint, Differences, tuple[str, ...]]:
    """Compare a file with one of its restore points; its design, the point, and the file's notes.

    Raises UnreadableProject, UnreadableState, InputProblem and Cancelled.
    """
    watch = Silent() if progress is None else progress
    saved = load_project(path, progress=Part(watch, 0.0, 0.2))
    point = point_named(saved.project, name)
    now = evaluate(saved.project, rules=rules, progress=Part(watch, 0.2, 0.5))
    found = compared(now, point, saved.plan_sources, progress=Part(watch, 0.5, 1.0))
    return now, point, found, saved.notes


def make_in_file(
    path: Path, name: str, *, made_on: str = "", state: Path | None = None
) -> tuple[str, ...]:
    """Make a restore point in a project file; gives what is to be said.

    Raises InputProblem, UnreadableProject, Locked and SaveFailed; then the file is as it was.
    """

    def patch_of(document: Document) -> Patch:
        by = document.project.settings.author or user_name()
        return making(document, name=name, made_on=made_on, by=by)

    return edit_file(path, patch_of, state=state)


def return_in_file(path: Path, name: str, *, state: Path | None = None) -> tuple[str, ...]:
    """Return a project file to one of its restore points; gives what is to be said.

    Raises as `make_in_file`, and UnreadableState.
    """

    def patch_of(document: Document) -> Patch:
        point = point_named(document.project, name)
        return returning(document.project, point, document.plans.sources)

    return edit_file(path, patch_of, state=state)
