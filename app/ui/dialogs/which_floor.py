"""Which floor? Every frame and marked place with it and without it, side by side."""

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.model.project import Project
from app.progress import Progress
from app.sheets.table import Column, ColumnKind, Row, Table
from app.siting.which_floor import Outcome, PlaceAnswer, which_floor
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import words
from app.ui.session import Session
from app.ui.tables.view import TableView

C, L = ColumnKind.COUNT, ColumnKind.LENGTH
COLUMNS = (
    Column("floor", "Floor", width=10),
    Column("place", "Frame or place", width=16),
    Column("stands", "Stands", width=8),
    Column("over_with", "Over with it", C, 9),
    Column("over_without", "Over without", C, 9),
    Column("none_with", "No route with it", C, 9),
    Column("none_without", "No route without", C, 9),
    Column("longest_with", "Longest with it", L, 11),
    Column("longest_without", "Longest without", L, 11),
    Column("mean_with", "Mean with it", L, 10),
    Column("mean_without", "Mean without", L, 10),
    Column("total_with", "Cable with it", L, 11),
    Column("total_without", "Cable without", L, 11),
    Column("sentence", "In words", width=60),
)

FIRST = ("floor", "place", "stands", "sentence")


def answers_of(design: Any, progress: Progress) -> tuple[PlaceAnswer, ...]:
    """Every answer, in any thread."""
    return which_floor(design, progress=progress)


def _pair(with_it: Outcome | None, without_it: Outcome | None, name: str) -> Row:
    return tuple(None if o is None else getattr(o, name) for o in (with_it, without_it))


def answers_table(answers: tuple[PlaceAnswer, ...], project: Project) -> Table:
    """The answers as a table."""
    rows = []
    for a in answers:
        pairs = (
            _pair(a.with_it, a.without_it, name)
            for name in ("over_runs", "no_route_runs", "longest_mm", "mean_mm", "total_mm")
        )
        against = f" Against it: {a.reason_against}" if a.reason_against else ""
        floor = project.floors.get(a.floor)
        rows.append(
            (
                "" if floor is None else floor.name,
                a.name if a.thing is not None else "no frame, no place",
                "" if a.thing is None else "stands" if a.stands else "marked",
                *(cell for pair in pairs for cell in pair),
                a.sentence + against,
            )
        )
    ids = tuple(a.thing or a.floor for a in answers)
    return Table(
        key="which_floor",
        title="Which floor?",
        columns=COLUMNS,
        ids=ids,
        rows=tuple(rows),
        units=project.settings.units,
    )


class WhichFloorDialog(Dialog):
    """Stays open beside the plan; a double-click goes to the place."""

    thing_asked = Signal(str)

    def __init__(
        self, answers: tuple[PlaceAnswer, ...], session: Session, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "Which floor?",
            "The whole building was routed with and without each place. Nothing is proven "
            "beyond the places that were tried; a new riser can be worth more than a new room.",
            parent,
            wide=84,
            high=34,
        )
        self.keep_on_top_of_nothing()
        self.view = TableView("Which floor?", self, first=FIRST)
        self.view.show_table(answers_table(answers, session.project))
        self.view.things_opened.connect(lambda things: self.thing_asked.emit(things[0]))
        self.column.addWidget(self.view, 1)
        self._stale = words(
            "The project has been edited since; ask again for answers of now.", "warn", self
        )
        self._stale.hide()
        self.column.addWidget(self._stale)
        session.changed.connect(self._project_changed)
        self.finish(cancel="Close")

    def _project_changed(self, _changed: object) -> None:
        self._stale.show()
