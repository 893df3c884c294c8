"""The open project as the window sees it: one place to read, to change, and to hear of it."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.drawing.plan_codec import decode_drawing
from app.drawing.plan_drawing import PlanDrawing
from app.editor.asking import InputProblem, Outcome, Question
from app.editor.document import Document, DocumentChanged, Preview
from app.editor.selection import Selection
from app.editor.shown_states import ALL_SHOWN, ShownStates
from app.model.entities import Entity
from app.model.ids import tag_of_id
from app.model.project import Patch, PatchRefused, Project
from app.model.vocabulary import Units
from app.progress import Cancelled, Progress
from app.standards import RuleSet
from app.ui.dialogs.asking import choose, say
from app.ui.worker import run_with_progress

FAR_REACHING = frozenset({"settings", "cable-type", "outlet-kind", "floor"})
"""What a change of these touches is all runs."""
MANY_OUTLETS = 2_000
"""From here on calculating everything anew is felt."""


class Session(QObject):
    """An open document with its selection, rules and plan drawings."""

    changed = Signal(object)
    """`DocumentChanged`, after every commit, undo and redo."""
    selected = Signal(tuple)
    states_shown = Signal(object)
    """`ShownStates`: other states and phases are in sight."""
    message = Signal(str)
    """One sentence for the line at the bottom."""

    def __init__(
        self,
        document: Document,
        *,
        rules: RuleSet,
        drawings: Mapping[str, PlanDrawing] | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.selection = Selection(document)
        self.rules = rules
        self.shown_states = ALL_SHOWN
        self.copied: tuple[str, ...] = ()
        """What was copied last, to be put on another floor."""
        self._drawings = dict(drawings or {})
        self._ask_in: QWidget | None = None
        self._ends = [
            document.subscribe(self._document_changed),
            self.selection.subscribe(self.selected.emit),
        ]

    @property
    def project(self) -> Project:
        return self.document.project

    @property
    def design(self) -> Any:
        return self.document.design

    @property
    def units(self) -> Units:
        return self.project.settings.units

    def drawings(self, sha256: str) -> PlanDrawing | None:
        """The drawing of a plan by its hash; None where it is not at hand."""
        drawing = self._drawings.get(sha256)
        if drawing is None and sha256 in self.document.plans.drawings:
            drawing = self._drawings[sha256] = decode_drawing(self.document.plans.drawings[sha256])
        return drawing

    def add_drawing(self, sha256: str, drawing: PlanDrawing) -> None:
        """A plan has been read: its drawing is at hand."""
        self._drawings[sha256] = drawing

    def show_states(self, shown: ShownStates) -> None:
        """Bring only things of these states and phases in sight; others are selected no more."""
        self.shown_states = shown
        project = self.project
        seen = [
            i
            for i in self.selection.ids
            if (thing := project.get(i)) is None or shown.shows(project, thing)
        ]
        if len(seen) < len(self.selection.ids):
            self.select(seen)
        self.states_shown.emit(shown)

    def sees(self, thing: Entity) -> bool:
        """Whether a thing is in sight, by its state and phase."""
        return self.shown_states.shows(self.project, thing)

    def ask_in(self, window: QWidget) -> None:
        """Questions and refusals appear over this window."""
        self._ask_in = window

    def commit(self, patch: Patch, *, merge: str | None = None) -> bool:
        """Commit a patch; a refusal is said in words and changes nothing."""
        try:
            foreseen = self._foreseen(patch)
            self.document.commit(patch, merge=merge, foreseen=foreseen)
        except Cancelled:
            return False
        except PatchRefused as refusal:
            self.refuse(str(refusal))
            return False
        return True

    def _foreseen(self, patch: Patch) -> Preview | None:
        """What comes of a patch that lets much be calculated anew, worked out off the window's
        thread; None where that takes no time. Raises PatchRefused, and Cancelled."""
        far_reaching = any(tag_of_id(change.id) in FAR_REACHING for change in patch.changes)
        if not far_reaching or len(self.project.outlets) < MANY_OUTLETS:
            return None
        document = self.document

        def work(progress: Progress) -> Preview:
            preview = document.preview(patch)
            progress.check()
            return preview

        found: Preview = run_with_progress(self._ask_in, patch.label, work)
        return found

    def do(self, command: Callable[[], Outcome | Patch]) -> bool:
        """Run a command, ask what it asks, and commit what comes of it."""
        try:
            outcome = command()
        except (InputProblem, PatchRefused) as problem:
            self.refuse(str(problem))
            return False
        if isinstance(outcome, Question):
            answer = ask(self._ask_in, outcome)
            if answer is None:
                return False
            outcome = answer
        return self.commit(outcome)

    def undo(self) -> None:
        self._step(self.document.undo, "Undone")

    def redo(self) -> None:
        self._step(self.document.redo, "Done again")

    def _step(self, step: Callable[[], DocumentChanged | None], done: str) -> None:
        try:
            changed = step()
        except PatchRefused as problem:
            self.refuse(str(problem))
            return
        if changed is not None:
            self.message.emit(f"{done}: {changed.patch.label}.")

    def refuse(self, sentence: str) -> None:
        """Say why something was not done."""
        self.message.emit(sentence)
        say(self._ask_in, sentence)

    def select(self, ids: Iterable[str]) -> None:
        """Select exactly these."""
        self.selection.set(tuple(ids))

    def close(self) -> None:
        """Hear no more of the document."""
        for end in self._ends:
            end()
        self._ends.clear()

    def _document_changed(self, changed: DocumentChanged) -> None:
        self.changed.emit(changed)


def ask(parent: QWidget | None, question: Question) -> Patch | None:
    """Put a question to the user; the patch of the chosen answer, None to do nothing."""
    index = choose(parent, question.text, [answer.label for answer in question.answers])
    return None if index is None else question.answers[index].patch
