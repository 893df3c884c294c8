"""Panels, ports and cable numbers given in a project file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from app.editor.asking import InputProblem
from app.editor.commands.panel_ports import give_ports
from app.editor.document import Document
from app.jobs.editing import edit_file
from app.model.entities import Outlet, PanelPort
from app.model.project import Patch
from app.progress import Progress


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenAtFrame:
    """What one frame was given: runs by panel, and the panels that were named for them."""

    frame: str
    runs: int
    panels: tuple[str, ...]
    new_panels: tuple[str, ...]


def give_ports_in_file(
    path: Path,
    *,
    frame: str | None = None,
    state: Path | None = None,
    progress: Progress | None = None,
) -> tuple[tuple[GivenAtFrame, ...], tuple[str, ...]]:
    """Give the new runs of a file (at the frame of that name) panels, ports and cable numbers.

    Gives what was given by frame, and what is to be said of the file. Raises InputProblem,
    UnreadableProject, Locked, SaveFailed and Cancelled; then the file is as it was.
    """
    given: list[GivenAtFrame] = []

    def patch_of(document: Document) -> Patch:
        patch = give_ports(
            document.design,
            frame_ids=None if frame is None else _frames_called(document, frame),
            retired=document.retired_numbers,
        )
        given.extend(given_by(document, patch))
        return patch

    notes = edit_file(path, patch_of, state=state, progress=progress)
    return tuple(given), notes


def _frames_called(document: Document, name: str) -> list[str]:
    frames = document.project.frames.values()
    found = [f.id for f in frames if f.name.casefold() == name.strip().casefold()]
    if not found:
        known = ", ".join(f.name for f in frames) or "none"
        raise InputProblem(f"There is no frame “{name}”; the frames are: {known}.")
    return found


def given_by(document: Document, patch: Patch) -> list[GivenAtFrame]:
    """What a patch gives, frame by frame, in the order of its changes."""
    places: dict[str, list[PanelPort]] = {}
    for change in patch.changes:
        if isinstance(change.before, Outlet) and isinstance(change.after, Outlet):
            for before, after in zip(change.before.ports, change.after.ports, strict=True):
                if before.ends_at is None and after.ends_at is not None:
                    places.setdefault(after.ends_at.frame, []).append(after.ends_at)
    frames = document.project.frames
    return [
        GivenAtFrame(
            frame=frames[frame_id].name,
            runs=len(own),
            panels=(panels := tuple(dict.fromkeys(p.panel for p in own))),
            new_panels=tuple(
                p for p in panels if p not in {q.name for q in frames[frame_id].panels}
            ),
        )
        for frame_id, own in places.items()
    ]
