"""After a crash: finds the journals nobody holds, replays what fits, sets aside what does not.

Nothing is deleted here but journals that hold no edit, or none that another does not hold too.
"""

from __future__ import annotations

import itertools
import os
import shutil
import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import msgspec
from msgspec.structs import replace

from app.model.entities import Outlet
from app.model.integrity import check_patch, check_project
from app.model.project import Patch, PatchRefused, Project
from app.storage import bounds
from app.storage.history import EntryKind, HistoryEntry
from app.storage.journal import LINES_NAME, PLANS_NAME, journals_folder, remove_journal
from app.storage.journal_lines import (
    JournalContent,
    UnreadableJournal,
    project_of,
    read_journal,
)
from app.storage.lock import is_held
from app.storage.packed import DamagedBytes, PackedSource, sha256_of, unpack_source
from app.storage.project_json import JournalMark

REASON_NAME = "why.txt"
_BEGINNING_S = 3_600


@dataclass(frozen=True, slots=True)
class FoundJournal:
    """A journal that a process left behind."""

    folder: Path
    content: JournalContent

    @property
    def reason(self) -> str:
        """Why it was set aside, as a sentence; "" where that was not kept."""
        try:
            return (self.folder / REASON_NAME).read_text(encoding="utf-8").strip()
        except (OSError, UnicodeError):
            return ""

    @property
    def when(self) -> str:
        """When its last edit was made, or it was begun."""
        entries = self.content.entries
        return entries[-1].time if entries else self.content.start.made

    def after(self, number: int) -> tuple[HistoryEntry, ...]:
        """The edits that follow a numbered one without a gap."""
        later = tuple(e for e in self.content.entries if e.number > number)
        return later if later and later[0].number == number + 1 else ()

    def plans(self) -> tuple[dict[str, PackedSource], dict[str, bytes]]:
        """The sound originals and drawings that lie beside it, by hash."""
        sources: dict[str, PackedSource] = {}
        drawings: dict[str, bytes] = {}
        for file in sorted((self.folder / PLANS_NAME).glob("*.*")):
            sha256, sort = file.stem, file.suffix
            try:
                data = file.read_bytes()
                if sort == ".source":
                    packed = PackedSource(sha256, data)
                    unpack_source(packed)
                    sources[sha256] = packed
                elif sort == ".drawing" and sha256_of(data) == sha256:
                    drawings[sha256] = data
            except (OSError, DamagedBytes):
                continue
        return sources, drawings


@dataclass(frozen=True, slots=True)
class Replayed:
    """A project after the edits that fit; `refused` follow the first that did not, which
    `reason` explains (None where all fitted)."""

    project: Project
    done: tuple[HistoryEntry, ...]
    refused: tuple[HistoryEntry, ...]
    reason: str | None


def replay(project: Project, entries: Sequence[HistoryEntry]) -> Replayed:
    """Make the edits again, up to the first that does not fit."""
    port_ids = {p.id for outlet in project.outlets.values() for p in outlet.ports}
    for at, entry in enumerate(entries):
        try:
            after = project.apply(entry.patch)
            check_patch(after, entry.patch, port_ids=port_ids)
        except PatchRefused as refusal:
            return Replayed(project, tuple(entries[:at]), tuple(entries[at:]), str(refusal))
        change_port_ids(port_ids, entry.patch)
        project = after
    return Replayed(project, tuple(entries), (), None)


def replay_what_fits(project: Project, entries: Sequence[HistoryEntry]) -> Replayed:
    """Make every edit again that still fits, as a new edit; the others are passed over.

    An edit fits only where all that it changes is as it was when it was made.
    """
    done: list[HistoryEntry] = []
    passed: list[HistoryEntry] = []
    for entry in entries:
        once = replay(project, [entry])
        if once.refused:
            passed.append(entry)
            continue
        project = once.project
        done.append(replace(entry, number=len(done) + 1, kind=EntryKind.EDIT, merge=None))
    reason = "what they change is no longer as it was" if passed else None
    return Replayed(project, tuple(done), tuple(passed), reason)


def change_port_ids(port_ids: set[str], patch: Patch) -> None:
    """Bring the set of a project's port ids up to a patch."""
    for change in patch.changes:
        if isinstance(change.before, Outlet):
            port_ids.difference_update(p.id for p in change.before.ports)
    for change in patch.changes:
        if isinstance(change.after, Outlet):
            port_ids.update(p.id for p in change.after.ports)


def abandoned_journals(state: Path) -> tuple[FoundJournal, ...]:
    """Every journal that no running process holds, the newest first.

    One that cannot be read at all is set aside.
    """
    _sweep(journals_folder(state))
    found = []
    for folder in _folders(journals_folder(state)):
        if is_held(folder / LINES_NAME):
            continue
        try:
            found.append(FoundJournal(folder, read_journal(_lines(folder))))
        except UnreadableJournal as problem:
            with suppress(OSError):  # it stays, then, and is met again at the next start
                set_aside(state, folder, f"The journal cannot be read: {problem}.")
        except OSError:
            continue
    return tuple(sorted(found, key=lambda j: (j.when, j.folder.name), reverse=True))


