"""The way of the job as a slim bar: stations on a line, each a click to do it."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QHBoxLayout, QSizePolicy, QWidget

from app.ui import look
from app.ui.job_steps import JobStep, Progress
from app.ui.palette import current


class StepButton(QAbstractButton):
    """One station: a sign on the line, the step's name, and what is there or missing."""

    def __init__(self, parent: QWidget, *, first: bool, last: bool) -> None:
        super().__init__(parent)
        self._first, self._last = first, last
        self._step: JobStep | None = None
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    @property
    def step(self) -> JobStep | None:
        return self._step

    def show_step(self, step: JobStep) -> None:
        if step == self._step:
            return
        self._step = step
        self.setText(step.name)
        self.setToolTip(f"{step.name}: {step.detail}. Click: {step.invitation.lower()}.")
        self.setAccessibleName(f"{step.name}, {step.progress.value}: {step.detail}")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(look.em(8.5), look.em(2.9))

    def minimumSizeHint(self) -> QSize:
        return QSize(look.em(6.5), look.em(2.9))

    def paintEvent(self, event: QPaintEvent) -> None:
        step, colours = self._step, current()
        if step is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.underMouse() or self.isDown():
            painter.fillRect(self.rect(), colours.color("wash" if self.isDown() else "stripe"))
        radius = look.em(0.42)
        centre = QPointF(look.em(1.0), self.height() / 2)
        painter.setPen(QPen(colours.color("edge"), 1.5))
        if not self._first:
            painter.drawLine(QPointF(0, centre.y()), QPointF(centre.x() - radius - 3, centre.y()))
        self._paint_sign(painter, step.progress, centre, radius)
        self._paint_words(painter, step)
        if not self._last:
            self._paint_line_on(painter, centre.y())
        if self.hasFocus():
            painter.setPen(QPen(colours.color("accent"), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 3, 3)
        painter.end()

    def _paint_sign(
        self, painter: QPainter, progress: Progress, centre: QPointF, radius: float
    ) -> None:
        colours = current()
        accent = colours.color("accent")
        painter.setPen(
            QPen(accent if progress is not Progress.OPEN else colours.color("edge"), 1.6)
        )
        painter.setBrush(accent if progress is Progress.DONE else colours.color("ground"))
        circle = QRectF(centre.x() - radius, centre.y() - radius, 2 * radius, 2 * radius)
        painter.drawEllipse(circle)
        if progress is Progress.BEGUN:
            painter.setBrush(accent)
            painter.drawChord(circle, 90 * 16, 180 * 16)
        elif progress is Progress.DONE:
            painter.setPen(QPen(colours.color("on_accent"), 1.6))
            painter.drawPolyline(
                [
                    QPointF(centre.x() - radius * 0.45, centre.y() + radius * 0.05),
                    QPointF(centre.x() - radius * 0.1, centre.y() + radius * 0.4),
                    QPointF(centre.x() + radius * 0.5, centre.y() - radius * 0.4),
                ]
            )

    def _words_left(self) -> float:
        return look.em(1.75)

    def _paint_words(self, painter: QPainter, step: JobStep) -> None:
        colours = current()
        left = self._words_left()
        room = self.width() - left - 4
        font = QFont(self.font())
        font.setWeight(QFont.Weight.DemiBold)
        painter.setFont(font)
        painter.setPen(colours.color("ink"))
        half = self.height() / 2
        name = painter.fontMetrics().elidedText(step.name, Qt.TextElideMode.ElideRight, int(room))
        bottom_left = Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignLeft
        painter.drawText(QRectF(left, 0, room, half + 1), bottom_left, name)
        painter.setFont(look.figures_font(look.small_font()))
        painter.setPen(colours.color("ink_soft"))
        detail = painter.fontMetrics().elidedText(
            step.detail, Qt.TextElideMode.ElideRight, int(room)
        )
        top_left = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
        painter.drawText(QRectF(left, half + 1, room, half - 1), top_left, detail)

    def _paint_line_on(self, painter: QPainter, y: float) -> None:
        step = self._step
        if step is None:
            return
        bold = QFont(self.font())
        bold.setWeight(QFont.Weight.DemiBold)
        painter.setFont(bold)
        name_wide = painter.fontMetrics().horizontalAdvance(step.name)
        painter.setFont(look.figures_font(look.small_font()))
        detail_wide = painter.fontMetrics().horizontalAdvance(step.detail)
        start = self._words_left() + max(name_wide, detail_wide) + look.em(0.6)
        if start < self.width() - 2:
            painter.setPen(QPen(current().color("edge"), 1.5))
            painter.drawLine(QPointF(start, y), QPointF(self.width(), y))


class JobBar(QWidget):
    """All steps from left to right."""

    chosen = Signal(str)
    """The key of the step that was clicked."""

    def __init__(self, count: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(look.em(0.5), 0, look.em(0.5), 0)
        row.setSpacing(0)
        self._buttons: list[StepButton] = []
        for index in range(count):
            button = StepButton(self, first=index == 0, last=index == count - 1)
            button.clicked.connect(lambda _=False, b=button: self._clicked(b))
            row.addWidget(button, 1)
            self._buttons.append(button)

    def button(self, key: str) -> StepButton:
        """The station of one step."""
        return next(b for b in self._buttons if b.step is not None and b.step.key == key)

    def show_steps(self, steps: Sequence[JobStep]) -> None:
        """Show these steps; as many as there are stations."""
        for button, step in zip(self._buttons, steps, strict=True):
            button.show_step(step)

    def _clicked(self, button: StepButton) -> None:
        if button.step is not None:
            self.chosen.emit(button.step.key)
