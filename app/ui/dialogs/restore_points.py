"""Restore points: named states, compared with now, returned to in one step."""

import datetime
from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.editor.commands.restore_points import remove_restore_point
from app.jobs.restore_points import compared, making, returning
from app.model.entities import RestorePoint
from app.model.vocabulary import Units
from app.progress import Progress
from app.sheets.differences import Differences, counted_words, sum_cells
from app.storage.lock import user_name
from app.storage.packed import PackedSource
from app.ui import look, project_files
from app.ui.dialogs.dialog import Dialog, show
from app.ui.panel.pieces import words
from app.ui.session import Session
from app.ui.tables.view import TableView
from app.ui.worker import run_with_progress

_TABS = ("Things", "Rooms")


class NewPointDialog(Dialog):
    """Asks for the name of a restore point."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(
            "Make a restore point",
            "The project as it is now gets a name. It can be compared with later states, and "
            "returned to in one step that undo takes back.",
            parent,
            wide=36,
        )
        self.name = QLineEdit(self)
        self.name.setPlaceholderText("as sent to client, rev A")
        self.name.setAccessibleName("Name of the restore point")
        self.note = QLineEdit(self)
        self.note.setAccessibleName("Note")
        self.column.addWidget(QLabel("Name", self))
        self.column.addWidget(self.name)
        self.column.addWidget(QLabel("Note", self))
        self.column.addWidget(self.note)
        self.column.addStretch(1)
        verb = self.finish("Make")
        assert verb is not None
        verb.setEnabled(False)
        self.name.textChanged.connect(lambda text: verb.setEnabled(bool(text.strip())))


class RestorePointsDialog(Dialog):
    """Stays open beside the plan, which shows the thing that is chosen in the list."""

    thing_asked = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(
            "Restore points",
            "A restore point keeps the whole project under a name. Returning to one is a single "
            "step that undo takes back; the points themselves stay.",
            parent,
            wide=92,
            high=46,
        )
        self.keep_on_top_of_nothing()
        self._session = session
        self.points = QListWidget(self)
        self.points.setAccessibleName("Restore points")
        self.points.setWordWrap(True)
        self.told = words("", "", self)
        self.stale = words("The project has been edited since; compare again.", "warn", self)
        self.stale.hide()
        self.sums = QGridLayout()
        self.things = TableView("Differences", self, narrow=True, widest="what")
        self.rooms = TableView("Rooms that differ", self, narrow=True)
        self.tabs = QTabWidget(self)
        self.make_button = QPushButton("Make a restore point …", self)
        self.compare_button = QPushButton("Compare with now", self)
        self.return_button = QPushButton("Return to it", self)
        self.remove_button = QPushButton("Remove", self)
        self._lay_out()
        self._connect()
        self.finish(cancel="Close")
        # Return compares; on “Close” it would put the dialog away under the hand.
        self.compare_button.setDefault(True)
        self.refresh()

    def point(self) -> RestorePoint | None:
        """The chosen restore point."""
        chosen = self.points.selectedItems()
        if not chosen:
            return None
        return self._session.project.restore_points.get(chosen[0].data(Qt.ItemDataRole.UserRole))

    def make(self) -> None:
        """Ask for a name and make a point of now."""
        dialog = NewPointDialog(self)
        if not show(dialog):
            return
        session = self._session
        name, note = dialog.name.text(), dialog.note.text()
        made = session.do(
            lambda: making(
                session.document,
                name=name,
                made_on=datetime.date.today().isoformat(),
                by=session.project.settings.author or user_name(),
                note=note,
            )
        )
        if made:
            self.points.setCurrentRow(self.points.count() - 1)

    def compare(self) -> None:
        """Compare the chosen point with now, off the window's thread."""
        point = self.point()
        if point is None:
            return
        design, kept = self._session.design, self._kept()
        found: Differences | None = project_files.told(
            self,
            lambda: run_with_progress(
                self, "Comparing", lambda p: _compared(design, point, kept, p)
            ),
        )
        if found is not None:
            self._show(point, found)

    def return_to(self) -> None:
        """Return to the chosen point, in one step."""
        point, session = self.point(), self._session
        if point is None:
            return
        patch = project_files.told(self, lambda: returning(session.project, point, self._kept()))
        if patch is not None and session.do(lambda: patch):
            session.message.emit(f"The project is as it was at “{point.name}”. Undo takes it back.")

    def remove(self) -> None:
        """Keep the chosen point no longer."""
        point, session = self.point(), self._session
        if point is not None:
            session.do(lambda: remove_restore_point(session.project, point.id))

    def refresh(self) -> None:
        """Follow the project."""
        chosen = self.point()
        self.points.clear()
        for point in self._session.project.restore_points.values():
            item = QListWidgetItem(_said_of(point))
            item.setData(Qt.ItemDataRole.UserRole, point.id)
            item.setToolTip(point.note)
            self.points.addItem(item)
            if chosen is None or point.id == chosen.id:
                self.points.setCurrentItem(item)
        if not self.points.count():
            self._clear()
            self.told.setText("There is no restore point yet.")
        self._tell_buttons()

    # --- within ---------------------------------------------------------------------------

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(look.em(0.4))
        left.addWidget(self.points, 1)
        for button in (
            self.make_button,
            self.compare_button,
            self.return_button,
            self.remove_button,
        ):
            left.addWidget(button)
        for view, title in zip((self.things, self.rooms), _TABS, strict=True):
            self.tabs.addTab(view, title)
        right = QVBoxLayout()
        right.addWidget(self.told)
        right.addWidget(self.stale)
        right.addLayout(self.sums)
        right.addWidget(self.tabs, 1)
        row = QHBoxLayout()
        row.setSpacing(look.em(1.2))
        row.addLayout(left, 1)
        row.addLayout(right, 3)
        self.column.addLayout(row, 1)
        self.tabs.hide()

    def _connect(self) -> None:
        self.make_button.clicked.connect(self.make)
        self.compare_button.clicked.connect(self.compare)
        self.return_button.clicked.connect(self.return_to)
        self.remove_button.clicked.connect(self.remove)
        self.points.itemDoubleClicked.connect(self.compare)
        self.points.itemSelectionChanged.connect(self._point_chosen)
        self.things.things_selected.connect(self._thing_chosen)
        self.rooms.things_selected.connect(self._thing_chosen)
        self._session.changed.connect(self._project_changed)

    def _kept(self) -> Mapping[str, PackedSource]:
        return self._session.document.plans.sources

    def _point_chosen(self) -> None:
        self._clear()
        self._tell_buttons()

    def _tell_buttons(self) -> None:
        for button in (self.compare_button, self.return_button, self.remove_button):
            button.setEnabled(self.point() is not None)

    def _thing_chosen(self, ids: tuple[str, ...]) -> None:
        there = [i for i in ids if i in self._session.project]
        if there:
            self.thing_asked.emit(there[0])

    def _project_changed(self, _changed: object) -> None:
        was_compared = self.tabs.isVisible() or self.stale.isVisible()
        told = self.told.text()
        self._follow_points()
        if was_compared and self.point() is not None:
            self.told.setText(told)
            self.stale.show()

    def _follow_points(self) -> None:
        """Follow the project's points, and leave what was compared in sight."""
        ids = [
            self.points.item(r).data(Qt.ItemDataRole.UserRole) for r in range(self.points.count())
        ]
        if ids != list(self._session.project.restore_points):
            self.refresh()

    def _clear(self) -> None:
        self.told.setText("Compare it with now to see what has changed." if self.point() else "")
        self.stale.hide()
        self.tabs.hide()
        while (item := self.sums.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()

    def _show(self, point: RestorePoint, found: Differences) -> None:
        self._clear()
        self.told.setText(f"Since “{point.name}”: {counted_words(found)}")
        self._show_sums(found, self._session.units)
        for place, (view, table) in enumerate(
            ((self.things, found.things), (self.rooms, found.rooms))
        ):
            view.show_table(table)
            self.tabs.setTabText(place, f"{_TABS[place]}: {len(table.rows):,}")
            self.tabs.setTabEnabled(place, bool(table.rows))
        self.tabs.show()

    def _show_sums(self, found: Differences, units: Units) -> None:
        rows = [
            ("", "then", "now", "difference"),
            *((s.what, *sum_cells(s, units)) for s in found.sums),
        ]
        half = (len(found.sums) + 1) // 2
        for number, cells in enumerate(rows):
            # Two blocks side by side; the headings stand over both.
            block, row = (0, number) if number <= half else (1, number - half)
            for column, text in enumerate(cells):
                label = QLabel(text, self)
                label.setFont(look.figures_font())
                if column:
                    label.setAlignment(Qt.AlignmentFlag.AlignRight)
                if not number:
                    label.setProperty("role", "soft")
                self.sums.addWidget(label, row, column + block * 5)
        for column, text in enumerate(rows[0]):
            label = QLabel(text, self)
            label.setProperty("role", "soft")
            if column:
                label.setAlignment(Qt.AlignmentFlag.AlignRight)
            self.sums.addWidget(label, 0, column + 5)
        self.sums.setColumnMinimumWidth(4, look.em(2))
        self.sums.setHorizontalSpacing(look.em(1.2))
        self.sums.setVerticalSpacing(look.em(0.15))


def _said_of(point: RestorePoint) -> str:
    """The name, and below it of when and how much."""
    of_when = ", ".join(
        filter(None, (point.made_on, f"rev {point.revision}" if point.revision else ""))
    )
    counts = f"{point.outlets:,} outlets, {point.runs:,} runs, {point.over:,} over"
    return "\n".join(filter(None, (point.name, of_when, counts)))


def _compared(
    design: Any, point: RestorePoint, kept: Mapping[str, PackedSource], progress: Progress
) -> Differences:
    return compared(design, point, kept, progress=progress)
