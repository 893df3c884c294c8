"""Opening: the file, its lock, the edits a crash left in the journal, and all that follows."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

from app.design import Design, evaluate
from app.editor.document import Document, SavedFile
from app.editor.plan_shelf import PlanShelf
from app.jobs.journals import (
    finish_with,
    first_journal,
    kept_in,
    named_plans,
    no_journal,
    recovered_note,
)
from app.jobs.progress_parts import Part
from app.jobs.saving import stamp_of
from app.model.project import Project
from app.progress import Progress, Silent
from app.standards import RuleSet
from app.storage.failures import UnreadableProject, in_words
from app.storage.history import HistoryEntry, encode_entry
from app.storage.journal import Journal, start_journal
from app.storage.lock import Lock, take_lock
from app.storage.packed import PackedSource
from app.storage.project_file import SavedProject, load_project
from app.storage.project_json import NO_MARK, JournalMark
from app.storage.recovery import (
    FoundJournal,
    Replayed,
    abandoned_journals,
    drop_if_empty,
    journals_of,
    replay,
    set_aside_copy,
)
from app.storage.retired import RetiredByTag
from app.storage.state_folder import state_folder


@dataclass(frozen=True, kw_only=True)
class OpenedProject:
    """Everything that an open document needs. `notes` are sentences to be shown to the user;
    `recovered` the edits that came from the journal of a session that ended in a crash; `retired`
    the numbers of things that were removed before those."""

    project: Project
    design: Design
    file: SavedFile | None
    journal: Journal | None
    mark: JournalMark = NO_MARK
    history: tuple[bytes, ...] = ()
    recovered: tuple[HistoryEntry, ...] = ()
    retired: RetiredByTag = field(default_factory=dict)
    plan_sources: dict[str, PackedSource] = field(default_factory=dict)
    plan_drawings: dict[str, bytes] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    lock_is_lent: bool = False
    """Whether another document still has the file's lock, until `document` is called."""

    def document(self, *, rules: RuleSet | None = None) -> Document:
        """The document, to be made in the thread that will use it.

        A lock that was lent is this document's from now on.
        """
        file = self.file
        if file is not None and file.lock is not None and self.lock_is_lent:
            file = replace(file, lock=file.lock.handed_over())
        saved = None if file is None else file.saved
        shelf = PlanShelf(self.plan_sources, self.plan_drawings)
        if saved is not None:
            shelf.now_in_file(saved.plan_sources, saved.plan_drawings)
        return Document(
            self.project,
            design=self.design,
            mark=self.mark,
            history=self.history,
            recovered=self.recovered,
            retired=self.retired,
            plans=shelf,
            journal=self.journal,
            file=file,
            rules=rules,
        )

    def let_go(self) -> None:
        """Give back file and journal of a project that no document will be made of; edits that
        were recovered will be again."""
        if self.journal is not None:
            if self.recovered:
                self.journal.close()
            else:
                self.journal.remove()
        if self.file is not None and self.file.lock is not None and not self.lock_is_lent:
            self.file.lock.release()


def open_project(
    path: Path,
    *,
    state: Path | None = None,
    by_force: bool = False,
    lent: Lock | None = None,
    rules: RuleSet | None = None,
    progress: Progress | None = None,
) -> OpenedProject:
    """Open a project file to be worked on; edits that a crash kept from being saved come back.

    `by_force` opens it though somebody else seems to have it open. `lent` is the lock of the
    document that is about to be left (`Document.lock_of`), for the case that it has this very
    file: it keeps the lock if opening fails. Raises UnreadableProject, Locked and Cancelled.
    """
    watch = Silent() if progress is None else progress
    state = state_folder() if state is None else state
    if not path.exists():
        raise UnreadableProject(f"There is no file “{path}”; check its name and folder.")
    notes: list[str] = []
    is_lent = lent is not None and lent.is_of(path)
    lock = lent if is_lent else _lock(path, by_force, notes)
    try:
        saved = load_project(path, progress=Part(watch, 0.0, 0.4))
        notes += saved.notes
        if saved.notes:
            keep_copy(state, path, notes)
        found = _recover(saved, path, state, notes)
        design = evaluate(found.project, rules=rules, progress=Part(watch, 0.4, 1.0))
        journal = _journal(state, path, saved.journal_mark, found, notes)
    except BaseException:
        if lock is not None and not is_lent:
            lock.release()
        raise
    return OpenedProject(
        project=found.project,
        design=design,
        file=SavedFile(path, saved, lock, stamp_of(path)),
        journal=journal,
        mark=saved.journal_mark,
        history=(*saved.history, *(encode_entry(e) for e in found.done)),
        recovered=found.done,
        retired=saved.retired,
        plan_sources={**found.sources, **saved.plan_sources},
        plan_drawings={**found.drawings, **saved.plan_drawings},
        notes=tuple(notes),
        lock_is_lent=is_lent,
    )


