"""Edits on a document that was opened from a small project file."""

from pathlib import Path

import msgspec

from app.editor.document import Document
from app.jobs import open_project
from app.jobs import save_project as save_job
from app.model.entities import Building
from app.model.project import changing

HALL = Building(id="building-00000001", name="Hall")


def opened(path: Path, state: Path) -> Document:
    return open_project(path, state=state).document()


def rename(document: Document, *names: str) -> None:
    for name in names:
        now = document.project.buildings[HALL.id]
        document.commit(
            changing(f"Rename {name}", [(now, msgspec.structs.replace(now, name=name))])
        )


def crash(document: Document) -> None:
    """What a crash leaves: journal and locks of a process that is no more."""
    document.close(keep_unsaved=True)


def save(document: Document, path: Path) -> None:
    document.saved(save_job(document.to_save(), path, was=document.file))


def hall_name(document: Document) -> str:
    return document.project.buildings[HALL.id].name
