"""The open project: the one place where it changes, and where everybody hears of it."""

from __future__ import annotations

import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import msgspec

from app.design import Design, DesignChange, evaluate, recalculate
from app.editor.history import Stacks
from app.editor.plan_shelf import PlanShelf
from app.model.integrity import check_patch
from app.model.project import Change, Patch, PatchRefused, Project
from app.standards import RuleSet
from app.storage.failures import in_words
from app.storage.history import EntryKind, HistoryEntry, decode_entry, encode_entry
from app.storage.journal import Journal
from app.storage.lock import Lock, user_name
from app.storage.project_file import SavedProject, named_hashes
from app.storage.project_json import NO_MARK, JournalMark
from app.storage.recovery import change_port_ids
from app.storage.retired import RetiredByTag, RetiredNumbers


class EditNotKept(PatchRefused):
    """The edit was right, but could not be written to the journal; it was not made."""


@dataclass(frozen=True, slots=True)
class DocumentChanged:
    """What one commit changed: the ids in the patch, and what follows from them."""

    revision: int
    patch: Patch
    design_change: DesignChange


@dataclass(frozen=True, slots=True)
class Preview:
    """What a patch would make of the project; thrown away."""

    project: Project
    design: Design
    change: DesignChange


@dataclass(frozen=True, slots=True)
class SavedFile:
    """A file that was saved, with what went into it and the lock that is held on it."""

    path: Path
    saved: SavedProject
    lock: Lock | None
    stamp: tuple[int, int] | None
    """Size and time of change, to tell whether somebody else has written it since."""


ChangedCallback = Callable[[DocumentChanged], None]


@dataclass(frozen=True, slots=True)
class _State:
    """All that one commit swaps."""

    project: Project
    design: Design
    stacks: Stacks
    number: int
    revision: int


