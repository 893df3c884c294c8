"""The open project: the one place where it changes, and where everybody hears of it."""

from __future__ import annotations

import sys
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Protocol

import msgspec

from app.editor.history import Stacks
from app.model.integrity import check_patch
from app.model.project import Change, Patch, PatchRefused, Project
from app.storage.history import EntryKind, HistoryEntry, decode_entry, encode_entry

Design = Any
DesignChange = Any
Evaluate = Callable[[Project], Design]
Recalculate = Callable[[Design, Project, Patch], tuple[Design, DesignChange]]


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


ChangedCallback = Callable[[DocumentChanged], None]


class Keeper(Protocol):
    """Where committed lines go before a commit returns; raises OSError when it cannot."""

    def write(self, line: bytes) -> None: ...


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


@dataclass(frozen=True, slots=True)
class _State:
    """All that one commit swaps."""

    project: Project
    design: Design
    stacks: Stacks
    number: int
    revision: int


class Document:
    """A project being worked on. All of it is used from one thread, the one that made it."""

    def __init__(
        self,
        project: Project,
        *,
        design: Design = None,
        number: int = 0,
        keeper: Keeper | None = None,
        author: Callable[[], str] = str,
        clock: Callable[[], str] = _now,
        evaluate: Evaluate | None = None,
        recalculate: Recalculate | None = None,
        report_bug: Callable[[BaseException], None] | None = None,
    ) -> None:
        """`number` is that of the last line of the project's history."""
        self._recalculate = recalculate or (lambda d, _project, _patch: (d, None))
        if design is None and evaluate is not None:
            design = evaluate(project)
        self._state = _State(project, design, Stacks(), number, 0)
        self._port_ids = {p.id for outlet in project.outlets.values() for p in outlet.ports}
        self._keeper = keeper
        self._author = author
        self._clock = clock
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

    # --- change -------------------------------------------------------------------------

    def preview(self, patch: Patch) -> Preview:
        """What the patch would make; nothing is kept. Raises PatchRefused as `commit` does."""
        state = self._state
        project = state.project.apply(patch)
        check_patch(project, patch)
        design, change = self._recalculate(state.design, project, patch)
        return Preview(project, design, change)

    def commit(
        self, patch: Patch, *, reason: str = "", merge: str | None = None
    ) -> DocumentChanged | None:
        """Make the edit, and return once it is safe with the operating system.

        Edits in a row that carry the same `merge` word are undone as one. A patch without
        changes does nothing (None). Raises PatchRefused, and then nothing has changed.
        """
        if not patch.changes:
            return None
        return self._commit(patch, EntryKind.EDIT, reason=reason, merge=merge)

    def undo(self) -> DocumentChanged | None:
        """Take the last edit back; None where there is none."""
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

    # --- within -------------------------------------------------------------------------

    def _commit(
        self, patch: Patch, kind: EntryKind, *, reason: str = "", merge: str | None = None
    ) -> DocumentChanged:
        if threading.get_ident() != self._thread:
            raise RuntimeError("A document is changed only in the thread that made it.")
        before = self._state
        entry = HistoryEntry(
            number=before.number + 1,
            time=self._clock(),
            author=self._author(),
            reason=reason,
            kind=kind,
            merge=merge,
            patch=patch,
        )
        line, patch = _checked_line(entry)
        project = before.project.apply(patch)
        check_patch(project, patch)
        design, change = self._recalculate(before.design, project, patch)
        after = _State(
            project,
            design,
            before.stacks.after(kind, patch, merge),
            entry.number,
            before.revision + 1,
        )
        if self._keeper is not None:
            self._keeper.write(line)
        self._state = after
        changed = DocumentChanged(after.revision, patch, change)
        self._tell(changed)
        return changed

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


def _checked_line(entry: HistoryEntry) -> tuple[bytes, Patch]:
    """The entry's line, and its patch as it will be read again; the line is the type check."""
    try:
        line = encode_entry(entry)
        read = decode_entry(line)
    except (msgspec.MsgspecError, UnicodeError, TypeError, ValueError) as problem:
        raise PatchRefused(f"The edit “{entry.patch.label}” cannot be kept: {problem}") from None
    changes = tuple(
        Change(given.id, given.before, kept.after)
        for given, kept in zip(entry.patch.changes, read.patch.changes, strict=True)
    )
    return line, Patch(read.patch.label, changes)


def _to_excepthook(bug: BaseException) -> None:
    sys.excepthook(type(bug), bug, bug.__traceback__)
