"""Places for a frame one below the other: what each gives, in numbers, a picture and words."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.model.vocabulary import Units
from app.siting.which_floor import Outcome, PlaceAnswer
from app.ui import look
from app.ui.lengths import MM_PER_UNIT, SIGN
from app.ui.palette import current

Index = QModelIndex | QPersistentModelIndex
ANSWER = Qt.ItemDataRole.UserRole
LINE = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine
RIGHT = Qt.AlignmentFlag.AlignRight | LINE
LEFT = Qt.AlignmentFlag.AlignLeft | LINE
WRAPPED = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
PLACE_EM, NUMBER_EM, LEAST_BAR_EM = 12.5, 4.6, 4.0


@dataclass(frozen=True, slots=True)
class Figure:
    """One number of an outcome: its heading, and how it is read in the user's units."""

    heading: str
    text: Callable[[Outcome, Units], str]


def _length(mm: int, units: Units) -> str:
    return f"{mm / MM_PER_UNIT[units]:,.1f}"


def _whole_length(mm: int, units: Units) -> str:
    return f"{mm / MM_PER_UNIT[units]:,.0f}"


FIGURES = (
    Figure("Outlets over", lambda o, _u: f"{o.over_outlets:,}"),
    Figure("No route", lambda o, _u: f"{o.no_route_runs:,}"),
    Figure("Longest", lambda o, units: _length(o.longest_mm, units)),
    Figure("Mean", lambda o, units: _length(o.mean_mm, units)),
    Figure("All cable", lambda o, units: _whole_length(o.total_mm, units)),
)
RUNS_OVER = Figure("Runs over", lambda o, _u: f"{o.over_runs:,}")


@dataclass(frozen=True, slots=True)
class Slots:
    """Where the columns lie, from the left of the list; every figure has two numbers."""

    place: QRect
    bar: QRect
    figures: tuple[tuple[QRect, QRect], ...]
    """The runs over first, then `FIGURES`: with the place, without it."""


def slots_in(width: int) -> Slots:
    """The columns of a list so wide; the bar takes what the numbers leave."""
    pad, number = look.em(0.8), look.em(NUMBER_EM)
    place = QRect(pad, 0, look.em(PLACE_EM), 1)
    numbers = 2 * (1 + len(FIGURES)) * number
    bar_wide = max(look.em(LEAST_BAR_EM), width - place.right() - numbers - 2 * pad)
    bar = QRect(place.right() + 1 + 2 * number + pad, 0, bar_wide - pad, 1)
    figures = [_two(place.right() + 1, number)]
    left = bar.right() + 1
    for _ in FIGURES:
        figures.append(_two(left, number))
        left += 2 * number
    return Slots(place, bar, tuple(figures))


def _two(left: int, number: int) -> tuple[QRect, QRect]:
    gap = look.em(0.3)
    return QRect(left, 0, number - gap, 1), QRect(left + number, 0, number - gap, 1)


def least_width() -> int:
    """The width below which the numbers would not stand side by side."""
    numbers = 2 * (1 + len(FIGURES)) * look.em(NUMBER_EM)
    return look.em(0.8) * 3 + look.em(PLACE_EM) + numbers + look.em(LEAST_BAR_EM)


class PlaceHeading(QWidget):
    """The headings above the list: each figure over its two numbers."""

    def __init__(self, units: Units, parent: QWidget) -> None:
        super().__init__(parent)
        self.units = units
        self.setFixedHeight(2 * self.fontMetrics().height() + look.em(0.5))
        self.list_width = 0

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colours, slots = current(), slots_in(self.list_width or self.width())
        high = self.fontMetrics().height()
        painter.setPen(colours.color("ink_soft"))
        painter.drawText(_row(slots.place, high, high), int(LEFT), "Place")
        sign = SIGN[self.units]
        names = [RUNS_OVER.heading] + [
            f"{f.heading}, {sign}" if f.heading in ("Longest", "Mean", "All cable") else f.heading
            for f in FIGURES
        ]
        for name, (first, second) in zip(names, slots.figures, strict=True):
            painter.setPen(colours.color("ink"))
            painter.drawText(_row(first.united(second), 0, high), int(RIGHT), name)
            painter.setPen(colours.color("ink_soft"))
            painter.drawText(_row(first, high, high), int(RIGHT), "with")
            painter.drawText(_row(second, high, high), int(RIGHT), "without")
        painter.setPen(colours.color("line"))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        painter.end()


class PlaceList(QListWidget):
    """One item a place; the chosen one's thing, or floor, is said."""

    place_chosen = Signal(object)
    """The `PlaceAnswer` that was chosen."""

    def __init__(self, units: Units, parent: QWidget) -> None:
        super().__init__(parent)
        self.heading = PlaceHeading(units, parent)
        self.setItemDelegate(_PlaceDelegate(units, self))
        self.setAccessibleName("Places for a frame")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.setMinimumWidth(least_width())
        self.most_over = 0
        self.currentItemChanged.connect(self._said)

    def show_answers(
        self, answers: Sequence[PlaceAnswer], title_of: Callable[[PlaceAnswer], str]
    ) -> None:
        """List these under their titles; the place that was chosen stays chosen."""
        before = self.answer()
        self.blockSignals(True)
        self.clear()
        outcomes = [o for a in answers for o in (a.with_it, a.without_it) if o is not None]
        self.most_over = max((o.over_runs for o in outcomes), default=0)
        for answer in answers:
            title = title_of(answer)
            item = QListWidgetItem(title)
            item.setToolTip(title)
            item.setData(ANSWER, answer)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{title}. {said_of(answer)}")
            self.addItem(item)
            if before is not None and (answer.thing or answer.floor) == (
                before.thing or before.floor
            ):
                self.setCurrentItem(item)
        self.blockSignals(False)

    def answer(self) -> PlaceAnswer | None:
        """The place that is chosen."""
        item = self.currentItem()
        chosen = None if item is None else item.data(ANSWER)
        return chosen if isinstance(chosen, PlaceAnswer) else None

    def _said(self) -> None:
        answer = self.answer()
        if answer is not None:
            self.place_chosen.emit(answer)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.heading.list_width = self.viewport().width()
        self.heading.update()
        self.scheduleDelayedItemsLayout()


