"""A project with something of everything, saved with its history, for the tests of storage."""

from __future__ import annotations

from app.storage.history import HistoryEntry, encode_entry
from app.storage.packed import pack_source
from app.storage.project_file import SavedProject
from app.storage.project_json import JournalMark
from tests.properties.random_edits import RandomEdits

ORIGINAL = b"0\nSECTION\n2\nENTITIES\n" * 50
DRAWING = ORIGINAL
"""The random plans carry one hash for both, which storage does not mind."""
TIME = "2026-11-25T08:30:00.000Z"


def saved_sample(seed: int = 5, *, edits: int = 30) -> SavedProject:
    """The project after so many random edits, all of them in its history."""
    source = pack_source(ORIGINAL)
    random = RandomEdits(seed, plan_hashes=(source.sha256,))
    project = random.starting_project()
    lines = []
    for number in range(1, edits + 1):
        patch = random.patch(project)
        project = project.apply(patch)
        lines.append(encode_entry(HistoryEntry(number=number, time=TIME, patch=patch)))
    assert project.plans
    return SavedProject(
        project=project,
        history=tuple(lines),
        plan_sources={source.sha256: source},
        plan_drawings={source.sha256: DRAWING},
        journal_mark=JournalMark("journal-0123456z", edits),
    )