def begin_project(
    saved: SavedProject,
    *,
    state: Path | None = None,
    rules: RuleSet | None = None,
    progress: Progress | None = None,
) -> OpenedProject:
    """Open a project that has no file yet, such as a new one; a crash does not lose it either."""
    state = state_folder() if state is None else state
    notes = list(saved.notes)
    design = evaluate(saved.project, rules=rules, progress=progress)
    plans = named_plans(saved.plan_sources, saved.plan_drawings)
    journal = first_journal(state, saved.project, saved.retired, (), plans, notes)
    return OpenedProject(
        project=saved.project,
        design=design,
        file=None,
        journal=journal,
        retired=saved.retired,
        plan_sources=dict(saved.plan_sources),
        plan_drawings=dict(saved.plan_drawings),
        notes=tuple(notes),
    )


# --- within ---------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class _Found:
    """A project after the edits of its journals, and what is to be done with those."""

    project: Project
    done: tuple[HistoryEntry, ...] = ()
    sources: dict[str, PackedSource] = field(default_factory=dict)
    drawings: dict[str, bytes] = field(default_factory=dict)
    used: tuple[tuple[FoundJournal, Replayed], ...] = ()


def _lock(path: Path, by_force: bool, notes: list[str]) -> Lock | None:
    try:
        return take_lock(path, by_force=by_force)
    except OSError as error:
        notes.append(
            f"Others cannot see that “{path.name}” is open here, because {in_words(error)}; "
            "saving may need another folder."
        )
        return None


def keep_copy(state: Path, path: Path, notes: list[str]) -> None:
    """Keep the file as it was found, and add to the notes where."""
    try:
        copy = set_aside_copy(state, path)
    except OSError:
        notes.append(f"Keep a copy of “{path.name}” as it is before you save over it.")
    else:
        notes.append(f"The file as it was found is kept as {copy}.")


def _recover(saved: SavedProject, path: Path, state: Path, notes: list[str]) -> _Found:
    """The project with the edits of the fullest journal that continues it."""
    try:
        left = [j for j in abandoned_journals(state) if not drop_if_empty(j)]
    except OSError as error:
        notes.append(f"The journals of earlier starts cannot be read: {in_words(error)}.")
        return _Found(project=saved.project)
    mark = saved.journal_mark
    fitting, strange = journals_of(left, path, mark)
    for journal in strange:
        kept = kept_in(state, journal, f"It does not continue the file at {path}.")
        notes.append(
            f"{len(journal.content.entries)} unsaved edits of {journal.when} do not belong to the "
            f"file that now stands at this place; they are kept in {kept}."
        )
    if not fitting:
        return _Found(project=saved.project)
    best = fitting[0]
    replayed = replay(saved.project, best.after(mark.number))
    if replayed.done:
        notes.append(recovered_note(replayed))
    sources, drawings = best.plans()
    others = ((j, _beside(j, best, mark.number)) for j in fitting[1:])
    return _Found(
        project=replayed.project,
        done=replayed.done,
        sources=sources,
        drawings=drawings,
        used=((best, replayed), *others),
    )


def _beside(other: FoundJournal, best: FoundJournal, number: int) -> Replayed:
    """Another journal as if replayed: refused where it says what the best one does not."""
    own, its = best.after(number), other.after(number)
    if its == own[: len(its)]:
        return Replayed(Project(), (), (), None)
    return Replayed(Project(), (), its, "another journal of this project has more edits")


def _journal(
    state: Path, path: Path, mark: JournalMark, found: _Found, notes: list[str]
) -> Journal | None:
    """The journal of this start; the ones it replaces are put away once it stands."""
    lines = [encode_entry(e) for e in found.done]
    try:
        journal = start_journal(
            state,
            path=path,
            after=mark,
            lines=lines,
            plans=named_plans(found.sources, found.drawings),
        )
    except OSError as error:
        notes.append(no_journal(error))
        return None
    for left, replayed in found.used:
        finish_with(state, left, replayed, notes)
    return journal
