"""One edit of a project file without a window: opened, edited, saved, closed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from app.editor.document import Document
from app.jobs.opening import open_project
from app.jobs.saving import save_project
from app.model.project import Patch
from app.progress import Progress


def edit_file(
    path: Path,
    patch_of: Callable[[Document], Patch],
    *,
    state: Path | None = None,
    progress: Progress | None = None,
) -> tuple[str, ...]:
    """Make an edit in a project file; gives what is to be said.

    Raises what `patch_of` does, UnreadableProject, Locked, SaveFailed and Cancelled; then the
    file is as it was.
    """
    opened = open_project(path, state=state, progress=progress)
    document = opened.document()
    done = False
    try:
        document.commit(patch_of(document))
        saved = save_project(document.to_save(), path, was=document.file)
        document.saved(saved)
        done = True
    finally:
        # What a crash had left unsaved is kept; what was only to be done here is not.
        if not done and document.revision:
            document.undo()
        document.close(keep_unsaved=not done and bool(opened.recovered))
    return (*opened.notes, *saved.saved.notes)
