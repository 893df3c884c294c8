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
            step = _need(self.undo)
            return Stacks(step.below, Step(step.patch, None, self.redo))
        if kind is EntryKind.REDO:
            step = _need(self.redo)
            return Stacks(Step(step.patch, None, self.undo), step.below)
        top = self.undo
        if merge is None or top is None or top.merge != merge or self.redo is not None:
            return Stacks(Step(patch, merge, top), None)
        both = top.patch.squash(patch, patch.label)
        return Stacks(Step(both, merge, top.below) if both.changes else top.below, None)


def _need(step: Step | None) -> Step:
    if step is None:
        raise ValueError("The history takes back or repeats an edit that it does not hold.")
    return step
