"""What can be undone and redone: two stacks of committed patches that never change in place."""

from __future__ import annotations

from dataclasses import dataclass

from app.model.project import Patch
from app.storage.history import EntryKind


@dataclass(frozen=True, slots=True)
class Step:
    """One committed patch on a stack, and the step below it."""

    patch: Patch
    merge: str | None
    below: Step | None


@dataclass(frozen=True, slots=True)
class Stacks:
    """The edits that can be taken back, and those that were and can be made again."""

    undo: Step | None = None
    redo: Step | None = None

    def after(self, kind: EntryKind, patch: Patch, merge: str | None = None) -> Stacks:
        """The stacks once a patch was committed as an edit, an undo or a redo.

        An edit empties the redo stack; where it carries the `merge` word of the edit before
        it, the two become one step, or none where they come back to where they began.
        """
        if kind is EntryKind.UNDO:
            return Stacks(_below(self.undo), Step(patch.inverse(), None, self.redo))
        if kind is EntryKind.REDO:
            return Stacks(Step(patch, None, self.undo), _below(self.redo))
        top = self.undo
        if merge is None or top is None or top.merge != merge or self.redo is not None:
            return Stacks(Step(patch, merge, top), None)
        both = top.patch.squash(patch, patch.label)
        return Stacks(Step(both, merge, top.below) if both.changes else top.below, None)


def _below(step: Step | None) -> Step | None:
    """After a crash the journal may take back an edit from before it: then there is no step."""
    return None if step is None else step.below
