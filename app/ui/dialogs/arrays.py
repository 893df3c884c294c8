"""Arrays of the selection: in rows and columns or around a point, shown while they are typed."""

from typing import Any

import msgspec
from msgspec.structs import replace
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.editor.asking import InputProblem
from app.editor.commands.arrays import MOST_EACH_WAY, array_around, array_grid
from app.editor.commands.moving import middle_of, placed
from app.editor.commands.numbering import Retired, none_retired
from app.geometry.similarity import WHOLE_MDEG
from app.model.ids import Source, counting_source, random_characters
from app.model.project import Patch, Project
from app.ui.dialogs.dialog import Dialog
from app.ui.fields.form import Form
from app.ui.fields.spec import Field, Sort
from app.ui.panel.pieces import words
from app.ui.pictures.things_picture import ThingsPicture
from app.ui.session import Session
from app.ui.words import counted

GRID, AROUND = "grid", "around"


class ArrayWanted(msgspec.Struct, frozen=True, kw_only=True):
    """What is typed; the point is told from the middle of what is selected."""

    way: str = GRID
    rows: int = 2
    columns: int = 3
    row_mm: int = 2_000
    column_mm: int = 2_000
    count: int = 6
    east_mm: int = 2_000
    north_mm: int = 0
    span_mdeg: int = WHOLE_MDEG
    turned: bool = True


def _grid(wanted: Any) -> bool:
    return bool(wanted.way == GRID)


def _around(wanted: Any) -> bool:
    return bool(wanted.way == AROUND)


def _many(key: str, label: str, shown_if: Any) -> Field:
    return Field(
        key=key, label=label, sort=Sort.COUNT, shown_if=shown_if, least=1, most=MOST_EACH_WAY
    )


FIELDS = (
    Field(
        key="way",
        label="Array",
        sort=Sort.CHOICE,
        options=lambda _p: [(GRID, "in rows and columns"), (AROUND, "around a point")],
    ),
    _many("columns", "Columns", _grid),
    Field(key="column_mm", label="Every", sort=Sort.LENGTH, shown_if=_grid, tip="Along the grid"),
    _many("rows", "Rows", _grid),
    Field(key="row_mm", label="Rows every", sort=Sort.LENGTH, shown_if=_grid, tip="Across it"),
    _many("count", "So many", _around),
    Field(
        key="east_mm",
        label="Point, east",
        sort=Sort.LENGTH,
        shown_if=_around,
        tip="From the middle of what is selected; west is negative",
    ),
    Field(key="north_mm", label="Point, north", sort=Sort.LENGTH, shown_if=_around),
    Field(
        key="span_mdeg",
        label="Over",
        sort=Sort.ANGLE,
        shown_if=_around,
        tip="360°: all the way round; of less, the last stands at its end",
    ),
    Field(key="turned", label="Each turns with its place", sort=Sort.FLAG, shown_if=_around),
)


def array_patch(
    project: Project,
    ids: tuple[str, ...],
    wanted: ArrayWanted,
    *,
    grid_mdeg: int,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """The array as typed. Raises InputProblem."""
    if wanted.way == GRID:
        return array_grid(
            project,
            ids,
            rows=wanted.rows,
            columns=wanted.columns,
            row_mm=wanted.row_mm,
            column_mm=wanted.column_mm,
            grid_mdeg=grid_mdeg,
            retired=retired,
            source=source,
        )
    x, y = middle_of(placed(project, ids))
    return array_around(
        project,
        ids,
        count=wanted.count,
        centre=(x + wanted.east_mm, y + wanted.north_mm),
        span_mdeg=wanted.span_mdeg,
        turned=wanted.turned,
        retired=retired,
        source=source,
    )


class ArrayDialog(Dialog):
    """Numbers on the left, and beside them what they make."""

    def __init__(
        self, session: Session, floor_id: str, grid_mdeg: int, parent: QWidget | None
    ) -> None:
        super().__init__(
            "Array",
            "What is selected stands for the first; all others are measured from it.",
            parent,
            wide=58,
            high=32,
        )
        self._session, self._grid_mdeg = session, grid_mdeg
        self._ids = session.selection.ids
        self.wanted = ArrayWanted()
        self.form = Form(FIELDS, session.project, self)
        self.form.edited.connect(self._edited)
        self.picture = ThingsPicture(session.project, floor_id, self)
        self.said = words("", "soft", self)
        left = QVBoxLayout()
        left.addWidget(self.form)
        left.addWidget(self.said)
        left.addStretch(1)
        row = QHBoxLayout()
        row.addLayout(left, 2)
        row.addWidget(self.picture, 3)
        self.column.addLayout(row, 1)
        self._verb = self.finish("Make the array")
        self._show()

    def _edited(self, field: Field, value: Any) -> None:
        self.wanted = replace(self.wanted, **{field.key: value})
        self._show()

    def _show(self) -> None:
        project = self._session.project
        self.form.show_things(project, [self.wanted])
        made: list[Any] = []
        said = ""
        try:
            patch = array_patch(
                project,
                self._ids,
                self.wanted,
                grid_mdeg=self._grid_mdeg,
                source=counting_source(),
            )
            made = [c.after for c in patch.changes if c.after is not None]
            said = f"{counted(len(made), 'new thing')}."
        except InputProblem as problem:
            said = str(problem)
        if self._verb is not None:
            self._verb.setEnabled(bool(made))
        self.said.setText(said)
        self.picture.show_things(placed(project, self._ids), made)

    def accept(self) -> None:
        session = self._session
        retired = session.document.retired_numbers
        if session.do(
            lambda: array_patch(
                session.project,
                self._ids,
                self.wanted,
                grid_mdeg=self._grid_mdeg,
                retired=retired,
            )
        ):
            super().accept()