class Document:
    """A project being worked on. All of it but `preview`, which any thread may ask for, is used
    from one thread, the one that made it."""

    def __init__(
        self,
        project: Project,
        *,
        design: Design | None = None,
        mark: JournalMark = NO_MARK,
        history: Iterable[bytes] = (),
        recovered: Iterable[HistoryEntry] = (),
        retired: RetiredByTag | None = None,
        plans: PlanShelf | None = None,
        journal: Journal | None = None,
        file: SavedFile | None = None,
        rules: RuleSet | None = None,
        clock: Callable[[], str] | None = None,
        report_bug: Callable[[BaseException], None] | None = None,
    ) -> None:
        """`mark` is that of the file; `recovered` are the edits made since, already in
        `project` and `history`: they can be undone, and have not been saved; `retired` are the
        numbers of things removed before them. Without a `design` it is evaluated here, by the
        `rules`.
        """
        if design is None:
            design = evaluate(project, rules=rules)
        stacks, number = Stacks(), mark.number
        self._retired = RetiredNumbers(retired)
        for entry in recovered:
            self._retired.follow(entry.kind, entry.patch)
            stacks, number = stacks.after(entry.kind, entry.patch, entry.merge), entry.number
        self._state = _State(project, design, stacks, number, 0)
        self._history = list(history)
        self._port_ids = {p.id for outlet in project.outlets.values() for p in outlet.ports}
        self.plans = PlanShelf() if plans is None else plans
        self.plans.begin_with(project)
        self._journal = journal
        self._file = file
        self._saved_number = mark.number
        self._clock = clock or _now
        self._report_bug = report_bug or _to_excepthook
        self._callbacks: list[ChangedCallback] = []
        self._events: deque[DocumentChanged] = deque()
        self._telling = False
        self._thread = threading.get_ident()

    # --- what stands --------------------------------------------------------------------

    @property
    def project(self) -> Project:
        return self._state.project

    @property
    def design(self) -> Design:
        return self._state.design

    @property
    def revision(self) -> int:
        """Counts commits, undos and redos since the document was opened."""
        return self._state.revision

    @property
    def undo_label(self) -> str | None:
        """The label of the edit that `undo` would take back; None where there is none."""
        step = self._state.stacks.undo
        return None if step is None else step.patch.label

    @property
    def redo_label(self) -> str | None:
        """The label of the edit that `redo` would make again; None where there is none."""
        step = self._state.stacks.redo
        return None if step is None else step.patch.label

    @property
    def file(self) -> SavedFile | None:
        """The file it was opened from or saved to last; None while it has none."""
        return self._file

    @property
    def path(self) -> Path | None:
        return None if self._file is None else self._file.path

    def lock_of(self, path: Path) -> Lock | None:
        """This document's lock, if it is that of the file at `path`: to be lent to
        `open_project`, which then opens the same file again though this document still has it.
        """
        lock = None if self._file is None else self._file.lock
        return lock if lock is not None and lock.is_of(path) else None

    @property
    def is_saved(self) -> bool:
        """Whether the file holds everything that was done."""
        if self._file is None:
            return False
        if self._state.number == self._saved_number:
            return True
        return self._state.project == self._file.saved.project

    def retired_numbers(self, of_type: type[msgspec.Struct]) -> frozenset[str]:
        """The numbers, or names, of things of a type that were removed in the project's life.

        Of `Port` they are the numbers of cables, of `PanelPort` the printed places on panels.
        They are never given again; commands that number things take them as `retired`.
        """
        return self._retired.of(of_type)

    @property
    def journal_problem(self) -> str | None:
        """Why edits are not safe from a crash, in words; None where they are."""
        if self._journal is None:
            return "no journal is kept"
        problem = self._journal.problem
        return None if problem is None else in_words(problem)

    # --- change -------------------------------------------------------------------------

    def preview(self, patch: Patch) -> Preview:
        """What the patch would make; nothing is kept. Raises PatchRefused as `commit` does."""
        state = self._state
        project = state.project.apply(patch)
        check_patch(project, patch, port_ids=self._port_ids)
        design, change = recalculate(state.design, project, patch)
        return Preview(project, design, change)

    def commit(
        self,
        patch: Patch,
        *,
        reason: str = "",
        merge: str | None = None,
        foreseen: Preview | None = None,
    ) -> DocumentChanged | None:
        """Make the edit, and return once it is safe with the operating system.

        Edits in a row that carry the same `merge` word are undone as one. A patch without
        changes does nothing (None). `foreseen` is what `preview` made of the patch, perhaps in
        another thread; it spares calculating again, unless the project has changed since.
        Raises PatchRefused, and then nothing has changed.
        """
        if not patch.changes:
            return None
        return self._commit(patch, EntryKind.EDIT, reason=reason, merge=merge, foreseen=foreseen)

    def undo(self) -> DocumentChanged | None:
        """Take the last edit back; None where there is none. Raises as `commit` does."""
        step = self._state.stacks.undo
        return None if step is None else self._commit(step.patch.inverse(), EntryKind.UNDO)

    def redo(self) -> DocumentChanged | None:
        """Make the last edit that was taken back again; None where there is none."""
        step = self._state.stacks.redo
        return None if step is None else self._commit(step.patch, EntryKind.REDO)

    def subscribe(self, callback: ChangedCallback) -> Callable[[], None]:
        """Call back after every change, in order; the result ends that.

        A callback that raises is reported as a bug; the others are still called, and the
        commit stands.
        """
        self._callbacks.append(callback)
        return lambda: self._callbacks.remove(callback)

    # --- the file -----------------------------------------------------------------------

    def to_save(self) -> SavedProject:
        """Everything that belongs in the file, as it stands now; any thread may write it."""
        state = self._state
        journal = "" if self._journal is None else self._journal.id
        return SavedProject(
            project=state.project,
            history=tuple(self._history),
            plan_sources=dict(self.plans.sources),
            plan_drawings=dict(self.plans.drawings),
            journal_mark=JournalMark(journal, state.number),
            retired=self._retired.by_tag(),
        )

    def saved(self, file: SavedFile) -> None:
        """A snapshot from `to_save` now lies in this file, whose lock is this document's."""
        held = None if self._file is None else self._file.lock
        if held is not None and held is not file.lock:
            held.release()
        moved = self.path != file.path
        self._file = file
        self._saved_number = file.saved.journal_mark.number
        later = self._state.number - self._saved_number
        # The file's history may have been cut to size.
        self._history = [*file.saved.history, *self._history[len(self._history) - later :]]
        used = named_hashes(file.saved.project)
        self.plans.now_in_file(
            used & set(file.saved.plan_sources), used & set(file.saved.plan_drawings)
        )
        if self._journal is not None:
            self._journal = _journal_after_saving(
                self._journal, file, moved=moved, all_saved=self._state.number == self._saved_number
            )

    def close(self, *, keep_unsaved: bool = False) -> None:
        """Let go of file and journal. Unsaved edits are dropped, unless kept as after a crash."""
        if self._journal is not None:
            if keep_unsaved and not self.is_saved:
                self._journal.close()
            else:
                self._journal.remove()
            self._journal = None
        if self._file is not None and self._file.lock is not None:
            self._file.lock.release()

    # --- within -------------------------------------------------------------------------

    def _commit(
        self,
        patch: Patch,
        kind: EntryKind,
        *,
        reason: str = "",
        merge: str | None = None,
        foreseen: Preview | None = None,
    ) -> DocumentChanged:
        if threading.get_ident() != self._thread:
            raise RuntimeError("A document is changed only in the thread that made it.")
        before = self._state
        entry = HistoryEntry(
            number=before.number + 1,
            time=self._clock(),
            author=before.project.settings.author or user_name()[:200],
            reason=reason,
            kind=kind,
            merge=merge,
            patch=patch,
        )
        line, patch = _checked_line(entry)
        project = before.project.apply(patch)
        check_patch(project, patch, port_ids=self._port_ids)
        if foreseen is not None and foreseen.project == project:
            project, design, change = foreseen.project, foreseen.design, foreseen.change
        else:
            design, change = recalculate(before.design, project, patch)
        after = _State(
            project,
            design,
            before.stacks.after(kind, patch, merge),
            entry.number,
            before.revision + 1,
        )
        self._keep(line, patch, entry.number)
        self._state = after
        self._history.append(line)
        change_port_ids(self._port_ids, patch)
        self._retired.follow(kind, patch)
        changed = DocumentChanged(after.revision, patch, change)
        self._tell(changed)
        return changed

    def _keep(self, line: bytes, patch: Patch, number: int) -> None:
        try:
            self.plans.make_safe(patch, self._journal)
            if self._journal is not None:
                self._journal.write(line, number)
        except OSError as error:
            raise EditNotKept(
                f"“{patch.label}” was not done, because it could not be kept safe: "
                f"{in_words(error)}. Make room or save the project, then try again."
            ) from error

    def _tell(self, changed: DocumentChanged) -> None:
        self._events.append(changed)
        if self._telling:
            return
        self._telling = True
        try:
            while self._events:
                event = self._events.popleft()
                for callback in tuple(self._callbacks):
                    try:
                        callback(event)
                    except Exception as bug:
                        self._report_bug(bug)
        finally:
            self._telling = False


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _to_excepthook(bug: BaseException) -> None:
    sys.excepthook(type(bug), bug, bug.__traceback__)


def _checked_line(entry: HistoryEntry) -> tuple[bytes, Patch]:
    """The entry's line, and its patch as it will be read again; the line is the type check."""
    try:
        line = encode_entry(entry)
        read = decode_entry(line)
    except (msgspec.MsgspecError, UnicodeError, TypeError, ValueError, OverflowError) as problem:
        raise PatchRefused(f"The edit “{entry.patch.label}” cannot be kept: {problem}") from None
    changes = tuple(
        Change(given.id, given.before, kept.after)
        for given, kept in zip(entry.patch.changes, read.patch.changes, strict=True)
    )
    return line, Patch(read.patch.label, changes)


def _journal_after_saving(
    journal: Journal, file: SavedFile, *, moved: bool, all_saved: bool
) -> Journal:
    """The journal to go on with: told of the file, or a new one where it has a problem."""
    try:
        if all_saved and (journal.problem is not None or journal.had_no_room):
            return journal.renewed(path=file.path)
        if moved:
            journal.belongs_to(file.path)
    except OSError as error:
        journal.problem = error
    return journal
