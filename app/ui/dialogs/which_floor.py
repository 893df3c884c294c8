"""Which floor? Every frame and marked place with it and without it, side by side."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from app.editor.commands.records import apply_candidate
from app.model.project import Project
from app.progress import Progress
from app.siting.which_floor import PlaceAnswer, which_floor
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.dialogs.place_list import FIGURES, RUNS_OVER, PlaceList, least_width, said_of
from app.ui.panel.pieces import words
from app.ui.session import Session
from app.ui.words import floor_word


def answers_of(design: Any, progress: Progress) -> tuple[PlaceAnswer, ...]:
    """Every answer, in any thread."""
    return which_floor(design, progress=progress)


def titled(answer: PlaceAnswer, project: Project) -> str:
    """“Floor 2, T2 stands”, “Floor 3, X is marked”, “Floor 4, no frame and no place”."""
    floor = project.floors.get(answer.floor)
    where = "" if floor is None else floor_word(floor.name)
    if answer.thing is None:
        return f"{where}: no frame, no place"
    return f"{where}: {answer.name}{'' if answer.stands else ', marked'}"


class WhichFloorDialog(Dialog):
    """Stays open beside the plan, which shows the place that is chosen here."""

    thing_asked = Signal(str)
    again_asked = Signal()

    def __init__(
        self, answers: Sequence[PlaceAnswer], session: Session, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "Which floor?",
            "The whole building was routed with and without each place. Nothing is proven "
            "beyond the places that were tried; a new riser can be worth more than a new room.",
            parent,
            high=42,
        )
        self._wide = least_width() + look.em(9)
        self.keep_on_top_of_nothing()
        self._session = session
        self._answers: tuple[PlaceAnswer, ...] = ()
        self.places = PlaceList(session.units, self)
        self.places.place_chosen.connect(self._place_chosen)
        self.column.addWidget(self.places.heading)
        self.column.setSpacing(look.em(0.4))
        self.column.addWidget(self.places, 1)
        self._stale = words(
            "The project has been edited since; ask again for answers of now.", "warn", self
        )
        self.column.addWidget(self._stale)
        role = self.buttons.ButtonRole.ActionRole
        self.place_button = self.buttons.addButton("Put a frame at this place", role)
        self.place_button.clicked.connect(self.put_frame)
        self.again_button = self.buttons.addButton("Ask again", role)
        self.again_button.clicked.connect(self.again_asked)
        copy = self.buttons.addButton("Copy", role)
        copy.setToolTip("Copy all places and numbers, for a spreadsheet")
        copy.clicked.connect(self.copy)
        self.show_answers(answers)
        session.changed.connect(self._project_changed)
        self.finish(cancel="Close")

    def show_answers(self, answers: Sequence[PlaceAnswer]) -> None:
        """Show answers of now."""
        self._answers = tuple(answers)
        project = self._session.project
        self.places.show_answers(answers, lambda a: titled(a, project))
        self._stale.hide()
        self.again_button.hide()
        self._tell_button()

    def put_frame(self) -> None:
        """Put a frame at the chosen place, in one edit."""
        answer, session = self.places.answer(), self._session
        if answer is not None and answer.thing is not None:
            thing = answer.thing
            retired = session.document.retired_numbers
            session.do(lambda: apply_candidate(session.project, thing, retired=retired))

    def copy(self) -> None:
        """All places as rows of a spreadsheet."""
        QGuiApplication.clipboard().setText(as_text(self._answers, self._session.project))

    def _place_chosen(self, answer: PlaceAnswer) -> None:
        self._tell_button()
        self.thing_asked.emit(answer.thing or answer.floor)

    def _tell_button(self) -> None:
        answer = self.places.answer()
        thing = None if answer is None else answer.thing
        marked = thing in self._session.project.candidates
        self.place_button.setEnabled(marked)
        self.place_button.setToolTip("" if marked else "Choose a marked place in the list first")

    def _project_changed(self, _changed: object) -> None:
        self._stale.show()
        self.again_button.show()
        self._tell_button()


def as_text(answers: Sequence[PlaceAnswer], project: Project) -> str:
    """The answers as lines of cells parted by tabs, headings first."""
    units = project.settings.units
    figures = (RUNS_OVER, *FIGURES)
    heads = [f"{f.heading} {with_it}" for f in figures for with_it in ("with it", "without it")]
    lines = [["Place", *heads, "In words"]]
    for answer in answers:
        numbers = [
            "" if outcome is None else figure.text(outcome, units).replace(",", "")
            for figure in figures
            for outcome in (answer.with_it, answer.without_it)
        ]
        lines.append([titled(answer, project), *numbers, said_of(answer)])
    return "\n".join("\t".join(cells) for cells in lines)
