"""The journals of what is opened: begun, and the ones they replace put away."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from app.model.project import Project
from app.storage.failures import in_words
from app.storage.journal import Journal, remove_journal, start_journal
from app.storage.packed import PackedSource
from app.storage.recovery import FoundJournal, Replayed, aside_folder, set_aside
from app.storage.retired import RetiredByTag


def first_journal(
    state: Path,
    base: Project,
    retired: RetiredByTag,
    lines: Sequence[bytes],
    plans: Iterable[tuple[str, bytes]],
    notes: list[str],
) -> Journal | None:
    try:
        return start_journal(state, path=None, base=base, retired=retired, lines=lines, plans=plans)
    except OSError as error:
        notes.append(no_journal(error))
        return None


def no_journal(error: OSError) -> str:
    return (
        f"Edits are not safe from a crash until they are saved: no journal can be kept, because "
        f"{in_words(error)}."
    )


def named_plans(
    sources: Mapping[str, PackedSource], drawings: Mapping[str, bytes]
) -> Iterable[tuple[str, bytes]]:
    for sha256, packed in sources.items():
        yield f"{sha256}.source", packed.data
    for sha256, data in drawings.items():
        yield f"{sha256}.drawing", data


def finish_with(state: Path, left: FoundJournal, replayed: Replayed, notes: list[str]) -> None:
    """Remove a journal whose edits are all in the new one; set another aside, with a note."""
    lost = len(replayed.refused) + left.content.damaged
    if not lost:
        remove_journal(left.folder)
        return
    reason = replayed.reason or "some of its lines are damaged"
    kept = kept_in(state, left, reason)
    notes.append(
        f"{lost} more {'edit' if lost == 1 else 'edits'} in the journal could not be made again "
        f"({reason.rstrip('.')}); they are kept in {kept}."
    )


def kept_in(state: Path, journal: FoundJournal, reason: str) -> Path:
    """Set a journal aside, if it is not there already; where it lies now. Where it cannot be
    moved it stays, and opening goes on."""
    if journal.folder.parent == aside_folder(state):
        return journal.folder
    try:
        return set_aside(state, journal.folder, reason)
    except OSError:
        return journal.folder


def recovered_note(replayed: Replayed) -> str:
    count = len(replayed.done)
    edits = "1 edit was" if count == 1 else f"{count} edits were"
    return (
        f"{edits} recovered that had not been saved when the program ended "
        f"(the last: “{replayed.done[-1].patch.label}”, {replayed.done[-1].time}). "
        "Undo takes them back."
    )
