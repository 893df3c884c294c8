"""Walk sheets: which floors, on which paper, at what scale, with a picture of each sheet."""

import datetime
from collections.abc import Mapping, Sequence
from pathlib import Path

from PySide6.QtCore import Qt, QThreadPool, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.drawing.plan_drawing import PlanDrawing
from app.progress import Progress
from app.sheets.page import PAPERS, SCALES, Page
from app.sheets.walk_sheet import WalkWishes, floors_in_order, walk_sheets
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.pictures.sheet_picture import SheetPicture
from app.ui.session import Session
from app.ui.words import counted, floor_word
from app.ui.worker import Job

USUAL_PAPER = "A3"
PDF_FILES = "PDF (*.pdf)"


class WalkDialog(Dialog):
    """`pages` are the sheets as they were chosen, `path` where they are to be written."""

    def __init__(
        self,
        session: Session,
        drawings: Mapping[str, PlanDrawing],
        floor_id: str | None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(
            "Walk sheets",
            "Floors on paper for the first evening: plan, numbers and states, and the outlets by "
            "room with blank cells to write in. What is too long for the paper is parted at match "
            "lines; client, revision and names come from the site card.",
            parent,
            wide=82,
            high=46,
        )
        self._session, self._drawings = session, drawings
        self._pages: tuple[Page, ...] = ()
        self._shown = 0
        self._job: Job | None = None
        self._wanted: WalkWishes | None = None
        self.path: Path | None = None
        self.floors = self._choice("Floors")
        self.papers = self._choice("Paper")
        self.scales = self._choice("Scale")
        self._fill_choices(floor_id)
        self.picture = SheetPicture(self)
        self.before = QPushButton("Sheet before", self)
        self.after = QPushButton("Next sheet", self)
        self.told = QLabel(self)
        self._lay_out()
        for choice in (self.floors, self.papers, self.scales):
            choice.currentIndexChanged.connect(self._draw)
        self.before.clicked.connect(lambda: self._turn(-1))
        self.after.clicked.connect(lambda: self._turn(1))
        self.write_button = self.finish("Write the PDF …", cancel="Close")
        self._draw()

    @property
    def pages(self) -> tuple[Page, ...]:
        return self._pages

    def accept(self) -> None:
        if not self._pages:
            return
        name = self._session.project.site.name or "Drawcord"
        chosen, _ = QFileDialog.getSaveFileName(
            self, "Write the walk sheets", f"{name}, walk sheets.pdf", PDF_FILES
        )
        if not chosen:
            return
        path = Path(chosen)
        self.path = path if path.suffix.lower() == ".pdf" else path.with_name(path.name + ".pdf")
        super().accept()

    # --- within ---------------------------------------------------------------------------

    def _choice(self, name: str) -> QComboBox:
        box = QComboBox(self)
        box.setAccessibleName(name)
        return box

    def _fill_choices(self, floor_id: str | None) -> None:
        self.floors.addItem("All floors", None)
        for floor in floors_in_order(self._session.design):
            self.floors.addItem(floor_word(floor.name), floor.id)
            if floor.id == floor_id:
                self.floors.setCurrentIndex(self.floors.count() - 1)
        for paper, (short, long) in PAPERS.items():
            self.papers.addItem(f"{paper}, {short} × {long} mm", paper)
        self.papers.setCurrentIndex(list(PAPERS).index(USUAL_PAPER))
        self.scales.addItem("The largest that fits", None)
        for denominator in SCALES:
            self.scales.addItem(f"1:{denominator:,}", denominator)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapAllRows)
        for choice in (self.floors, self.papers, self.scales):
            form.addRow(choice.accessibleName(), choice)
        left = QVBoxLayout()
        left.addLayout(form)
        left.addStretch(1)
        turning = QHBoxLayout()
        turning.addWidget(self.before)
        turning.addWidget(self.told, 1)
        turning.addWidget(self.after)
        right = QVBoxLayout()
        right.addWidget(self.picture, 1)
        right.addLayout(turning)
        row = QHBoxLayout()
        row.setSpacing(look.em(1.2))
        row.addLayout(left, 1)
        row.addLayout(right, 3)
        self.column.addLayout(row, 1)

    def _draw(self) -> None:
        """Draw the sheets anew, on another thread; what was being drawn is let go."""
        self._stop()
        design, drawings = self._session.design, self._drawings
        floor = self.floors.currentData()
        floors = None if floor is None else [floor]
        wishes = WalkWishes(
            paper=self.papers.currentData(),
            denominator=self.scales.currentData(),
            date=datetime.date.today().isoformat(),
        )

        def work(progress: Progress) -> tuple[WalkWishes, Sequence[Page]]:
            return wishes, walk_sheets(design, drawings, wishes, floors=floors, progress=progress)

        self._wanted = wishes
        self._job = job = Job(work)
        queued = Qt.ConnectionType.QueuedConnection
        job.signals.reported.connect(self._report, queued)
        job.signals.finished.connect(self._drawn, queued)
        job.signals.failed.connect(self._fail, queued)
        self.told.setText("Drawing the sheets …")
        if self.write_button is not None:
            self.write_button.setEnabled(False)
        QThreadPool.globalInstance().start(job)

    def _stop(self) -> None:
        """Let go of what is being drawn."""
        self._wanted = None
        if self._job is not None:
            self._job.cancel()

    def done(self, result: int) -> None:
        self._stop()
        super().done(result)

    @Slot(float, str)
    def _report(self, _fraction: float, said: str) -> None:
        if self._wanted is not None:
            self.told.setText(f"{said} …")

    @Slot(object)
    def _drawn(self, outcome: tuple[WalkWishes, Sequence[Page]]) -> None:
        wishes, pages = outcome
        # An older drawing may have been finished before it could be stopped.
        if wishes is self._wanted:
            self._wanted = None
            self._show(pages)

    @Slot(object)
    def _fail(self, error: BaseException) -> None:
        raise error

    def _show(self, pages: Sequence[Page]) -> None:
        self._pages, self._shown = tuple(pages), 0
        if self.write_button is not None:
            self.write_button.setEnabled(bool(pages))
        self._turn(0)

    def _turn(self, by: int) -> None:
        """Show another sheet."""
        count = len(self._pages)
        self._shown = min(max(self._shown + by, 0), max(count - 1, 0))
        self.before.setEnabled(self._shown > 0)
        self.after.setEnabled(self._shown < count - 1)
        if not count:
            self.picture.show_page(None)
            self.told.setText("No sheet is drawn.")
            return
        page = self._pages[self._shown]
        self.picture.show_page(page)
        self.told.setText(f"{page.group}: {page.title} of {counted(count, 'sheet')}")