def journals_of(
    found: Sequence[FoundJournal], path: Path, mark: JournalMark
) -> tuple[tuple[FoundJournal, ...], tuple[FoundJournal, ...]]:
    """Of the journals, those that continue the file, the fullest first; and those that belong
    to a file at this path but do not continue what stands there now."""
    fitting, strange = [], []
    for journal in found:
        start = journal.content.start
        continues = start.journal == mark.journal or start.after == mark
        at_home = _is_at(journal.content.path, path)
        if continues and (at_home or _has_moved(journal.content.path)):
            fitting.append(journal)
        elif at_home:
            strange.append(journal)
    fitting.sort(key=lambda j: len(j.after(mark.number)), reverse=True)
    return tuple(fitting), tuple(strange)


def unsaved_projects(found: Sequence[FoundJournal]) -> tuple[FoundJournal, ...]:
    """The journals of projects that never had a file."""
    return tuple(j for j in found if j.content.path is None and j.content.start.has_base)


def base_project(journal: FoundJournal) -> Project:
    """The project that a journal without a file begins with. Raises UnreadableJournal."""
    start = journal.content.start
    if not start.has_base:
        raise UnreadableJournal("it belongs to a file")
    try:
        project = project_of(start.base, start.schema)
        check_project(project)
    except (msgspec.MsgspecError, PatchRefused, KeyError, TypeError) as problem:
        raise UnreadableJournal(str(problem)) from None
    return project


def aside_folder(state: Path) -> Path:
    """Where what does not fit is kept in a state folder."""
    return state / "set-aside"


def set_aside(state: Path, folder: Path, reason: str) -> Path:
    """Move a journal to where nothing touches it, with the reason; gives its new place.

    Raises OSError; then the journal stays where it is, or has no reason beside it.
    """
    target = _moved_to(folder, aside_folder(state))
    (target / REASON_NAME).write_text(reason + "\n", encoding="utf-8")
    return target


def set_aside_copy(state: Path, file: Path) -> Path:
    """Keep a copy of a project file as it was found, before anything replaces it.

    Raises OSError.
    """
    aside = aside_folder(state)
    aside.mkdir(parents=True, exist_ok=True)
    for name in _names(file.stem, file.suffix):
        target = aside / name
        try:
            with file.open("rb") as old, target.open("xb") as new:
                shutil.copyfileobj(old, new)
        except FileExistsError:
            continue
        except OSError:
            target.unlink(missing_ok=True)
            raise
        return target
    raise AssertionError  # the names have no end


def put_away(state: Path, journal: FoundJournal) -> Path:
    """Offer what was set aside no more; it is kept among what was put away. Raises OSError."""
    return _moved_to(journal.folder, state / "put-away")


def _moved_to(folder: Path, parent: Path) -> Path:
    """Move a folder under a name that nothing has there."""
    parent.mkdir(parents=True, exist_ok=True)
    for name in _names(folder.name):
        target = parent / name
        try:
            target.mkdir()
        except FileExistsError:
            continue
        try:
            if os.name == "nt":
                target.rmdir()  # a folder takes no other's place there, not even an empty one's
            folder.replace(target)
        except OSError:
            with suppress(OSError):
                target.rmdir()
            raise
        return target
    raise AssertionError  # the names have no end


def _names(stem: str, suffix: str = "") -> Iterator[str]:
    """Names with the time in them, and a counter from the second on."""
    stamped = f"{stem}-{time.strftime('%Y%m%d-%H%M%S', time.gmtime())}"
    yield f"{stamped}{suffix}"
    for counter in itertools.count(2):
        yield f"{stamped}-{counter}{suffix}"


def journals_set_aside(state: Path) -> tuple[FoundJournal, ...]:
    """What was set aside and can still be read, to be offered; the newest first."""
    found = []
    for folder in _folders(aside_folder(state)):
        try:
            found.append(FoundJournal(folder, read_journal(_lines(folder))))
        except (UnreadableJournal, OSError):
            continue
    return tuple(sorted(found, key=lambda j: j.when, reverse=True))


def drop_if_empty(journal: FoundJournal) -> bool:
    """Remove a journal that holds no edit and no unsaved project; whether it did."""
    content = journal.content
    empty = not content.entries and not content.damaged and not content.start.has_base
    if empty:
        remove_journal(journal.folder)
    return empty


def _folders(parent: Path) -> list[Path]:
    try:
        return sorted(f for f in parent.iterdir() if f.is_dir() and not f.name.startswith("."))
    except FileNotFoundError:
        return []


def _sweep(parent: Path) -> None:
    """Remove what was left of journals that were being begun or removed when a process ended.

    The first hold nothing that does not lie elsewhere too, the second nothing of worth.
    """
    if not parent.is_dir():
        return
    for folder in parent.iterdir():
        with suppress(FileNotFoundError):  # another process may sweep too
            old = time.time() - folder.stat().st_mtime > _BEGINNING_S
            if old and folder.name.startswith("."):
                shutil.rmtree(folder, ignore_errors=True)


def _lines(folder: Path) -> bytes:
    file = folder / LINES_NAME
    if file.stat().st_size > bounds.LARGEST_JOURNAL_BYTES:
        raise UnreadableJournal("it is too large")
    return file.read_bytes()


def _is_at(journal_path: str | None, path: Path) -> bool:
    if journal_path is None:
        return False
    return os.path.normcase(journal_path) == os.path.normcase(path.resolve())


def _has_moved(journal_path: str | None) -> bool:
    """Whether the file the journal knew is no longer there: then it was moved here."""
    return journal_path is None or not Path(journal_path).exists()
