"""Projects put together again from what a journal holds: after a crash, or once set aside."""

from __future__ import annotations

from pathlib import Path

from app.design import evaluate
from app.jobs.journals import finish_with, first_journal, named_plans, recovered_note
from app.jobs.opening import OpenedProject
from app.jobs.progress_parts import Part
from app.progress import Progress, Silent
from app.standards import RuleSet
from app.storage.failures import UnreadableProject
from app.storage.history import encode_entry
from app.storage.journal_lines import UnreadableJournal
from app.storage.project_file import load_project
from app.storage.recovery import FoundJournal, base_project, replay, replay_what_fits
from app.storage.state_folder import state_folder


def recover_unsaved(
    left: FoundJournal,
    *,
    state: Path | None = None,
    rules: RuleSet | None = None,
    progress: Progress | None = None,
) -> OpenedProject:
    """Open a project that never had a file, from the journal that a crash has left.

    Raises UnreadableProject where its beginning cannot be read; the journal stays.
    """
    state = state_folder() if state is None else state
    try:
        base = base_project(left)
    except UnreadableJournal as problem:
        raise UnreadableProject(
            f"The unsaved project of {left.when} cannot be opened: {problem}. Its journal is kept "
            f"in {left.folder}."
        ) from None
    replayed = replay(base, left.after(0))
    notes = [recovered_note(replayed)] if replayed.done else []
    sources, drawings = left.plans()
    design = evaluate(replayed.project, rules=rules, progress=progress)
    lines = tuple(encode_entry(e) for e in replayed.done)
    retired = left.content.start.retired
    plans = named_plans(sources, drawings)
    journal = first_journal(state, base, retired, lines, plans, notes)
    if journal is not None:
        finish_with(state, left, replayed, notes)
    return OpenedProject(
        project=replayed.project,
        design=design,
        file=None,
        journal=journal,
        history=lines,
        recovered=replayed.done,
        retired=retired,
        plan_sources=sources,
        plan_drawings=drawings,
        notes=tuple(notes),
    )


def open_set_aside(
    aside: FoundJournal,
    *,
    state: Path | None = None,
    rules: RuleSet | None = None,
    progress: Progress | None = None,
) -> OpenedProject:
    """Open edits that were set aside as a project of its own, which has no file yet.

    Those of a file are made again on what stands at its place now, as far as they fit; what is
    set aside stays so (`put_away` ends that). Raises UnreadableProject, and Cancelled.
    """
    path = aside.content.path
    if aside.content.start.has_base or path is None:
        return recover_unsaved(aside, state=state, rules=rules, progress=progress)
    state = state_folder() if state is None else state
    watch = Silent() if progress is None else progress
    saved = load_project(Path(path), progress=Part(watch, 0.0, 0.4))
    replayed = replay_what_fits(saved.project, aside.content.entries)
    count, fitting = len(aside.content.entries), len(replayed.done)
    if not fitting:
        raise UnreadableProject(
            f"None of the {count} edits fits “{Path(path).name}” as it stands now; put the copy "
            f"of it in place that they were made on. They stay in {aside.folder}."
        )
    notes = [
        *saved.notes,
        f"{fitting} of {count} edits that were set aside were made again on a copy of "
        f"“{Path(path).name}”. Save it under a name of its own.",
    ]
    own_sources, own_drawings = aside.plans()
    sources = {**own_sources, **saved.plan_sources}
    drawings = {**own_drawings, **saved.plan_drawings}
    design = evaluate(replayed.project, rules=rules, progress=Part(watch, 0.4, 1.0))
    lines = tuple(encode_entry(e) for e in replayed.done)
    plans = named_plans(sources, drawings)
    journal = first_journal(state, saved.project, saved.retired, lines, plans, notes)
    return OpenedProject(
        project=replayed.project,
        design=design,
        file=None,
        journal=journal,
        history=lines,
        recovered=replayed.done,
        retired=saved.retired,
        plan_sources=sources,
        plan_drawings=drawings,
        notes=tuple(notes),
    )
