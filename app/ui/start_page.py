"""The first page: open a plan, a project or the sample, recent files, or let a file fall here."""

from pathlib import Path

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragLeaveEvent,
    QDropEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.ui import icons, look
from app.ui.palette import current
from app.ui.panel.pieces import clear, link, words
from app.ui.pictures.building_section import BuildingSection

PLAN_SUFFIXES = (".dxf",)
PROJECT_SUFFIX = ".drawcord"


class _Door(QPushButton):
    """A large button: what it does, and one sentence more."""

    def __init__(self, title: str, sentence: str, icon: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setProperty("door", True)
        self._icon_name = icon
        self._title = QLabel(title, self)
        self._title.setProperty("role", "heading")
        self._sentence = QLabel(sentence, self)
        self._sentence.setProperty("role", "soft")
        self._sentence.setWordWrap(True)
        self._sentence.setAlignment(Qt.AlignmentFlag.AlignTop)
        two_lines = 2 * self._sentence.fontMetrics().lineSpacing() + look.em(0.3)
        self._sentence.setMinimumHeight(two_lines)
        self._picture = QLabel(self)
        for label in (self._title, self._sentence, self._picture):
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        grid = QGridLayout(self)
        grid.setContentsMargins(look.em(0.9), look.em(0.7), look.em(0.9), look.em(0.7))
        grid.setHorizontalSpacing(look.em(0.8))
        grid.setVerticalSpacing(look.em(0.1))
        grid.addWidget(self._picture, 0, 0, 2, 1)
        grid.addWidget(self._title, 0, 1)
        grid.addWidget(self._sentence, 1, 1)
        grid.setColumnStretch(1, 1)
        self.setAccessibleName(title)
        self.setAccessibleDescription(sentence)
        self.setMinimumSize(look.em(24), grid.minimumSize().height() + look.em(0.5))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self._paint_icon()

    def _paint_icon(self) -> None:
        self._picture.setPixmap(icons.icon(self._icon_name, "accent").pixmap(QSize(32, 32)))

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_picture"):
            self._paint_icon()
        super().changeEvent(event)


class StartPage(QWidget):
    """Shown while no project is open."""

    plan_asked = Signal()
    project_asked = Signal()
    sample_asked = Signal(str)
    new_asked = Signal()
    file_asked = Signal(str)
    files_dropped = Signal(list)
    set_aside_asked = Signal()

    def __init__(self, samples: tuple[tuple[str, str, str], ...], parent: QWidget | None = None):
        """`samples`: file name, title and sentence of each sample project there is."""
        super().__init__(parent)
        self.setProperty("role", "sheet")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAcceptDrops(True)
        self._dragged_over = False
        self.doors: dict[str, QPushButton] = {}
        inner = QWidget(self)
        inner.setMaximumWidth(look.em(64))
        rows = QVBoxLayout(inner)
        rows.setContentsMargins(look.em(2), look.em(2), look.em(2), look.em(2))
        rows.setSpacing(look.em(0.8))
        rows.addStretch(2)
        rows.addWidget(self._masthead(inner))
        rows.addSpacing(look.em(1.2))
        halves = QHBoxLayout()
        halves.setSpacing(look.em(3))
        halves.addLayout(self._doors(samples, inner), 5)
        halves.addLayout(self._recent_column(inner), 4)
        rows.addLayout(halves)
        drop = words("Or let a plan (DXF) or a project fall anywhere on this page.", "soft", inner)
        rows.addWidget(drop)
        rows.addStretch(3)
        page = QWidget(self)
        middle = QHBoxLayout(page)
        middle.setContentsMargins(0, 0, 0, 0)
        middle.addStretch(1)
        middle.addWidget(inner, 20)
        middle.addStretch(1)
        self.area = QScrollArea(self)
        self.area.setWidget(page)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        for sheet in (page, self.area.viewport()):
            sheet.setAutoFillBackground(False)
        outer = QHBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.area)

    def _masthead(self, parent: QWidget) -> QWidget:
        holder = QWidget(parent)
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.em(0.3))
        title = QLabel("Drawcord", holder)
        title.setFont(look.title_font(3.0))
        column.addWidget(title)
        said = words(
            "Every cable of a building, from its frame to its outlet: planned, routed, measured, "
            "checked and listed.",
            "soft",
            holder,
        )
        said.setFont(look.title_font(1.15, bold=False))
        column.addWidget(said)
        return holder

    def _doors(self, samples: tuple[tuple[str, str, str], ...], parent: QWidget) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(look.em(0.6))
        entries = [
            ("plan", "Open a &plan …", "Begin with a DXF floor plan.", "plan"),
            ("project", "Open a p&roject …", "Go on where you stopped.", "project"),
        ]
        for key, title, sentence, icon in entries:
            door = _Door(title.replace("&", ""), sentence, icon, parent)
            self.doors[key] = door
            column.addWidget(door)
        self.doors["plan"].clicked.connect(self.plan_asked)
        self.doors["project"].clicked.connect(self.project_asked)
        for name, title, sentence in samples:
            door = _Door(title, sentence, "sample", parent)
            door.clicked.connect(lambda _=False, n=name: self.sample_asked.emit(n))
            self.doors[name] = door
            column.addWidget(door)
        empty = link("Begin with an empty project", parent)
        empty.clicked.connect(self.new_asked)
        column.addWidget(empty)
        column.addStretch(1)
        return column

    def _recent_column(self, parent: QWidget) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(look.em(0.3))
        column.addWidget(words("Recent files", "heading", parent))
        holder = QWidget(parent)
        self._recent = QVBoxLayout(holder)
        self._recent.setContentsMargins(0, 0, 0, 0)
        self._recent.setSpacing(look.em(0.15))
        column.addWidget(holder)
        self.set_aside = link("", parent)
        self.set_aside.hide()
        self.set_aside.clicked.connect(self.set_aside_asked)
        column.addWidget(self.set_aside)
        column.addStretch(1)
        column.addWidget(BuildingSection(parent))
        return column

    def show_recent(self, paths: list[Path]) -> None:
        """List these files; those that are gone are told apart."""
        clear(self._recent)
        if not paths:
            self._recent.addWidget(words("None yet.", "soft"))
        for path in paths:
            button = link(path.name, self)
            button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            button.setToolTip(str(path))
            button.setEnabled(path.exists())
            button.clicked.connect(lambda _=False, p=path: self.file_asked.emit(str(p)))
            self._recent.addWidget(button)
            folder = QLabel(str(path.parent) if path.exists() else "no longer there", self)
            folder.setProperty("role", "soft")
            folder.setFont(look.small_font())
            folder.setContentsMargins(look.em(0.2), 0, 0, look.em(0.4))
            folder.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            self._recent.addWidget(folder)

    def show_set_aside(self, count: int) -> None:
        """Offer edits that were set aside; 0 offers nothing."""
        self.set_aside.setVisible(count > 0)
        self.set_aside.setText(f"Look at edits set aside ({count})")

    # --- files let fall -----------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if dropped_files(event.mimeData()):
            self._dragged_over = True
            self.update()
            event.acceptProposedAction()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self._dragged_over = False
        self.update()

    def dropEvent(self, event: QDropEvent) -> None:
        self._dragged_over = False
        self.update()
        event.acceptProposedAction()
        self.files_dropped.emit(dropped_files(event.mimeData()))

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        painter.fillRect(self.rect(), current().color("sheet"))
        if self._dragged_over:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(current().color("accent"), 3, Qt.PenStyle.DashLine))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(10, 10, -10, -10), 8, 8)
        painter.end()


def dropped_files(data: object) -> list[str]:
    """The paths of the local files in dragged data."""
    urls = data.urls() if data is not None else []  # type: ignore[attr-defined]
    return [u.toLocalFile() for u in urls if u.isLocalFile()]