def said_of(answer: PlaceAnswer) -> str:
    """The sentence of a place, and what is said against it."""
    against = f" Against it: {answer.reason_against}" if answer.reason_against else ""
    return answer.sentence + against


class _PlaceDelegate(QStyledItemDelegate):
    """Numbers on the first line, the picture beside the runs over, the words below."""

    def __init__(self, units: Units, places: PlaceList) -> None:
        super().__init__(places)
        self._units = units
        self._places = places

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        answer: PlaceAnswer = index.data(ANSWER)
        width = self._places.viewport().width()
        metrics = QFontMetrics(self._places.font())
        high = _words_high(metrics, answer.sentence, width)
        if answer.reason_against:
            high += _words_high(metrics, _against(answer), width)
        return QSize(look.em(10), metrics.height() + high + look.em(1.1))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        answer: PlaceAnswer = index.data(ANSWER)
        painter.save()
        rect: QRect = option.rect
        colours = current()
        state: QStyle.StateFlag = option.state
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(rect, colours.color("wash"))
            painter.fillRect(
                QRect(rect.left(), rect.top(), look.em(0.25), rect.height()),
                colours.color("accent"),
            )
        painter.translate(rect.left(), rect.top() + look.em(0.4))
        title = str(index.data(Qt.ItemDataRole.DisplayRole))
        self._paint_numbers(painter, answer, title, slots_in(rect.width()))
        self._paint_words(painter, answer, rect.width())
        painter.restore()
        painter.fillRect(QRect(rect.left(), rect.bottom(), rect.width(), 1), colours.color("line"))

    def _paint_numbers(
        self, painter: QPainter, answer: PlaceAnswer, title: str, slots: Slots
    ) -> None:
        colours, font = current(), QFont(self._places.font())
        high = QFontMetrics(font).height()
        bold = QFont(font)
        bold.setBold(True)
        painter.setFont(bold)
        painter.setPen(colours.color("ink"))
        if answer.with_it is None or answer.without_it is None:
            painter.drawText(
                _row(_words_rect(slots.figures[-1][1].right()), 0, high), int(LEFT), title
            )
            return
        name = QFontMetrics(bold).elidedText(
            title, Qt.TextElideMode.ElideRight, slots.place.width()
        )
        painter.drawText(_row(slots.place, 0, high), int(LEFT), name)
        painter.setFont(look.figures_font(font))
        pairs = zip((RUNS_OVER, *FIGURES), slots.figures, strict=True)
        for figure, (first, second) in pairs:
            painter.setPen(colours.color("ink"))
            said = figure.text(answer.with_it, self._units)
            painter.drawText(_row(first, 0, high), int(RIGHT), said)
            painter.setPen(colours.color("ink_soft"))
            said = figure.text(answer.without_it, self._units)
            painter.drawText(_row(second, 0, high), int(RIGHT), said)
        self._paint_bars(painter, answer, slots.bar, high)

    def _paint_bars(self, painter: QPainter, answer: PlaceAnswer, slot: QRect, high: int) -> None:
        """Runs over as two bars: with the place above, without it below as an outline."""
        assert answer.with_it is not None
        assert answer.without_it is not None
        most = self._places.most_over
        if most == 0:
            return
        colours, thick = current(), max(3, high // 2 - 2)
        painter.setPen(colours.color("over"))
        for top, outcome, filled in ((0, answer.with_it, True), (1, answer.without_it, False)):
            wide = (slot.width() - 1) * outcome.over_runs / most
            bar = QRectF(slot.left() + 0.5, top * (thick + 2) + 0.5, wide, thick)
            if filled:
                painter.fillRect(bar, colours.color("over"))
            elif wide:
                painter.drawRect(bar)
        painter.fillRect(QRectF(slot.left(), 0, 1, 2 * thick + 3), colours.color("edge"))

    def _paint_words(self, painter: QPainter, answer: PlaceAnswer, width: int) -> None:
        font, colours = self._places.font(), current()
        metrics = QFontMetrics(font)
        painter.setFont(font)
        top = metrics.height() + look.em(0.15)
        painter.setPen(colours.color("ink"))
        top = _draw_words(painter, metrics, answer.sentence, top, width)
        if answer.reason_against:
            painter.setPen(colours.color("warn"))
            _draw_words(painter, metrics, _against(answer), top, width)


def _against(answer: PlaceAnswer) -> str:
    return f"Against it: {answer.reason_against}"


def _words_rect(width: int, top: int = 0) -> QRect:
    pad = look.em(0.8)
    return QRect(pad, top, max(1, width - 2 * pad), 10_000)


def _words_high(metrics: QFontMetrics, text: str, width: int) -> int:
    return metrics.boundingRect(_words_rect(width), int(WRAPPED), text).height()


def _draw_words(painter: QPainter, metrics: QFontMetrics, text: str, top: int, width: int) -> int:
    painter.drawText(_words_rect(width, top), int(WRAPPED), text)
    return top + _words_high(metrics, text, width)


def _row(slot: QRect, top: int, high: int) -> QRect:
    return QRect(slot.left(), top, slot.width(), high)
