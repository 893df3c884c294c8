"""A project with something of everything, saved with its history, for the tests of storage."""

from __future__ import annotations

import io
import zipfile

from app.model.entities import Building, Floor, Plan
from app.model.project import Project
from app.storage.history import EntryKind, HistoryEntry, encode_entry
from app.storage.packed import pack_source, sha256_of
from app.storage.project_file import SavedProject
from app.storage.project_json import JournalMark
from app.storage.retired import RetiredNumbers
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
    retired = RetiredNumbers()
    for number in range(1, edits + 1):
        patch = random.patch(project)
        project = project.apply(patch)
        retired.follow(EntryKind.EDIT, patch)
        lines.append(encode_entry(HistoryEntry(number=number, time=TIME, patch=patch)))
    assert project.plans
    return SavedProject(
        project=project,
        history=tuple(lines),
        plan_sources={source.sha256: source},
        plan_drawings={source.sha256: DRAWING},
        journal_mark=JournalMark("journal-0123456z", edits),
        retired=retired.by_tag(),
    )


HALL = Building(id="building-00000001", name="Hall")
GROUND = Floor(id="floor-00000001", building=HALL.id, name="0", level_mm=0)
PLAN_DRAWING = b"a drawing, flattened"


def with_plan() -> SavedProject:
    source, drawing = pack_source(ORIGINAL), sha256_of(PLAN_DRAWING)
    plan = Plan(
        id="plan-00000001",
        floor=GROUND.id,
        name="Architect",
        source_name="a.dxf",
        source_sha256=source.sha256,
        drawing_sha256=drawing,
        mm_per_unit=1.0,
    )
    return SavedProject(
        project=Project([HALL, GROUND, plan]),
        plan_sources={source.sha256: source},
        plan_drawings={drawing: PLAN_DRAWING},
    )


def changed_zip(data: bytes, changes: dict[str, bytes | None]) -> bytes:
    """The archive with entries replaced, added, or (None) left out."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", 8) as new:
        kept = {n: old.read(n) for n in old.namelist()} | changes
        for name, content in kept.items():
            if content is not None:
                new.writestr(name, content)
    return out.getvalue()
